//! `evaluate`: the same bad readings in a survey file, a table and both kinds of spreadsheet. Each is refused with the place
//! of the field and with what to do, and the good ones beside them are evaluated.

use std::fmt::Write as _;

use serde_json::Value;

use crate::runner::{Folder, repository};
use crate::spreadsheets::{open_document, workbook};

/// The columns, with the field of a survey file that each stands for.
const COLUMNS: [(&str, &str); 9] = [
    ("id", "id"),
    ("at", "at"),
    ("tube", "tube"),
    ("strokes", "strokes"),
    ("reading [ppm]", "reading"),
    ("air_temperature [°C]", "air_temperature"),
    ("humidity [%RH]", "humidity"),
    ("pressure [hPa]", "pressure"),
    ("altitude [m]", "altitude"),
];

/// Bad cells: a column with the text typed there; the refusal's code, and the column at fault.
const BAD: [(&str, &str, &str, &str); 12] = [
    // Conditions missing.
    ("pressure", "", "pressure-missing", "pressure"),
    (
        "air_temperature",
        "",
        "temperature-missing",
        "air_temperature",
    ),
    // Contradictory.
    (
        "altitude",
        "1600",
        "pressure-contradicts-altitude",
        "pressure",
    ),
    // Unphysical, or outside the sheet.
    ("air_temperature", "-300", "unreadable", "air_temperature"),
    (
        "air_temperature",
        "80",
        "outside-temperature-table",
        "air_temperature",
    ),
    ("humidity", "170", "unreadable", "humidity"),
    ("pressure", "3", "pressure-impossible", "pressure"),
    // Unknown, or not on the sheet.
    ("tube", "no-such-tube", "tube-unknown", "tube"),
    ("strokes", "7", "strokes-not-on-sheet", "strokes"),
    ("reading", "500", "reading-off-scale", "reading"),
    // Not understood.
    ("strokes", "two", "unreadable", "strokes"),
    ("at", "yesterday", "unreadable", "at"),
];

/// One good reading, the bad ones, and a good one.
fn rows() -> Vec<[String; 9]> {
    let good = |id: String| {
        [
            id,
            "2026-06-16T06:10+01:00".to_owned(),
            "plantroom-ammonia-c".to_owned(),
            "1".to_owned(),
            "22".to_owned(),
            "20".to_owned(),
            "50".to_owned(),
            "1013".to_owned(),
            String::new(),
        ]
    };
    let mut rows = vec![good("first".to_owned())];
    for (number, (column, typed, ..)) in BAD.iter().enumerate() {
        let mut row = good(format!("r{number}"));
        let at = COLUMNS.iter().position(|(_, name)| name == column).unwrap();
        (*typed).clone_into(&mut row[at]);
        rows.push(row);
    }
    rows.push(good("last".to_owned()));
    rows
}

fn heads() -> Vec<&'static str> {
    COLUMNS.iter().map(|(head, _)| *head).collect()
}

/// The rows as a survey file, one field a line.
fn survey() -> String {
    let mut text = "survey: quay\ntitle: Quay\nby: KL\nreadings:\n".to_owned();
    for row in rows() {
        writeln!(text, "  - id: {}", row[0]).unwrap();
        writeln!(text, "    at: \"{}\"", row[1]).unwrap();
        writeln!(text, "    tube: {}", row[2]).unwrap();
        writeln!(text, "    strokes: {}", row[3]).unwrap();
        writeln!(text, "    reading: {{at: {} ppm}}", row[4]).unwrap();
        writeln!(text, "    conditions:").unwrap();
        for ((_, name), (value, unit)) in COLUMNS[5..]
            .iter()
            .zip(row[5..].iter().zip(["°C", "%RH", "hPa", "m"]))
        {
            if !value.is_empty() {
                writeln!(text, "      {name}: {value} {unit}").unwrap();
            }
        }
    }
    text
}

