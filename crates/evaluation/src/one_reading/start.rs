//! The number on the scale that a result starts from: a reading, or the mark that bounds it, less what other gases added.

use stainbook_catalog::model::LimitOfDetection;
use stainbook_core::Quantity;

use super::PreparedReading;
use crate::chain::TableLookup;
use crate::defaults;
use crate::evaluated::raised::{NoConcentration, NumericFlag, NumericStatement};
use crate::interferents::Interferents;
use crate::result::Status;
use crate::stain::{Stain, same_strokes};

/// The number on the scale that the result is worked out from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Start {
    pub(super) status: Status,
    /// The reading, or the mark that bounds it.
    pub(super) reading: f64,
    /// Amount that interferents have added to it.
    pub(super) bias: f64,
}

/// A start with the share of interferents taken off, and what is to be said of that.
pub(super) struct TakenOff {
    pub(super) start: Start,
    pub(super) flag: Option<NumericFlag>,
    pub(super) statement: Option<NumericStatement>,
}

impl PreparedReading<'_> {
    /// The number on the scale: the reading, or the mark or lowest visible concentration that bounds it.
    pub(super) fn start(&self) -> Result<(Start, Option<NumericStatement>), NoConcentration> {
        let marks = &self.drawn.scale.marks;
        let (Some(first), Some(last)) = (marks.first(), marks.last()) else {
            return Err(NoConcentration::ScaleWithoutMarks);
        };
        let at = |status, reading| Start {
            status,
            reading,
            bias: 0.0,
        };
        Ok(match self.stain {
            Stain::At { value, .. } => (at(Status::Measured, value), None),
            Stain::BelowFirstMark => (at(Status::LessThan, *first), None),
            Stain::BeyondLastMark => (at(Status::MoreThan, *last), None),
            Stain::NotSeen => {
                let visible = self
                    .sheet
                    .tube
                    .limit_of_detection
                    .and_then(|lowest| self.lowest_on_scale(lowest))
                    .filter(|visible| visible < first)
                    .filter(|visible| {
                        self.chain
                            .value(*visible, &self.air, TableLookup::AsStated)
                            .is_ok()
                    });
                match visible {
                    Some(visible) => (
                        at(Status::LessThan, visible),
                        Some(NumericStatement::BoundedByLowestVisible),
                    ),
                    None => (
                        at(Status::LessThan, *first),
                        Some(NumericStatement::BoundedByFirstMark),
                    ),
                }
            }
        })
    }

    /// The lowest visible concentration as a reading at this stroke count. It holds for the count it is stated for, and all
    /// the more for a greater one; what it is with fewer strokes the sheet does not say.
    fn lowest_on_scale(&self, lowest: LimitOfDetection) -> Option<f64> {
        let reaches = lowest.strokes <= self.drawn.range.strokes
            || same_strokes(lowest.strokes, self.drawn.range.strokes);
        let on_scale =
            lowest.concentration.in_unit(self.drawn.scale.unit) / self.drawn.range.multiplier;
        (reaches && on_scale.is_finite() && 0.0 < on_scale).then_some(on_scale)
    }

    /// Takes the share of interferents off the reading.
    pub(super) fn take_off(
        &self,
        start: Start,
        gases: &Interferents,
    ) -> Result<TakenOff, NoConcentration> {
        let with_bias = |bias| TakenOff {
            start: Start { bias, ..start },
            flag: None,
            statement: None,
        };
        let left_in = |statement| TakenOff {
            statement: Some(statement),
            ..with_bias(start.bias)
        };
        if gases.parts.is_empty() {
            return Ok(with_bias(start.bias));
        }
        let first = self.drawn.scale.marks.first().copied().unwrap_or(0.0);
        let standard = gases
            .parts
            .iter()
            .map(|part| part.standard * part.standard)
            .sum::<f64>()
            .sqrt();
        Ok(match start.status {
            // A bound that holds with the other gas holds without it; taken off, it would rest on that gas's level.
            Status::LessThan if 0.0 <= gases.share => left_in(NumericStatement::AddedLeftInBound),
            Status::MoreThan if gases.share <= 0.0 => {
                left_in(NumericStatement::TakenLeftOutOfBound)
            }
            Status::MoreThan => {
                let net = start.reading - gases.share - defaults::COVERAGE_FACTOR * standard;
                if net < first {
                    return Err(NoConcentration::OtherGasHidesResult);
                }
                with_bias(start.reading - net)
            }
            Status::LessThan => with_bias(gases.share - defaults::COVERAGE_FACTOR * standard),
            Status::Measured => {
                let net = start.reading - gases.share;
                if net < first {
                    // What is left lies before the first mark, where nothing can be read.
                    let bound = (net + defaults::COVERAGE_FACTOR * standard)
                        .clamp(first, start.reading.max(first));
                    TakenOff {
                        start: Start {
                            status: Status::LessThan,
                            reading: start.reading,
                            bias: start.reading - bound,
                        },
                        flag: Some(NumericFlag::OtherGasDominates),
                        statement: None,
                    }
                } else {
                    with_bias(gases.share)
                }
            }
            Status::Refused => with_bias(start.bias),
        })
    }
}
