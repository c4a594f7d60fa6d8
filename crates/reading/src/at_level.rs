//! What a reading would be, and how uncertain, if the air held a given concentration: for choosing a tube before a
//! measurement.

use stainbook_catalog::Book;
use stainbook_catalog::model::{AlsoMeasured, Range, Scale, Tube};
use stainbook_catalog::written::Conditions as WrittenConditions;

use crate::air::{self, AirAtPlace};
use crate::budget::{self, Relative, Run};
use crate::chain::{Chain, Reading};
use crate::defaults;
use crate::inputs::{Known, Taken};
use crate::needed;
use crate::prepared::Prepared;
use crate::result::{Refusal, Remark};
use crate::step_words;

/// A sheet made ready for any number of questions.
#[derive(Clone, Debug)]
pub struct ReadySheet<'b>(Prepared<'b>);

impl<'b> ReadySheet<'b> {
    /// Makes the sheet of this short name ready.
    ///
    /// # Errors
    ///
    /// A [`Refusal`] if there is no such sheet, or it says too little to be computed with.
    pub fn new(book: &'b Book, id: &str) -> Result<Self, Refusal> {
        Prepared::new(book, id).map(Self)
    }

    /// The tube.
    pub fn tube(&self) -> &Tube {
        &self.0.tube
    }
}

/// The air at a place, as far as it is known.
#[derive(Clone, Debug)]
pub struct Place {
    air: AirAtPlace,
    /// What is doubtful about the conditions, or was assumed.
    pub flags: Vec<Remark>,
}

impl Place {
    /// From conditions as they stand in a survey.
    ///
    /// # Errors
    ///
    /// A [`Refusal`] where they contradict each other or cannot be.
    pub fn new(conditions: &WrittenConditions) -> Result<Self, Refusal> {
        let mut flags = Vec::new();
        let air = air::at_place(conditions, &mut flags)?;
        Ok(Self { air, flags })
    }
}

/// What would be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtLevel {
    /// The reading on the scale.
    pub reading: f64,
    /// The concentration, in the unit of the scale.
    pub level: f64,
    /// The relative standard uncertainty of the result, with its effective degrees of freedom.
    pub relative: Relative,
    /// The expanded uncertainty for about 95 %, in the unit of the scale.
    pub expanded: f64,
    /// The same, as a part of the level.
    pub relative_expanded: f64,
}

/// Why nothing would be read.
#[derive(Clone, Debug, PartialEq)]
pub enum NothingToRead {
    /// The stain would end outside the scale: before the first mark or behind the last one.
    OffScale {
        /// The concentration at the first mark in this air.
        lowest: f64,
        /// The concentration at the last mark in this air.
        highest: f64,
    },
    /// The sheet cannot be used in this air, or needs a condition that is not known.
    Refused(Refusal),
}

/// The reading and its uncertainty for a concentration, in the unit of the range's scale, with every input as an evaluation
/// takes it: the reading between its marks, accuracy, repeatability, stroke volume, temperature, humidity, pressure, tables.
///
/// `range` and `other` are rows of the same sheet; `volume_within` is the pump's tolerance, or nothing for the default.
///
/// # Errors
///
/// [`NothingToRead`]: the stain would end outside the scale, or the sheet has no value in this air.
///
/// # Example
///
/// ```
/// use stainbook_catalog::Book;
/// use stainbook_catalog::written::{Conditions, Stated};
/// use stainbook_reading::at_level::{Place, ReadySheet, at_level};
///
/// let (book, _) = Book::demo();
/// let sheet = ReadySheet::new(&book, "brinewash-chlorine-a-r2").unwrap();
/// let conditions = Conditions {
///     air_temperature: Some(Stated::new("20 °C".parse().unwrap())),
///     pressure: Some(Stated::new("101.3 kPa".parse().unwrap())),
///     humidity: Some(Stated::new("50 %RH".parse().unwrap())),
///     ..Conditions::default()
/// };
/// let place = Place::new(&conditions).unwrap();
/// let range = sheet.tube().ranges.iter().find(|range| range.strokes == 3.0).unwrap();
/// let found = at_level(&sheet, range, None, 4.0, &place, None).unwrap();
/// assert!((found.reading - 4.0).abs() < 1e-6);
/// assert!(0.2 < found.relative_expanded && found.relative_expanded < 0.7);
/// ```
pub fn at_level(
    sheet: &ReadySheet<'_>,
    range: &Range,
    other: Option<&AlsoMeasured>,
    level: f64,
    place: &Place,
    volume_within: Option<f64>,
) -> Result<AtLevel, NothingToRead> {
    let tube = sheet.tube();
    let scale = scale_of(tube, range)?;
    needed::conditions(tube, scale, &place.air, &mut Vec::new()).map_err(NothingToRead::Refused)?;
    let chain = Chain::new(tube, scale, range, other);
    let reading = reading_at(tube, scale, &chain, &place.air.numbers(), level)?;
    Ok(uncertain(
        sheet,
        scale,
        range,
        other,
        &chain,
        reading,
        level,
        place,
        volume_within,
    ))
}

