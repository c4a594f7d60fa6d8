//! What stands in a file steers no terminal: in every text of a catalog, in names of files, columns and arguments there are
//! escape sequences of both kinds, marks that turn the direction of writing, and ends of lines, and every command says them in
//! every format.

use std::fs;

use serde_yaml::Value;

use crate::check_formats::FORMATS;
use crate::runner::{CommandOutcome, Folder, repository};

/// A number with its unit in front, as lines keep those two together.
const STEERING: &str =
    " 2 x\u{1b}[2K\u{1b}[1A\u{9b}31m\u{202e}a\u{2066}b\u{200f}c\u{2028}d\u{7f}\u{7}\re";

/// The part of it that a reader of YAML takes without a word: the rest is an error, and the text is not used.
const TAKEN: &str = " 2 x\u{1b}[2K\u{1b}[1A\u{7}\re";

/// What a person wrote at will: names, titles, steps, remarks. Short names, quantities and days have to stay what they are.
const AT_WILL: [&str; 17] = [
    "name",
    "title",
    "about",
    "remark",
    "place",
    "by",
    "designation",
    "steps",
    "stroke_ends",
    "front",
    "reaction",
    "hazard",
    "where",
    "instead_of",
    "serial",
    "location",
    "note",
];

/// What of a catalog is made such, and with what.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Made {
    /// What was written at will, so that everything can still be used.
    AtWill,
    /// Every text, with what is taken.
    Everything,
    /// Every text, with what is not.
    Unreadable,
}

fn steered(value: &mut Value, at_will: bool, made: Made) {
    match value {
        Value::String(text) => match made {
            Made::AtWill if !at_will => {}
            Made::AtWill | Made::Everything => text.push_str(TAKEN),
            Made::Unreadable => text.push_str(STEERING),
        },
        Value::Sequence(rows) => rows.iter_mut().for_each(|row| steered(row, at_will, made)),
        Value::Mapping(fields) => {
            for (key, value) in fields.iter_mut() {
                let key = key.as_str().unwrap_or_default();
                // Scales are referred to by their names, which are of one word.
                let short = key == "name" && value.as_str().is_some_and(|text| !text.contains(' '));
                let at_will = AT_WILL.contains(&key) && !short;
                if !["catalog", "builds_on", "format"].contains(&key) {
                    steered(value, at_will, made);
                }
            }
        }
        _ => {}
    }
}

/// The demo in a folder, with its texts made such.
fn lab(name: &str, made: Made) -> Folder {
    let mut folder = Folder::new(name);
    for part in ["", "groups", "plans", "pumps", "stock", "surveys", "tubes"] {
        let mut files: Vec<_> = fs::read_dir(repository(&format!("catalog/demo/{part}")))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.is_file())
            .collect();
        files.sort();
        for path in files {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let text = fs::read_to_string(&path).unwrap();
            let text = if path.extension().is_some_and(|extension| extension == "csv") {
                // The last column is the remark.
                let end = STEERING.replace('\r', "") + "\n";
                let (head, rows) = text.split_once('\n').unwrap();
                format!("{head}\n{}", rows.replace('\n', &end))
            } else {
                let mut value: Value = serde_yaml::from_str(&text).unwrap();
                steered(&mut value, false, made);
                serde_json::to_string_pretty(&value).unwrap()
            };
            folder = folder.with(&format!("lab/{part}/{name}"), text);
        }
    }
    folder
}

#[track_caller]
fn assert_still(said: &CommandOutcome, of: &[&str]) {
    for (stream, text) in [("stdout", &said.stdout), ("stderr", &said.stderr)] {
        let steers = |c: char| c != '\n' && stainbook_present::lines::steers(c);
        if let Some(at) = text.find(steers) {
            let from = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
            let line = text[from..].lines().next().unwrap();
            panic!("{of:?}, {stream}: {line:?}");
        }
    }
}

