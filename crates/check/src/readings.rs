//! The sheets that the readings of a survey belong to: what the rules about surveys have in common.
//!
//! A lot is evaluated with its own leaflet, so a reading names a sheet, or a series with the lot or the leaflet's revision
//! that says which. Only what cannot be true or evaluated is for the rules; a true record of a doubtful measurement (an
//! expired lot, a pump that was not tested) is flagged in the result.

use stainbook_catalog::model::series_of;
use stainbook_catalog::written::tube::{MeasuringRange, Scale};
use stainbook_catalog::written::{Reading, SurveyEntry, TubeEntry};
use stainbook_catalog::{Book, Entry, EntryKind};
use stainbook_document::place::Path;

use crate::printed::same;

/// A sheet with its short name.
pub(crate) type NamedSheet<'a> = (&'a str, &'a TubeEntry);

/// The sheets of a catalog by the names under which surveys ask for them.
#[derive(Clone, Copy)]
pub(crate) struct Sheets<'a> {
    book: &'a Book,
}

impl<'a> Sheets<'a> {
    /// Of a catalog and those that it builds on.
    pub(crate) fn of(book: &'a Book) -> Self {
        Self { book }
    }

    /// The sheet of this short name, or all sheets of this series.
    pub(crate) fn called(self, name: &str) -> Vec<NamedSheet<'a>> {
        let named = self.book.find(EntryKind::Tube, name);
        if let (Some(entry), Some(tube)) = (named, self.book.tube(name)) {
            return vec![(entry.id(), tube)];
        }
        self.of_series(name)
    }

    /// The sheets of the series that a sheet belongs to.
    pub(crate) fn siblings(self, tube: &TubeEntry) -> Vec<NamedSheet<'a>> {
        self.of_series(&series_of(tube))
    }

    /// A catalog's own sheets under a short name count before those of the catalogs below it.
    fn of_series(self, series: &str) -> Vec<NamedSheet<'a>> {
        let found = self.book.sheets_of_series(series);
        let counts = |entry: &Entry| {
            let first = self.book.find(EntryKind::Tube, entry.id());
            first.is_some_and(|first| first.file == entry.file)
        };
        found
            .filter(|(entry, _)| counts(entry))
            .map(|(entry, tube)| (entry.id(), tube))
            .collect()
    }

    /// Those of the sheets that a reading names whose leaflet has the revision that it states.
    pub(crate) fn of_revision(self, reading: &Reading) -> Vec<NamedSheet<'a>> {
        let mut sheets = self.called(reading.tube.as_deref().unwrap_or_default());
        if let Some(leaflet) = reading.leaflet.as_deref() {
            sheets.retain(|(_, tube)| revision(tube).is_none_or(|own| own == leaflet));
        }
        sheets
    }

    /// Those of them whose leaflet belongs to the lot that it states; leaflets that say nothing of lots may.
    pub(crate) fn fitting(self, reading: &Reading) -> Vec<NamedSheet<'a>> {
        let sheets = self.of_revision(reading);
        let Some(lot) = reading.lot.as_deref() else {
            return sheets;
        };
        let (by_lot, others): (Vec<_>, Vec<_>) = sheets
            .into_iter()
            .partition(|(_, tube)| has_lot(tube, lot) == Some(true));
        if by_lot.is_empty() {
            let silent = others
                .into_iter()
                .filter(|(_, tube)| has_lot(tube, lot).is_none());
            return silent.collect();
        }
        by_lot
    }

    /// The one sheet that a reading belongs to; nothing if there is none or more than one, of which other rules speak.
    pub(crate) fn only(self, reading: &Reading) -> Option<NamedSheet<'a>> {
        match self.fitting(reading).as_slice() {
            [only] => Some(*only),
            _ => None,
        }
    }
}

/// The revision of a sheet's leaflet.
pub(crate) fn revision(tube: &TubeEntry) -> Option<&str> {
    tube.leaflet.as_ref()?.revision.as_deref()
}

/// True if a lot belongs to a sheet; nothing if the sheet does not say.
pub(crate) fn has_lot(tube: &TubeEntry, lot: &str) -> Option<bool> {
    let lots = tube.lots()?;
    Some(lots.contains(lot))
}

/// The readings of a survey with their places.
pub(crate) fn placed(survey: &SurveyEntry) -> impl Iterator<Item = (Path, &Reading)> {
    survey
        .readings
        .iter()
        .enumerate()
        .map(|(row, reading)| (Path::root().key("readings").index(row), reading))
}

/// The ranges of a sheet with so many strokes, on the scale that the reading names if it names one.
pub(crate) fn ranges_of(tube: &TubeEntry, reading: &Reading, strokes: f64) -> Vec<MeasuringRange> {
    let rows = tube.ranges_in_full().rows;
    rows.into_iter()
        .map(|full| full.range)
        .filter(|range| {
            range
                .strokes
                .as_ref()
                .is_some_and(|count| same(count.value(), strokes))
        })
        .filter(|range| {
            range.scale.is_none() || reading.scale.is_none() || range.scale == reading.scale
        })
        .collect()
}

/// The scale that a reading was read on; nothing if that cannot be told.
pub(crate) fn scale_of<'a>(tube: &'a TubeEntry, reading: &Reading) -> Option<&'a Scale> {
    let scales = &tube.read.as_ref()?.scales;
    if let [only] = scales.as_slice() {
        return Some(only);
    }
    let named = |name: &str| {
        scales
            .iter()
            .find(|scale| scale.name.as_deref() == Some(name))
    };
    if let Some(name) = reading.scale.as_deref() {
        return named(name);
    }
    let ranges = ranges_of(tube, reading, reading.strokes.as_ref()?.value());
    match ranges.as_slice() {
        [only] => named(only.scale.as_deref()?),
        _ => None,
    }
}

/// Sheets as they are spoken of: `` `a-r1` (revision 1, lots from 24-100) ``.
pub(crate) fn list(sheets: &[NamedSheet<'_>]) -> String {
    let one = |(id, tube): &NamedSheet<'_>| {
        let leaflet = tube.leaflet.as_ref();
        let revision = revision(tube).map_or(String::new(), |own| format!("revision {own}"));
        let lots = leaflet
            .and_then(|leaflet| leaflet.lots.as_ref())
            .map_or(String::new(), |lots| format!(", lots {}", lots.text()));
        format!("`{id}` ({revision}{lots})")
    };
    sheets.iter().map(one).collect::<Vec<_>>().join(" and ")
}
