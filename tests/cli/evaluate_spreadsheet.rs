//! `evaluate`: spreadsheets in and out.

use std::io::Cursor;

use calamine::{DataType as _, Reader as _, Xlsx};
use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};

use crate::runner::{Folder, repository};
use crate::spreadsheets::open_document;

const HEAD: [&str; 9] = [
    "id",
    "at",
    "tube",
    "lot",
    "strokes",
    "reading [ppm]",
    "air_temperature [°C]",
    "humidity [%RH]",
    "pressure [hPa]",
];

fn round() -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Round").unwrap();
    for (head, column) in HEAD.iter().zip(0..) {
        sheet.write_string(2, column, *head).unwrap();
    }
    let clock = Format::new().set_num_format("yyyy-mm-dd hh:mm");
    let percent = Format::new().set_num_format("0%");
    for (row, id, strokes) in [(3, "r1", 3.0), (4, "r2", 2.5), (6, "r3", 3.0)] {
        sheet.write_string(row, 0, id).unwrap();
        let at = ExcelDateTime::from_ymd(2026, 6, 16)
            .unwrap()
            .and_hms(7, 15, 0)
            .unwrap();
        sheet
            .write_datetime_with_format(row, 1, &at, &clock)
            .unwrap();
        sheet.write_string(row, 2, "brinewash-chlorine-a").unwrap();
        sheet.write_string(row, 3, "24-117").unwrap();
        sheet.write_number(row, 4, strokes).unwrap();
        sheet.write_number(row, 5, 5.0).unwrap();
        sheet.write_number(row, 6, 20.0).unwrap();
        sheet
            .write_number_with_format(row, 7, 0.5, &percent)
            .unwrap();
        sheet.write_number(row, 8, 1009.0).unwrap();
    }
    sheet.write_string(4, 5, "five").unwrap();
    book.add_worksheet()
        .set_name("Notes")
        .unwrap()
        .write_string(0, 0, "quay")
        .unwrap();
    book.save_to_buffer().unwrap()
}

#[test]
fn a_bad_cell_is_named_and_the_other_rows_are_evaluated() {
    let folder = Folder::new("evaluate-xlsx").with("round.xlsx", round());
    let demo = repository("catalog/demo");
    let said = folder
        .run(&[
            "evaluate",
            "round.xlsx",
            "--catalog",
            &demo,
            "--worksheet",
            "Round",
            "--zone",
            "+01:00",
            "--format",
            "json",
        ])
        .exits(1)
        .json();
    let results = said["results"].as_array().unwrap();
    let states: Vec<_> = results
        .iter()
        .map(|r| r["status"].as_str().unwrap())
        .collect();
    assert_eq!(states, ["measured", "refused", "measured"]);
    assert_eq!(results[0]["at"], "2026-06-16T07:15+01:00");
    assert_eq!(results[0]["inputs"]["conditions"]["humidity"], "50 %RH");
    let text = results[1]["refusal"]["text"].as_str().unwrap();
    assert!(
        text.starts_with("worksheet `Round`, cell F5 (`reading`): "),
        "{text}"
    );
}

#[test]
fn what_is_not_clear_is_asked_for() {
    let folder = Folder::new("evaluate-xlsx-unclear").with("round.xlsx", round());
    // The one of readings is read without being named, of two none is chosen.
    folder
        .run(&["evaluate", "round.xlsx"])
        .exits(1)
        .says("`round.xlsx`: worksheet `Round`: read alone, as `Notes` has no columns of readings");
    let mut two = Workbook::new();
    for name in ["Monday", "Tuesday"] {
        let sheet = two.add_worksheet().set_name(name).unwrap();
        for (column, head) in (0..).zip(["id", "tube", "strokes", "seen"]) {
            sheet.write_string(0, column, head).unwrap();
        }
    }
    Folder::new("evaluate-xlsx-two")
        .with("week.xlsx", two.save_to_buffer().unwrap())
        .run(&["evaluate", "week.xlsx"])
        .exits(2)
        .says("`week.xlsx`: there are several worksheets: `Monday`, `Tuesday`")
        .says("--worksheet NAME");
    folder
        .run(&["evaluate", "round.xlsx", "--worksheet", "round"])
        .exits(2)
        .says("there is no worksheet `round` with readings in it");
    folder
        .run(&["evaluate", "round.xlsx", "--worksheet", "Notes"])
        .exits(2)
        .says("worksheet `Notes`, cell A1: there is no column `id`, `tube`, `strokes`, `reading [ppm]`")
        .says("not understood: `quay`");
    let said = folder
        .run(&["evaluate", "round.xlsx", "--worksheet", "Round"])
        .exits(1);
    assert!(
        said.stdout.contains("does not say in which zone"),
        "{}",
        said.stdout
    );
    assert!(folder.root().join("round.xlsx").is_file());
    let broken = Folder::new("evaluate-xlsx-broken").with("x.xlsx", "no spreadsheet");
    broken
        .run(&["evaluate", "x.xlsx"])
        .exits(2)
        .says("the spreadsheet cannot be opened");
}