#[test]
fn nothing_in_a_file_or_an_argument_steers_the_terminal() {
    for (name, made) in [
        ("terminal-at-will", Made::AtWill),
        ("terminal-everything", Made::Everything),
        ("terminal-unreadable", Made::Unreadable),
    ] {
        let folder = lab(name, made)
            .with(
                &format!("lab/pumps/x{STEERING}.pump.yaml"),
                "pump: x\nkind: no-such-kind\n",
            )
            .with(&format!("lab/pumps/y{STEERING}.yaml"), "pump: y\n")
            .with(
                "steers.plan.yaml",
                "plan: steers\ntitle: \u{202e}turned\nday: 2026-12-02\nplaces:\n  - {id: p1, place: x, substance: chlorine, level: 3 ppm}\n",
            )
            .with("not-utf-8.csv", b"id,tube\nr1,caf\xe9\n")
            .with(
                "odd-columns.csv",
                format!("id,tu{}be,strokes\nr1,x,1\n", STEERING.replace('\r', "")),
            )
            .with(
                "record.json",
                format!("{{\"status\": {:?}}}", "x".to_owned() + STEERING),
            );
        let survey = "lab/surveys/plant-round-2026-06-16.survey.yaml";
        let table = "lab/surveys/hatchery-2026-09-10.survey.csv";
        let sheet = "lab/tubes/brinewash-chlorine-a-r2.tube.yaml";
        let mut commands: Vec<Vec<&str>> = Vec::new();
        for format in FORMATS {
            commands.push(vec![
                "check",
                "lab",
                "--as-of",
                "2026-12-01",
                "--format",
                format,
            ]);
        }
        for format in ["text", "json", "jsonl", "csv", "html", "together-csv"] {
            commands.push(vec![
                "evaluate",
                survey,
                "--catalog",
                "lab",
                "--format",
                format,
            ]);
            commands.push(vec![
                "evaluate",
                table,
                "--catalog",
                "lab",
                "--despite-findings",
                "--format",
                format,
            ]);
        }
        for format in ["text", "json"] {
            commands.push(vec!["sheet", sheet, "--format", format]);
            commands.push(vec![
                "sheet",
                "brinewash-chlorine-a",
                "--catalog",
                "lab",
                "--format",
                format,
            ]);
            commands.push(vec![
                "compare",
                sheet,
                "lab/tubes/brinewash-chlorine-a-r1.tube.yaml",
                "--format",
                format,
            ]);
            commands.push(vec!["changes", "lab", "old", "--format", format]);
            commands.push(vec![
                "convert",
                STEERING,
                "ppm",
                "--substance",
                STEERING,
                "--to",
                STEERING,
                "--format",
                format,
            ]);
            commands.push(vec![
                "evaluate",
                "--verify",
                "record.json",
                "--format",
                format,
            ]);
            commands.push(vec![
                "evaluate",
                "odd-columns.csv",
                "--catalog",
                "lab",
                "--format",
                format,
            ]);
            commands.push(vec![
                "evaluate",
                "not-utf-8.csv",
                "--catalog",
                "lab",
                "--format",
                format,
            ]);
            commands.push(vec!["evaluate", STEERING, "--format", format]);
        }
        for format in ["text", "json", "csv"] {
            commands.push(vec![
                "find",
                "-s",
                "chlorine",
                "--limit",
                "NIOSH ceiling",
                "--temperature",
                "6C",
                "--humidity",
                "80%RH",
                "--pressure",
                "99.8kPa",
                "--catalog",
                "lab",
                "--format",
                format,
            ]);
            commands.push(vec![
                "find",
                "-s",
                STEERING,
                "--catalog",
                "lab",
                "--format",
                format,
            ]);
        }
        for format in ["text", "json", "csv", "ics"] {
            commands.push(vec![
                "due",
                "--as-of",
                "2026-12-01",
                "--catalog",
                "lab",
                "--format",
                format,
            ]);
        }
        let plan = "lab/plans/winter-round-2026-12-02.plan.yaml";
        commands.push(vec!["plan", "--from", plan]);
        commands.push(vec!["plan", "--from", "steers.plan.yaml"]);
        commands.push(vec!["plan", "--from", STEERING]);
        commands.push(vec!["check", "lab", "--fix", "--dry-run"]);
        commands.push(vec!["explain", STEERING]);
        commands.push(vec![STEERING]);
        commands.push(vec!["new", "tube", STEERING, "--in", "lab"]);
        commands.push(vec![
            "convert",
            "--csv",
            "odd-columns.csv",
            "--column",
            STEERING,
            "--to",
            "mg/m3",
            "-s",
            "CO",
        ]);
        // The same before, so that every text of the catalog has changed.
        let demo = repository("catalog/demo");
        let copied = std::process::Command::new("cp")
            .arg("-r")
            .arg(demo)
            .arg(folder.path("old"))
            .status();
        assert!(copied.unwrap().success());
        for arguments in commands {
            // Each says most in one of the three.
            let wanted = match arguments[0] {
                "check" => made != Made::AtWill,
                "changes" | "compare" => made == Made::Everything,
                _ => made == Made::AtWill,
            };
            if !wanted {
                continue;
            }
            let mut said = folder.run(&arguments);
            if arguments.last() == Some(&"ics") {
                // Lines of a calendar end so.
                said.stdout = said.stdout.replace("\r\n", "\n");
            }
            assert!(
                said.code.is_some_and(|code| code < 3),
                "{arguments:?}: {}",
                said.stderr
            );
            assert_still(&said, &arguments);
            // A text that is not shown at all steers nothing, and says nothing about how it is shown.
            let of_lab = arguments
                .get(1)
                .is_some_and(|first| first.starts_with("lab"));
            let shown = match (arguments[0], arguments.last().copied(), made) {
                _ if !of_lab => continue,
                ("sheet" | "evaluate", Some("text" | "csv" | "html"), Made::AtWill)
                | ("check" | "changes", Some("text"), Made::Everything) => "2 x\u{fffd}[2K",
                ("sheet" | "evaluate", Some("json" | "jsonl"), Made::AtWill)
                | ("check" | "changes", Some("json"), Made::Everything) => "2 x\\u001b[2K",
                _ => continue,
            };
            assert!(said.stdout.contains(shown), "{arguments:?}: {said:#?}");
        }
    }
}
