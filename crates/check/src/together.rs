//! Readings together, as a survey states them: the common part of the rules about them.

use std::collections::BTreeMap;

use stainbook_catalog::written::{GroupRow, Reading, SurveyEntry, TogetherMethod};
use stainbook_document::place::Path;

use crate::Context;
use crate::readings::Sheets;

/// A name in a row, and where it stands.
pub(crate) struct NamedReading<'a> {
    pub(crate) path: Path,
    pub(crate) id: &'a str,
}

/// The rows with their places.
pub(crate) fn rows(survey: &SurveyEntry) -> impl Iterator<Item = (Path, &GroupRow)> {
    survey
        .together
        .iter()
        .enumerate()
        .map(|(row, together)| (Path::root().key("together").index(row), together))
}

/// Everything that a row names: its readings, then its averages.
pub(crate) fn named<'a>(path: &Path, row: &'a GroupRow) -> Vec<NamedReading<'a>> {
    let list = |field: &'static str, ids: &'a [String]| {
        let path = path.clone().key(field);
        ids.iter().enumerate().map(move |(index, id)| NamedReading {
            path: path.clone().index(index),
            id,
        })
    };
    list("readings", &row.readings)
        .chain(list("averages", &row.averages))
        .collect()
}

/// The readings of a survey by their names.
pub(crate) struct ReadingsByName<'a> {
    /// With the row; nothing for a name that two readings have, which has a rule of its own.
    by_name: BTreeMap<&'a str, Option<(usize, &'a Reading)>>,
}

impl<'a> ReadingsByName<'a> {
    pub(crate) fn of(survey: &'a SurveyEntry) -> Self {
        let mut by_name = BTreeMap::new();
        for (row, reading) in survey.readings.iter().enumerate() {
            if let Some(id) = reading.id.as_deref() {
                by_name
                    .entry(id)
                    .and_modify(|known| *known = None)
                    .or_insert(Some((row, reading)));
            }
        }
        Self { by_name }
    }

    /// The reading of this name with its place; nothing if there are two of it.
    pub(crate) fn get(&self, id: &str) -> Option<(Path, &'a Reading)> {
        let (row, reading) = (*self.by_name.get(id)?)?;
        Some((Path::root().key("readings").index(row), reading))
    }

    /// True if a reading has this name.
    pub(crate) fn has(&self, id: &str) -> bool {
        self.by_name.contains_key(id)
    }
}

/// True if the names of all readings are known: a row or a name that could not be read may be the one that is meant.
pub(crate) fn names_are_known(survey: &SurveyEntry, context: &Context<'_>) -> bool {
    let document = &context.entry.document;
    let rows = document
        .find(&Path::root().key("readings"))
        .map_or(0, |node| node.items().count());
    !document.is_broken()
        && rows == survey.readings.len()
        && survey.readings.iter().all(|reading| reading.id.is_some())
}

/// The gas that a reading, or each reading of an average above a row, is of, by its short name; nothing where that cannot be
/// told.
pub(crate) fn gas_of(
    survey: &SurveyEntry,
    readings: &ReadingsByName<'_>,
    context: &Context<'_>,
    id: &str,
) -> Option<String> {
    if let Some((_, reading)) = readings.get(id) {
        return gas(context, reading);
    }
    let average = survey
        .together
        .iter()
        .find(|row| row.method == Some(TogetherMethod::Average) && row.id.as_deref() == Some(id))?;
    let first = average.readings.first()?;
    gas(context, readings.get(first)?.1)
}

fn gas(context: &Context<'_>, reading: &Reading) -> Option<String> {
    let short = |name: &str| {
        let found = context.book.find_substance(name).ok()?;
        found.substance.clone()
    };
    if let Some(stated) = reading.substance.as_deref() {
        return short(stated);
    }
    let (_, tube) = Sheets::of(context.book).only(reading)?;
    short(tube.measures.as_ref()?.substance.as_deref()?)
}