/// The concentration for a reading, in the unit of the range's scale, with its uncertainty: in numbers only, without a word
/// of what was done. For long tables of readings and for trying things out; a result that is to be kept comes from
/// [`evaluate`](crate::evaluate()), which says what it rests on.
///
/// # Errors
///
/// [`NothingToRead`]: the reading is not on the scale, or the sheet has no value in this air.
pub fn at_reading(
    sheet: &ReadySheet<'_>,
    range: &Range,
    other: Option<&AlsoMeasured>,
    reading: f64,
    place: &Place,
    volume_within: Option<f64>,
) -> Result<AtLevel, NothingToRead> {
    let tube = sheet.tube();
    let scale = scale_of(tube, range)?;
    needed::conditions(tube, scale, &place.air, &mut Vec::new()).map_err(NothingToRead::Refused)?;
    let chain = Chain::new(tube, scale, range, other);
    let air = place.air.numbers();
    if let (Some(first), Some(last)) = (scale.marks.first(), scale.marks.last())
        && !(*first <= reading && reading <= *last)
    {
        return Err(NothingToRead::OffScale {
            lowest: *first,
            highest: *last,
        });
    }
    let level = chain
        .value(reading, &air, Reading::AsStated)
        .map_err(|failed| {
            NothingToRead::Refused(step_words::refusal(tube, scale.unit.canonical(), &failed))
        })?;
    Ok(uncertain(
        sheet,
        scale,
        range,
        other,
        &chain,
        reading,
        level,
        place,
        volume_within,
    ))
}

fn scale_of<'t>(tube: &'t Tube, range: &Range) -> Result<&'t Scale, NothingToRead> {
    tube.scales.get(range.scale).ok_or_else(|| {
        NothingToRead::Refused(Refusal::new(
            "scale-unknown",
            "the sheet names a scale that it does not have",
            "have the sheet checked",
        ))
    })
}

#[allow(
    clippy::too_many_arguments,
    reason = "both questions have all of these in hand"
)]
fn uncertain(
    sheet: &ReadySheet<'_>,
    scale: &Scale,
    range: &Range,
    other: Option<&AlsoMeasured>,
    chain: &Chain<'_>,
    reading: f64,
    level: f64,
    place: &Place,
    volume_within: Option<f64>,
) -> AtLevel {
    let air = place.air.numbers();
    let known = Known {
        sheet: &sheet.0,
        scale,
        range,
        other,
        chain,
        air: &air,
        pressure_within: place
            .air
            .pressure
            .map_or(0.0, |station| station.origin.within()),
        volume_within: volume_within.unwrap_or(defaults::VOLUME_TOLERANCE),
        reading,
        bias: 0.0,
        taken: Taken::Read {
            stated_uncertainty: None,
            half_front: None,
        },
    };
    let mut inputs = Vec::with_capacity(16);
    known.inputs(std::iter::empty(), &mut inputs);
    let run = Run {
        chain,
        air: &air,
        tube_by_itself: place.air.tube.is_some(),
        reading,
        bias: 0.0,
        value: level,
        spans: known.spans(),
    };
    let mut parts = Vec::with_capacity(inputs.len());
    let relative = budget::propagate(&run, &inputs, &mut parts);
    let relative_expanded = relative.standard * relative.coverage_factor();
    AtLevel {
        reading,
        level,
        relative,
        expanded: relative_expanded * level,
        relative_expanded,
    }
}

