//! What a result depends on, and what was typed: the fingerprint of the one, the record of the other.

use serde::Serialize;
use serde_json::{Map, Number, Value, json};
use stainbook_catalog::written::{
    Conditions, GroupEntry, PumpEntry, PumpKindEntry, Reading, SourceEntry, SubstanceEntry,
    TubeEntry,
};
use stainbook_catalog::{Book, digest};

/// Everything a result depends on, as resolved: sheet, substances, groups, pump with its kind, sources of the limits.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Facts<'b> {
    sheet: Value,
    substances: Vec<&'b SubstanceEntry>,
    groups: Vec<&'b GroupEntry>,
    pump: Option<&'b PumpEntry>,
    pump_kind: Option<&'b PumpKindEntry>,
    sources: Vec<&'b SourceEntry>,
}

/// Parts of a sheet that no result depends on: they tell of other sheets, of the checker, of who has what to say.
const NOT_IN_RESULTS: [&str; 5] = ["worked", "control", "accept", "remark", "review_by"];

impl<'b> Facts<'b> {
    /// Gathers them. `gases` are short names of all substances that were used, in any order.
    pub(crate) fn gather(
        book: &'b Book,
        entry: &TubeEntry,
        gases: &[String],
        pump: Option<&str>,
    ) -> Self {
        let mut sheet = serde_json::to_value(entry).unwrap_or(Value::Null);
        if let Some(fields) = sheet.as_object_mut() {
            for key in NOT_IN_RESULTS {
                fields.remove(key);
            }
        }
        let mut gases: Vec<&str> = gases.iter().map(String::as_str).collect();
        gases.sort_unstable();
        gases.dedup();
        let substances: Vec<&SubstanceEntry> =
            gases.iter().filter_map(|id| book.substance(id)).collect();
        let mut sources: Vec<&str> = substances
            .iter()
            .flat_map(|substance| &substance.limits)
            .filter_map(|limit| limit.source.as_deref())
            .collect();
        sources.sort_unstable();
        sources.dedup();
        let measured = entry
            .measures
            .as_ref()
            .and_then(|measures| measures.group.as_deref());
        let pump = pump.and_then(|id| book.pump(id));
        Self {
            sheet,
            groups: measured.and_then(|id| book.group(id)).into_iter().collect(),
            pump,
            pump_kind: pump
                .and_then(|pump| pump.kind.as_deref())
                .and_then(|kind| book.pump_kind(kind)),
            sources: sources
                .into_iter()
                .filter_map(|id| book.source(id))
                .collect(),
            substances,
        }
    }

    /// The SHA-256 of the canonical JSON.
    pub(crate) fn digest(&self) -> Option<String> {
        digest::sha256(self).ok()
    }
}

/// What was typed: the reading, the conditions that held for it, and who read.
pub(crate) fn inputs(reading: &Reading, conditions: &Conditions, by: Option<&str>) -> Value {
    json!({
        "by": by,
        "conditions": present(serde_json::to_value(conditions).unwrap_or(Value::Null)),
        "reading": present(serde_json::to_value(reading).unwrap_or(Value::Null)),
    })
}

/// Three strokes were typed as `3`, not as `3.0`.
fn whole(number: Number) -> Number {
    let text = number.to_string();
    text.strip_suffix(".0")
        .and_then(|digits| digits.parse::<i64>().ok())
        .map_or(number, Number::from)
}

/// Without what was not typed.
fn present(value: Value) -> Value {
    match value {
        Value::Object(fields) => Value::Object(
            fields
                .into_iter()
                .map(|(key, value)| (key, present(value)))
                .filter(|(_, value)| {
                    !matches!(value, Value::Null)
                        && value.as_object().is_none_or(|map| !map.is_empty())
                })
                .filter(|(_, value)| value.as_array().is_none_or(|items| !items.is_empty()))
                .collect::<Map<_, _>>(),
        ),
        Value::Array(items) => Value::Array(items.into_iter().map(present).collect()),
        Value::Number(number) => Value::Number(whole(number)),
        other => other,
    }
}
