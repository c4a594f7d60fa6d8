//! Printed measuring range of a stroke count, or of another gas, against a reading.

use stainbook_catalog::model::MeasuringRange;
use stainbook_catalog::written::tube::correct::CorrectionStep;

use super::PreparedReading;
use super::start::Start;
use crate::chain::StepDone;
use crate::defaults;
use crate::evaluated::raised::NumericFlag;
use crate::result::Status;
use crate::stain::same_strokes;

impl PreparedReading<'_> {
    /// A reading may lie on the scale and yet outside what the leaflet prints for the stroke count or the other gas.
    pub(super) fn printed_range(&self, start: &Start, steps: &[StepDone]) -> Option<NumericFlag> {
        if start.status != Status::Measured {
            return None;
        }
        let range: &MeasuringRange = self.drawn.range;
        let (from, to) = match self.other {
            Some(other) if same_strokes(other.strokes, range.strokes) => (other.from, other.to),
            Some(_) => return Some(NumericFlag::OtherGasStrokesDiffer),
            None => (range.from, range.to),
        };
        let factor: f64 = steps
            .iter()
            .filter(|done| match done.step {
                CorrectionStep::Strokes => true,
                CorrectionStep::ResponseFactor => self.other.is_some(),
                CorrectionStep::Temperature
                | CorrectionStep::Humidity
                | CorrectionStep::Pressure => false,
            })
            .map(|done| done.factor)
            .product();
        let at = start.reading * factor;
        let rounding = defaults::PRINTED_RANGE_ROUNDING;
        let outside = at < from * (1.0 - rounding) || to * (1.0 + rounding) < at;
        outside.then_some(NumericFlag::OutsidePrintedRange { at })
    }
}
