//! `check` of surveys that are kept in spreadsheets: findings name the worksheet and the cell, in every format.

use std::collections::BTreeSet;

use rust_xlsxwriter::{ExcelDateTime, Format, Workbook, Worksheet};

use crate::check_formats::{FORMATS, assert_valid, lab};
use crate::runner::{CommandOutcome, Folder};
use crate::spreadsheets::open_document;

const HEAD: [&str; 11] = [
    "id",
    "at",
    "place",
    "tube",
    "lot",
    "strokes",
    "reading [ppm]",
    "remark",
    "air_temperature [°C]",
    "humidity",
    "pressure [kPa]",
];

/// A round whose header stands in the third row: a tube that is nowhere known in D5, strokes that are no number in F6, and a
/// reading that is named like an earlier one in A8.
fn round() -> Workbook {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("readings").unwrap();
    for (head, column) in HEAD.iter().zip(0..) {
        sheet.write_string(2, column, *head).unwrap();
    }
    let clock = Format::new().set_num_format("yyyy-mm-dd hh:mm");
    let rows = [
        (3, "t1", "quay-co"),
        (4, "t2", "quay-oc"),
        (5, "t3", "quay-co"),
        (7, "t1", "quay-co"),
    ];
    for (row, id, tube) in rows {
        sheet.write_string(row, 0, id).unwrap();
        let at = ExcelDateTime::from_ymd(2026, 2, 20)
            .unwrap()
            .and_hms(u16::try_from(row).unwrap(), 15, 0)
            .unwrap();
        sheet
            .write_datetime_with_format(row, 1, &at, &clock)
            .unwrap();
        sheet.write_string(row, 2, "quay, at the bollard").unwrap();
        sheet.write_string(row, 3, tube).unwrap();
        sheet.write_string(row, 4, "24-117").unwrap();
        sheet.write_number(row, 5, 3.0).unwrap();
        sheet.write_number(row, 6, 5.0).unwrap();
        conditions(sheet, row);
    }
    sheet.write_string(5, 5, "one").unwrap();
    sheet.write_string(4, 7, "two\nlines | of it").unwrap();
    book
}

fn conditions(sheet: &mut Worksheet, row: u32) {
    sheet.write_number(row, 8, 20.0).unwrap();
    let percent = Format::new().set_num_format("0%");
    sheet
        .write_number_with_format(row, 9, 0.5, &percent)
        .unwrap();
    sheet.write_number(row, 10, 101.3).unwrap();
}

fn folder(name: &str, file: &str, bytes: Vec<u8>) -> Folder {
    let tube = std::fs::read_to_string(crate::runner::repository(
        "catalog/demo/tubes/brinewash-chlorine-a-r2.tube.yaml",
    ))
    .unwrap()
    .replace("brinewash-chlorine-a-r2", "quay-co")
    .replace("harbour-piston", "quay-piston");
    let tube: String = tube
        .split_inclusive('\n')
        .filter(|line| !line.starts_with("replaces:"))
        .collect();
    lab(name)
        .with("tubes/quay-co.tube.yaml", tube)
        .with(file, bytes)
}

fn check(folder: &Folder, path: &str, format: &str) -> CommandOutcome {
    folder.run(&[
        "check",
        path,
        "--zone",
        "Z",
        "--as-of",
        "2026-03-02",
        "--format",
        format,
    ])
}

