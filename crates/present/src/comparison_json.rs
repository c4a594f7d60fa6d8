//! A comparison for scripts. The keys are a contract, as in [`findings_json`](crate::findings_json).

use serde::Serialize;
use stainbook_check::compare::{Difference, DifferenceSide};
use stainbook_document::Document;

use crate::comparison::{FileComparison, span};
use crate::pretty_json;

/// The version of the keys.
pub const SCHEMA_VERSION: u32 = 1;

#[derive(Serialize)]
struct ComparisonReport<'a> {
    schema_version: u32,
    differences: usize,
    pairs: Vec<Pair<'a>>,
    only_in_a: &'a [&'a str],
    only_in_b: &'a [&'a str],
}

#[derive(Serialize)]
struct Pair<'a> {
    a: &'a str,
    b: &'a str,
    differences: Vec<DifferenceItem<'a>>,
}

#[derive(Serialize)]
pub(crate) struct DifferenceItem<'a> {
    field: &'a str,
    names: &'a [String],
    kind: &'static str,
    slip: Option<&'static str>,
    a: Option<SideItem<'a>>,
    b: Option<SideItem<'a>>,
}

/// Lines and columns count from 1, ends are exclusive.
#[derive(Serialize)]
struct SideItem<'a> {
    text: &'a str,
    pointer: String,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

/// The comparison as JSON.
///
/// # Errors
///
/// None that is known: everything in it is text and whole numbers.
pub fn render(comparison: &FileComparison<'_>) -> serde_json::Result<String> {
    let report = ComparisonReport {
        schema_version: SCHEMA_VERSION,
        differences: comparison.count(),
        pairs: comparison
            .pairs
            .iter()
            .map(|pair| Pair {
                a: pair.name_a,
                b: pair.name_b,
                differences: items(&pair.differences, pair.a, pair.b),
            })
            .collect(),
        only_in_a: &comparison.only_a,
        only_in_b: &comparison.only_b,
    };
    pretty_json::written(&report)
}

pub(crate) fn items<'a>(
    differences: &'a [Difference],
    a: &'a Document,
    b: &'a Document,
) -> Vec<DifferenceItem<'a>> {
    differences
        .iter()
        .map(|difference| DifferenceItem {
            field: &difference.field,
            names: &difference.names,
            kind: difference.kind.name(),
            slip: difference
                .slip
                .map(stainbook_check::compare::LikelySlip::words),
            a: difference.a.as_ref().map(|side| side_item(side, a)),
            b: difference.b.as_ref().map(|side| side_item(side, b)),
        })
        .collect()
}

fn side_item<'a>(side: &'a DifferenceSide, document: &Document) -> SideItem<'a> {
    let (start, end) = span(side, document);
    SideItem {
        text: &side.text,
        pointer: side
            .place
            .path()
            .map(ToString::to_string)
            .unwrap_or_default(),
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
    }
}
