//! `new survey --format`: tables to fill in, and what is read back from them.

use std::io::Read as _;

use serde_json::Value;
use stainbook::catalog::Book;
use stainbook::survey::{DecimalMark, TableTemplate, read};
use stainbook::template::survey_workbook;

use crate::runner::{Folder, repository};

/// The demo's catalog in a folder of its own, for templates are made for the nearest one.
fn lab(name: &str) -> Folder {
    let demo = repository("catalog/demo");
    let mut folder = Folder::new(name);
    let mut waiting = vec![std::path::PathBuf::from(&demo)];
    while let Some(at) = waiting.pop() {
        for entry in std::fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let below = path
                    .strip_prefix(&demo)
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .to_owned();
                folder = folder.with(&below, std::fs::read(&path).unwrap());
            }
        }
    }
    folder
}

/// Readings under the columns of a template.
fn rows(template: &TableTemplate) -> Vec<Vec<String>> {
    let readings: [&[(&str, &str)]; 3] = [
        &[
            ("id", "r1"),
            ("at", "2026-06-16T06:22+01:00"),
            ("place", "plant room, gallery"),
            ("tube", "plantroom-ammonia-c-r1"),
            ("lot", "24-071"),
            ("expires", "2027-09"),
            ("pump", "pump-02"),
            ("leak_test", "held"),
            ("strokes", "0.5"),
            ("reading", "60"),
            ("reads_to", "quarter"),
            ("air_temperature", "12.5"),
            ("humidity", "50"),
            ("pressure", "1009"),
            ("other_gases", "none known"),
            ("by", "KL"),
        ],
        &[
            ("id", "r2"),
            ("at", "2026-06-16T06:40+01:00"),
            ("tube", "plantroom-ammonia-c-r1"),
            ("lot", "24-071"),
            ("expires", "2027-09"),
            ("pump", "pump-02"),
            ("leak_test", "not done"),
            ("strokes", "1"),
            ("reading", "<2"),
            ("air_temperature", "12.5"),
            ("humidity", "50"),
            ("pressure", "1009"),
            ("by", "MT"),
            ("remark", "=SUM(A1)"),
        ],
        &[
            ("id", "r3"),
            ("tube", "plantroom-ammonia-c-r1"),
            ("strokes", "1"),
            ("short", "10"),
            ("long", "22"),
            ("air_temperature", "12.5"),
            ("humidity", "50"),
            ("pressure", "1009"),
        ],
    ];
    let row = |cells: &[(&str, &str)]| {
        let cell = |name: &str| cells.iter().find(|(under, _)| *under == name);
        let columns = template.columns.iter();
        columns
            .map(|column| cell(column.name).map_or(String::new(), |(_, text)| (*text).to_owned()))
            .collect()
    };
    readings.into_iter().map(row).collect()
}

fn sheet_of(xlsx: &[u8], part: &str) -> String {
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(xlsx)).unwrap();
    let mut text = String::new();
    zip.by_name(part)
        .unwrap()
        .read_to_string(&mut text)
        .unwrap();
    text
}

#[test]
fn a_template_offers_the_catalog_and_holds_no_reading() {
    for format in ["xlsx", "csv"] {
        let folder = lab(&format!("new-survey-{format}"));
        let made = folder
            .run(&[
                "new",
                "survey",
                "quay-june",
                "--format",
                format,
                "--in",
                "surveys",
            ])
            .exits(0);
        let path = format!("surveys/quay-june.survey.{format}");
        assert_eq!(made.stdout, format!("{path}\n"));
        let said = folder
            .run(&["evaluate", &path, "--format", "json"])
            .exits(0);
        assert!(
            said.stderr
                .contains("is the template's example and no reading"),
            "{}",
            said.stderr
        );
        assert!(said.json()["results"].as_array().unwrap().is_empty());
        let checked = folder
            .run(&["check", &path, "--deny", "warnings"])
            .exits(0)
            .stdout;
        assert!(
            checked.contains("note[table-rows-passed-over]"),
            "{checked}"
        );
        folder
            .run(&[
                "new",
                "survey",
                "quay-june",
                "--format",
                format,
                "--in",
                "surveys",
            ])
            .exits(2)
            .says("nothing is overwritten");
    }
    let folder = Folder::new("new-survey-none");
    folder
        .run(&["new", "survey", "quay", "--format", "csv"])
        .exits(0)
        .says("there is no catalog with sheets here");
    folder
        .run(&["new", "tube", "quay-r1", "--format", "csv"])
        .exits(2)
        .says("only a survey may be a table");
}