/// Compares the results with what is expected; `at` says where the cell of a row and a column is.
fn compare(name: &str, answer: &Value, at: impl Fn(usize, &str) -> String) {
    let results = answer["results"].as_array().unwrap();
    assert_eq!(results.len(), BAD.len() + 2, "{name}");
    for good in [&results[0], &results[BAD.len() + 1]] {
        assert_eq!(good["status"], "measured", "{name}: {good}");
    }
    for (index, (_, typed, code, column)) in BAD.iter().enumerate() {
        let result = &results[index + 1];
        assert_eq!(result["status"], "refused", "{name} {typed}");
        let refusal = &result["refusal"];
        let found = refusal["code"].as_str().unwrap();
        assert!(
            found == *code || found.ends_with(&format!("-{code}")),
            "{name} {typed}: {refusal}"
        );
        let text = refusal["text"].as_str().unwrap();
        let place = at(index + 1, column);
        assert!(
            text.starts_with(&place),
            "{name} {typed}: {text}, not {place}"
        );
        assert!(
            refusal["instead"].as_str().is_some_and(|s| !s.is_empty()),
            "{name} {typed}: {refusal}"
        );
    }
}

fn evaluated(folder: &Folder, file: &str) -> Value {
    let demo = repository("catalog/demo");
    let mut arguments = vec!["evaluate", file, "--catalog", &demo, "--format", "json"];
    let refused = folder.run(&arguments).exits(1).json();
    // What could not be read is not made up for by wanting a result.
    arguments.push("--despite-findings");
    let despite = folder.run(&arguments).exits(1).json();
    assert_eq!(refused["results"], despite["results"], "{file}");
    refused
}

#[test]
fn in_a_survey_file() {
    let text = survey();
    let folder = Folder::new("bad-input-yaml").with("quay.survey.yaml", &text);
    let lines: Vec<&str> = text.lines().collect();
    compare(
        "YAML",
        &evaluated(&folder, "quay.survey.yaml"),
        |row, column| {
            let starts: Vec<usize> = (0..lines.len())
                .filter(|line| lines[*line].starts_with("  - id:"))
                .collect();
            let end = starts.get(row + 1).copied().unwrap_or(lines.len());
            let within = starts[row]..end;
            let named = |name: &str| {
                within
                    .clone()
                    .find(|line| lines[*line].trim_start().starts_with(&format!("{name}:")))
            };
            // A condition that was left out is missed where the conditions stand.
            let line = named(column).or_else(|| named("conditions")).unwrap();
            format!("quay.survey.yaml:{}:", line + 1)
        },
    );
}

#[test]
fn in_a_table() {
    let mut text = heads().join(",");
    for row in rows() {
        text.push('\n');
        text.push_str(&row.join(","));
    }
    let folder = Folder::new("bad-input-csv").with("quay.csv", text);
    compare("CSV", &evaluated(&folder, "quay.csv"), |row, column| {
        let number = COLUMNS
            .iter()
            .position(|(_, name)| *name == column)
            .unwrap();
        format!("line {}, column {} (`{column}`): ", row + 2, number + 1)
    });
}

#[test]
fn in_spreadsheets() {
    let folder = Folder::new("bad-input-spreadsheets")
        .with("quay.xlsx", workbook(&heads(), &rows()))
        .with("quay.ods", open_document(&heads(), &rows()));
    for file in ["quay.xlsx", "quay.ods"] {
        compare(file, &evaluated(&folder, file), |row, column| {
            let number = COLUMNS
                .iter()
                .position(|(_, name)| *name == column)
                .unwrap();
            let letter = char::from(b'A' + u8::try_from(number).unwrap());
            format!("worksheet `Round`, cell {letter}{} (`{column}`): ", row + 2)
        });
    }
}

/// A text that breaks off hides what would have followed: nothing is evaluated, whatever is asked for.
#[test]
fn a_survey_that_breaks_off() {
    let text = survey().replace("reading: {at: 500 ppm}", "reading: {at: 500 ppm");
    let folder = Folder::new("bad-input-broken").with("quay.survey.yaml", text);
    for despite in [&[][..], &["--despite-findings"]] {
        let arguments = [&["evaluate", "quay.survey.yaml"][..], despite].concat();
        folder
            .run(&arguments)
            .exits(1)
            .says("yaml-syntax")
            .says("correct them first");
    }
}

