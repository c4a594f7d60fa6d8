//! Findings in the Static Analysis Results Interchange Format, SARIF 2.1.0 (OASIS standard, 2020), which code hosts,
//! editors and dashboards read.
//!
//! Beside what the standard asks for, this holds what uploaders of the GitHub kind need: relative URIs, a region with a
//! line in every location, help for every rule, and fingerprints by which a finding is known again when lines move.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};
use stainbook_check::{Rule, find_rule};
use stainbook_document::digest::sha256;
use stainbook_document::finding::{Fault, Finding, Safety};
use stainbook_document::place::Place;

use crate::pretty_json;
use crate::uri::{UriReference, reference};
use crate::{Located, Sources};

/// Address of the published schema of the form.
pub const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// The name for the folder that relative URIs are seen from. What it stands for is left to the reader, so that a report
/// does not depend on where it was made.
const BASE: &str = "SRCROOT";

/// Bytes of the longest text that is shown beside a place: each of a thousand places on one line would repeat it.
const LONGEST_SNIPPET: usize = 2000;

/// Facts of a run besides the findings.
#[derive(Clone, Copy, Debug)]
pub struct SarifRun<'a> {
    /// The folder in which the command was run, absolute, with `/` between folders: the paths of findings are seen from it.
    pub folder: &'a str,
    /// The catalogs, in words.
    pub catalog: &'a str,
    /// Number of files checked.
    pub files: usize,
    /// Failures of the command: a word for scripts and a sentence.
    pub failures: &'a [(&'a str, &'a str)],
}

/// The findings of each catalog with its sources as one SARIF log with one run.
///
/// # Errors
///
/// If something cannot be written as JSON, of which there is nothing known.
pub fn render(
    groups: &[(&[Finding], Sources<'_>)],
    run: &SarifRun<'_>,
) -> serde_json::Result<String> {
    let mut rules: Vec<&str> = groups
        .iter()
        .flat_map(|(findings, _)| findings.iter().map(Finding::rule))
        .collect();
    rules.sort_unstable();
    rules.dedup();
    let mut seen = BTreeMap::new();
    let mut results = Vec::new();
    for (findings, sources) in groups {
        // Offsets in a file of another encoding count in a text that is nowhere saved.
        let recoded: Vec<_> = findings
            .iter()
            .filter(|finding| finding.rule() == "not-utf-8")
            .map(|finding| finding.place().file)
            .collect();
        for finding in *findings {
            let scene = RegionScene {
                sources,
                folder: run.folder,
                bytes: !recoded.contains(&finding.place().file),
            };
            results.push(result(finding, &scene, &rules, &mut seen)?);
        }
    }
    let log = json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "stainbook",
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "shortDescription": {"text": "Checks a catalog of detector-tube data sheets for slips."},
                "rules": rules.iter().map(|name| descriptor(name)).collect::<Vec<_>>(),
            }},
            "columnKind": "unicodeCodePoints",
            "defaultEncoding": "utf-8",
            "originalUriBaseIds": {BASE: {"description": {"text": "the folder in which stainbook was run"}}},
            "invocations": [invocation(run)],
            "results": results,
            "properties": {"catalog": run.catalog, "files": run.files},
        }],
    });
    pretty_json::written(&log)
}

fn invocation(run: &SarifRun<'_>) -> Value {
    let told = |(code, message): &(&str, &str)| json!({"level": "error", "message": {"text": message}, "descriptor": {"id": code}});
    json!({
        "executionSuccessful": run.failures.is_empty(),
        "toolExecutionNotifications": run.failures.iter().map(told).collect::<Vec<_>>(),
    })
}

/// A rule with its document, as far as there is one.
fn descriptor(name: &str) -> Value {
    let Some(rule) = find_rule(name) else {
        return json!({"id": name});
    };
    let mut made = Map::new();
    made.insert("id".to_owned(), json!(name));
    made.insert("shortDescription".to_owned(), json!({"text": rule.summary}));
    made.insert("fullDescription".to_owned(), json!({"text": purpose(rule)}));
    made.insert(
        "defaultConfiguration".to_owned(),
        json!({"level": rule.level.name()}),
    );
    made.insert(
        "help".to_owned(),
        json!({"text": help(rule), "markdown": rule.docs}),
    );
    made.insert(
        "properties".to_owned(),
        json!({"tags": [rule.family.name()], "since": rule.since}),
    );
    Value::Object(made)
}

/// The paragraphs of a rule's document before its examples, each on one line.
fn paragraphs(rule: &Rule) -> Vec<String> {
    let before = rule.docs.split("\n## ").next().unwrap_or_default();
    let paragraphs = before
        .split("\n\n")
        .skip(1)
        .map(|paragraph| paragraph.split_whitespace().collect::<Vec<_>>().join(" "));
    paragraphs
        .filter(|paragraph| !paragraph.is_empty())
        .collect()
}

