//! A pump that was found leaking with one reading makes the other readings of that day with it doubtful.

use stainbook_catalog::written::{LeakTest, Moment, Reading};

use super::GroupInputs;
use crate::evaluated::Evaluated;
use crate::outcome::{Code, Flag};
use crate::result::StepState;

/// Flags the readings with a pump that another reading of the same day says has leaked.
pub(super) fn carry(taken: &GroupInputs<'_>, results: &mut [Evaluated<'_>]) {
    let pump_and_day = |reading: &Reading| {
        Some((
            reading.pump.clone()?,
            reading.at.as_ref().map(Moment::date)?,
        ))
    };
    let leaking: Vec<_> = taken
        .readings
        .iter()
        .zip(results.iter())
        .filter_map(|(reading, result)| Some(((*reading)?, result.id.clone())))
        .filter(|(reading, _)| reading.leak_test == Some(LeakTest::Leaked))
        .filter_map(|(reading, id)| Some((pump_and_day(reading)?, id)))
        .collect();
    for (result, reading) in results.iter_mut().zip(&taken.readings) {
        let Some(reading) = reading.filter(|reading| reading.leak_test != Some(LeakTest::Leaked))
        else {
            continue;
        };
        let known = pump_and_day(reading);
        let Some((_, id)) = leaking.iter().find(|(of, _)| Some(of) == known.as_ref()) else {
            continue;
        };
        result.doubt(Flag::new(
            Code::LeakTestFailed,
            format!("the pump did not hold in a leak test of the same day, see reading {id}: too little air may have gone through the tube, and the result may be too low"),
        ));
        let step = result
            .record
            .before_use
            .iter_mut()
            .find(|step| step.code == "leak-test");
        if let Some(step) = step {
            step.state = StepState::NotWell;
            step.on_record = Some(format!("leaked, see reading {id}"));
        }
    }
}
