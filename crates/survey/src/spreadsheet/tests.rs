use calamine::{ExcelDateTime, ExcelDateTimeType};

use super::*;
use crate::table::header::{HeaderCell, columns};

fn column(head: &str) -> HeaderCell {
    let all = ["id", "tube", "strokes", "seen"];
    let header = all.into_iter().filter(|name| *name != head).chain([head]);
    let columns = columns(header).unwrap();
    columns.last().unwrap().known().unwrap().clone()
}

fn date(serial: f64) -> Data {
    Data::DateTime(ExcelDateTime::new(
        serial,
        ExcelDateTimeType::DateTime,
        false,
    ))
}

/// Text of a cell, or the problem with it.
fn said(head: &str, data: &Data, format: Option<&str>, zone: Option<&str>) -> String {
    let zone = zone.map(|zone| zone.parse().unwrap());
    match cell::text(data, &column(head), format, zone) {
        Ok(text) => text,
        Err(unclear) => format!("! {} | {}", unclear.message, unclear.help),
    }
}

// 46083.319444 is 2 March 2026, 07:40: 46083 days after 30 December 1899.
const MORNING: f64 = 46_083.319_444_444_445;

#[test]
fn cells_become_what_a_person_would_have_typed() {
    let text = |text: &str| Data::String(text.to_owned());
    for (head, data, format, zone, wanted) in [
        ("reading [ppm]", Data::Float(5.0), None, None, "5"),
        ("reading [ppm]", Data::Float(0.1 + 0.2), None, None, "0.3"),
        ("reading [ppm]", text(" 2.1 % "), None, None, "2.1 %"),
        (
            "humidity [%RH]",
            Data::Float(0.5),
            Some("0%"),
            None,
            "50 %RH",
        ),
        ("humidity [%RH]", Data::Float(50.0), Some("0.0"), None, "50"),
        ("leaflet", Data::Float(2.0), None, None, "2"),
        ("lot", Data::Float(24_117.0), None, None, "24117"),
        ("brought_to_ambient", Data::Bool(true), None, None, "true"),
        (
            "at",
            date(MORNING),
            None,
            Some("+02:00"),
            "2026-03-02T07:40+02:00",
        ),
        (
            "at",
            Data::DateTimeIso("2026-03-02T07:40:05".to_owned()),
            None,
            Some("-05:30"),
            "2026-03-02T07:40:05-05:30",
        ),
        ("expires", date(46_388.0), Some("mmm-yy"), None, "2027-01"),
        (
            "expires",
            date(46_388.0),
            Some("yyyy-mm-dd"),
            None,
            "2027-01-01",
        ),
        (
            "expires",
            Data::DateTimeIso("2027-01-31".to_owned()),
            None,
            None,
            "2027-01-31",
        ),
    ] {
        assert_eq!(said(head, &data, format, zone), wanted, "{head} {data:?}");
    }
}

#[test]
fn a_cell_that_can_mean_two_things_is_not_taken() {
    for (head, data, format, wanted) in [
        (
            "at",
            date(MORNING),
            None,
            "2026-03-02T07:40, does not say in which zone | give --zone",
        ),
        (
            "at",
            date(46_083.0),
            None,
            "the cell holds the day 2026-03-02 and no time",
        ),
        (
            "lot",
            date(45_597.0),
            Some("dd/mm/yyyy"),
            "has made a date of this cell, 2024-11-01",
        ),
        ("lot", Data::Float(24.1), None, "may have dropped a zero"),
        (
            "humidity [%RH]",
            Data::Float(0.5),
            None,
            "a cell that shows 50 % may hold 0.5",
        ),
        (
            "expires",
            date(46_388.0),
            None,
            "also what a spreadsheet makes of `2027-01`",
        ),
        (
            "reading [ppm]",
            Data::Error(calamine::CellErrorType::Div0),
            None,
            "the cell shows an error",
        ),
    ] {
        let said = said(head, &data, format, None);
        assert!(
            said.starts_with("! ") && said.contains(wanted),
            "{head}: {said}"
        );
    }
}

#[test]
fn the_columns_have_the_letters_of_a_spreadsheet() {
    for (column, wanted) in [(1, "A4"), (26, "Z4"), (27, "AA4"), (703, "AAA4")] {
        let place = place(Some("Round"), 4, column, "lot");
        assert_eq!(place, format!("worksheet `Round`, cell {wanted} (`lot`)"));
    }
}
