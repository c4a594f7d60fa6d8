//! Runs that are killed while they write: what stands under a name is whole, and the next run sweeps what was left.
//!
//! How far a killed run had come is not known, and nothing here depends on it: whatever it was, the same has to hold.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::runner::{Folder, repository};

/// So many runs of each of five commands are killed.
const KILLS: u32 = 12;

fn start(folder: &Folder, arguments: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_stainbook"))
        .args(arguments)
        .current_dir(folder.root())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Files that are being written, or were when a run was killed.
fn unfinished(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        if entry.file_type().unwrap().is_dir() {
            found.extend(unfinished(&entry.path()));
        } else if name.starts_with(".stainbook") {
            found.push(name);
        }
    }
    found
}

/// Starts a run and kills it: every other one some time after its start, the others some time after they have begun to write.
/// All of these times come from the number of the kill.
fn kill(folder: &Folder, arguments: &[&str], number: u32) {
    let before = fs::read_dir(folder.root()).unwrap().count();
    let mut child = start(folder, arguments);
    if number.is_multiple_of(2) {
        std::thread::sleep(Duration::from_micros(u64::from(number * 7_919 % 160_000)));
    } else {
        let begun = || {
            let now = fs::read_dir(folder.root()).unwrap().count();
            before < now || !unfinished(folder.root()).is_empty()
        };
        while !begun() && child.try_wait().unwrap().is_none() {}
        std::thread::sleep(Duration::from_micros(u64::from(number * 137 % 2_000)));
    }
    // One that has ended by itself cannot be killed any more.
    let _ = child.kill();
    child.wait().unwrap();
}

/// Kills runs, looks at what each left, and lets the next one end by itself now and then.
fn killed(
    folder: &Folder,
    arguments: &[&str],
    before_each: impl Fn(),
    look: impl Fn(&str),
    end: &[i32],
) {
    for number in 0..KILLS {
        before_each();
        kill(folder, arguments, number);
        look(&format!("after kill {number}"));
        if number % 4 == 3 {
            before_each();
            let said = folder.run(arguments);
            assert!(
                said.code.is_some_and(|code| end.contains(&code)),
                "{said:#?}"
            );
            look("after the next run");
            assert_eq!(unfinished(folder.root()), [""; 0], "after the next run");
        }
    }
}

const KIND: &str = "pump_kind: quay\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

#[test]
fn results_are_there_whole_or_not_at_all() {
    let survey = fs::read_to_string(repository(
        "catalog/demo/surveys/hatchery-2026-09-10.survey.csv",
    ))
    .unwrap();
    let (head, rows) = survey.split_once('\n').unwrap();
    let many: String = (0..30)
        .flat_map(|turn| rows.lines().map(move |row| format!("{turn}{row}\n")))
        .collect();
    let folder = Folder::new("killed-results").with("my.csv", format!("{head}\n{many}"));
    let output = |format, name| ["evaluate", "my.csv", "-q", "--format", format, "-o", name];
    folder.run(&output("json", "whole.json")).exits(0);
    folder.run(&output("csv", "whole.csv")).exits(0);
    let whole = [folder.bytes("whole.json"), folder.bytes("whole.csv")];
    let new = folder.path("new.json");
    killed(
        &folder,
        &output("json", "new.json"),
        || drop(fs::remove_file(&new)),
        |when| {
            if let Ok(content) = fs::read(&new) {
                let length = content.len();
                assert!(
                    content == whole[0],
                    "{when}: {length} of {} bytes",
                    whole[0].len()
                );
            }
        },
        &[0],
    );
    let old = folder.path("old.csv");
    killed(
        &folder,
        &output("csv", "old.csv"),
        || fs::write(&old, "old").unwrap(),
        |when| {
            let content = fs::read(&old).unwrap();
            let length = content.len();
            assert!(
                content == b"old" || content == whole[1],
                "{when}: {length} bytes"
            );
        },
        &[0],
    );
}

