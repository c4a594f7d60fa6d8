//! Entries of the catalog as they are now, against the facts of a record.

use crate::pairing::paired;
use crate::recorded::{RecordedEntry, parts};
use crate::verification::Datum;
use serde_json::Value;
use stainbook_catalog::EntryKind;
use stainbook_catalog::READ_OPTIONS;
use stainbook_check::compare::{Scope, compare};
use stainbook_document::Document;
use stainbook_document::digest;
use stainbook_document::place::FileId;
use stainbook_evaluation::{Evaluation, ReadingResult};

/// An entry that says something else now.
#[derive(Clone, Debug)]
pub(super) struct ChangedEntry {
    /// The entry as it is now; nothing if it is gone, or the result was refused before it came to facts.
    pub(super) now: Option<RecordedEntry>,
    /// Differences.
    pub(super) data: Vec<Datum>,
}

impl ChangedEntry {
    /// Key of the pair: the same for all results that hold the same entry and meet the same one now.
    pub(super) fn key(&self) -> String {
        let now = self.now.as_ref().map(|now| {
            let says = digest::sha256(&now.says).unwrap_or_default();
            format!("{} {} {says}", now.kind.name(), now.id)
        });
        let data: Vec<String> = self.data.iter().map(Datum::words).collect();
        format!("{}\n{}", now.unwrap_or_default(), data.join("\n"))
    }
}

/// The entries that a result rests on and that say something else now.
pub(super) fn changed_data(
    kept: &Evaluation,
    was: &ReadingResult,
    now: &Evaluation,
    is: &ReadingResult,
) -> Vec<ChangedEntry> {
    if was.sheet_digest == is.sheet_digest {
        return Vec::new();
    }
    // Refused before it came to any facts: the refusal says why.
    if let (None, Some(refusal)) = (&is.sheet_digest, &is.refusal) {
        let sheet = was.sheet.as_ref().map(|sheet| sheet.id.clone());
        let datum = Datum {
            kind: EntryKind::Tube.name(),
            entry: sheet.unwrap_or_default(),
            field: refusal.text.clone(),
            was: None,
            is: None,
        };
        return vec![ChangedEntry {
            now: None,
            data: vec![datum],
        }];
    }
    let facts = |of: &Evaluation, result: &ReadingResult| {
        result
            .sheet_digest
            .as_ref()
            .and_then(|digest| of.facts.get(digest))
            .map(parts)
            .unwrap_or_default()
    };
    let same = |part: &RecordedEntry, other: &RecordedEntry| {
        // There is one sheet, one pump and one kind of pump; of the others there may be several.
        let single = matches!(
            part.kind,
            EntryKind::Tube | EntryKind::Pump | EntryKind::PumpKind
        );
        other.kind == part.kind && (single || other.id == part.id)
    };
    let (pairs, new) = paired(facts(kept, was), facts(now, is), same);
    let mut changed = Vec::new();
    for (part, now) in pairs {
        let data = between(&part, now.as_ref());
        if !data.is_empty() {
            changed.push(ChangedEntry { now, data });
        }
    }
    for part in new {
        let datum = Datum {
            kind: part.kind.name(),
            entry: part.id.clone(),
            field: String::new(),
            was: None,
            is: Some("there now".to_owned()),
        };
        changed.push(ChangedEntry {
            now: Some(part),
            data: vec![datum],
        });
    }
    changed
}

/// Changed data of one entry, in the words in which two transcriptions are compared.
fn between(old: &RecordedEntry, new: Option<&RecordedEntry>) -> Vec<Datum> {
    let datum = |field: String, was: Option<String>, is: Option<String>| Datum {
        kind: old.kind.name(),
        entry: old.id.clone(),
        field,
        was,
        is,
    };
    let Some(new) = new else {
        return vec![datum(String::new(), Some("used then".to_owned()), None)];
    };
    let mut data = Vec::new();
    if old.id != new.id {
        data.push(datum(
            "another entry is used".to_owned(),
            Some(old.id.clone()),
            Some(new.id.clone()),
        ));
    }
    let (a, b) = (document(old, 0), document(new, 1));
    let id_key = old.kind.id_key();
    data.extend(
        compare(old.kind, &a, &b, Scope::Everything)
            .into_iter()
            .filter(|difference| difference.names.first().is_none_or(|name| name != id_key))
            .map(|difference| {
                datum(
                    difference.field,
                    difference.a.map(|side| side.text),
                    difference.b.map(|side| side.text),
                )
            }),
    );
    data
}

/// The entry as a document, which is what two transcriptions are compared as.
fn document(part: &RecordedEntry, file: u32) -> Document {
    let text = part.says.to_string();
    let name = format!("{}.{}.yaml", part.id, part.kind.name());
    let read = Document::read(FileId(file), &name, text.as_bytes(), &READ_OPTIONS);
    read.0
}

/// Facts with one entry as it is now.
pub(super) fn with(facts: &Value, now: &RecordedEntry) -> Value {
    let mut facts = facts.clone();
    let slots: Vec<&mut Value> = match (now.kind, &mut facts) {
        (_, Value::Object(fields)) => fields
            .values_mut()
            .flat_map(|field| match field {
                Value::Array(items) => items.iter_mut().collect(),
                other => vec![other],
            })
            .collect(),
        _ => Vec::new(),
    };
    for slot in slots {
        let id = slot.get(now.kind.id_key()).and_then(Value::as_str);
        if id == Some(now.id.as_str()) {
            *slot = now.says.clone();
        }
    }
    facts
}
