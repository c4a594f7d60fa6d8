//! CAS numbers.

use stainbook_core::{CasError, CasNumber};

use crate::data;
use crate::report::{Origin, PublishedReport};

pub(crate) fn check(report: &mut PublishedReport) {
    for row in data::cas_vectors() {
        let text = row.text("number");
        let parsed = CasNumber::parse(text);
        let agrees = match row.text("verdict") {
            "right" => parsed.is_ok_and(|number| number.to_string() == text),
            "form" => matches!(parsed, Err(CasError::Lengths { .. })),
            "leading zeros" => matches!(parsed, Err(CasError::LeadingZero { .. })),
            other => {
                let digit: u8 = other.trim_start_matches("check digit ").parse().unwrap();
                matches!(parsed, Err(CasError::CheckDigit { expected, .. }) if expected == digit)
            }
        };
        report.origin = Origin::said(row.text("source"));
        report.check("CAS numbers, worked examples", text, agrees, String::new);
    }
    let tables = [
        data::formulas(),
        data::niosh_factors(),
        data::niosh_rel_pairs(),
        data::osha_z1(),
        data::european_pairs(),
    ];
    let mut numbers: Vec<String> = tables
        .iter()
        .flatten()
        .flat_map(|row| {
            row.text("cas")
                .split(" / ")
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .filter(|cas| !cas.is_empty())
        .collect();
    numbers.sort();
    numbers.dedup();
    report.origin = Origin::Again;
    for number in numbers {
        let parsed = CasNumber::parse(&number);
        report.check("CAS numbers of the tables", &number, parsed.is_ok(), || {
            format!("{parsed:?}")
        });
    }
}
