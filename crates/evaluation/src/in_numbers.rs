//! From a reading to a concentration and its uncertainty in numbers only, for long tables and for trying things out.

use stainbook_catalog::Book;
use stainbook_catalog::model::{AlsoMeasured, Range, Tube};
use stainbook_catalog::written::Conditions as WrittenConditions;

use crate::air::{self, AirAtPlace};
use crate::budget::{self, Relative, Run};
use crate::chain::{Chain, Reading};
use crate::defaults;
use crate::field;
use crate::inputs::{Known, Taken};
use crate::needed;
use crate::outcome::{Code, Flag, Refusal};
use crate::prepared::Prepared;

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
    pub flags: Vec<Flag>,
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

/// A concentration with its uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InNumbers {
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

/// Why there is no concentration.
#[derive(Clone, Debug, PartialEq)]
pub enum NoNumber {
    /// The reading lies before the first mark or behind the last one.
    OffScale {
        /// The first mark.
        first: f64,
        /// The last mark.
        last: f64,
    },
    /// The sheet cannot be used in this air, or needs a condition that is not known.
    Refused(Refusal),
}

/// The concentration for a reading, in the unit of the range's scale, with its uncertainty: every input as an evaluation takes
/// it, without a word of what was done. For long tables of readings and for trying things out; a result that is to be kept
/// comes from [`evaluate`](crate::evaluate()), which says what it rests on.
///
/// `range` and `other` are rows of the same sheet; `volume_within` is the pump's tolerance, or nothing for the default.
///
/// # Errors
///
/// [`NoNumber`]: the reading is not on the scale, or the sheet has no value in this air.
///
/// # Example
///
/// ```
/// use stainbook_catalog::Book;
/// use stainbook_catalog::written::{Conditions, Stated};
/// use stainbook_evaluation::in_numbers::{Place, ReadySheet, at_reading};
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
/// let found = at_reading(&sheet, range, None, 4.0, &place, None).unwrap();
/// assert!((found.level - 4.0).abs() < 1e-6);
/// assert!(0.2 < found.relative_expanded && found.relative_expanded < 0.7);
/// ```
pub fn at_reading(
    sheet: &ReadySheet<'_>,
    range: &Range,
    other: Option<&AlsoMeasured>,
    reading: f64,
    place: &Place,
    volume_within: Option<f64>,
) -> Result<InNumbers, NoNumber> {
    let tube = sheet.tube();
    let scale = tube.scales.get(range.scale).ok_or_else(|| {
        NoNumber::Refused(Refusal::new(
            Code::ScaleUnknown,
            "the sheet names a scale that it does not have",
            "have the sheet checked",
        ))
    })?;
    needed::conditions(tube, scale, &place.air, &mut Vec::new()).map_err(NoNumber::Refused)?;
    let chain = Chain::new(tube, scale, range, other);
    let air = place.air.numbers();
    if let (Some(first), Some(last)) = (scale.marks.first(), scale.marks.last())
        && !(*first <= reading && reading <= *last)
    {
        return Err(NoNumber::OffScale {
            first: *first,
            last: *last,
        });
    }
    let level = chain
        .value(reading, &air, Reading::AsStated)
        .map_err(|failed| {
            NoNumber::Refused(
                step_words::refusal(tube, scale.unit.canonical(), &failed)
                    .at(field::of_step(&failed, &place.air)),
            )
        })?;
    let known = Known {
        sheet: &sheet.0,
        scale,
        range,
        other,
        chain: &chain,
        air: &air,
        pressure_within: place
            .air
            .pressure
            .map_or(0.0, |station| station.origin.within()),
        volume_within: volume_within.unwrap_or(defaults::VOLUME_TOLERANCE),
        stroke_spread: None,
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
        chain: &chain,
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
    Ok(InNumbers {
        reading,
        level,
        relative,
        expanded: relative_expanded * level,
        relative_expanded,
    })
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::written::Stated;

    use super::*;
    use crate::{Evaluator, Options};

    fn conditions(air: &str) -> WrittenConditions {
        WrittenConditions {
            air_temperature: Some(Stated::new(air.parse().unwrap())),
            pressure: Some(Stated::new("99.8 kPa".parse().unwrap())),
            humidity: Some(Stated::new("50 %RH".parse().unwrap())),
            ..WrittenConditions::default()
        }
    }

    /// Over every sheet of the demo: the same figures as an evaluation gives for a reading on each mark.
    #[test]
    fn the_same_as_an_evaluation() {
        let (book, _) = Book::demo();
        let conditions = conditions("20 °C");
        let place = Place::new(&conditions).unwrap();
        let mut evaluator = Evaluator::new(&book, Options::default());
        let mut compared = 0;
        for (entry, _) in book.tubes() {
            let sheet = ReadySheet::new(&book, entry.id()).unwrap();
            for range in &sheet.tube().ranges {
                let scale = &sheet.tube().scales[range.scale];
                for mark in &scale.marks {
                    let typed = format!(
                        "{{tube: {}, strokes: {}, reading: {{at: {mark} {}}}{}}}",
                        entry.id(),
                        range.strokes,
                        scale.unit.canonical(),
                        scale
                            .name
                            .as_ref()
                            .map_or(String::new(), |name| format!(", scale: {name}")),
                    );
                    let reading = serde_yaml::from_str(&typed).unwrap();
                    let result = evaluator.reading(0, &reading, &conditions, None);
                    let found = at_reading(&sheet, range, None, *mark, &place, None);
                    match (&result.concentration, found) {
                        (Some(amount), Ok(found)) => {
                            compared += 1;
                            assert_eq!(amount.value, found.level, "{typed}");
                            let uncertainty = result.uncertainty.as_ref().unwrap();
                            assert_eq!(uncertainty.relative, found.relative.standard, "{typed}");
                        }
                        (None, Err(NoNumber::Refused(refusal))) => {
                            assert_eq!(result.refusal.as_ref().unwrap().code, refusal.code);
                        }
                        (amount, found) => panic!("{typed}: {amount:?} and {found:?}"),
                    }
                }
            }
        }
        assert!(100 < compared, "{compared}");
    }

    #[test]
    fn off_the_scale_and_out_of_the_table() {
        let (book, _) = Book::demo();
        let sheet = ReadySheet::new(&book, "brinewash-chlorine-a-r2").unwrap();
        let range = &sheet.tube().ranges[0];
        let at = |reading, air: &str| {
            at_reading(
                &sheet,
                range,
                None,
                reading,
                &Place::new(&conditions(air)).unwrap(),
                None,
            )
        };
        assert!(matches!(at(1e6, "20 °C"), Err(NoNumber::OffScale { .. })));
        assert!(matches!(at(5.0, "-30 °C"), Err(NoNumber::Refused(_))));
        assert!(ReadySheet::new(&book, "no-such-tube").is_err());
    }
}
