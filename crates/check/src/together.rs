//! Readings together, as a survey states them: the common part of the rules about them.

use stainbook_catalog::written::{GroupRow, Reading, SurveyEntry, TogetherMethod};
use stainbook_document::place::Path;

use crate::Context;
use crate::readings::{Sheets, placed};

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

/// The reading of this name with its place; nothing if there are two of it, which has a rule of its own.
pub(crate) fn reading<'a>(survey: &'a SurveyEntry, id: &str) -> Option<(Path, &'a Reading)> {
    let mut called = placed(survey).filter(|(_, reading)| reading.id.as_deref() == Some(id));
    let first = called.next()?;
    called.next().is_none().then_some(first)
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
pub(crate) fn gas_of(survey: &SurveyEntry, context: &Context<'_>, id: &str) -> Option<String> {
    if let Some((_, reading)) = reading(survey, id) {
        return gas(context, reading);
    }
    let average = survey
        .together
        .iter()
        .find(|row| row.method == Some(TogetherMethod::Average) && row.id.as_deref() == Some(id))?;
    let first = average.readings.first()?;
    gas(context, reading(survey, first)?.1)
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