#[test]
fn an_open_document_is_read_by_the_same_rows() {
    let row = |id: &str, at: &str, humidity: &str| {
        [
            id,
            at,
            "brinewash-chlorine-a",
            "24-117",
            "3",
            "5",
            "20",
            humidity,
            "1009",
        ]
        .map(str::to_owned)
    };
    let rows = [
        row("r1", "2026-06-16T07:15+01:00", "50"),
        row("r2", "2026-06-16T07:25+01:00", "0.5"),
    ];
    let folder = Folder::new("evaluate-ods").with("round.ods", open_document(&HEAD, &rows));
    let demo = repository("catalog/demo");
    let said = folder
        .run(&[
            "evaluate",
            "round.ods",
            "--catalog",
            &demo,
            "--format",
            "json",
        ])
        .exits(1)
        .json();
    assert_eq!(said["results"][0]["status"], "measured");
    let text = said["results"][1]["refusal"]["text"].as_str().unwrap();
    assert!(
        text.contains("cell H3") && text.contains("may hold 0.5"),
        "{text}"
    );
}

/// Readings together have a worksheet of their own, with numbers as numbers.
#[test]
fn what_readings_say_together_goes_to_a_worksheet() {
    let folder = Folder::new("evaluate-together-xlsx");
    let survey = repository("catalog/demo/surveys/shift-2026-06-17.survey.yaml");
    folder
        .run(&["evaluate", &survey, "--output", "a.xlsx"])
        .exits(0);
    let mut book: Xlsx<_> =
        calamine::open_workbook_from_rs(Cursor::new(folder.bytes("a.xlsx"))).unwrap();
    assert_eq!(
        book.sheet_names(),
        ["Results", "Together", "Factors and limits", "About"]
    );
    let sheet = book.worksheet_range("Together").unwrap();
    let text = |row, column| sheet.get((row, column)).unwrap().to_string();
    let column = |name: &str| (0..sheet.width()).find(|c| text(0, *c) == name).unwrap();
    let row = |id: &str| {
        (1..sheet.height())
            .find(|r| text(*r, column("id")) == id)
            .unwrap()
    };
    let fitter = row("fitter");
    let lowest = sheet.get((fitter, column("lowest"))).unwrap();
    assert!(
        lowest.is_float() && (lowest.get_float().unwrap() - 7.125).abs() < 1e-9,
        "{lowest:?}"
    );
    assert_eq!(text(fitter, column("indicative")), "true");
    // Each end with its uncertainty.
    let from = sheet
        .get((fitter, column("from")))
        .unwrap()
        .get_float()
        .unwrap();
    assert!(from < 6.0, "{from}");
    assert!(text(row("dippers"), column("tests")).contains("compliance"));
    row("brine-wash s08");
}

#[test]
fn results_go_to_a_spreadsheet_with_units_in_its_header() {
    let folder = Folder::new("evaluate-to-xlsx");
    let survey = repository("catalog/demo/surveys/plant-round-2026-06-16.survey.yaml");
    folder
        .run(&["evaluate", &survey, "--format", "xlsx"])
        .exits(2)
        .says("--output FILE.xlsx");
    for name in ["a.xlsx", "b.xlsx"] {
        assert_eq!(
            folder.run(&["evaluate", &survey, "--output", name]).stdout,
            ""
        );
    }
    assert_eq!(folder.bytes("a.xlsx"), folder.bytes("b.xlsx"));
    let mut book: Xlsx<_> =
        calamine::open_workbook_from_rs(Cursor::new(folder.bytes("a.xlsx"))).unwrap();
    assert_eq!(
        book.sheet_names(),
        ["Results", "Factors and limits", "About"]
    );
    let results = book.worksheet_range("Results").unwrap();
    let text = |row, column| results.get((row, column)).unwrap().to_string();
    let column = |name: &str| (0..results.width()).find(|c| text(0, *c) == name).unwrap();
    let json = folder
        .run(&["evaluate", &survey, "--format", "json"])
        .json();
    for (row, result) in (1..).zip(json["results"].as_array().unwrap()) {
        assert_eq!(text(row, column("id")), result["id"].as_str().unwrap());
        if result["concentration"]["unit"] == "ppm" {
            let value: f64 = text(row, column("result [ppm]")).parse().unwrap();
            let wanted = result["concentration"]["value"].as_f64().unwrap();
            assert!((value / wanted - 1.0).abs() < 1e-9, "{value} {wanted}");
        }
    }
    let ozone = (1..results.height())
        .find(|row| text(*row, column("id")) == "r24")
        .unwrap();
    let ppm: f64 = text(ozone, column("result [ppm]")).parse().unwrap();
    assert!(ppm < 1.0, "ppb are given in ppm: {ppm}");
}
