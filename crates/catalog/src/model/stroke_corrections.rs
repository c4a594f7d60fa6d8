//! The corrections for one condition: one for all stroke counts, or one for each.

use stainbook_core::{Humidity, Written};
use stainbook_document::place::Path;

use super::correction::CorrectionOf;
use super::{Correction, Unusable};
use crate::Book;
use crate::written::tube::{Axis, Correction as WrittenCorrection, Method};

/// The corrections for temperature, humidity or pressure.
#[derive(Clone, Debug, PartialEq)]
pub struct StrokeCorrections {
    tables: Vec<StrokeCorrection>,
}

/// A correction with what it holds for.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct StrokeCorrection {
    /// The correction.
    pub correction: Correction,
    /// Its place among the tables of the sheet, if there are several.
    pub table: Option<usize>,
    /// The stroke counts that it is printed for; empty if for every one.
    pub for_strokes: Vec<f64>,
    /// The stroke counts for which it does not hold.
    pub not_for_strokes: Vec<f64>,
    /// The humidities at which alone the leaflet states it; an end that it does not have is nothing.
    pub at_humidity: Option<[Option<Humidity>; 2]>,
}

/// Two stroke counts that count as one: what a half or a third of a stroke loses in writing.
const SAME_STROKES: f64 = 1e-6;

static NOT_FOR_STROKES: Correction = Correction::NotForStrokes;

impl StrokeCorrections {
    /// The correction for a stroke count.
    pub fn at(&self, strokes: f64) -> &Correction {
        self.entry_at(strokes)
            .map_or(&NOT_FOR_STROKES, |entry| &entry.correction)
    }

    /// The same with what else it holds for; nothing if the leaflet states none for the count.
    pub fn entry_at(&self, strokes: f64) -> Option<&StrokeCorrection> {
        let counts = |list: &[f64]| {
            list.iter()
                .any(|count| (count - strokes).abs() <= SAME_STROKES)
        };
        self.tables.iter().find(|table| {
            (table.for_strokes.is_empty() || counts(&table.for_strokes))
                && !counts(&table.not_for_strokes)
        })
    }

    /// All of them, in the order of the sheet.
    pub fn all(&self) -> impl Iterator<Item = &Correction> {
        self.tables.iter().map(|table| &table.correction)
    }

    pub(super) fn from_written(
        written: &WrittenCorrection,
        of: &CorrectionOf<'_>,
        path: &Path,
    ) -> Result<Self, Unusable> {
        let one = |written: &WrittenCorrection, table: Option<usize>, path: &Path| {
            let numbers = |list: &[crate::written::Num]| -> Vec<f64> {
                list.iter().map(|number| number.value()).collect()
            };
            Ok(StrokeCorrection {
                correction: Correction::from_written(written, of, path)?,
                table,
                for_strokes: numbers(&written.for_strokes),
                not_for_strokes: numbers(&written.not_for_strokes),
                at_humidity: written
                    .at_humidity
                    .as_ref()
                    .map(|span| [span.low(), span.high()].map(|end| end.map(Written::value))),
            })
        };
        // A leaflet that refers to another one refers to all tables of it.
        let (several, path) = if written.method == Some(Method::AsOnAnotherSheet) {
            match referred(written, of.axis, of.book) {
                Some(other) => (other, path),
                None => (written, path),
            }
        } else {
            (written, path)
        };
        if several.method != Some(Method::ByStrokes) {
            return Ok(Self {
                tables: vec![one(written, None, path)?],
            });
        }
        let at = path.clone().key("tables");
        if several.tables.is_empty() {
            return Err(Unusable::missing(at));
        }
        let tables = several.tables.iter().enumerate();
        let tables: Result<Vec<StrokeCorrection>, Unusable> = tables
            .map(|(index, table)| one(table, Some(index), &at.clone().index(index)))
            .collect();
        Ok(Self { tables: tables? })
    }
}

fn referred<'b>(
    written: &WrittenCorrection,
    axis: Axis,
    book: &'b Book,
) -> Option<&'b WrittenCorrection> {
    super::correction::on_another_sheet(book, written.sheet.as_deref()?, axis).ok()
}