#[test]
fn mended_files_are_the_old_ones_or_the_new_ones() {
    let mut folder = Folder::new("killed-fix");
    let names: Vec<String> = (0..30)
        .map(|n| format!("pumps/p{n}.pump-kind.yaml"))
        .collect();
    for name in &names {
        folder = folder.with(name, "");
    }
    let kind = |name: &str, stroke: &str| {
        let id = name
            .trim_start_matches("pumps/")
            .trim_end_matches(".pump-kind.yaml");
        KIND.replace(": quay\n", &format!(": {id}\n"))
            .replace("100 mL", stroke)
    };
    killed(
        &folder,
        &["check", "pumps", "--fix"],
        || {
            for name in &names {
                fs::write(folder.path(name), kind(name, "0,1 L")).unwrap();
            }
        },
        |when| {
            for name in &names {
                let content = folder.read(name);
                let is_whole = ["0,1 L", "0.1 L"]
                    .iter()
                    .any(|stroke| content == kind(name, stroke));
                assert!(is_whole, "{when}: {name}: {content}");
            }
        },
        &[0],
    );
    assert_eq!(folder.read(&names[0]), kind(&names[0], "0.1 L"));
}

#[test]
fn a_new_file_is_there_whole_or_not_at_all() {
    let folder = Folder::new("killed-new");
    folder
        .run(&["new", "tube", "quay-co-r1", "--in", "whole"])
        .exits(0);
    let whole = folder.read("whole/quay-co-r1.tube.yaml");
    let new = folder.path("quay-co-r1.tube.yaml");
    killed(
        &folder,
        &["new", "tube", "quay-co-r1", "--in", "."],
        || drop(fs::remove_file(&new)),
        |when| {
            if let Ok(content) = fs::read_to_string(&new) {
                assert!(content == whole, "{when}: {} bytes", content.len());
            }
        },
        &[0],
    );
}

#[test]
fn a_baseline_is_the_old_one_or_the_new_one() {
    let mut folder = Folder::new("killed-baseline");
    for number in 0..30 {
        let lost = format!("pump: p{number}\nkind: no-such\n");
        folder = folder.with(&format!("pumps/p{number}.pump.yaml"), lost);
    }
    let write = |name| {
        [
            "check",
            "pumps",
            "--as-of",
            "2026-03-02",
            "--write-baseline",
            name,
        ]
    };
    folder.run(&write("whole.yaml")).exits(0);
    let whole = folder.read("whole.yaml");
    let old = "format: 1\nknown: []\n";
    let baseline = folder.path("baseline.yaml");
    killed(
        &folder,
        &write("baseline.yaml"),
        || fs::write(&baseline, old).unwrap(),
        |when| {
            let content = folder.read("baseline.yaml");
            assert!(content == old || content == whole, "{when}: {content}");
        },
        &[0],
    );
}

#[test]
fn what_was_left_is_swept_and_what_another_run_is_writing_is_not() {
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let folder = Folder::new("killed-swept").with(".stainbook-notes.tmp", "somebody's");
    let results = |name| ["evaluate", survey.as_str(), "-q", "-o", name];
    // Rows that do not end: what comes of them is being written until the run is killed.
    let begin = |name| {
        let before = unfinished(folder.root());
        let mut child = start(
            &folder,
            &["evaluate", "-", "-q", "--format", "csv", "-o", name],
        );
        let input = child.stdin.as_mut().unwrap();
        input.write_all(&fs::read(&survey).unwrap()).unwrap();
        input.flush().unwrap();
        let is_new = |name: &String| !before.contains(name);
        while !unfinished(folder.root()).iter().any(is_new) {
            assert!(child.try_wait().unwrap().is_none(), "it ended by itself");
            std::thread::yield_now();
        }
        child
    };
    let mut killed = begin("killed.csv");
    killed.kill().unwrap();
    killed.wait().unwrap();
    assert_eq!(
        unfinished(folder.root()).len(),
        2,
        "ours and somebody else's"
    );
    assert!(!Path::new(&folder.path("killed.csv")).exists());
    let living = begin("living.csv");
    folder.run(&results("next.csv")).exits(0);
    assert_eq!(
        unfinished(folder.root()).len(),
        2,
        "the living one's and somebody else's"
    );
    let end = living.wait_with_output().unwrap();
    assert!(end.status.success());
    assert_eq!(folder.read("living.csv"), folder.read("next.csv"));
    assert_eq!(unfinished(folder.root()), [".stainbook-notes.tmp"]);
    assert_eq!(folder.read(".stainbook-notes.tmp"), "somebody's");
}
