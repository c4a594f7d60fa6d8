//! Whether a reading lies within what the leaflet prints for its stroke count, or for another gas.

use stainbook_catalog::model::Range;
use stainbook_core::print;

use super::Work;
use super::start::Start;
use crate::defaults;
use crate::outcome::{Code, Flag};
use crate::result::{AppliedStep, ReadingResult, Status};
use crate::stain::{self, same_strokes};

impl Work<'_> {
    /// A reading may lie on the scale and yet outside what the leaflet prints for the stroke count or the other gas.
    pub(super) fn printed_range(&self, start: &Start, result: &mut ReadingResult) {
        if start.status != Status::Measured {
            return;
        }
        let range: &Range = self.drawn.range;
        let unit = self.drawn.scale.unit.canonical();
        let (from, to, strokes, what) = match self.other {
            Some(other) if same_strokes(other.strokes, range.strokes) => {
                (other.from, other.to, other.strokes, "this gas and ")
            }
            Some(other) => {
                result.flags.push(Flag::new(
                    Code::OtherGasStrokesDiffer,
                    format!(
                        "the factor for {} is printed for {}; with {} the strokes' own multiplier was used beside it",
                        other.substance.name,
                        stain::strokes_words(other.strokes),
                        print::number(range.strokes)
                    ),
                ));
                return;
            }
            None => (range.from, range.to, range.strokes, ""),
        };
        let factor: f64 = result
            .corrections
            .iter()
            .filter(|step| match step.step {
                AppliedStep::Strokes => true,
                AppliedStep::OtherGas => self.other.is_some(),
                AppliedStep::Interference
                | AppliedStep::Temperature
                | AppliedStep::Humidity
                | AppliedStep::Pressure => false,
            })
            .map(|step| step.factor)
            .product();
        let at = start.reading * factor;
        let rounding = defaults::PRINTED_RANGE_ROUNDING;
        if at < from * (1.0 - rounding) || to * (1.0 + rounding) < at {
            result.flags.push(Flag::new(
                Code::OutsidePrintedRange,
                format!(
                    "{} {unit} is outside what the leaflet prints for {what}{}, {} to {} {unit}; repeat with the stroke count whose range it is",
                    print::to_significant(at, 3),
                    stain::strokes_words(strokes),
                    print::number(from),
                    print::number(to)
                ),
            ));
        }
    }
}
