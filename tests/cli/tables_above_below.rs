//! Tables with a title and conditions above their header, and totals below their rows.

use serde_json::Value;

use crate::runner::{CommandOutcome, Folder, repository};
use crate::spreadsheets::{open_document, workbook};

/// The columns without what stands above them.
const HEAD: [&str; 10] = [
    "id",
    "at",
    "tube",
    "lot",
    "expires",
    "pump",
    "leak_test",
    "strokes",
    "reading [ppm]",
    "by",
];
const ROW: [&str; 10] = [
    "r1",
    "2026-06-16T06:22+01:00",
    "plantroom-ammonia-c",
    "24-071",
    "2027-09",
    "pump-02",
    "held",
    "0.5",
    "60",
    "",
];

/// Rows above the header, as somebody who keeps lists writes them.
const ABOVE: [&[&str]; 6] = [
    &["Plant room, after the leak of 14 June"],
    &["place", "plant room, gallery"],
    &["by", "KL", "", "temperature", "20 °C"],
    &["Humidity:", "50", "%RH"],
    &["pressure", "1009 hPa"],
    &[],
];

/// Rows of cells as text that `divide` divides, quoted where they hold it.
fn text(rows: &[Vec<String>], divide: char) -> String {
    let cell = |cell: &String| {
        if cell.contains(divide) {
            format!("\"{cell}\"")
        } else {
            cell.clone()
        }
    };
    let line = |row: &Vec<String>| {
        row.iter()
            .map(cell)
            .collect::<Vec<_>>()
            .join(&divide.to_string())
    };
    rows.iter().map(line).collect::<Vec<_>>().join("\n") + "\n"
}

fn rows(above: &[&[&str]], below: &[&[&str]]) -> Vec<Vec<String>> {
    let owned = |row: &[&str]| {
        row.iter()
            .map(|cell| (*cell).to_owned())
            .collect::<Vec<_>>()
    };
    let mut rows: Vec<Vec<String>> = above.iter().map(|row| owned(row)).collect();
    rows.push(owned(&HEAD));
    rows.push(owned(&ROW));
    rows.extend(below.iter().map(|row| owned(row)));
    rows
}

fn evaluated_file(name: &str, file: &str, content: impl AsRef<[u8]>) -> CommandOutcome {
    let demo = repository("catalog/demo");
    Folder::new(name).with(file, content).run(&[
        "evaluate",
        file,
        "--catalog",
        &demo,
        "--format",
        "json",
    ])
}

/// The same reading in a table that has nothing but columns.
fn plain() -> Value {
    let head = HEAD.join(",");
    let row = ROW.join(",");
    let table = format!(
        "{head},place,air_temperature [°C],humidity [%RH],pressure [hPa]\n{row}KL,\"plant room, gallery\",20,50,1009\n"
    );
    evaluated_file("above-plain", "plain.csv", table)
        .exits(0)
        .json()
}

#[track_caller]
fn same_result(found: &Value, wanted: &Value) {
    let (found, wanted) = (&found["results"][0], &wanted["results"][0]);
    for key in ["status", "concentration", "interval", "flags", "against"] {
        assert_eq!(found[key], wanted[key], "{key}");
    }
    assert_eq!(
        found["inputs"]["conditions"],
        wanted["inputs"]["conditions"]
    );
    assert_eq!(found["inputs"]["by"], wanted["inputs"]["by"]);
    assert_eq!(
        found["inputs"]["reading"]["place"],
        wanted["inputs"]["reading"]["place"]
    );
}

#[test]
fn what_stands_above_a_header_is_understood_whatever_divides_the_cells() {
    let plain = plain();
    for (name, divide) in [("comma", ','), ("semicolon", ';'), ("tab", '\t')] {
        let table = text(&rows(&ABOVE, &[]), divide);
        let said = evaluated_file(&format!("above-{name}"), "round.csv", &table).exits(0);
        let found = said.json();
        same_result(&found, &plain);
        assert_eq!(found["title"], "Plant room, after the leak of 14 June");
        assert_eq!(found["survey"], "round");
        assert_eq!(found["by"], "KL");
        for words in [
            "note: `round.csv`: from above the header, for every row: ",
            "title `Plant room, after the leak of 14 June` (line 1, column 1)",
            "`air_temperature` 20 °C (line 3, column 5)",
            "`humidity` 50 %RH (line 4, column 2)",
        ] {
            assert_eq!(
                said.stderr.matches(words).count(),
                1,
                "{words}\n{}",
                said.stderr
            );
        }
    }
}

