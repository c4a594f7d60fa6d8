//! The steps of the chain in words: where a factor comes from, and why there is none.

use stainbook_catalog::model::{
    BandFactor, ConditionBand, Correction, FactorValue, MeasuringRange, ResponseFactor, Thresholds,
    Tube,
};
use stainbook_catalog::written::tube::correct::CorrectionStep;
use stainbook_catalog::written::tube::{Between, Target};
use stainbook_core::print;

use crate::air::round;
use crate::chain::{Failure, StepDone, StepFailed};
use crate::interpolation::{Interpolated, NoValue, TableAxis};
use crate::outcome::{Code, Refusal};
use crate::result::{CorrectionApplied, CorrectionSource};
use crate::stain::strokes_words;

/// The name of a step, as in `order:` on the sheet.
pub(crate) const fn name(step: CorrectionStep) -> &'static str {
    match step {
        CorrectionStep::Strokes => "strokes",
        CorrectionStep::Temperature => "temperature",
        CorrectionStep::Humidity => "humidity",
        CorrectionStep::Pressure => "pressure",
        CorrectionStep::ResponseFactor => "other gas",
    }
}

/// The name of what a factor applies to.
pub(crate) fn target(target: Target) -> &'static str {
    match target {
        Target::Reading => "reading",
        Target::Concentration => "concentration",
    }
}

/// A step with where it comes from. `unit` is that of the scale.
pub(crate) fn applied(
    tube: &Tube,
    range: &MeasuringRange,
    other: Option<&ResponseFactor>,
    unit: &str,
    done: &StepDone,
) -> CorrectionApplied {
    let (pointer, words) = match done.step {
        CorrectionStep::Strokes if tube.thresholds.is_some() => {
            let strokes = strokes_words(range.strokes);
            match &tube.thresholds {
                Some(Thresholds::Counting(_)) => (
                    "/read/counts/rows".to_owned(),
                    format!("read.counts, for {strokes}"),
                ),
                _ => (
                    format!("/read/indicates/rows/{}", range.row),
                    format!("read.indicates, row {}, for {strokes}", range.row + 1),
                ),
            }
        }
        CorrectionStep::Strokes => (
            format!("/draw/ranges/{}/multiply_by", range.row),
            format!(
                "draw.ranges, row {}, for {}{}",
                range.row + 1,
                strokes_words(range.strokes),
                range
                    .multiplier_follows_from
                    .map_or_else(String::new, |from| format!(
                        "; not printed, follows from {}",
                        from.words()
                    ))
            ),
        ),
        CorrectionStep::ResponseFactor => {
            let row = other.map_or(0, |other| other.row);
            let gas = other.map_or("another gas", |other| other.substance.name.as_str());
            let by = match other.map(|other| &other.factor) {
                Some(FactorValue::ByReading(rows, between)) => {
                    let first: Vec<f64> = rows.iter().map(|row| row.0).collect();
                    format!(", {}", between_words(&first, done.found, "", *between))
                }
                _ => String::new(),
            };
            (
                format!("/read/also_measures/{row}"),
                format!("read.also_measures, row {}, for {gas}{by}", row + 1),
            )
        }
        CorrectionStep::Temperature => (
            format!("/correct/{}", name(done.step)),
            correction_words(tube.temperature.at(range.strokes), done, unit),
        ),
        CorrectionStep::Humidity => (
            format!("/correct/{}", name(done.step)),
            correction_words(tube.humidity.at(range.strokes), done, unit),
        ),
        CorrectionStep::Pressure => (
            format!("/correct/{}", name(done.step)),
            correction_words(tube.pressure.at(range.strokes), done, unit),
        ),
    };
    CorrectionApplied {
        step: done.step.into(),
        factor: done.factor,
        argument: done.argument,
        before: done.before,
        after: done.after,
        from: CorrectionSource {
            sheet: tube.id.clone(),
            pointer,
            words,
        },
    }
}