fn purpose(rule: &Rule) -> String {
    paragraphs(rule)
        .into_iter()
        .next()
        .unwrap_or_else(|| rule.summary.to_owned())
}

fn help(rule: &Rule) -> String {
    let all = paragraphs(rule);
    let all = if all.is_empty() {
        rule.summary.to_owned()
    } else {
        all.join("\n\n")
    };
    format!("{all}\n\n`stainbook explain {}` shows examples.", rule.name)
}

/// Inputs for turning places of a finding into regions.
struct RegionScene<'a> {
    sources: &'a Sources<'a>,
    folder: &'a str,
    bytes: bool,
}

fn result(
    finding: &Finding,
    scene: &RegionScene<'_>,
    rules: &[&str],
    seen: &mut BTreeMap<String, usize>,
) -> serde_json::Result<Value> {
    let at = scene.sources.locate(finding.place());
    let file = reference(at.path, scene.folder);
    let mut made = Map::new();
    made.insert("ruleId".to_owned(), json!(finding.rule()));
    if let Some(index) = rules.iter().position(|name| *name == finding.rule()) {
        made.insert("ruleIndex".to_owned(), json!(index));
    }
    made.insert("level".to_owned(), json!(finding.level().name()));
    made.insert("message".to_owned(), json!({"text": message(finding, &at)}));
    let mut place = location(finding.place(), scene);
    let mut logical = Vec::new();
    if !at.pointer.is_empty() {
        logical.push(json!({"fullyQualifiedName": at.pointer}));
    }
    if at.cell.is_some() {
        logical.push(json!({"fullyQualifiedName": at.in_the_file(), "kind": "cell"}));
    }
    if let (Some(place), false) = (place.as_object_mut(), logical.is_empty()) {
        place.insert("logicalLocations".to_owned(), Value::Array(logical));
    }
    made.insert("locations".to_owned(), json!([place]));
    let related: Vec<Value> = finding
        .related_places()
        .iter()
        .enumerate()
        .map(|(id, (place, words))| {
            let mut place = location(place, scene);
            if let Some(place) = place.as_object_mut() {
                place.insert("id".to_owned(), json!(id));
                place.insert("message".to_owned(), json!({"text": words}));
            }
            place
        })
        .collect();
    if !related.is_empty() {
        made.insert("relatedLocations".to_owned(), Value::Array(related));
    }
    let known_by = scene.sources.known_by(finding.place());
    let print = fingerprint(finding, (&at, &known_by), &file, seen)?;
    // The second name is the only one that GitHub looks at; with it, it does not make one from the line.
    made.insert(
        "partialFingerprints".to_owned(),
        json!({"rulePathText/v1": print, "primaryLocationLineHash": print}),
    );
    if !scene.sources.edits(finding).is_empty() {
        made.insert("fixes".to_owned(), json!([fix(finding, scene)]));
    }
    made.insert("properties".to_owned(), properties(finding, &at));
    Ok(Value::Object(made))
}

/// The problem, why it matters and the remedy; of a spreadsheet first the cell, as readers of the form know lines only.
fn message(finding: &Finding, at: &Located<'_>) -> String {
    let said = said(finding);
    match &at.cell {
        Some(cell) => format!("{cell}: {said}"),
        None => said,
    }
}

fn said(finding: &Finding) -> String {
    let rest = finding.notes().chain(finding.help_text());
    let parts: Vec<&str> = std::iter::once(finding.message_text())
        .chain(rest)
        .filter(|part| !part.is_empty())
        .collect();
    if parts.is_empty() {
        finding.rule().to_owned()
    } else {
        parts.join("\n\n")
    }
}

fn artifact(file: &UriReference) -> Value {
    if file.relative {
        json!({"uri": file.uri, "uriBaseId": BASE})
    } else {
        json!({"uri": file.uri})
    }
}

