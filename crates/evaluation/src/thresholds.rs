//! Observations of a tube without a scale: at least so much, less than so much, or between two counts.

use stainbook_catalog::model::{CountTable, Indication, Thresholds, Tube};
use stainbook_catalog::written::{Observation, Seen};
use stainbook_core::Quantity;

use crate::air::AirAtPlace;
use crate::cell::Cell;
use crate::evaluated::not_prepared::NotPrepared;
use crate::stain::{Stain, same_strokes};

/// Reads a colour, or none, after so many strokes.
///
/// # Errors
///
/// [`NotPrepared`]: something else was recorded, the sheet has no row for the air, or what was seen says nothing.
pub(crate) fn seen(
    tube: &Tube,
    thresholds: &Thresholds,
    seen: Option<&Seen>,
    strokes: f64,
    place: &AirAtPlace,
) -> Result<Stain, NotPrepared> {
    let seen = seen.ok_or(NotPrepared::ReadingMissing)?;
    let in_millimetres = [&seen.at_mm, &seen.short_mm, &seen.long_mm];
    if seen.less_than.is_some()
        || seen.more_than.is_some()
        || in_millimetres.iter().any(|mark| mark.is_some())
    {
        return Err(NotPrepared::TubeWithoutScale);
    }
    let colour = match (&seen.at, &seen.short, &seen.long, seen.seen) {
        (None, None, None, Some(Observation::Colour)) => true,
        (None, None, None, Some(Observation::NoStain)) => false,
        (None, None, None, None) => return Err(NotPrepared::ReadingMissing),
        _ => return Err(NotPrepared::TubeWithoutScale),
    };
    match thresholds {
        Thresholds::Indicating(rows) => indicated(rows, colour, strokes, place),
        Thresholds::Counting(table) => counted(tube, table, colour, strokes, place),
    }
}

/// True if a condition is known to lie within two ends.
fn within<Q: Quantity + PartialOrd>(at: Option<Q>, [low, high]: [Option<Q>; 2]) -> bool {
    let stated = low.is_some() || high.is_some();
    match at {
        None => !stated,
        Some(at) => low.is_none_or(|low| low <= at) && high.is_none_or(|high| at <= high),
    }
}

fn indicated(
    rows: &[Indication],
    colour: bool,
    strokes: f64,
    place: &AirAtPlace,
) -> Result<Stain, NotPrepared> {
    let pressure = place.pressure.map(|station| station.pressure);
    let mut fitting = rows.iter().filter(|row| {
        same_strokes(row.strokes, strokes)
            && within(place.of_tube(), row.temperature)
            && within(pressure, row.pressure)
    });
    let first = fitting
        .next()
        .ok_or(NotPrepared::NoThresholdForAir { strokes })?;
    // At an end that two rows share, what both say: the lesser "at least", the greater "less than".
    let all = std::iter::once(first).chain(fitting);
    let stated = if colour {
        let at_least: Option<Vec<f64>> = all.map(|row| row.at_least).collect();
        at_least.and_then(|all| all.into_iter().reduce(f64::min))
    } else {
        let less_than: Option<Vec<f64>> = all.map(|row| row.less_than).collect();
        less_than.and_then(|all| all.into_iter().reduce(f64::max))
    };
    match stated {
        Some(at_least) if colour => Ok(Stain::AtLeast(at_least)),
        Some(less_than) => Ok(Stain::LessThan(less_than)),
        None => Err(NotPrepared::SaysNothing { colour, strokes }),
    }
}

fn counted(
    tube: &Tube,
    table: &CountTable,
    seen: bool,
    strokes: f64,
    place: &AirAtPlace,
) -> Result<Stain, NotPrepared> {
    let times = if table.count_by_pressure {
        let station = place.pressure.ok_or(NotPrepared::PressureMissing {
            at_sea_level: false,
        })?;
        station.pressure.kilopascals() / tube.calibration.pressure.kilopascals()
    } else {
        1.0
    };
    if !seen {
        return table
            .not_reached_by(strokes * times)
            .map(Stain::LessThan)
            .ok_or(NotPrepared::SaysNothing {
                colour: false,
                strokes,
            });
    }
    let low = table.reached_by(strokes * times);
    let high = table.not_reached_by((strokes - 1.0) * times);
    match (low, high) {
        (Some(low), Some(high)) => Ok(Stain::At {
            value: f64::midpoint(low, high),
            cell: Cell::between(low, high),
        }),
        (Some(low), None) => Ok(Stain::AtLeast(low)),
        (None, Some(high)) => Ok(Stain::LessThan(high)),
        (None, None) => Err(NotPrepared::SaysNothing {
            colour: true,
            strokes,
        }),
    }
}