fn correction_words(correction: &Correction, done: &StepDone, scale_unit: &str) -> String {
    let field = format!("correct.{}", name(done.step));
    let at = print::number(round(done.condition, 3));
    match correction {
        Correction::Proportional => {
            format!("{field}, calibration pressure over station pressure, at {at} kPa")
        }
        Correction::Factors(table) => {
            let unit = table.unit.canonical();
            let conditions: Vec<f64> = table.points.iter().map(|point| point.0).collect();
            format!(
                "{field}, {}, at {at} {unit}",
                between_words(&conditions, done.found, unit, table.between)
            )
        }
        Correction::Table(table) if done.found.is_none() => {
            let unit = table.unit.canonical();
            format!("{field}, below its first row, at {at} {unit}")
        }
        Correction::Table(table) => {
            let unit = table.unit.canonical();
            let lines = done
                .found
                .and_then(|found| found.lines)
                .map(|rows| Interpolated {
                    value: 0.0,
                    rows,
                    lines: None,
                });
            let of = format!("{scale_unit} of the {}", target(table.target));
            format!(
                "{field}, {}; {}, at {at} {unit}",
                nodes_words("line", &table.readings, lines, &of, table.between),
                nodes_words("column", &table.columns, done.found, unit, table.between),
            )
        }
        Correction::Polynomial(formula) => format!(
            "{field}, printed formula, at {at} {}",
            formula.unit.canonical()
        ),
        Correction::Bands(bands) => {
            let unit = bands.unit.canonical();
            let band = done
                .found
                .and_then(|found| bands.bands.get(found.rows.0))
                .map_or_else(
                    || elsewhere_words(bands.elsewhere).to_owned(),
                    |band| band_words(band, unit),
                );
            format!("{field}, {band}, at {at} {unit}")
        }
        Correction::WithHumidity(grid) => {
            let (unit, of) = (grid.unit.canonical(), grid.humidity_unit.canonical());
            let lines = done
                .found
                .and_then(|found| found.lines)
                .map(|rows| Interpolated {
                    value: 0.0,
                    rows,
                    lines: None,
                });
            format!(
                "{field}, {}; {}, at {at} {unit}",
                nodes_words("line", &grid.humidities, lines, of, grid.between),
                nodes_words("column", &grid.columns, done.found, unit, grid.between),
            )
        }
        Correction::NoneNeeded
        | Correction::NotStated
        | Correction::WithTemperature
        | Correction::NotForStrokes => field,
    }
}

/// `band 30 to 60 %RH`, `band above 90 %RH`.
fn band_words(band: &ConditionBand, unit: &str) -> String {
    let span = match (band.low.is_finite(), band.high.is_finite()) {
        (true, true) => format!(
            "{} to {}",
            print::number(band.low),
            print::number(band.high)
        ),
        (true, false) => format!("above {}", print::number(band.low)),
        (false, true) => format!("below {}", print::number(band.high)),
        (false, false) => "anywhere".to_owned(),
    };
    format!("band {span} {unit}")
}

/// The leaflet's words for all conditions that no band holds.
fn elsewhere_words(says: Option<BandFactor>) -> &'static str {
    match says {
        Some(BandFactor::NoneNeeded) => "elsewhere: none needed",
        Some(BandFactor::NotStated) => "elsewhere: not stated",
        Some(BandFactor::DoNotUse) => "elsewhere: do not use",
        Some(BandFactor::Factor(_) | BandFactor::PerUnit { .. } | BandFactor::Proportional) => {
            "elsewhere"
        }
        None => "outside its bands",
    }
}

/// `rows 0 and 10 °C, linear`, or `row 10 °C`.
fn between_words(
    nodes: &[f64],
    found: Option<Interpolated>,
    unit: &str,
    between: Between,
) -> String {
    nodes_words("row", nodes, found, unit, between)
}

/// The same for what is called otherwise than a row.
fn nodes_words(
    name: &str,
    nodes: &[f64],
    found: Option<Interpolated>,
    unit: &str,
    between: Between,
) -> String {
    let Some(found) = found else {
        return format!("the only {name}");
    };
    let node = |index: usize| {
        nodes
            .get(index)
            .map_or_else(String::new, |value| print::number(*value))
    };
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    if found.rows.0 == found.rows.1 {
        return format!("{name} {}{unit}", node(found.rows.0));
    }
    let how = match between {
        Between::Linear => ", linear",
        Between::Logarithmic => ", logarithmic",
        Between::NotAllowed => "",
    };
    format!(
        "{name}s {} and {}{unit}{how}",
        node(found.rows.0),
        node(found.rows.1)
    )
}