/// The reading that the chain turns into a level: between which two marks it lies, and then by halving.
fn reading_at(
    tube: &Tube,
    scale: &Scale,
    chain: &Chain<'_>,
    air: &crate::chain::Air,
    level: f64,
) -> Result<f64, NothingToRead> {
    let value = |reading: f64| chain.value(reading, air, Reading::ForSlope);
    // A table may cover a part of the scale only: marks that it does not reach are passed over.
    let at_marks: Vec<(f64, f64)> = scale
        .marks
        .iter()
        .filter_map(|mark| Some((*mark, value(*mark).ok()?)))
        .collect();
    let (Some((_, lowest)), Some((_, highest))) = (at_marks.first(), at_marks.last()) else {
        let why = scale.marks.first().map(|mark| value(*mark));
        return Err(NothingToRead::Refused(match why {
            Some(Err(failed)) => step_words::refusal(tube, scale.unit.canonical(), &failed),
            _ => Refusal::new(
                "scale-without-marks",
                "the scale has no marks",
                "have the sheet checked",
            ),
        }));
    };
    let between = at_marks.windows(2).find_map(|pair| match pair {
        [(low, at_low), (high, at_high)] if *at_low <= level && level <= *at_high => {
            Some((*low, *high))
        }
        _ => None,
    });
    let Some((mut low, mut high)) = between else {
        return Err(NothingToRead::OffScale {
            lowest: *lowest,
            highest: *highest,
        });
    };
    // Fifty halvings leave less than a number's last digit of any scale.
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        match value(middle) {
            Ok(found) if found < level => low = middle,
            _ => high = middle,
        }
    }
    Ok(f64::midpoint(low, high))
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::written::Stated;

    use super::*;

    fn conditions(air: &str) -> WrittenConditions {
        WrittenConditions {
            air_temperature: Some(Stated::new(air.parse().unwrap())),
            pressure: Some(Stated::new("99.8 kPa".parse().unwrap())),
            humidity: Some(Stated::new("50 %RH".parse().unwrap())),
            ..WrittenConditions::default()
        }
    }

    /// Back and forth over every sheet of the demo: what would be read at a level gives that level again.
    #[test]
    fn back_and_forth() {
        let (book, _) = Book::demo();
        let place = Place::new(&conditions("20 °C")).unwrap();
        let mut checked = 0;
        for (entry, _) in book.tubes() {
            let Ok(sheet) = ReadySheet::new(&book, entry.id()) else {
                continue;
            };
            for range in &sheet.tube().ranges {
                let level = (range.from * range.to).sqrt();
                let scale = &sheet.tube().scales[range.scale];
                let chain = Chain::new(sheet.tube(), scale, range, None);
                let Ok(found) = at_level(&sheet, range, None, level, &place, None) else {
                    continue;
                };
                let again = chain
                    .value(found.reading, &place.air.numbers(), Reading::ForSlope)
                    .unwrap();
                assert!((again / level - 1.0).abs() < 1e-9, "{}", entry.id());
                // A table of which the printed rows only may be used gives a slope there and no result.
                if let Ok(read) = at_reading(&sheet, range, None, found.reading, &place, None) {
                    assert!((read.expanded / found.expanded - 1.0).abs() < 1e-6);
                }
                assert!(0.05 < found.relative_expanded && found.relative_expanded < 2.0);
                checked += 1;
            }
        }
        assert!(20 < checked, "{checked}");
    }

    #[test]
    fn off_the_scale_and_out_of_the_table() {
        let (book, _) = Book::demo();
        let sheet = ReadySheet::new(&book, "brinewash-chlorine-a-r2").unwrap();
        let range = &sheet.tube().ranges[0];
        let at = |level, place: &Place| at_level(&sheet, range, None, level, place, None);
        let place = Place::new(&conditions("20 °C")).unwrap();
        assert!(matches!(
            at(1e6, &place),
            Err(NothingToRead::OffScale { .. })
        ));
        let cold = Place::new(&conditions("-30 °C")).unwrap();
        assert!(matches!(
            at(range.to, &cold),
            Err(NothingToRead::Refused(_))
        ));
        assert!(ReadySheet::new(&book, "no-such-tube").is_err());
    }
}