fn location(place: &Place, scene: &RegionScene<'_>) -> Value {
    let at = scene.sources.locate(place);
    let mut physical = Map::new();
    physical.insert(
        "artifactLocation".to_owned(),
        artifact(&reference(at.path, scene.folder)),
    );
    physical.insert("region".to_owned(), region(&at, scene, Snippet::With));
    if let Some((text, first, last)) = lines_around(&at) {
        let lines = json!({"startLine": first, "endLine": last, "snippet": {"text": text}});
        physical.insert("contextRegion".to_owned(), lines);
    }
    json!({"physicalLocation": physical})
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Snippet {
    With,
    Without,
}

fn region(at: &Located<'_>, scene: &RegionScene<'_>, snippet: Snippet) -> Value {
    let mut made = Map::new();
    let text = at.text.get(at.bytes.clone());
    let text = text.filter(|text| text.len() <= LONGEST_SNIPPET);
    if at.cell.is_some() {
        // The rows of a worksheet are its lines, which readers of the form ask for; it has no characters to count.
        made.insert("startLine".to_owned(), json!(at.start.line));
        made.insert("endLine".to_owned(), json!(at.end.line));
        if let (Some(text), Snippet::With) = (text, snippet) {
            made.insert("snippet".to_owned(), json!({"text": text}));
        }
        return Value::Object(made);
    }
    made.insert("startLine".to_owned(), json!(at.start.line));
    made.insert("startColumn".to_owned(), json!(at.start.column));
    made.insert("endLine".to_owned(), json!(at.end.line));
    made.insert("endColumn".to_owned(), json!(at.end.column));
    if scene.bytes && !at.text.is_empty() {
        made.insert("byteOffset".to_owned(), json!(at.bytes.start));
        made.insert("byteLength".to_owned(), json!(at.bytes.len()));
    }
    if let (Some(text), Snippet::With) = (text, snippet) {
        made.insert("snippet".to_owned(), json!({"text": text}));
    }
    Value::Object(made)
}

/// The lines that a place stands on, without the last line's end, and their numbers; nothing for lines that no person reads.
fn lines_around<'a>(at: &Located<'a>) -> Option<(&'a str, usize, usize)> {
    // No further is looked than is shown: a thousand places may stand on one line.
    let bytes = at.text.as_bytes();
    let nearest = at.bytes.start.saturating_sub(LONGEST_SNIPPET);
    let before = bytes.get(nearest..at.bytes.start)?;
    let newline = before.iter().rposition(|byte| *byte == b'\n');
    let from = match newline {
        Some(newline) => nearest + newline + 1,
        None if nearest == 0 => 0,
        None => return None,
    };
    let furthest = bytes
        .len()
        .min(at.bytes.end.saturating_add(LONGEST_SNIPPET));
    let after = bytes.get(at.bytes.end..furthest)?;
    let newline = after.iter().position(|byte| *byte == b'\n');
    let to = match newline {
        Some(newline) => at.bytes.end + newline,
        None if furthest == bytes.len() => furthest,
        None => return None,
    };
    let text = at.text.get(from..to)?.trim_end_matches('\r');
    (!text.is_empty() && text.len() <= LONGEST_SNIPPET).then_some((
        text,
        at.start.line,
        at.end.line,
    ))
}

/// Rule, file, the way to the place by what its rows are known by, and the text there, numbered where all of them are the
/// same: it changes neither when lines move nor when rows are put in above.
fn fingerprint(
    finding: &Finding,
    (at, known_by): (&Located<'_>, &str),
    file: &UriReference,
    seen: &mut BTreeMap<String, usize>,
) -> serde_json::Result<String> {
    let text = at
        .text
        .get(at.bytes.clone())
        .unwrap_or_default()
        .replace("\r\n", "\n");
    let hash = sha256(&[finding.rule(), &file.uri, known_by, &text])?;
    let count = seen.entry(hash.clone()).or_default();
    *count += 1;
    Ok(format!("{hash}:{count}"))
}

/// The change that is proposed, by file.
fn fix(finding: &Finding, scene: &RegionScene<'_>) -> Value {
    let mut files: BTreeMap<UriReference, Vec<Value>> = BTreeMap::new();
    for edit in scene.sources.edits(finding) {
        let at = scene.sources.locate(&edit.place);
        let replacement = json!({
            "deletedRegion": region(&at, scene, Snippet::Without),
            "insertedContent": {"text": edit.replacement},
        });
        files
            .entry(reference(at.path, scene.folder))
            .or_default()
            .push(replacement);
    }
    let changes: Vec<Value> = files
        .into_iter()
        .map(|(file, replacements)| json!({"artifactLocation": artifact(&file), "replacements": replacements}))
        .collect();
    let description = finding.help_text().unwrap_or("replace it");
    json!({
        "description": {"text": description},
        "artifactChanges": changes,
        "properties": {"safe": finding.safety() == Safety::Safe},
    })
}

fn properties(finding: &Finding, at: &Located<'_>) -> Value {
    let facts: BTreeMap<&str, Value> = finding
        .facts()
        .iter()
        .map(|(name, fact)| {
            (
                *name,
                json!({"value": fact.value, "unit": fact.unit, "text": fact.text}),
            )
        })
        .collect();
    json!({"pointer": at.pointer, "facts": facts, "ourFault": finding.fault() == Fault::Ours})
}
