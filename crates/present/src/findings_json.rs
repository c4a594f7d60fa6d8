//! Findings for scripts.
//!
//! The keys are a contract: `schema_version` counts up when one of them changes its meaning or goes.

use std::collections::BTreeMap;

use serde::Serialize;
use stainbook_document::finding::{Fault, Finding, Safety};
use stainbook_document::place::Place;

use crate::pretty_json;
use crate::{Counts, Sources};

/// The version of the keys.
pub const SCHEMA_VERSION: u32 = 1;

#[derive(Serialize)]
struct FindingsReport<'a> {
    schema_version: u32,
    catalog: Option<&'a str>,
    files: usize,
    /// Numbers of all findings, those included that are only counted in the list.
    errors: usize,
    warnings: usize,
    notes: usize,
    findings: Vec<FindingItem<'a>>,
}

#[derive(Serialize)]
struct FindingItem<'a> {
    rule: &'a str,
    level: &'static str,
    #[serde(flatten)]
    at: PlaceItem<'a>,
    message: &'a str,
    label: Option<&'a str>,
    notes: Vec<&'a str>,
    help: Option<&'a str>,
    facts: BTreeMap<&'static str, FactItem<'a>>,
    related: Vec<Related<'a>>,
    edits: Vec<EditItem<'a>>,
    our_fault: bool,
}

/// Lines and columns count from 1, columns in Unicode scalar values; ends are exclusive. In a spreadsheet they are rows and
/// columns of the worksheet, and there are no bytes.
#[derive(Serialize)]
struct PlaceItem<'a> {
    file: &'a str,
    pointer: String,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    byte_start: Option<usize>,
    byte_end: Option<usize>,
    /// Null but in a spreadsheet.
    worksheet: Option<&'a str>,
    /// The cell as in `D7`, or the first and the last as in `A7:K7`; null but in a spreadsheet.
    cell: Option<String>,
}

#[derive(Serialize)]
struct FactItem<'a> {
    value: Option<f64>,
    unit: &'a str,
    text: &'a str,
}

#[derive(Serialize)]
struct Related<'a> {
    #[serde(flatten)]
    at: PlaceItem<'a>,
    text: &'a str,
}

#[derive(Serialize)]
struct EditItem<'a> {
    #[serde(flatten)]
    at: PlaceItem<'a>,
    replacement: &'a str,
    /// True if it may be made without anybody looking at it.
    safe: bool,
}

/// Everything that is known of the findings; `files` is how many files were looked at, `catalog` what they were checked
/// against.
///
/// # Errors
///
/// If a figure cannot be written as JSON; figures that are no number become null, so there is none known.
pub fn render(
    findings: &[Finding],
    sources: &Sources<'_>,
    files: usize,
    catalog: Option<&str>,
) -> serde_json::Result<String> {
    let counts = Counts::of(findings);
    let findings = findings
        .iter()
        .map(|finding| item(finding, sources))
        .collect();
    written(&report(findings, counts, files, catalog))
}

/// The same for files of several catalogs, each with its own sources, in one report; `counts` are those of all findings, if
/// not all are shown ([`most_shown`](crate::most_shown())).
///
/// # Errors
///
/// As [`render`].
pub fn render_groups(
    groups: &[(&[Finding], Sources<'_>)],
    counts: Counts,
    files: usize,
    catalogs: &str,
) -> serde_json::Result<String> {
    let findings = groups
        .iter()
        .flat_map(|(findings, sources)| findings.iter().map(|finding| item(finding, sources)))
        .collect();
    written(&report(findings, counts, files, Some(catalogs)))
}

fn report<'a>(
    findings: Vec<FindingItem<'a>>,
    counts: Counts,
    files: usize,
    catalog: Option<&'a str>,
) -> FindingsReport<'a> {
    FindingsReport {
        schema_version: SCHEMA_VERSION,
        catalog,
        files,
        errors: counts.errors,
        warnings: counts.warnings,
        notes: counts.notes,
        findings,
    }
}

fn written(report: &FindingsReport<'_>) -> serde_json::Result<String> {
    pretty_json::written(report)
}

fn item<'a>(finding: &'a Finding, sources: &Sources<'a>) -> FindingItem<'a> {
    let fact = |(name, fact): &'a (&'static str, stainbook_document::finding::Fact)| {
        (
            *name,
            FactItem {
                value: fact.value,
                unit: &fact.unit,
                text: &fact.text,
            },
        )
    };
    let related = |(place, text): &'a (Place, String)| Related {
        at: at(place, sources),
        text,
    };
    FindingItem {
        rule: finding.rule(),
        level: finding.level().name(),
        at: at(finding.place(), sources),
        message: finding.message_text(),
        label: finding.label_text(),
        notes: finding.notes().collect(),
        help: finding.help_text(),
        facts: finding.facts().iter().map(fact).collect(),
        related: finding.related_places().iter().map(related).collect(),
        edits: sources
            .edits(finding)
            .iter()
            .map(|edit| EditItem {
                at: at(&edit.place, sources),
                replacement: &edit.replacement,
                safe: finding.safety() == Safety::Safe,
            })
            .collect(),
        our_fault: finding.fault() == Fault::Ours,
    }
}

fn at<'a>(place: &Place, sources: &Sources<'a>) -> PlaceItem<'a> {
    let at = sources.locate(place);
    PlaceItem {
        file: at.path,
        pointer: at.pointer,
        line: at.start.line,
        column: at.start.column,
        end_line: at.end.line,
        end_column: at.end.column,
        byte_start: at.cell.is_none().then_some(at.bytes.start),
        byte_end: at.cell.is_none().then_some(at.bytes.end),
        worksheet: at.cell.map(|cell| cell.worksheet),
        cell: at.cell.map(|cell| cell.cells.to_string()),
    }
}