/// A sheet in which the check finds an error: refused at the tube's name, or used and flagged if that was asked for.
#[test]
fn a_faulty_sheet_in_every_kind_of_survey() {
    let read = |path: &str| std::fs::read_to_string(repository(path)).unwrap();
    let sheet = read("catalog/demo/tubes/plantroom-ammonia-c-r1.tube.yaml");
    // The count of readings is a slip that leaves the sheet able to be computed with.
    let at = sheet.find("rsd: ").unwrap();
    let end = at + sheet[at..].find('}').unwrap();
    let faulty = format!("{}, from_readings: 1{}", &sheet[..end], &sheet[end..]);
    let good = &rows()[..1];
    let table = format!("{}\n{}\n", heads().join(","), good[0].join(","));
    let text = survey();
    let second = text.match_indices("  - id:").nth(1).unwrap().0;
    let folder = Folder::new("bad-input-sheet")
        .with("catalog.yaml", "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n")
        .with("plantroom-ammonia-c-r1.tube.yaml", faulty)
        .with("harbour-piston.pump-kind.yaml", read("catalog/demo/pumps/harbour-piston.pump-kind.yaml"))
        .with("quay.survey.yaml", &text[..second])
        .with("quay.csv", table)
        .with("quay.xlsx", workbook(&heads(), good))
        .with("quay.ods", open_document(&heads(), good));
    for (file, place) in [
        ("quay.survey.yaml", "quay.survey.yaml:7:11: "),
        ("quay.csv", "line 2, column 3 (`tube`): "),
        ("quay.xlsx", "worksheet `Round`, cell C2 (`tube`): "),
        ("quay.ods", "worksheet `Round`, cell C2 (`tube`): "),
    ] {
        let mut arguments = vec!["evaluate", file, "--format", "json"];
        let refused = folder.run(&arguments).exits(1).json();
        let refusal = &refused["results"][0]["refusal"];
        assert_eq!(refusal["code"], "sheet-has-errors", "{file}");
        let text = refusal["text"].as_str().unwrap();
        assert!(text.contains(place), "{text}, not {place}");
        arguments.push("--despite-findings");
        let given = folder.run(&arguments).exits(0).json();
        assert_eq!(given["results"][0]["status"], "measured", "{file}");
        let flags = given["results"][0]["flags"].as_array().unwrap();
        assert!(
            flags.iter().any(|flag| flag["code"] == "sheet-has-errors"),
            "{file}: {flags:?}"
        );
    }
}

/// Conditions that contradict each other and stand once for all: refused is what rests on them, and nothing else.
#[test]
fn conditions_of_the_whole_survey() {
    let reading = "tube: plantroom-ammonia-c, strokes: 1, reading: {at: 22 ppm}";
    let text = format!(
        "survey: quay\ntitle: Quay\nby: KL\nconditions:\n  air_temperature: 20 °C\n  humidity: 50 %RH\n  altitude: 1600 m\n  pressure: 1013 hPa\nreadings:\n  - {{id: a, at: \"2026-06-16T06:10+01:00\", {reading}}}\n  - {{id: b, at: \"2026-06-16T06:10+01:00\", {reading}, conditions: {{altitude: 5 m, pressure: 1012 hPa}}}}\n"
    );
    let folder = Folder::new("bad-input-shared").with("quay.survey.yaml", text);
    let demo = repository("catalog/demo");
    let said = folder
        .run(&[
            "evaluate",
            "quay.survey.yaml",
            "--catalog",
            &demo,
            "--format",
            "json",
        ])
        .exits(1)
        .says("pressure-against-altitude")
        .json();
    let refusal = &said["results"][0]["refusal"];
    assert_eq!(refusal["code"], "pressure-contradicts-altitude");
    let text = refusal["text"].as_str().unwrap();
    assert!(text.starts_with("quay.survey.yaml:8:13: "), "{text}");
    assert_eq!(said["results"][1]["status"], "measured");
}

/// A table's decimal commas are read where it is said that it has them, and nowhere else; checking and evaluating agree.
#[test]
fn a_decimal_comma_is_never_guessed() {
    let table = "id;at;tube;lot;strokes;reading [ppm];air_temperature [°C];humidity [%RH];pressure [hPa]\n\
        r1;2026-06-16T07:15+01:00;brinewash-chlorine-a;24-117;3;1,5;6;88;998\n";
    let folder = Folder::new("decimal-comma").with("semi.survey.csv", table);
    let demo = repository("catalog/demo");
    for command in ["check", "evaluate"] {
        let run = |more: &[&str]| {
            let mut words = vec![command, "semi.survey.csv", "--catalog", &demo];
            words.extend(more);
            folder.run(&words)
        };
        let said = run(&[]).exits(1);
        let said = format!("{}{}", said.stdout, said.stderr);
        assert!(said.contains("`1,5` has a decimal comma"), "{said}");
        let said: Vec<&str> = said.split_whitespace().collect();
        assert!(said.join(" ").contains("say --decimal-comma"), "{said:?}");
        run(&["--decimal-comma"]).exits(0);
    }
}
