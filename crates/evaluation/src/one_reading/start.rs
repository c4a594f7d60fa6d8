//! The number on the scale that a result starts from: a reading, or the mark that bounds it, less what other gases added.

use stainbook_catalog::model::LowestVisible;
use stainbook_core::Quantity;

use super::Work;
use crate::chain::Reading;
use crate::defaults;
use crate::field;
use crate::other_gases::Others;
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::result::{ReadingResult, Status};
use crate::stain::{Stain, end_marks, same_strokes};

/// The number on the scale that the result is worked out from.
pub(super) struct Start {
    pub(super) status: Status,
    /// The reading, or the mark that bounds it.
    pub(super) reading: f64,
    /// What other gases have added to it.
    pub(super) bias: f64,
}

impl Work<'_> {
    /// The number on the scale: the reading, or the mark or lowest visible concentration that bounds it.
    pub(super) fn start(&self, result: &mut ReadingResult) -> Result<Start, Refusal> {
        let (first, last) = end_marks(self.drawn.scale)?;
        let bound = |status, reading| Start {
            status,
            reading,
            bias: 0.0,
        };
        Ok(match self.stain {
            Stain::At { value, .. } => bound(Status::Measured, value),
            Stain::BelowFirstMark => bound(Status::LessThan, *first),
            Stain::BeyondLastMark => bound(Status::MoreThan, *last),
            Stain::NotSeen => {
                let visible = self
                    .sheet
                    .tube
                    .lowest_visible
                    .and_then(|lowest| self.lowest_on_scale(lowest));
                match visible.filter(|visible| visible < first) {
                    Some(visible)
                        if self
                            .chain
                            .value(visible, &self.air, Reading::AsStated)
                            .is_ok() =>
                    {
                        result.statements.push(Statement::new(
                            Code::BoundedByLowestVisible,
                            "No stain: the bound is the lowest concentration that the sheet says leaves a visible one.",
                        ));
                        bound(Status::LessThan, visible)
                    }
                    _ => {
                        result.statements.push(Statement::new(
                            Code::BoundedByFirstMark,
                            "No stain: the bound is the first mark, as the sheet states no lowest visible concentration for this stroke count (or none that its tables reach).",
                        ));
                        bound(Status::LessThan, *first)
                    }
                }
            }
        })
    }

    /// The lowest visible concentration as a reading at this stroke count. It holds for the count it is stated for, and all
    /// the more for a greater one; what it is with fewer strokes the sheet does not say.
    fn lowest_on_scale(&self, lowest: LowestVisible) -> Option<f64> {
        let reaches = lowest.strokes <= self.drawn.range.strokes
            || same_strokes(lowest.strokes, self.drawn.range.strokes);
        let on_scale =
            lowest.concentration.in_unit(self.drawn.scale.unit) / self.drawn.range.multiplier;
        (reaches && on_scale.is_finite() && 0.0 < on_scale).then_some(on_scale)
    }

    /// Takes the share of other gases off the reading.
    pub(super) fn take_off(
        &self,
        start: &mut Start,
        others: &Others,
        result: &mut ReadingResult,
    ) -> Result<(), Refusal> {
        if others.parts.is_empty() {
            return Ok(());
        }
        let first = self.drawn.scale.marks.first().copied().unwrap_or(0.0);
        let standard = others
            .parts
            .iter()
            .map(|part| part.standard * part.standard)
            .sum::<f64>()
            .sqrt();
        match start.status {
            // A bound that holds with the other gas holds without it; taken off, it would rest on that gas's level.
            Status::LessThan if 0.0 <= others.share => {
                result.statements.push(Statement::new(
                    Code::OtherGasLeftInBound,
                    "What the other gas added was left in the bound, which holds all the more without it.",
                ));
            }
            Status::MoreThan if others.share <= 0.0 => {
                result.statements.push(Statement::new(
                    Code::OtherGasLeftInBound,
                    "What the other gas took away was left out of the bound, which holds all the more with it.",
                ));
            }
            Status::MoreThan => {
                let net = start.reading - others.share - defaults::COVERAGE_FACTOR * standard;
                if net < first {
                    return Err(Refusal::new(
                        Code::OtherGasHidesResult,
                        "the stain runs beyond the last mark, and the other gases as stated could make most of it",
                        "use a tube that these gases do not stain, or remove them with a pre-tube that the sheet names",
                    )
                    .at(field::PRESENT));
                }
                start.bias = start.reading - net;
            }
            Status::LessThan => start.bias = others.share - defaults::COVERAGE_FACTOR * standard,
            Status::Measured => {
                let net = start.reading - others.share;
                if net < first {
                    // What is left lies before the first mark, where nothing can be read.
                    let bound = (net + defaults::COVERAGE_FACTOR * standard)
                        .clamp(first, start.reading.max(first));
                    result.flags.push(Flag::new(
                        Code::OtherGasDominates,
                        "the other gases as stated make most of the stain: what is left lies before the first mark, and the result is a bound",
                    ));
                    start.status = Status::LessThan;
                    start.bias = start.reading - bound;
                } else {
                    start.bias = others.share;
                }
            }
            Status::Refused => {}
        }
        Ok(())
    }
}
