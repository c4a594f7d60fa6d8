//! Facts that a result depends on, and typed fields: the former for the digest and for a record that outlives the catalog, the
//! latter so that it can be worked out again.

use crate::evaluated::record_flag::RecordFlag;
use serde::Serialize;
use serde_json::{Map, Value, json};
use stainbook_catalog::written::tube::Method;
use stainbook_catalog::written::{
    Conditions, GroupEntry, PumpEntry, PumpKindEntry, Reading, ReferenceConditions, SourceEntry,
    StockBoxEntry, SubstanceEntry, SurveyEntry, TubeEntry,
};
use stainbook_catalog::{Book, EntryKind};
use stainbook_document::Node;
use stainbook_document::digest;

use crate::evaluate::ReadsToUsed;
use crate::stock::{BoxInStock, StandIns};

mod typed;

pub(crate) use typed::typed;

/// Everything a result depends on, as resolved, in the canonical form that the digest is taken of, and that digest.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Provenance {
    pub(crate) digest: String,
    pub(crate) embedded: Value,
}

/// Parts of a sheet that no result depends on: they tell of other sheets, of the checker, of who has what to say.
const NOT_IN_RESULTS: [&str; 5] = ["worked", "control", "accept", "remark", "review_by"];

/// Sheet, substances, groups, pump with its kind, sources of the limits, the catalog's reference conditions.
#[derive(Serialize)]
struct Gathered<'b> {
    sheet: Value,
    /// Other sheets whose corrections this one refers to, with nothing but those; no list where it refers to none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    referred_sheets: Vec<Value>,
    substances: Vec<SubstanceEntry>,
    groups: Vec<GroupEntry>,
    pump: Option<&'b PumpEntry>,
    pump_kind: Option<&'b PumpKindEntry>,
    sources: Vec<&'b SourceEntry>,
    reference_conditions: Option<&'b ReferenceConditions>,
    /// Boxes in stock that stand in for what the reading does not say; where there are none nothing is said of them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    boxes: Vec<&'b StockBoxEntry>,
}

impl Provenance {
    /// Gathers them. `gases` are short names of all substances that were used, in any order.
    pub(crate) fn gather(
        book: &Book,
        id: &str,
        entry: &TubeEntry,
        gases: &[String],
        pump: Option<&str>,
        stand_ins: &StandIns,
    ) -> Option<Self> {
        let mut gases: Vec<&str> = gases.iter().map(String::as_str).collect();
        gases.sort_unstable();
        gases.dedup();
        let substances: Vec<SubstanceEntry> = gases
            .iter()
            .filter_map(|id| book.substance(id))
            .map(|substance| SubstanceEntry {
                // It stands here put together with what it adds to, and with nothing below it.
                adds_to: None,
                replaces_entry: None,
                // Readings have been given short names before, so that no result depends on names in other languages.
                names: Vec::new(),
                ..substance.clone()
            })
            .chain(only_named(book, entry, &gases))
            .collect();
        let mut sources: Vec<&str> = substances
            .iter()
            .flat_map(|substance| &substance.limits)
            .filter_map(|limit| limit.source.as_deref())
            .collect();
        sources.sort_unstable();
        sources.dedup();
        let measured = entry.group();
        let pump = pump.and_then(|id| book.pump(id));
        let gathered = Gathered {
            sheet: sheet(book, id, entry),
            referred_sheets: referred(book, entry),
            groups: measured
                .into_iter()
                .chain(gases.iter().copied().filter(|id| Some(*id) != measured))
                .filter_map(|id| book.group(id))
                .map(|group| GroupEntry {
                    names: Vec::new(),
                    ..group.clone()
                })
                .collect(),
            pump,
            pump_kind: pump
                .and_then(|pump| pump.kind.as_deref())
                .and_then(|kind| book.pump_kind(kind)),
            sources: sources
                .into_iter()
                .filter_map(|id| book.source(id))
                .collect(),
            substances,
            reference_conditions: book
                .catalog()
                .and_then(|(_, catalog)| catalog.reference_conditions.as_ref()),
            boxes: stand_ins.all().map(BoxInStock::facts).collect(),
        };
        let canonical = digest::canonical_json(&gathered).ok()?;
        let embedded = serde_json::from_str(&canonical).ok()?;
        Some(Self {
            digest: digest::sha256(&gathered).ok()?,
            embedded,
        })
    }
}

