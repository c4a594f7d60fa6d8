//! The air that a verdict is about: what the pump drew, from when to when, and whether that is the time that a limit is over.

use jiff::SignedDuration;
use jiff::civil::DateTime;
use stainbook_catalog::model::{Limit, MeasuringRange, Tube};
use stainbook_core::print;

use crate::result::AirDrawn;
use crate::together::average::period_of;

/// Part of a limit's period by which a draw may be shorter or longer and still be over it. Our own bound.
const SAME_PERIOD: f64 = 0.05;

/// Air drawn until a tube was read: the strokes of the row, each with its time.
pub(crate) fn of(read: Option<&str>, range: &MeasuringRange) -> AirDrawn {
    let seconds = Tube::sampling_seconds(range);
    // The day and the clock at the place, as they were typed.
    let to = read.and_then(|at| at.trim_end_matches('Z').parse::<DateTime>().ok());
    let from = to.and_then(|to| {
        to.checked_sub(SignedDuration::try_from_secs_f64(seconds).ok()?)
            .ok()
    });
    let typed = |moment: DateTime| moment.strftime("%Y-%m-%dT%H:%M:%S").to_string();
    AirDrawn {
        from: from.map(typed),
        to: to.map(typed),
        seconds,
    }
}

impl AirDrawn {
    /// `the air drawn from 10:05 to 10:07`, and without a clock `the air drawn for 80 s`.
    pub fn in_words(&self) -> String {
        let clock = |moment: &Option<String>| Some(moment.as_ref()?.get(11..16)?.to_owned());
        match (clock(&self.from), clock(&self.to)) {
            (Some(from), Some(to)) if from != to => format!("the air drawn from {from} to {to}"),
            _ => format!("the air drawn for {}", time(self.seconds)),
        }
    }
}

/// Difference of a draw from the time that a limit is over: `not a 15-minute average`.
pub(crate) fn other_period(limit: &Limit, seconds: f64) -> Option<String> {
    let Some(minutes) =
        period_of(limit).or_else(|| Some(limit.averaged_over.as_ref()?.value().minutes()))
    else {
        return Some(format!(
            "an average over {}, where the limit is for every moment",
            time(seconds)
        ));
    };
    let same = (seconds / 60.0 - minutes).abs() <= SAME_PERIOD * minutes;
    (!same).then(|| format!("not a {}-minute average", print::number(minutes)))
}

fn time(seconds: f64) -> String {
    const SHORT: f64 = 120.0;
    if seconds < SHORT {
        format!("{} s", print::to_significant_at_most(seconds, 2))
    } else {
        format!("{} min", print::to_significant_at_most(seconds / 60.0, 2))
    }
}
