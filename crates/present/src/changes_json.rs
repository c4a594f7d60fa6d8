//! Changes for scripts. The keys are a contract, as in [`findings_json`](crate::findings_json).

use serde::Serialize;
use stainbook_revision::effects::{SheetEffects, SubstanceEffects};
use stainbook_revision::results::SurveyMove;

use crate::change_words as words;
use crate::comparison_json::{DifferenceItem, items};
use crate::pretty_json;
use stainbook_revision::changes::{Changes, Named};

/// The version of the keys.
pub const SCHEMA_VERSION: u32 = 1;

#[derive(Serialize)]
struct ChangesReport<'a> {
    schema_version: u32,
    added: Vec<AddedItem<'a>>,
    removed: Vec<EntryItem<'a>>,
    changed: Vec<ChangedItem<'a>>,
    surveys: &'a [SurveyMove],
}

#[derive(Serialize)]
struct EntryItem<'a> {
    kind: &'static str,
    id: &'a str,
    file: &'a str,
}

#[derive(Serialize)]
struct AddedItem<'a> {
    #[serde(flatten)]
    entry: EntryItem<'a>,
    replaces: Option<&'a str>,
    effects: Option<SheetItem<'a>>,
}

#[derive(Serialize)]
struct ChangedItem<'a> {
    old: EntryItem<'a>,
    new: EntryItem<'a>,
    /// `a` is the old state and `b` the new one, as in `compare`.
    differences: Vec<DifferenceItem<'a>>,
    sheet: Option<SheetItem<'a>>,
    substance: Option<&'a SubstanceEffects>,
}

#[derive(Serialize)]
struct SheetItem<'a> {
    #[serde(flatten)]
    effects: &'a SheetEffects,
    sentences: Vec<String>,
}

/// The changes as JSON.
///
/// # Errors
///
/// None that is known: figures that are no number become null.
pub fn render(changes: &Changes<'_>) -> serde_json::Result<String> {
    let report = ChangesReport {
        schema_version: SCHEMA_VERSION,
        added: changes
            .added
            .iter()
            .map(|added| AddedItem {
                entry: entry(&added.entry),
                replaces: added.replaces.as_ref().map(|(sheet, _)| *sheet),
                effects: added.replaces.as_ref().map(|(_, effects)| sheet(effects)),
            })
            .collect(),
        removed: changes.removed.iter().map(entry).collect(),
        changed: changes
            .changed
            .iter()
            .map(|changed| ChangedItem {
                old: entry(&changed.old),
                new: entry(&changed.new),
                differences: items(
                    &changed.differences,
                    changed.old_document,
                    changed.new_document,
                ),
                sheet: changed.sheet.as_ref().map(sheet),
                substance: changed.substance.as_ref(),
            })
            .collect(),
        surveys: &changes.surveys,
    };
    pretty_json::written(&report)
}

fn entry<'a>(named: &Named<'a>) -> EntryItem<'a> {
    EntryItem {
        kind: named.kind.name(),
        id: named.id,
        file: named.file,
    }
}

fn sheet(effects: &SheetEffects) -> SheetItem<'_> {
    SheetItem {
        effects,
        sentences: words::sheet(effects),
    }
}