#[test]
fn the_same_in_spreadsheets() {
    let plain = plain();
    let rows = rows(&ABOVE, &[&["Total", "", "", "", "", "", "", "", "60"]]);
    let (first, rest) = rows.split_first().unwrap();
    let head: Vec<&str> = first.iter().map(String::as_str).collect();
    for (file, content) in [
        ("round.xlsx", workbook(&head, rest)),
        ("round.ods", open_document(&head, rest)),
    ] {
        let said = evaluated_file(&format!("above-{file}"), file, content).exits(0);
        let found = said.json();
        same_result(&found, &plain);
        assert_eq!(found["title"], "Plant room, after the leak of 14 June");
        assert_eq!(found["results"].as_array().unwrap().len(), 1);
        for words in [
            "worksheet `Round`: from above the header, for every row: ",
            "`humidity` 50 %RH (cell B4)",
            "row 9 (`Total`, `60`) is a total and no reading: it is passed over",
        ] {
            assert!(said.stderr.contains(words), "{words}\n{}", said.stderr);
        }
    }
}

#[test]
fn a_row_s_own_cell_counts_before_what_stands_above() {
    let mut rows = rows(&ABOVE, &[]);
    for (row, cell) in rows
        .iter_mut()
        .rev()
        .take(2)
        .zip(["10", "air_temperature [°C]"])
    {
        row.push(cell.to_owned());
    }
    let found = evaluated_file("above-own", "round.csv", text(&rows, ';')).json();
    let typed = &found["results"][0]["inputs"]["reading"]["conditions"];
    assert_eq!(typed["air_temperature"], "10 °C", "{found}");
    assert_eq!(found["inputs"]["conditions"]["air_temperature"], "20 °C");
}

#[test]
fn what_cannot_be_understood_above_a_header_is_refused_with_its_cell() {
    for (number, (row, words)) in [
        (
            &["temperature", "18"][..],
            "line 1, column 2: `18` has no unit",
        ),
        (
            &["temperature", "mild"],
            "line 1, column 2: `mild` does not start with a number",
        ),
        (
            &["humidty", "50 %RH"],
            "line 1, column 1: `humidty` may be meant for `humidity`",
        ),
        (
            &["pump", "pump-02"],
            "line 1, column 1: `pump` stands above the header",
        ),
        (
            &["place", "by", "temperature"],
            "line 1, column 1: `place` and what follows it stand above the header with nothing beside them",
        ),
        (
            &["temperature", "18 °C", "air_temperature", "20 °C"],
            "line 1, column 3: `air_temperature` stands above the header twice",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let table = text(&rows(&[row], &[]), ';');
        let said = evaluated_file(&format!("above-refused-{number}"), "round.csv", &table).exits(2);
        assert!(said.stdout.contains(words), "{words}\n{}", said.stdout);
        let demo = repository("catalog/demo");
        let checked = Folder::new(&format!("above-refused-checked-{number}"))
            .with("round.survey.csv", &table)
            .run(&["check", "round.survey.csv", "--catalog", &demo])
            .exits(1);
        let message = words.split_once(": ").unwrap().1;
        assert!(checked.stdout.contains(message), "{}", checked.stdout);
        assert!(
            checked.stdout.contains("round.survey.csv:1:"),
            "{}",
            checked.stdout
        );
    }
}

#[test]
fn what_is_none_of_a_survey_s_above_a_header_is_listed_once() {
    let above: [&[&str]; 4] = [
        &["18 °C"],
        &["Company", "Harbour Fish"],
        &["Plant room"],
        &["page 1 of 2"],
    ];
    let said = evaluated_file("above-foreign", "round.csv", text(&rows(&above, &[]), ';')).stderr;
    let words = "passed over above the header: `18 °C` (line 1), `Company`, `Harbour Fish` (line 2), `page 1 of 2` (line 4)";
    assert_eq!(said.matches(words).count(), 1, "{said}");
}

#[test]
fn a_table_that_is_checked_says_what_stands_around_its_rows() {
    let demo = repository("catalog/demo");
    let below: [&[&str]; 1] = [&["Summe", "", "", "", "", "", "", "0.5", "60"]];
    let folder =
        Folder::new("above-checked").with("round.survey.csv", text(&rows(&ABOVE, &below), ';'));
    let said = folder
        .run(&["check", "round.survey.csv", "--catalog", &demo])
        .exits(0);
    let said = said.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "note[table-read-as]",
        "`air_temperature` 20 °C (line 3, column 5)",
        "note[table-rows-passed-over]",
        "line 9 (`Summe`, `0.5`, `60`) is a total and no reading: it is passed over",
    ] {
        assert_eq!(said.matches(words).count(), 1, "{words}\n{said}");
    }
    assert!(!said.contains("error["), "{said}");
}