#[test]
fn findings_name_worksheet_and_cell_in_every_format() {
    let book = round().save_to_buffer().unwrap();
    let folder = folder("check-xlsx", "surveys/round.survey.xlsx", book);
    let path = "surveys/round.survey.xlsx";
    let short = check(&folder, path, "short").exits(1).stdout;
    let heads: Vec<String> = short
        .lines()
        .map(|line| {
            let rest = line
                .strip_prefix("surveys/round.survey.xlsx, worksheet `readings`, cell ")
                .unwrap_or_else(|| panic!("{line}"));
            rest.splitn(3, ": ").take(2).collect::<Vec<_>>().join(" ")
        })
        .collect();
    assert_eq!(
        heads,
        [
            "D5 error[unresolved-reference]",
            "F6 error[table-cell-unreadable]",
            "A8 error[reading-id-doubled]"
        ],
        "{short}"
    );
    let text = check(&folder, path, "text").exits(1).stdout;
    insta::assert_snapshot!(text.split("\n\n").next().unwrap(), @r"
    error[unresolved-reference]: there is no sheet and no series of sheets `quay-oc`
     --> surveys/round.survey.xlsx, worksheet `readings`, cell D5
      |
    5 | t2 | 2026-02-20T04:15+00:00 | quay, at the bollard | quay-oc | 24-117 | 3 | 5 | two lines | of it | 20 | 50 %RH | 101.3
      |                                                      ^^^^^^^ nothing of this name
      |
      = note: a reading cannot be worked out without its sheet
      = help: did you mean `quay-co`?
    ");
    let json = check(&folder, path, "json").exits(1).json();
    assert_eq!(json["files"], 1);
    let finding = &json["findings"][0];
    for (key, value) in [
        ("worksheet", serde_json::json!("readings")),
        ("cell", "D5".into()),
        ("line", 5.into()),
        ("column", 4.into()),
        ("end_line", 5.into()),
        ("end_column", 5.into()),
        ("byte_start", serde_json::Value::Null),
        ("byte_end", serde_json::Value::Null),
        ("pointer", "/readings/1/tube".into()),
    ] {
        assert_eq!(finding[key], value, "{key}");
    }
    assert_eq!(finding["edits"], serde_json::json!([]));
    let sarif = check(&folder, path, "sarif").exits(1).json();
    assert_valid(&sarif);
    let result = &sarif["runs"][0]["results"][0];
    let region = &result["locations"][0]["physicalLocation"]["region"];
    assert_eq!(
        *region,
        serde_json::json!({"startLine": 5, "endLine": 5, "snippet": {"text": "quay-oc"}})
    );
    let said = result["message"]["text"].as_str().unwrap();
    assert!(
        said.starts_with("worksheet `readings`, cell D5: "),
        "{said}"
    );
    let logical = &result["locations"][0]["logicalLocations"][1]["fullyQualifiedName"];
    assert_eq!(logical, "readings!D5");
    let github = check(&folder, path, "github").exits(1).stdout;
    let first = github.lines().next().unwrap();
    assert!(
        first.starts_with(
            "::error file=surveys/round.survey.xlsx,line=5,endLine=5,title=unresolved-reference::worksheet `readings`, cell D5: "
        ),
        "{first}"
    );
    let junit = check(&folder, path, "junit").exits(1).stdout;
    let parsed = roxmltree::Document::parse(&junit).unwrap();
    let names: Vec<&str> = parsed
        .descendants()
        .filter(|node| node.has_tag_name("testcase"))
        .filter_map(|node| node.attribute("name"))
        .collect();
    assert_eq!(names[0], "error[unresolved-reference] at readings!D5");
}

#[test]
fn a_folder_s_spreadsheets_are_found_and_never_mended() {
    let mut book = round();
    book.add_worksheet()
        .set_name("Notes")
        .unwrap()
        .write_string(0, 0, "windy")
        .unwrap();
    let book = book.save_to_buffer().unwrap();
    let folder = folder("check-xlsx-fix", "surveys/round.survey.xlsx", book.clone())
        .with("drafts/other.xlsx", "no survey by its name");
    let whole = check(&folder, ".", "json").exits(1).json();
    let files: BTreeSet<&str> = whole["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| finding["file"].as_str().unwrap())
        .collect();
    assert_eq!(files, ["surveys/round.survey.xlsx"].into());
    folder
        .run(&["check", ".", "--as-of", "2026-03-02", "--fix"])
        .exits(1);
    assert_eq!(folder.bytes("surveys/round.survey.xlsx"), book);
    let piped = [
        "check",
        "-",
        "--stdin-filename",
        "surveys/round.survey.xlsx",
        "--zone",
        "Z",
        "--as-of",
        "2026-03-02",
    ];
    let said = folder
        .run_with(&[&piped[..], &["--fix", "--dry-run"]].concat(), &book)
        .exits(1);
    assert_eq!(said.stdout, "");
    let said = folder
        .run_with(&[&piped[..], &["--format", "short"]].concat(), &book)
        .exits(1);
    assert_eq!(said.stdout, check(&folder, "surveys", "short").stdout);
}

#[test]
fn each_worksheet_with_readings_is_a_survey() {
    let mut book = Workbook::new();
    for name in ["March", "April"] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        for (head, column) in HEAD.iter().zip(0..) {
            sheet.write_string(0, column, *head).unwrap();
        }
        for (cell, column) in ["r1", "2026-02-20T07:40+00:00", "quay", "quay-oc", "24-117"]
            .iter()
            .zip(0..)
        {
            sheet.write_string(1, column, *cell).unwrap();
        }
        sheet.write_number(1, 5, 3.0).unwrap();
        sheet.write_number(1, 6, 5.0).unwrap();
        conditions(sheet, 1);
    }
    let folder = folder("check-xlsx-two", "two.xlsx", book.save_to_buffer().unwrap());
    let said = check(&folder, "two.xlsx", "short").exits(1);
    let places: Vec<&str> = said
        .stdout
        .lines()
        .map(|line| line.split(": ").next().unwrap())
        .collect();
    assert_eq!(
        places,
        [
            "two.xlsx, worksheet `April`, cell D2",
            "two.xlsx, worksheet `March`, cell D2"
        ],
        "{said:#?}"
    );
    // What is known of one is not taken for the other.
    let sarif = check(&folder, "two.xlsx", "sarif").exits(1).json();
    let print = |index: usize| {
        sarif["runs"][0]["results"][index]["partialFingerprints"]["rulePathText/v1"].clone()
    };
    assert_ne!(print(0), print(1));
    assert!(said.stderr.contains("2 errors in 1 file"), "{said:#?}");
}

#[test]
fn an_open_document_is_checked_alike() {
    let row = [
        "t1",
        "2026-02-20T07:40+00:00",
        "quay",
        "quay-oc",
        "24-117",
        "1",
        "50",
    ]
    .map(str::to_owned);
    let bytes = open_document(&HEAD[..7], &[row]);
    let folder = folder("check-ods", "surveys/round.survey.ods", bytes);
    let said = check(&folder, ".", "short").exits(1);
    assert!(
        said.stdout.starts_with(
            "surveys/round.survey.ods, worksheet `Round`, cell D2: error[unresolved-reference]: "
        ),
        "{said:#?}"
    );
}

#[test]
fn what_cannot_be_read_ends_alike_in_every_format() {
    let folder = folder(
        "check-xlsx-broken",
        "round.survey.xlsx",
        b"no spreadsheet".to_vec(),
    );
    for format in FORMATS {
        check(&folder, ".", format)
            .exits(2)
            .says("the spreadsheet cannot be opened");
    }
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (head, column) in ["id", "tube", "stroke"].iter().zip(1..) {
        sheet.write_string(0, column, *head).unwrap();
    }
    let folder = folder.with("round.survey.xlsx", book.save_to_buffer().unwrap());
    let said = check(&folder, ".", "short").exits(1);
    assert!(
        said.stdout.starts_with("round.survey.xlsx, worksheet `Sheet1`, cell D1: error[table-header-unreadable]: no column is called `stroke`; did you mean `strokes`?"),
        "{said:#?}"
    );
}