#[test]
fn the_lists_of_a_spreadsheet_are_those_of_the_catalog() {
    let (book, _) = Book::demo();
    let template = TableTemplate::for_book(&book);
    let xlsx = survey_workbook(&template, "quay", &[]).unwrap();
    let readings = sheet_of(&xlsx, "xl/worksheets/sheet1.xml");
    let offered: Vec<&str> = template
        .columns
        .iter()
        .filter(|column| !column.choices.is_empty())
        .map(|column| column.name)
        .collect();
    for name in [
        "tube",
        "pump",
        "lot",
        "leak_test",
        "seen",
        "reads_to",
        "other_gases",
    ] {
        assert!(offered.contains(&name), "{name}: {offered:?}");
    }
    assert_eq!(readings.matches("type=\"list\"").count(), offered.len());
    assert!(readings.contains("<formula1>Lists!$A$2:"), "{readings}");
    let texts = sheet_of(&xlsx, "xl/sharedStrings.xml");
    for words in [
        "plantroom-ammonia-c-r1",
        "pump-02",
        "24-071",
        "reading [ppm]",
        "what it is for",
    ] {
        assert!(texts.contains(words), "{words}");
    }
    // The same template is the same file.
    assert_eq!(xlsx, survey_workbook(&template, "quay", &[]).unwrap());
}

/// Each word of a list is read under its column, and means what was chosen.
#[test]
fn what_is_offered_is_accepted() {
    let (book, _) = Book::demo();
    let template = TableTemplate::for_book(&book);
    let mut tried = 0;
    for (index, column) in template.columns.iter().enumerate() {
        for choice in &column.choices {
            let mut row = rows(&template).remove(2);
            row[index].clone_from(choice);
            let table = template.csv(&[row]).unwrap();
            let (survey, refused) = read(&table, DecimalMark::Point).unwrap();
            assert!(refused.is_empty(), "{}: {choice}: {refused:?}", column.name);
            assert_eq!(survey.readings.len(), 1, "{}: {choice}", column.name);
            tried += 1;
        }
    }
    assert!(40 < tried, "{tried}");
}

#[test]
fn a_filled_template_is_read_as_it_was_filled_in() {
    let (book, _) = Book::demo();
    let template = TableTemplate::for_book(&book);
    let rows = rows(&template);
    let xlsx = survey_workbook(&template, "quay", &rows).unwrap();
    let csv = template.csv(&rows).unwrap();
    let folder = lab("new-survey-filled")
        .with("surveys/quay.survey.xlsx", &xlsx)
        .with("surveys/quay.survey.csv", &csv);
    let found = ["xlsx", "csv"].map(|format| {
        let path = format!("surveys/quay.survey.{format}");
        folder.run(&["evaluate", &path, "--format", "json"]).json()["results"].clone()
    });
    let [from_xlsx, from_csv] = &found;
    assert_eq!(from_xlsx, from_csv);
    let states: Vec<&Value> = from_csv
        .as_array()
        .unwrap()
        .iter()
        .map(|result| &result["status"])
        .collect();
    assert_eq!(states, ["measured", "less_than", "measured"]);
    assert_eq!(from_xlsx[1]["inputs"]["reading"]["remark"], "=SUM(A1)");
}

/// The example is passed over as it came, and a reading as soon as somebody writes into its name or its remark.
#[test]
fn an_example_that_was_written_over_is_a_reading() {
    let (book, _) = Book::demo();
    let template = TableTemplate::for_book(&book);
    let table = template.csv(&[]).unwrap();
    for (from, to) in [
        ("\nexample,", "\nr1,"),
        ("an example, passed over", "windy"),
    ] {
        let changed = table.replace(from, to);
        assert_ne!(changed, table, "{from}");
        let (survey, refused) = read(&changed, DecimalMark::Point).unwrap();
        assert_eq!(survey.readings.len() + refused.len(), 1, "{from}");
    }
}
