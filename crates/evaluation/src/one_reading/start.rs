//! The number on the scale that a result starts from: a reading, or the mark that bounds it, less what other gases added.

use stainbook_catalog::model::{LimitOfDetection, Visible};
use stainbook_core::Quantity;

use super::PreparedReading;
use crate::cell::Cell;
use crate::evaluated::raised::{NoConcentration, NumericFlag, NumericStatement};
use crate::interferents::Interferents;
use crate::interval::Covers;
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
    /// The number that the corrections start from: what is left without that amount, or the first mark where that is more.
    pub(super) net: f64,
}

/// A start with the share of interferents taken off, and what is to be said of that.
pub(super) struct TakenOff {
    pub(super) start: Start,
    pub(super) flag: Option<NumericFlag>,
    pub(super) statement: Option<NumericStatement>,
}

impl Start {
    /// The stain that the result would show: the reading, or what its bound would show.
    pub(super) fn stain(&self) -> f64 {
        if self.status == Status::Measured {
            self.reading
        } else {
            self.net + self.bias
        }
    }
}

impl PreparedReading<'_> {
    /// The piece of scale on which the stain ends.
    pub(super) fn cell(&self, start: &Start) -> Cell {
        match self.stain {
            // Anything up to where the stain ends may be there.
            Stain::At { cell, .. } if self.below_table().is_some() => {
                Cell::between(0.0, cell.highest())
            }
            Stain::At { cell, .. } => cell,
            Stain::BeyondLastMark | Stain::AtLeast(_) => {
                Cell::between(start.reading, f64::INFINITY)
            }
            Stain::NotSeen | Stain::BelowFirstMark | Stain::LessThan(_) => {
                Cell::between(0.0, start.reading)
            }
        }
    }

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
            net: reading,
        };
        Ok(match self.stain {
            // Below the first row of a table only a bound is known, but at the calibration, where the scale is right.
            Stain::At { value, .. } if self.below_table().is_some() => {
                (at(Status::LessThan, value), None)
            }
            Stain::At { value, .. } => (at(Status::Measured, value), None),
            Stain::AtLeast(bound) => (at(Status::MoreThan, bound), None),
            Stain::LessThan(bound) => (at(Status::LessThan, bound), None),
            Stain::BelowFirstMark => (at(Status::LessThan, *first), self.sign_taken(true)),
            Stain::BeyondLastMark => (at(Status::MoreThan, *last), self.sign_taken(false)),
            Stain::NotSeen => {
                let visible = self
                    .lowest_on_scale()
                    .filter(|visible| visible < first)
                    .filter(|visible| self.has_value(*visible));
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

    /// Strokes beyond the printed counts, which lower no bound.
    pub(super) fn more_strokes(&self) -> Option<NumericStatement> {
        let drawn = self.drawn.more_strokes?;
        let of = self.drawn.range.strokes;
        Some(NumericStatement::MoreStrokesNoStain { drawn, of })
    }

    /// That the stain was written as a bound.
    fn sign_taken(&self, below: bool) -> Option<NumericStatement> {
        let text = self.sign?.to_owned();
        Some(NumericStatement::SignTakenAsMark { text, below })
    }

    /// The lowest visible concentration as a reading at this stroke count. It holds for the count it is stated for, and all
    /// the more for a greater one; what it is with fewer strokes the sheet does not say. Of several the one of the greatest
    /// count that was drawn counts.
    fn lowest_on_scale(&self) -> Option<f64> {
        let (scale, range) = (self.drawn.scale, self.drawn.range);
        let reaches = |lowest: &&LimitOfDetection| {
            lowest.strokes.is_none_or(|strokes| {
                strokes <= range.strokes || same_strokes(strokes, range.strokes)
            })
        };
        let limits = self.sheet.tube.limits_of_detection.iter();
        let on_scale = match limits.rev().find(reaches)?.visible {
            Visible::Concentration(visible) => visible.in_unit(scale.unit) / range.multiplier,
            Visible::PartOfFirstMark(part) => part * scale.marks.first()?,
        };
        (on_scale.is_finite() && 0.0 < on_scale).then_some(on_scale)
    }

    /// Takes the share of interferents off the reading.
    pub(super) fn take_off(
        &self,
        start: Start,
        gases: &Interferents,
    ) -> Result<TakenOff, NoConcentration> {
        let taken = |status, net| TakenOff {
            start: Start {
                status,
                bias: gases.share,
                net,
                ..start
            },
            flag: None,
            statement: None,
        };
        let as_it_is = |statement| TakenOff {
            start,
            flag: None,
            statement,
        };
        if gases.parts.is_empty() {
            return Ok(as_it_is(None));
        }
        let first = self.drawn.scale.marks.first().copied().unwrap_or(0.0);
        let net = start.reading - gases.share;
        Ok(match start.status {
            // A bound that holds with the other gas holds without it; taken off, it would rest on that gas's level.
            Status::LessThan if 0.0 <= gases.share => {
                as_it_is(Some(NumericStatement::AddedLeftInBound))
            }
            Status::MoreThan if gases.share <= 0.0 => {
                as_it_is(Some(NumericStatement::TakenLeftOutOfBound))
            }
            Status::MoreThan => {
                let variance: f64 = gases
                    .parts
                    .iter()
                    .map(|part| part.standard * part.standard)
                    .sum();
                if net - Covers::Central.factor(f64::INFINITY) * variance.sqrt() < first {
                    return Err(NoConcentration::OtherGasHidesResult);
                }
                taken(start.status, net)
            }
            // What is left lies before the first mark, where nothing can be read.
            Status::Measured if net < first => TakenOff {
                flag: Some(NumericFlag::OtherGasDominates),
                ..taken(Status::LessThan, first)
            },
            Status::LessThan | Status::Measured => taken(start.status, net),
            Status::Refused => as_it_is(None),
        })
    }
}