/// Refusal of a step without a value, with its remedy.
pub(crate) fn refusal(tube: &Tube, strokes: f64, unit: &str, failed: &StepFailed) -> Refusal {
    let step = name(failed.step);
    let (correction, condition_unit) = match failed.step {
        CorrectionStep::Temperature => with_unit(tube.temperature.at(strokes)),
        CorrectionStep::Humidity => with_unit(tube.humidity.at(strokes)),
        CorrectionStep::Pressure => with_unit(tube.pressure.at(strokes)),
        CorrectionStep::Strokes | CorrectionStep::ResponseFactor => (&Correction::NoneNeeded, ""),
    };
    let humidity_unit = match correction {
        Correction::WithHumidity(grid) => grid.humidity_unit.canonical(),
        _ => "",
    };
    let number = |value: f64| print::number(round(value, 3));
    let field = if failed.step == CorrectionStep::ResponseFactor {
        "read.also_measures".to_owned()
    } else {
        format!("correct.{step}")
    };
    match failed.why {
        Failure::Table(NoValue::Outside {
            axis: TableAxis::Condition,
            at,
            low,
            high,
        }) if failed.step != CorrectionStep::ResponseFactor => Refusal::new(
            outside(failed.step),
            format!(
                "{} {condition_unit} is outside {field}, which goes from {} to {} {condition_unit}",
                number(at),
                number(low),
                number(high)
            ),
            instead_outside(failed.step),
        ),
        Failure::Table(NoValue::Outside {
            axis: TableAxis::Humidity,
            at,
            low,
            high,
        }) => Refusal::new(
            outside(CorrectionStep::Humidity),
            format!(
                "{} {humidity_unit} is outside {field}, whose rows go from {} to {} {humidity_unit}",
                number(at),
                number(low),
                number(high)
            ),
            instead_outside(CorrectionStep::Humidity),
        ),
        Failure::Table(NoValue::Outside { at, low, high, .. }) => Refusal::new(
            outside(failed.step),
            format!(
                "{} {unit} is outside {field}, whose rows go from {} to {} {unit}",
                number(at),
                number(low),
                number(high)
            ),
            "repeat with a stroke count that gives a reading inside the table; nothing is extrapolated",
        ),
        Failure::Table(NoValue::BetweenRows {
            at,
            before,
            after,
            axis,
        }) => {
            let by_condition =
                axis != TableAxis::Reading && failed.step != CorrectionStep::ResponseFactor;
            let (unit, step) = match axis {
                TableAxis::Humidity => (humidity_unit, CorrectionStep::Humidity),
                TableAxis::Condition if by_condition => (condition_unit, failed.step),
                _ => (unit, failed.step),
            };
            Refusal::new(
                between_rows(step),
                format!(
                    "{} {unit} lies between {} and {} {unit} of {field}, and the sheet allows the printed rows only",
                    number(at),
                    number(before),
                    number(after)
                ),
                if by_condition {
                    "measure at a condition that the leaflet prints, or use another tube"
                } else {
                    "repeat with a stroke count that gives a value which the leaflet prints, or use another tube"
                },
            )
        }
        Failure::Table(NoValue::EmptyCell) => Refusal::new(
            Code::EmptyCell,
            format!("{field} prints nothing in a cell that is needed here"),
            "measure at a condition or with a stroke count for which the leaflet prints a number, or use another tube; nothing is put in for the cell",
        ),
        Failure::Table(NoValue::Barred { at, low, high }) => Refusal::new(
            Code::NotToBeUsedHere,
            format!(
                "{} {condition_unit} is {}, where {field} says that the tube must not be used",
                number(at),
                match (low.is_finite(), high.is_finite()) {
                    (true, true) =>
                        format!("in {} to {} {condition_unit}", number(low), number(high)),
                    (true, false) => format!("above {} {condition_unit}", number(low)),
                    (false, true) => format!("below {} {condition_unit}", number(high)),
                    (false, false) => "outside its bands".to_owned(),
                }
            ),
            "use a tube whose sheet covers these conditions",
        ),
        Failure::NotForStrokes => Refusal::new(
            Code::CorrectionNotForStrokes,
            format!("{field} does not hold for {}", strokes_words(strokes)),
            "repeat with a stroke count for which the leaflet states the correction",
        ),
        Failure::Table(NoValue::Unreadable) => Refusal::new(
            Code::FactorImpossible,
            format!("{field} gives no value here"),
            if matches!(correction, Correction::NoneNeeded) {
                "have the sheet checked"
            } else {
                "look at the conditions, and have the sheet checked"
            },
        ),
        Failure::FactorNotPositive(factor) => Refusal::new(
            Code::FactorImpossible,
            format!(
                "{field} gives a factor of {} here, which no stain can mean",
                print::to_significant(factor, 3)
            ),
            "look at the conditions, and have the sheet checked",
        ),
    }
}

fn outside(step: CorrectionStep) -> Code {
    match step {
        CorrectionStep::Temperature => Code::OutsideTemperatureTable,
        CorrectionStep::Humidity => Code::OutsideHumidityTable,
        CorrectionStep::Pressure => Code::OutsidePressureTable,
        CorrectionStep::ResponseFactor => Code::OutsideOtherGasTable,
        // The multiplier is one number for each stroke count; no table stands there.
        CorrectionStep::Strokes => Code::FactorImpossible,
    }
}

fn between_rows(step: CorrectionStep) -> Code {
    match step {
        CorrectionStep::Temperature => Code::BetweenRowsOfTemperatureTable,
        CorrectionStep::Humidity => Code::BetweenRowsOfHumidityTable,
        CorrectionStep::Pressure => Code::BetweenRowsOfPressureTable,
        CorrectionStep::ResponseFactor => Code::BetweenRowsOfOtherGasTable,
        CorrectionStep::Strokes => Code::FactorImpossible,
    }
}

/// A correction with the unit of its condition.
fn with_unit(correction: &Correction) -> (&Correction, &'static str) {
    let unit = match correction {
        Correction::Proportional => "kPa",
        _ => correction
            .unit()
            .map_or("", stainbook_core::Unit::canonical),
    };
    (correction, unit)
}

fn instead_outside(step: CorrectionStep) -> &'static str {
    match step {
        CorrectionStep::Temperature => {
            "bring tube and pump to a temperature inside the table and state it as `tube_temperature`, or use a tube whose sheet covers this one; nothing is extrapolated"
        }
        CorrectionStep::Humidity => {
            "use a tube whose sheet covers this humidity; nothing is extrapolated"
        }
        _ => "use a tube whose sheet covers this pressure; nothing is extrapolated",
    }
}
