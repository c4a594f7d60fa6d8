//! A correction that changes the reading at the conditions at which the scale is right.

use stainbook_catalog::written::tube::{Method, TubeEntry};

use crate::points::{Placed, axis_name, between};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-not-one-at-calibration",
    level: Level::Error,
    since: "0.1.0",
    summary: "A correction changes the reading at the conditions at which the scale is right as printed.",
    family: Family::Correction,
    docs: include_str!("correction-not-one-at-calibration.md"),
    check: Check::Tube(check),
};

/// Tolerance of the coefficients of a printed formula beside their digits: leaflets fit them to a graph. Common practice,
/// no source.
const FITTED: f64 = 0.01;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        factors(placed, sheet, sink);
        polynomial(placed, sheet, sink);
        table(placed, sheet, sink);
    }
}

fn factors(placed: &Placed<'_>, tube: &TubeEntry, sink: &mut Sink<'_>) {
    let Some((points, unit)) = placed.rising_points() else {
        return;
    };
    let Some(at) = placed.calibration(tube, unit) else {
        return;
    };
    let read_off = placed.read_off_half_width();
    let close = |condition: &stainbook_core::Decimal| Interval::of(condition).meets(at);
    let (index, found) = if let Some(index) = points.iter().position(|point| close(point.condition))
    {
        let Some(point) = points.get(index) else {
            return;
        };
        (index, Interval::of(point.factor))
    } else {
        // Between two rows the leaflet's own curve may bend, so only that 1 lies between their factors is certain.
        let Some(above) = points
            .iter()
            .position(|point| at.middle() < point.condition.value())
        else {
            return;
        };
        let (Some(low), Some(high)) = (
            above.checked_sub(1).and_then(|low| points.get(low)),
            points.get(above),
        ) else {
            return;
        };
        (
            above,
            Interval::of(low.factor).hull(Interval::of(high.factor)),
        )
    };
    if found.widened(read_off).meets(Interval::exactly(1.0)) {
        return;
    }
    let Some(point) = points.get(index) else {
        return;
    };
    let path = placed
        .path()
        .key("rows")
        .index(point.row)
        .index(point.factor_column);
    let tolerance = point.factor.half_step() + point.factor.value() * read_off;
    sink.report(
        sink.at(path)
            .message(format!("the {} correction changes the reading where the scale is right as printed", axis_name(placed.axis)))
            .label(format!("{} at {} {}, must be 1", point.factor.text(), point.condition.text(), unit.canonical()))
            .note(format!(
                "the scale is calibrated at {}, so nothing is to be corrected there; rounding explains {} at most",
                words::with_unit(at.middle(), unit),
                words::tolerance(tolerance)
            ))
            .note("every reading near these conditions, which are the usual ones, would be off by this factor")
            .help("compare the rows with the leaflet: the factors have moved by a row, or a digit has slipped; or the calibration conditions have")
            .related(sink.place(calibrated_path(placed)), "the calibration conditions")
            .fact("written", words::number_fact(point.factor, ""))
            .fact("tolerance", words::tolerance_fact(tolerance, "")),
    );
}

fn calibrated_path(placed: &Placed<'_>) -> Path {
    Path::root()
        .key("correct")
        .key("calibrated_at")
        .key(axis_name(placed.axis))
}

