//! A pump on a day by its own record: what the rules about pumps and the list of what is due have in common.

use jiff::civil::Date;
use stainbook_catalog::model::Pump;
use stainbook_catalog::written::{Day, LeakTest, PumpEntry};
use stainbook_core::Duration;

use crate::Context;

/// Day after which a check that is made at such intervals is overdue. A year is 365 days on one calendar and 366 on another, and
/// a check is not overdue on its anniversary: one day is let pass, as for a result.
pub(crate) fn due_by(last: Date, every: Duration) -> Option<Date> {
    days_after(last, every)?.tomorrow().ok()
}

/// Day that comes so long after another, in whole days.
pub(crate) fn days_after(day: Date, time: Duration) -> Option<Date> {
    let days = time.days().floor();
    let days = (0.0..1e6).contains(&days).then_some(days)?;
    // In the bounds above every whole number fits.
    let days: i32 = format!("{days:.0}").parse().ok()?;
    day.checked_add(jiff::Span::new().days(days)).ok()
}

/// Deviation of the strokes, as the checks of the last day that count found them: a part of the nominal stroke.
pub(crate) fn deviation(pump: &Pump, on: Date) -> Option<f64> {
    let volumes: Vec<f64> = pump
        .last_volume_checks(on)
        .iter()
        .filter_map(|check| check.volume.as_ref())
        .map(|volume| volume.value().millilitres())
        .collect();
    let count = u32::try_from(volumes.len())
        .ok()
        .filter(|count| 0 < *count)?;
    let mean = volumes.iter().sum::<f64>() / f64::from(count);
    let off = mean / pump.kind.stroke.millilitres() - 1.0;
    off.is_finite().then_some(off)
}

/// The same where it is more than the kind of pump allows.
pub(crate) fn out_of_tolerance(pump: &Pump, on: Date) -> Option<f64> {
    deviation(pump, on).filter(|off| !pump.kind.tolerates(*off))
}

/// Day of the last leak test that counts, if the pump leaked in it.
pub(crate) fn leaked(pump: &Pump, on: Date) -> Option<&Day> {
    let test = pump.last_leak_test(on)?;
    (test.result == Some(LeakTest::Leaked))
        .then_some(test.date.as_ref())
        .flatten()
}

/// A check that a pump needs time and again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum PumpCheck {
    /// Of the volume of its stroke.
    Volume,
    /// For leaks, outside the surveys.
    LeakTest,
}

/// A check with the day by which the next one is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct NextCheck {
    pub(crate) check: PumpCheck,
    /// Day of the last one that counts.
    pub(crate) last: Date,
    /// The last day on which the next one is in time.
    pub(crate) due: Date,
}

/// The checks that have an interval and were made once, each with the day by which the next one is due.
pub(crate) fn next_checks(pump: &Pump, on: Date) -> Vec<NextCheck> {
    let next = |check, last: Option<&Day>, every: Option<Duration>| {
        let last = last?.last();
        let due = due_by(last, every?)?;
        Some(NextCheck { check, last, due })
    };
    let volume = pump.last_volume_check(on);
    let test = pump.last_leak_test(on);
    [
        next(
            PumpCheck::Volume,
            volume.and_then(|check| check.date.as_ref()),
            pump.kind.volume_check_every,
        ),
        next(
            PumpCheck::LeakTest,
            test.and_then(|test| test.date.as_ref()),
            pump.kind.leak_test_every,
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Those that are overdue on a day.
pub(crate) fn overdue_checks(pump: &Pump, on: Date) -> Vec<NextCheck> {
    let mut checks = next_checks(pump, on);
    checks.retain(|next| next.due < on);
    checks
}

/// The pump, if it can be computed with and was not withdrawn by a day. A month may be any of its days: what can be in use
/// still is looked at.
pub(crate) fn in_use(pump: &PumpEntry, context: &Context<'_>, on: Date) -> Option<Pump> {
    let gone = pump.withdrawn.as_ref();
    if gone.is_some_and(|gone| gone.first() <= on) {
        return None;
    }
    context.book.pump_model(pump.pump.as_deref()?).ok()
}
