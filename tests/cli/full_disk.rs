//! Disks that are full, and disks and folders that can only be read: the command says so and ends with 2, what was there is as
//! it was, and nothing is left that looks like a result.

#![cfg(unix)]

use std::fs;
use std::io::{ErrorKind, Write as _};
use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::runner::{CommandOutcome, Folder, repository};

const KIND: &str = "pump_kind: quay\nname: Quay piston pump\nstroke: 0,1 L\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

/// What each command is run with, and the file that it writes.
fn commands(survey: &str) -> Vec<(Vec<&str>, &'static str)> {
    let mut all = Vec::new();
    for format in ["json", "jsonl", "csv", "xlsx", "html"] {
        for name in ["new", "old"] {
            let arguments = vec!["evaluate", survey, "-q", "--format", format, "-o", name];
            all.push((arguments, name));
        }
    }
    let as_of = ["--as-of", "2026-03-02"];
    let check = |more: [&'static str; 2]| [&["check", "lost"], &as_of[..], &more].concat();
    all.push((check(["--write-baseline", "new"]), "new"));
    all.push((
        check(["--write-baseline", "baseline.yaml"]),
        "baseline.yaml",
    ));
    all.push((
        vec!["check", "quay.pump-kind.yaml", "--fix"],
        "quay.pump-kind.yaml",
    ));
    all.push((vec!["new", "tube", "quay-co-r1"], "quay-co-r1.tube.yaml"));
    all.push((vec!["schema", "--all", "."], "catalog.schema.json"));
    all
}

/// Files of all commands; what is written of each is more than a few hundred bytes.
fn folder(name: &str) -> Folder {
    let remark = "# a remark of some length that is not to be lost\n".repeat(100);
    let mut folder = Folder::new(name)
        .with("old", "old")
        .with("baseline.yaml", "format: 1\nknown: []\n")
        .with("quay.pump-kind.yaml", format!("{KIND}{remark}"));
    for number in 0..40 {
        let pump = format!("pump: p{number}\nkind: no-such-kind\n");
        folder = folder.with(&format!("lost/p{number}.pump.yaml"), pump);
    }
    folder
}

/// The name and content of everything in a folder, hidden files included.
fn all(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let entries = fs::read_dir(folder).unwrap();
    let mut all: Vec<_> = entries
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.file_type().unwrap().is_file())
        .map(|entry| {
            let name = entry.file_name().into_string().unwrap();
            (name, fs::read(entry.path()).unwrap())
        })
        .collect();
    all.sort();
    all
}

/// Says what this machine does not let a test see, past the harness, which keeps what a passing test prints.
fn not_seen(what: &str) {
    writeln!(std::io::stderr(), "note: {what}").unwrap();
}

/// Runs a script of the shell, with the command as `$0` and its arguments as `$@`.
fn by_shell(script: &str, folder: &Path, arguments: &[&str]) -> CommandOutcome {
    let output = Command::new("sh")
        .args(["-c", script, env!("CARGO_BIN_EXE_stainbook")])
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    CommandOutcome {
        code: output.status.code(),
        stdout: String::from_utf8(output.stdout).unwrap(),
        stderr: String::from_utf8(output.stderr).unwrap(),
    }
}

#[test]
fn a_file_that_may_not_grow_is_not_there_by_halves() {
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let folder = folder("full-limit");
    let before = all(folder.root());
    for (arguments, _) in commands(&survey) {
        // Whoever would be killed by the limit is told of it instead, as by a full disk.
        let limited = "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\"";
        let said = by_shell(limited, folder.root(), &arguments);
        assert_eq!(said.code, Some(2), "{arguments:?}: {said:#?}");
        assert!(
            said.stderr
                .contains("it would be larger than is allowed here"),
            "{arguments:?}: {said:#?}"
        );
        assert!(all(folder.root()) == before, "{arguments:?}");
    }
    // The same commands write where there is room.
    for (arguments, written) in commands(&survey) {
        let content = fs::read(folder.path(written)).ok();
        folder.run(&arguments).exits(0);
        assert!(
            fs::read(folder.path(written)).ok() != content,
            "{arguments:?}"
        );
        if written == "new" {
            fs::remove_file(folder.path("new")).unwrap();
        }
    }
}

/// A small disk of memory at `disk`, which only the script and what it starts see; none where that is not allowed.
fn disk_of_our_own(folder: &Folder) -> bool {
    let mut unshare = Command::new("unshare");
    let mount = [
        "--map-root-user",
        "--mount",
        "mount",
        "-t",
        "tmpfs",
        "none",
        "disk",
    ];
    let unshare = unshare.args(mount).current_dir(folder.root());
    let may = unshare.output().is_ok_and(|output| output.status.success());
    if !may {
        not_seen(
            "no disk can be mounted here: what is said of a full one is seen by a limit and by /dev/full only",
        );
    }
    may
}