fn polynomial(placed: &Placed<'_>, tube: &TubeEntry, sink: &mut Sink<'_>) {
    if placed.correction.method != Some(Method::Polynomial)
        || placed.correction.coefficients.is_empty()
    {
        return;
    }
    let dimension = match placed.axis {
        stainbook_catalog::written::tube::Axis::Temperature => {
            stainbook_core::Dimension::Temperature
        }
        stainbook_catalog::written::tube::Axis::Humidity => stainbook_core::Dimension::Humidity,
        stainbook_catalog::written::tube::Axis::Pressure => stainbook_core::Dimension::Pressure,
    };
    let Some(unit) = placed
        .correction
        .of
        .as_deref()
        .and_then(|of| stainbook_core::unit_of(dimension, of).ok())
    else {
        return;
    };
    let Some(at) = placed.calibration(tube, unit) else {
        return;
    };
    let x = at.middle();
    let factor = placed
        .correction
        .coefficients
        .iter()
        .rev()
        .fold(0.0, |sum, c| sum * x + c.value());
    let mut power = 1.0;
    let mut tolerance = FITTED;
    for coefficient in &placed.correction.coefficients {
        tolerance += coefficient.half_step() * f64::abs(power);
        power *= x;
    }
    if (factor - 1.0).abs() <= tolerance {
        return;
    }
    sink.report(
        sink.at(placed.path().key("coefficients"))
            .message(format!("the {} correction changes the reading where the scale is right as printed", axis_name(placed.axis)))
            .label(format!("gives {} at {}, must be 1", words::number(factor), words::with_unit(x, unit)))
            .note(format!("the digits of the coefficients explain {} at most", words::tolerance(tolerance)))
            .note("every reading near these conditions, which are the usual ones, would be off by this factor")
            .help("compare each coefficient with the leaflet, sign and powers of ten included; write the constant one first")
            .related(sink.place(calibrated_path(placed)), "the calibration conditions")
            .fact("computed", words::computed_fact(factor, ""))
            .fact("tolerance", words::tolerance_fact(tolerance, "")),
    );
}

fn table(placed: &Placed<'_>, tube: &TubeEntry, sink: &mut Sink<'_>) {
    let Some((columns, unit)) = placed.columns() else {
        return;
    };
    let Some(at) = placed.calibration(tube, unit) else {
        return;
    };
    for (row, line) in placed.correction.lines.iter().enumerate() {
        let Some(reading) = &line.reading else {
            continue;
        };
        if line.becomes.len() != columns.len() {
            continue;
        }
        let here = columns
            .iter()
            .position(|column| (column - at.middle()).abs() <= at.half_width());
        let printed = Interval::of_written(reading);
        let (index, found) = if let Some(index) = here {
            let Some(value) = line.becomes.get(index) else {
                continue;
            };
            (index, Interval::of_result(value))
        } else {
            let Some((index, found)) = around(columns, line, at.middle()) else {
                continue;
            };
            (index, found)
        };
        if found.meets(printed) {
            continue;
        }
        let Some(value) = line.becomes.get(index) else {
            continue;
        };
        let tolerance = printed.half_width() + Interval::of_result(value).half_width();
        let column = placed.heading(index);
        let in_unit = reading.unit().canonical();
        sink.report(
            sink.at(placed.path().key("lines").index(row).key("becomes").index(index))
                .message(format!("the {} correction changes the reading where the scale is right as printed", axis_name(placed.axis)))
                .label(format!("{} becomes {} {in_unit} at {column}", reading.canonical(), value.text()))
                .note(format!(
                    "the scale is calibrated at {}, so the reading stays there; rounding explains {} at most",
                    words::with_unit(at.middle(), unit),
                    words::tolerance_with_unit(tolerance, reading.unit())
                ))
                .note("every reading near these conditions, which are the usual ones, would be off by as much")
                .help("compare the row with the leaflet: its numbers have moved by a cell, or a digit has slipped; or the calibration conditions have")
                .related(sink.place(calibrated_path(placed)), "the calibration conditions")
                .fact("written", words::number_fact(value, in_unit))
                .fact("reading", words::written_fact(reading)),
        );
    }
}

/// Interval of a line between two columns, and the upper of the two.
fn around(
    columns: &[f64],
    line: &stainbook_catalog::written::tube::correct::TableLine,
    at: f64,
) -> Option<(usize, Interval)> {
    let index = columns.windows(2).position(
        |pair| matches!(pair, [a, b] if between(at, (a.min(*b), 0.0), (a.max(*b), 0.0)).is_some()),
    )?;
    let low = Interval::of_result(line.becomes.get(index)?);
    let high = Interval::of_result(line.becomes.get(index + 1)?);
    Some((index + 1, low.hull(high)))
}
