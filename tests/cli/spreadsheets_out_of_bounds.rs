//! Spreadsheets that are small as files and large when they are read: what is wrong is said of that file, and the others are
//! still checked.

use std::io::{Cursor, Write as _};

use rust_xlsxwriter::Workbook;

use crate::check_formats::lab;
use crate::runner::{CommandOutcome, Folder};
use crate::spreadsheets::open_document_of;

const HEAD: [&str; 4] = ["id", "tube", "strokes", "reading [ppm]"];

fn check(name: &str, file: &str, bytes: &[u8]) -> CommandOutcome {
    let folder: Folder = lab(name)
        .with("pumps/p.pump.yaml", "pump: p\nkind: no-such-kind\n")
        .with(&format!("surveys/{file}"), bytes);
    let said = folder.run(&["check", ".", "--as-of", "2026-03-02", "--format", "short"]);
    assert!(
        said.stdout.contains("pumps/p.pump.yaml:2:7: error"),
        "the others are not checked: {}{}",
        said.stdout,
        said.stderr
    );
    said
}

fn with_cells(cells: &[(u32, u16)]) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (text, column) in HEAD.iter().zip(0..) {
        sheet.write_string(0, column, *text).unwrap();
    }
    sheet.write_string(1, 0, "r1").unwrap();
    sheet.write_string(1, 1, "quay-co").unwrap();
    sheet.write_number(1, 2, 3.0).unwrap();
    sheet.write_number(1, 3, 5.0).unwrap();
    for (row, column) in cells {
        sheet.write_string(*row, *column, "x").unwrap();
    }
    book.save_to_buffer().unwrap()
}

#[test]
fn a_cell_far_away_is_a_cell_under_no_header() {
    for (name, cell, at) in [
        ("last-cell", (1_048_575, 16_383), "XFD1048576"),
        ("far-right", (2, 16_383), "XFD3"),
        ("far-down", (1_048_575, 701), "ZZ1048576"),
    ] {
        let said = check(name, "x.survey.xlsx", &with_cells(&[cell]));
        assert_eq!(said.code, Some(1), "{}", said.stderr);
        let place =
            format!("cell {at}: error[table-cell-unreadable]: the cell stands under no header");
        assert!(said.stdout.contains(&place), "{at}: {}", said.stdout);
        assert!(
            said.stdout.contains("cell B2"),
            "the tube is not looked up: {}",
            said.stdout
        );
    }
}

#[test]
fn what_an_open_document_repeats_is_counted_before_it_is_made() {
    let cell =
        "<table:table-cell office:value-type=\"string\"><text:p>x</text:p></table:table-cell>";
    for (name, rows, words) in [
        (
            "rows",
            format!("<table:table-row table:number-rows-repeated=\"1000000000\">{cell}{cell}{cell}</table:table-row>"),
            "1000000000 rows and 3 columns",
        ),
        (
            "columns",
            format!("<table:table-row table:number-rows-repeated=\"1000\">{}</table:table-row>", cell.replace("<table:table-cell ", "<table:table-cell table:number-columns-repeated=\"16384\" ")),
            "1000 rows and 16384 columns",
        ),
        (
            "far",
            format!("<table:table-row>{cell}</table:table-row><table:table-row table:number-rows-repeated=\"1048000\"><table:table-cell/></table:table-row><table:table-row><table:table-cell table:number-columns-repeated=\"1023\"/>{cell}</table:table-row>"),
            "1048002 rows and 1024 columns",
        ),
        (
            "blanks",
            "<table:table-row><table:table-cell office:value-type=\"string\"><text:p>x<text:s text:c=\"2000000000\"/></text:p></table:table-cell></table:table-row>".to_owned(),
            "MiB of text",
        ),
        (
            "long-text",
            format!("<table:table-row table:number-rows-repeated=\"100000\">{}</table:table-row>", cell.replace('x', &"y".repeat(1000))),
            "MiB of text",
        ),
    ] {
        let bytes = open_document_of(&rows);
        assert!(bytes.len() < 8000, "{name}");
        let said = check(&format!("ods-{name}"), "x.survey.ods", &bytes);
        assert_eq!(said.code, Some(2), "{name}: {}", said.stderr);
        assert!(said.stderr.contains("`surveys/x.survey.ods`: the spreadsheet is too large"), "{name}: {}", said.stderr);
        assert!(said.stderr.contains(words), "{name}: {}", said.stderr);
    }
}

#[test]
fn empty_rows_that_repeat_to_the_end_of_the_worksheet_are_no_rows() {
    let cell = |text: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let row = |cells: &[&str]| {
        format!(
            "<table:table-row>{}</table:table-row>",
            cells.iter().map(|text| cell(text)).collect::<String>()
        )
    };
    let rows = row(&HEAD)
        + &row(&["r1", "quay-co", "3", "5"])
        + "<table:table-row table:number-rows-repeated=\"1048574\"><table:table-cell table:number-columns-repeated=\"16384\"/></table:table-row>";
    let said = check("ods-empty", "x.survey.ods", &open_document_of(&rows));
    assert_eq!(said.code, Some(1), "{}", said.stderr);
    assert!(said.stdout.contains("cell B2"), "{}", said.stdout);
}

/// A file as spreadsheet programs pack it, with one worksheet.
fn packed(worksheet: &str) -> Vec<u8> {
    let whole = with_cells(&[]);
    let mut from = zip::ZipArchive::new(Cursor::new(whole)).unwrap();
    let mut to = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated);
    for index in 0..from.len() {
        let part = from.by_index(index).unwrap();
        let name = part.name().unwrap().into_owned();
        if name == "xl/worksheets/sheet1.xml" {
            to.start_file(name, options).unwrap();
            to.write_all(worksheet.as_bytes()).unwrap();
        } else {
            to.raw_copy_file(part).unwrap();
        }
    }
    to.finish().unwrap().into_inner()
}

fn worksheet(rows: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><sheetData>{rows}</sheetData></worksheet>"
    )
}

#[test]
fn a_row_that_no_worksheet_has_is_said_of_its_file() {
    let cell = |at: &str| format!("<row><c r=\"{at}\" t=\"inlineStr\"><is><t>x</t></is></c></row>");
    for (name, at) in [
        ("row", "A99999999999"),
        ("below", "A1048577"),
        ("column", "ZZZZ1"),
    ] {
        let said = check(
            &format!("no-such-{name}"),
            "x.survey.xlsx",
            &packed(&worksheet(&cell(at))),
        );
        assert!(matches!(said.code, Some(2 | 3)), "{at}: {:?}", said.code);
        assert!(
            said.stderr.contains("surveys/x.survey.xlsx"),
            "{at}: {}",
            said.stderr
        );
    }
}

#[test]
fn what_a_spreadsheet_unpacks_to_is_measured() {
    let bytes = packed(&worksheet(&format!(
        "<row>{}</row>",
        "<c/>".repeat(20 << 20)
    )));
    assert!(bytes.len() < 500_000, "{}", bytes.len());
    let said = check("unpacked", "x.survey.xlsx", &bytes);
    assert_eq!(said.code, Some(2), "{}", said.stderr);
    assert!(
        said.stderr.contains("more than 64 MiB unpacked"),
        "{}",
        said.stderr
    );
}