/// Makes the disk, with everything on it, and runs the command there once `{}` is done to it. Says the end and what is there.
const ON_DISK: &str = r#"exec unshare --map-root-user --mount sh -c '
    set -e
    mount -t tmpfs -o size=2m none disk
    cp -R old baseline.yaml quay.pump-kind.yaml lost disk
    cd disk
    DO
    code=0
    "$0" "$@" || code=$?
    for file in $(ls -A); do [ -d "$file" ] || cmp -s "$file" "../$file" || echo "other: $file"; done
    exit $code' "$0" "$@""#;

#[test]
fn a_full_disk_leaves_what_was_there() {
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let folder = folder("full-disk");
    fs::create_dir(folder.path("disk")).unwrap();
    if !disk_of_our_own(&folder) {
        return;
    }
    let full = ON_DISK.replace("DO", "cat /dev/zero > fill 2> /dev/null || true");
    let read_only = ON_DISK.replace("DO", "mount -o remount,ro none . && : ");
    for (arguments, _) in commands(&survey) {
        for (script, words, more) in [
            (&full, "the disk is full", &["other: fill"][..]),
            (&read_only, "the disk can only be read", &[]),
        ] {
            let said = by_shell(script, folder.root(), &arguments);
            assert_eq!(said.code, Some(2), "{arguments:?}: {said:#?}");
            assert!(said.stderr.contains(words), "{arguments:?}: {said:#?}");
            let lines = said.stdout.lines();
            let left: Vec<&str> = lines.filter(|line| line.starts_with("other: ")).collect();
            assert_eq!(left, more, "{arguments:?}");
        }
    }
}

#[test]
fn a_folder_that_is_not_to_be_written_is_as_it_was() {
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let folder = folder("full-read-only");
    let closed = fs::Permissions::from_mode(0o555);
    fs::set_permissions(folder.root(), closed).unwrap();
    let probe = fs::write(folder.path("probe"), "");
    if let Err(refused) = probe {
        assert_eq!(refused.kind(), ErrorKind::PermissionDenied);
        let before = all(folder.root());
        for (arguments, _) in commands(&survey) {
            let said = folder.run(&arguments).exits(2);
            said.says("permission is denied");
            assert!(all(folder.root()) == before, "{arguments:?}");
        }
    } else {
        not_seen(
            "this user may write everywhere: what is said of a closed folder is not seen here",
        );
        fs::remove_file(folder.path("probe")).unwrap();
    }
    fs::set_permissions(folder.root(), fs::Permissions::from_mode(0o755)).unwrap();
    // A file that is marked so is closed to everybody.
    for name in ["old", "baseline.yaml", "quay.pump-kind.yaml"] {
        fs::set_permissions(folder.path(name), fs::Permissions::from_mode(0o444)).unwrap();
    }
    let before = all(folder.root());
    for (arguments, written) in commands(&survey) {
        if before.iter().any(|(name, _)| name == written) {
            folder.run(&arguments).exits(2).says("permission is denied");
            assert!(all(folder.root()) == before, "{arguments:?}");
        }
    }
}

/// Standard output that takes nothing.
#[test]
fn what_standard_output_does_not_take_is_said() {
    if fs::metadata("/dev/full").is_err() {
        not_seen("there is no /dev/full here: standard output that takes nothing is not seen");
        return;
    }
    let folder = Folder::new("full-output");
    for arguments in [
        &["--help"][..],
        &["--version"],
        &["check", "--help"],
        &["check", "-h"],
        &["evaluate", "--help"],
        &["schema", "tube"],
        &["explain"],
        &["completions", "bash"],
        &["convert", "25", "ppm", "--to", "ppb"],
        &["convert", "25", "apples", "--to", "ppb", "--format", "json"],
        &["demo"],
        &["sheet", "brinewash-chlorine-a"],
        &["new", "catalog", "quay"],
    ] {
        let said = by_shell("exec \"$0\" \"$@\" > /dev/full", folder.root(), arguments);
        assert_eq!(said.code, Some(2), "{arguments:?}: {said:#?}");
        let line = said
            .stderr
            .matches("cannot write to standard output")
            .count();
        assert_eq!(line, 1, "{arguments:?}: {said:#?}");
        // Whoever has had enough is no failure.
        let said = by_shell("\"$0\" \"$@\" | true", folder.root(), arguments);
        assert!(!said.stderr.contains("to standard output"), "{said:#?}");
    }
}