/// The sheet with its numbers as they were typed: half the last digit of a table is part of the uncertainty, so that 1.10
/// and 1.1 are two facts. Numbers are text here, because JSON keeps no digits.
fn sheet(book: &Book, id: &str, entry: &TubeEntry) -> Value {
    let mut sheet = serde_json::to_value(entry).unwrap_or(Value::Null);
    if let Some(fields) = sheet.as_object_mut() {
        for key in NOT_IN_RESULTS {
            fields.remove(key);
        }
    }
    let root = book
        .find(EntryKind::Tube, id)
        .and_then(|entry| entry.document.root());
    as_typed(&mut sheet, root);
    sheet
}

/// The sheets that a sheet's corrections are taken from.
fn referred(book: &Book, entry: &TubeEntry) -> Vec<Value> {
    let corrections = entry.correct.iter().flat_map(|correct| {
        [&correct.temperature, &correct.humidity, &correct.pressure]
            .into_iter()
            .flatten()
    });
    let mut ids: Vec<&str> = corrections
        .flat_map(|correction| std::iter::once(correction).chain(&correction.tables))
        .filter(|correction| correction.method == Some(Method::AsOnAnotherSheet))
        .filter_map(|correction| correction.sheet.as_deref())
        .collect();
    ids.sort_unstable();
    ids.dedup();
    let kept = |key: &str| matches!(key, "tube" | "correct");
    ids.into_iter()
        .filter_map(|id| {
            let mut other = sheet(book, id, book.tube(id)?);
            other.as_object_mut()?.retain(|key, _| kept(key));
            Some(other)
        })
        .collect()
}

fn as_typed(value: &mut Value, node: Option<Node<'_>>) {
    match value {
        Value::Number(number) => {
            let text = node
                .and_then(Node::text)
                .map_or_else(|| number.to_string(), str::to_owned);
            *value = Value::String(text);
        }
        Value::Array(items) => {
            for (index, item) in items.iter_mut().enumerate() {
                as_typed(item, node.and_then(|node| node.item(index)));
            }
        }
        Value::Object(fields) => {
            for (key, field) in fields {
                as_typed(field, node.and_then(|node| node.get(key)));
            }
        }
        _ => {}
    }
}

/// Gases that the sheet has a factor for and the result is not about: the sheet cannot be read without their names.
fn only_named<'e>(
    book: &'e Book,
    entry: &'e TubeEntry,
    used: &'e [&str],
) -> impl Iterator<Item = SubstanceEntry> + 'e {
    let also = entry.response_factors().iter();
    let mut ids: Vec<&str> = also
        .filter_map(|other| other.substance.as_deref())
        .filter(|id| !used.contains(id))
        .collect();
    ids.sort_unstable();
    ids.dedup();
    ids.into_iter()
        .filter_map(|id| book.substance(id))
        .map(|substance| SubstanceEntry {
            substance: substance.substance.clone(),
            name: substance.name.clone(),
            cas: substance.cas.clone(),
            formula: substance.formula.clone(),
            ..SubstanceEntry::default()
        })
}

/// Typed fields: the reading, the conditions that held for it, who read, and what was assured of it, if anything was.
pub(crate) fn inputs(
    reading: &Reading,
    conditions: &Conditions,
    by: Option<&str>,
    reads_to: ReadsToUsed,
    flags: &[RecordFlag],
) -> Value {
    let mut reading = typed(reading);
    // What the survey says of all readings is kept with each, as its conditions are.
    if let (ReadsToUsed::Stated(reads_to), Some(fields)) = (reads_to, reading.as_object_mut()) {
        fields.insert("reads_to".to_owned(), json!(reads_to));
    }
    // Put in as they are: `json!` would write each of them out into a second value.
    let mut inputs = Map::with_capacity(4);
    inputs.insert("by".to_owned(), by.map_or(Value::Null, Value::from));
    inputs.insert("conditions".to_owned(), typed(conditions));
    inputs.insert("reading".to_owned(), reading);
    let assured: Vec<Value> = flags
        .iter()
        .filter_map(|flag| match flag {
            RecordFlag::Assured(assured) => Some(typed(&**assured)),
            _ => None,
        })
        .collect();
    if !assured.is_empty() {
        inputs.insert("assured".to_owned(), Value::Array(assured));
    }
    Value::Object(inputs)
}

/// Fields typed once for the whole survey: all of it but the readings.
pub(crate) fn survey_inputs(survey: &SurveyEntry) -> Value {
    let mut typed = typed(survey);
    if let Some(fields) = typed.as_object_mut() {
        fields.remove("readings");
    }
    typed
}
