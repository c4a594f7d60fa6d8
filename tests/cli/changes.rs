//! `changes`.

use std::path::Path;
use std::process::Command;

use crate::runner::{Folder, keys, repository};

fn demo(name: &str) -> String {
    std::fs::read_to_string(repository(&format!("catalog/demo/{name}"))).unwrap()
}

const SHEET: &str = "tubes/brinewash-chlorine-a-r2.tube.yaml";

/// A catalog with one sheet, a survey and what they refer to.
fn lab(folder: Folder, root: &str, sheet: &str) -> Folder {
    let file = |name: &str| format!("{root}/{name}");
    folder
        .with(&file("catalog.yaml"), demo("catalog.yaml"))
        .with(&file("pumps/harbour-piston.pump-kind.yaml"), demo("pumps/harbour-piston.pump-kind.yaml"))
        .with(&file("quay.survey.yaml"), "\
survey: quay
title: Quay
by: KL
conditions: {air_temperature: 0 °C, humidity: 50 %RH, pressure: 101.3 kPa}
readings:
  - {id: r01, at: \"2026-03-02T07:40+00:00\", tube: brinewash-chlorine-a-r2, strokes: 3, reading: {at: 5 ppm}}
")
        .with(&file(SHEET), sheet)
}

#[test]
fn by_meaning_and_by_effect() {
    let new = demo(SHEET)
        .replace("[0,  1.25]", "[0,  1.36]")
        .replace("multiply_by: 0.35", "multiply_by: 0.31");
    let folder = lab(Folder::new("changes-two"), "old", &demo(SHEET));
    let folder = lab(folder, "new", &new);
    let said = folder.run(&["changes", "old", "new"]).exits(1).stdout;
    for sentence in [
        "draw, ranges, strokes 8, multiply_by: 0.35 → 0.31",
        "- 8 strokes: results fall by 11 %",
        "- at 0 °C: results rise by 8.8 %",
        "quay, r01: 6.2 ppm → 6.8 ppm (+8.8 %)",
    ] {
        assert!(said.contains(sentence), "{sentence}\n{said}");
    }
    assert!(said.lines().all(|line| line.chars().count() <= 100));
    let json = folder
        .run(&["changes", "old", "new", "--format", "json"])
        .exits(1)
        .json();
    assert_eq!(
        keys(&json),
        ["added", "changed", "removed", "schema_version", "surveys"]
    );
    let sheet = &json["changed"][0]["sheet"];
    assert!(0 < sheet["moved"].as_u64().unwrap());
    folder.run(&["changes", "old", "old"]).exits(0);
}

#[test]
fn layout_is_no_change() {
    let new = demo(SHEET)
        .replace("100 mL", "100 ml")
        .replace("entered:", "# typed twice\nentered:");
    let folder = lab(Folder::new("changes-layout"), "old", &demo(SHEET));
    let folder = lab(folder, "new", &new);
    let said = folder.run(&["changes", "old", "new"]).exits(0);
    assert_eq!(said.stdout, "nothing changed in meaning\n");
}

#[test]
fn added_removed_and_renamed() {
    let folder = lab(
        Folder::new("changes-names"),
        "old",
        &demo("tubes/brinewash-chlorine-a-r1.tube.yaml"),
    )
    .with(
        "old/pumps/quay.pump-kind.yaml",
        "pump_kind: quay\nname: Quay\nstroke: 100 mL\n",
    );
    let folder = lab(folder, "new", &demo(SHEET)).with(
        "new/pumps/pier.pump-kind.yaml",
        "pump_kind: pier\nname: Quay\nstroke: 100 mL\n",
    );
    let said = folder.run(&["changes", "old", "new"]).exits(1).stdout;
    for sentence in [
        "changed  pump-kind quay → pier",
        "added  tube brinewash-chlorine-a-r2",
        "it takes the place of brinewash-chlorine-a-r1; against that:",
        "- 6 strokes: now refused",
        "- as bromine: now given, was refused",
        "removed  tube brinewash-chlorine-a-r1",
    ] {
        assert!(said.contains(sentence), "{sentence}\n{said}");
    }
}

/// Runs git in a folder.
fn git(folder: &Path, arguments: &[&str]) {
    let who = [
        "-c",
        "user.name=KL",
        "-c",
        "user.email=kl@example.org",
        "-c",
        "commit.gpgsign=false",
    ];
    let done = Command::new("git")
        .args(who)
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    assert!(done.status.success(), "{done:?}");
}

#[test]
fn two_revisions_of_a_repository() {
    let folder = lab(Folder::new("changes-git"), "lab", &demo(SHEET));
    let git = |arguments: &[&str]| git(folder.root(), arguments);
    git(&["init", "--quiet"]);
    git(&["add", "."]);
    git(&["commit", "--quiet", "-m", "typed in"]);
    std::fs::write(
        folder.root().join("lab").join(SHEET),
        demo(SHEET).replace("[0,  1.25]", "[0,  1.36]"),
    )
    .unwrap();
    git(&["commit", "--quiet", "-a", "-m", "mended"]);
    let said = folder
        .run(&["changes", "--git", "HEAD~1", "HEAD"])
        .exits(1)
        .stdout;
    assert!(said.contains("- at 0 °C: results rise by 8.8 %"), "{said}");
    folder.run(&["changes", "--git", "HEAD", "HEAD"]).exits(0);
    // Nothing there changed, and the results of the catalog's surveys did.
    let pumps = folder
        .run(&["changes", "--git", "HEAD~1", "HEAD", "--", "lab/pumps"])
        .exits(1);
    assert!(
        !pumps.stdout.contains("brinewash")
            && pumps
                .stdout
                .contains("nothing changed in meaning, and yet results"),
        "{pumps:#?}"
    );
    folder
        .run(&["changes", "--git", "no-such", "HEAD"])
        .exits(2)
        .says("git knows no revision `no-such`");
    folder
        .run(&["changes", "--git", "HEAD~1", "HEAD", "--", "attic"])
        .exits(2)
        .says("no entry at `HEAD~1`");
    folder
        .run(&["changes", "--git", "--git-dir=x", "HEAD"])
        .exits(2);
}

const QUAY: &str = "\
survey: quay
title: Quay
by: KL
conditions: {air_temperature: 0 °C, humidity: 50 %RH, pressure: 101.3 kPa}
readings:
  - {id: r01, at: \"2026-03-02T07:40+00:00\", tube: brinewash-chlorine-a-r2, strokes: 3, reading: {at: 5 ppm}}
";

fn builds_on(folder: &str) -> String {
    format!("catalog: quay\nname: Quay\nformat: 1\nbuilds_on: [{folder}]\n")
}

#[test]
fn a_catalog_that_is_built_on_is_read_at_the_same_revision() {
    let folder = lab(
        Folder::new("changes-base"),
        "repository/common",
        &demo(SHEET),
    )
    .with("repository/lab/catalog.yaml", builds_on("../common"))
    .with("repository/lab/quay.survey.yaml", QUAY);
    std::fs::remove_file(folder.root().join("repository/common/quay.survey.yaml")).unwrap();
    let repository = folder.root().join("repository");
    git(&repository, &["init", "--quiet"]);
    git(&repository, &["add", "."]);
    git(&repository, &["commit", "--quiet", "-m", "typed in"]);
    std::fs::write(
        repository.join("common").join(SHEET),
        demo(SHEET).replace("[0,  1.25]", "[0,  1.36]"),
    )
    .unwrap();
    git(&repository, &["commit", "--quiet", "-a", "-m", "mended"]);
    let said = folder.run_in(
        "repository",
        &["changes", "--git", "HEAD~1", "HEAD", "--", "lab"],
    );
    let said = said.exits(1);
    assert!(
        said.stdout
            .contains("quay, r01: 6.2 ppm → 6.8 ppm (+8.8 %)"),
        "{said:#?}"
    );
    assert_eq!(said.stderr, "");
    // Asked for with what it builds on, the sheet is told as well.
    let said = folder
        .run_in("repository", &["changes", "--git", "HEAD~1", "HEAD"])
        .exits(1);
    assert!(
        said.stdout.contains("- at 0 °C: results rise by 8.8 %"),
        "{said:#?}"
    );
}

#[test]
fn a_catalog_outside_the_repository_is_read_as_it_is_now_and_that_is_said() {
    let folder = lab(Folder::new("changes-outside"), "common", &demo(SHEET))
        .with("repository/lab/catalog.yaml", builds_on("../../common"))
        .with("repository/lab/quay.survey.yaml", QUAY);
    let repository = folder.root().join("repository");
    git(&repository, &["init", "--quiet"]);
    git(&repository, &["add", "."]);
    git(&repository, &["commit", "--quiet", "-m", "typed in"]);
    std::fs::write(
        repository.join("lab/quay.survey.yaml"),
        QUAY.replace("at: 5 ppm", "at: 7 ppm"),
    )
    .unwrap();
    git(&repository, &["commit", "--quiet", "-a", "-m", "mended"]);
    let compare = ["changes", "--git", "HEAD~1", "HEAD"];
    let said = folder.run_in("repository", &compare).exits(1);
    assert!(
        said.stdout
            .contains("readings, r01, reading, at: 5 ppm → 7 ppm"),
        "{said:#?}"
    );
    let said = said.says("the catalog at `HEAD` builds on");
    said.says("which lies outside the repository: that is read as it is now");
    std::fs::remove_dir_all(folder.root().join("common")).unwrap();
    folder
        .run_in("repository", &compare)
        .exits(2)
        .says("there is no `catalog.yaml` in it");
}

/// A survey that is kept as a table is compared as well; only `check` asks what marks its decimals.
#[test]
fn tables_are_compared() {
    let table = "id,at,tube,lot,strokes,reading [ppm]\nr1,2026-06-16T07:15+01:00,brinewash-chlorine-a,24-117,3,1.5\n";
    let folder = Folder::new("changes-tables")
        .with("old.survey.csv", table)
        .with("new.survey.csv", table.replace("1.5", "2.5"));
    let said = folder.run(&["changes", "old.survey.csv", "new.survey.csv"]);
    assert!(
        said.stdout.contains("r1, reading, at: 1.5 → 2.5"),
        "{said:#?}"
    );
}

/// A program that a repository names for fetching what it lacks; it leaves a file behind.
#[cfg(unix)]
#[test]
fn a_repository_from_elsewhere_has_no_program_run() {
    let folder = lab(Folder::new("changes-hostile"), "lab", &demo(SHEET));
    let git = |arguments: &[&str]| git(folder.root(), arguments);
    git(&["init", "--quiet"]);
    git(&["add", "."]);
    git(&["commit", "--quiet", "-m", "typed in"]);
    let ran = folder.path("ran");
    for (key, value) in [
        ("core.repositoryformatversion", "1"),
        ("extensions.partialClone", "origin"),
        ("remote.origin.url", "/x"),
        ("remote.origin.promisor", "true"),
        ("protocol.file.allow", "always"),
        ("remote.origin.uploadpack", &format!("touch '{ran}'; false")),
    ] {
        git(&["config", key, value]);
    }
    let object = Command::new("git")
        .args(["rev-parse", &format!("HEAD:lab/{SHEET}")])
        .current_dir(folder.root())
        .output()
        .unwrap();
    let object = String::from_utf8(object.stdout).unwrap();
    let (head, rest) = object.trim().split_at(2);
    std::fs::remove_file(folder.path(&format!(".git/objects/{head}/{rest}"))).unwrap();
    let said = folder
        .run(&["changes", "--git", "HEAD", "HEAD", "--", "lab"])
        .exits(2);
    assert!(
        said.stderr
            .contains("as it was at `HEAD`, and nothing is fetched"),
        "{}",
        said.stderr
    );
    assert!(!Path::new(&ran).exists());
}

#[cfg(unix)]
#[test]
fn a_link_in_a_revision_is_followed_as_on_the_disk_or_named() {
    use std::os::unix::fs::symlink;
    let pump = "pump: pump-01\nkind: harbour-piston\n";
    let folder = lab(Folder::new("changes-links"), "lab", &demo(SHEET))
        .with("lab/pumps/pump-01.pump.yaml", pump)
        .with(
            "common/pump-09.pump.yaml",
            "pump: pump-09\nkind: harbour-piston\n",
        );
    let git = |arguments: &[&str]| git(folder.root(), arguments);
    let link = |to: &str, name: &str| symlink(to, folder.path(name)).unwrap();
    link("../common", "lab/shared");
    link("/etc/hostname", "lab/pumps/pump-02.pump.yaml");
    link("nowhere", "lab/pumps/pump-03.pump.yaml");
    git(&["init", "--quiet"]);
    git(&["add", "."]);
    git(&["commit", "--quiet", "-m", "typed in"]);
    std::fs::rename(
        folder.path("lab/pumps/pump-01.pump.yaml"),
        folder.path("pump.txt"),
    )
    .unwrap();
    link("../../pump.txt", "lab/pumps/pump-01.pump.yaml");
    git(&["add", "."]);
    git(&["commit", "--quiet", "-m", "linked"]);
    let said = folder
        .run(&["changes", "--git", "HEAD~1", "HEAD", "--", "lab"])
        .exits(0);
    assert_eq!(said.stdout, "nothing changed in meaning\n");
    for (link, instead) in [
        ("shared", "a folder"),
        (
            "pumps/pump-02.pump.yaml",
            "something outside the repository",
        ),
        ("pumps/pump-03.pump.yaml", "nothing"),
    ] {
        let note = format!("note: `HEAD:lab/{link}` is a link to {instead}, and is left out");
        assert!(said.stderr.contains(&note), "{note}\n{}", said.stderr);
    }
}
