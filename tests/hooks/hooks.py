"""The hooks of `.pre-commit-hooks.yaml`, run by pre-commit itself as a commit runs them.

Usage: python hooks.py HOOKS_FILE FOLDER_OF_THE_COMMAND, with pre-commit in the same Python and an empty folder as the current one.
"""

import os
import pathlib
import shutil
import subprocess
import sys

CATALOG = "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n"
KIND = "pump_kind: {0}\nname: Quay piston pump\nstroke: {1}\nhalf_strokes: true\nvolume_tolerance: 5 %\n"
# What `--write-baseline` would list of the faulty file, and of itself.
BASELINE = """format: 1
known:
  - {rule: decimal-comma, file: x.pump-kind.yaml, at: /stroke}
"""

hooks_file, command_folder = (pathlib.Path(argument).resolve() for argument in sys.argv[1:3])
here = pathlib.Path.cwd()
environment = {
    **os.environ,
    "PATH": os.pathsep.join([str(command_folder), str(pathlib.Path(sys.executable).parent), os.environ["PATH"]]),
    # Nothing of this machine's own settings takes part.
    "HOME": str(here),
    "PRE_COMMIT_HOME": str(here / "pre-commit-home"),
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_AUTHOR_NAME": "Quay",
    "GIT_AUTHOR_EMAIL": "quay@example.org",
    "GIT_COMMITTER_NAME": "Quay",
    "GIT_COMMITTER_EMAIL": "quay@example.org",
}
# Set where a hook of git's runs this; it would lead to another repository.
for name in [name for name in environment if name.startswith("GIT_") and name.split("_")[1] in ("DIR", "INDEX", "WORK")]:
    del environment[name]


def run(folder, *command):
    done = subprocess.run(command, cwd=folder, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    return done.returncode, done.stdout


def must(folder, *command):
    code, said = run(folder, *command)
    assert code == 0, f"{command}: {code}\n{said}"
    return said


# The hooks are taken from a repository, as everybody takes them.
hooks = here / "hooks"
hooks.mkdir()
shutil.copy(hooks_file, hooks / ".pre-commit-hooks.yaml")
must(hooks, "git", "init", "-q", "-b", "main")
must(hooks, "git", "add", "-A")
must(hooks, "git", "commit", "-q", "-m", "hooks")
revision = must(hooks, "git", "rev-parse", "HEAD").strip()


class Lab:
    """A repository with a catalog and one hook."""

    def __init__(self, name, hook, args=""):
        self.folder = here / name
        self.folder.mkdir()
        must(self.folder, "git", "init", "-q", "-b", "main")
        config = f"repos:\n- repo: {hooks}\n  rev: {revision}\n  hooks:\n  - id: {hook}\n{args}"
        self.write(".pre-commit-config.yaml", config)
        self.write("catalog.yaml", CATALOG)
        must(self.folder, "pre-commit", "install")
        code, said = self.commit()
        assert code == 0 and "Passed" in said, said

    def write(self, name, text):
        (self.folder / name).write_text(text)

    def read(self, name):
        return (self.folder / name).read_text()

    def commit(self):
        must(self.folder, "git", "add", "-A")
        return run(self.folder, "git", "commit", "-m", "a change")


def check_lets_sound_files_in_and_no_others():
    lab = Lab("check", "stainbook-check")
    lab.write("quay.pump-kind.yaml", KIND.format("quay", "100 mL"))
    code, said = lab.commit()
    assert code == 0, said
    lab.write("x.pump-kind.yaml", KIND.format("x", "0,1 L"))
    code, said = lab.commit()
    assert code == 1 and "error[decimal-comma]" in said, said


def a_file_named_like_an_option_is_a_file():
    for number, name in enumerate(
        [
            "--write-baseline=zz.tube.yaml",
            "--write-baseline=zz.survey.csv",
            "--baseline=zz.tube.yaml",
            "--catalog=zz.tube.yaml",
            "--as-of=zz.tube.yaml",
        ]
    ):
        lab = Lab(f"option-{number}", "stainbook-check")
        lab.write("x.pump-kind.yaml", KIND.format("x", "0,1 L"))
        lab.write(name, BASELINE)
        if name.startswith("--baseline"):
            lab.write("zz.tube.yaml", BASELINE)
        before = sorted(path.name for path in lab.folder.iterdir())
        code, said = lab.commit()
        assert code == 1 and "error[decimal-comma]" in said, f"{name}:\n{said}"
        # It was looked at itself as well: a baseline is no sheet.
        assert f"{name}:" in said, f"{name}:\n{said}"
        assert sorted(path.name for path in lab.folder.iterdir()) == before, name


def fix_mends_and_then_lets_in():
    lab = Lab("fix", "stainbook-fix")
    lab.write("x.pump-kind.yaml", KIND.format("x", "0,1 L"))
    lab.write("--dry-run.pump-kind.yaml", KIND.format("--dry-run", "0,1 L"))
    code, said = lab.commit()
    assert code == 1 and "files were modified by this hook" in said, said
    for name in ["x.pump-kind.yaml", "--dry-run.pump-kind.yaml"]:
        assert "stroke: 0.1 L\n" in lab.read(name), lab.read(name)
    (lab.folder / "--dry-run.pump-kind.yaml").unlink()
    code, said = lab.commit()
    assert code == 0, said


def tidy_writes_and_then_lets_in():
    lab = Lab("tidy", "stainbook-tidy")
    lab.write("x.pump-kind.yaml", "name: 'X'\n" + KIND.format("x", "0.1 L").replace("name: Quay piston pump\n", ""))
    code, said = lab.commit()
    assert code == 1 and "files were modified by this hook" in said, said
    assert lab.read("x.pump-kind.yaml").startswith("pump_kind: x\nname: X\n"), lab.read("x.pump-kind.yaml")
    code, said = lab.commit()
    assert code == 0, said


def arguments_of_ones_own_end_in_two_hyphens():
    lab = Lab("own", "stainbook-check", "    args: [--deny, warnings, --]\n")
    lab.write("x.pump-kind.yaml", KIND.format("x", "0,1 L"))
    lab.write("--write-baseline=zz.tube.yaml", BASELINE)
    code, said = lab.commit()
    assert code == 1 and "error[decimal-comma]" in said, said


def capital_letters_keep_no_file_from_being_seen():
    lab = Lab("capitals", "stainbook-check")
    lab.write("X.PUMP.YAML", "pump: x\nkind: no-such\n")
    code, said = lab.commit()
    assert code == 1 and "error[unknown-file-kind]" in said, said


for test in [
    check_lets_sound_files_in_and_no_others,
    a_file_named_like_an_option_is_a_file,
    fix_mends_and_then_lets_in,
    tidy_writes_and_then_lets_in,
    arguments_of_ones_own_end_in_two_hyphens,
    capital_letters_keep_no_file_from_being_seen,
]:
    test()
    print(f"holds: {test.__name__.replace('_', ' ')}")