#[test]
fn conditions_above_a_header_are_judged_by_the_rules_of_a_survey() {
    let demo = repository("catalog/demo");
    let above: [&[&str]; 1] = [&["temperature", "200 °C"]];
    let folder = Folder::new("above-rules").with("round.survey.csv", text(&rows(&above, &[]), ';'));
    let said = folder.run(&["check", "round.survey.csv", "--catalog", &demo]);
    assert!(
        said.stdout.contains("round.survey.csv:1:13"),
        "{}",
        said.stdout
    );
}

#[test]
fn totals_are_passed_over_and_said_once() {
    for (number, (below, words)) in [
        (
            &[&["Total", "", "", "", "", "", "", "12", "340"][..]][..],
            "line 3 (`Total`, `12`, `340`) is a total and no reading: it is passed over",
        ),
        (
            &[&["", "Mittelwert:", "", "", "", "", "", "", "34,5 ppm"]],
            "line 3 (`Mittelwert:`, `34,5 ppm`) is a total",
        ),
        (
            &[&["", "", "", "", "", "", "", "12", "340"]],
            "line 3 (`12`, `340`) is a total",
        ),
        (
            &[&["sum", "", "", "", "", "", "", "12", "340"], &["mean", "", "", "", "", "", "", "1", "60"]],
            "lines 3 (`sum`, `12`, `340`), 4 (`mean`, `1`, `60`) are totals and no readings: they are passed over",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let table = text(&rows(&[], below), ';');
        let said = evaluated_file(&format!("below-{number}"), "round.csv", &table);
        assert_eq!(said.stderr.matches(words).count(), 1, "{words}\n{}", said.stderr);
        let results = said.json();
        assert_eq!(results["results"].as_array().unwrap().len(), 1, "{results}");
    }
}

/// A reading without its tube is refused as ever: nothing that may have been drawn goes by as a total.
#[test]
fn a_row_that_may_be_a_reading_is_no_total() {
    for (number, (below, refused)) in [
        // Its tube is forgotten.
        (&[&["r2", "", "", "", "", "", "", "3", "60"][..]][..], 1),
        (&[&["2", "", "", "", "", "", "", "3", "60"]], 1),
        (
            &[&["", "2026-06-16T06:40+01:00", "", "", "", "", "", "3", "60"]],
            1,
        ),
        // Numbers with a reading below them.
        (&[&["", "", "", "", "", "", "", "3", "60"], &ROW], 1),
        // A tube that is called so.
        (
            &[&[
                "total",
                "",
                "plantroom-ammonia-c",
                "",
                "",
                "",
                "",
                "3",
                "60",
            ]],
            1,
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let table = text(&rows(&[], below), ';');
        let said = evaluated_file(&format!("below-no-total-{number}"), "round.csv", &table);
        assert!(!said.stderr.contains("total"), "{}", said.stderr);
        let results = said.json();
        let found = results["results"].as_array().unwrap();
        let count = found
            .iter()
            .filter(|result| result["status"] == "refused")
            .count();
        assert!(refused <= count, "{number}: {results}");
        assert_eq!(found.len(), 1 + below.len());
        // Each keeps its place.
        assert_eq!(found[1]["status"], "refused", "{number}");
    }
}

#[test]
fn survey_and_persons_are_named_from_the_file() {
    let mut rows = rows(&[], &[]);
    rows[1][9] = "KL".to_owned();
    let mut second = rows[1].clone();
    second[0] = "r2".to_owned();
    second[9] = "MT".to_owned();
    rows.push(second);
    let csv = evaluated_file("named-csv", "quay-june.survey.csv", text(&rows, ',')).json();
    assert_eq!(csv["title"], "quay-june");
    assert_eq!(csv["survey"], "quay-june");
    assert_eq!(csv["by"], "KL, MT");
    let (first, rest) = rows.split_first().unwrap();
    let head: Vec<&str> = first.iter().map(String::as_str).collect();
    let xlsx = evaluated_file("named-xlsx", "quay-june.xlsx", workbook(&head, rest)).json();
    assert_eq!(xlsx["title"], "Round");
    assert_eq!(xlsx["survey"], "quay-june");
    assert_eq!(xlsx["by"], "KL, MT");
}

/// What stands above is kept in a record, so that it can be worked out again.
#[test]
fn a_record_of_such_a_table_holds() {
    let demo = repository("catalog/demo");
    let folder = Folder::new("above-record").with("round.csv", text(&rows(&ABOVE, &[]), ';'));
    for record in ["record.json", "record.jsonl"] {
        folder
            .run(&[
                "evaluate",
                "round.csv",
                "--catalog",
                &demo,
                "--output",
                record,
            ])
            .exits(0);
        let said = folder
            .run(&["evaluate", "--verify", record, "--catalog", &demo])
            .exits(0);
        assert!(said.stdout.contains("1 result"), "{}", said.stdout);
    }
}
