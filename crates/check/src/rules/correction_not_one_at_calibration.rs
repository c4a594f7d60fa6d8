//! A correction that changes the reading at the conditions at which the scale is right.

use stainbook_catalog::model::table_columns;
use stainbook_catalog::written::TableCell;
use stainbook_catalog::written::tube::{BandSays, Method, TubeEntry};

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

/// Part of the difference of two neighbouring factors by which a leaflet's curve may lie beside the straight line between them.
/// Our own bound: the sag of a parabola through three rows whose differences are as 1 to 3.
const BENDS: f64 = 0.25;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        factors(placed, sheet, sink);
        polynomial(placed, sheet, sink);
        table(placed, sheet, sink);
        bands(placed, sheet, sink);
        grid(placed, sheet, sink);
    }
}

/// Bands that hold the calibration: each has to leave the reading as it is.
fn bands(placed: &Placed<'_>, tube: &TubeEntry, sink: &mut Sink<'_>) {
    if !placed.is_bands() {
        return;
    }
    let bands = placed.bands();
    let mut held = false;
    for (row, ends) in &bands {
        let Some(at) = placed.calibration(tube, ends.unit) else {
            return;
        };
        let inside = Interval::exactly(ends.low).hull(Interval::exactly(ends.high));
        if !inside.meets(at) {
            continue;
        }
        held = true;
        let Some(band) = placed.correction.bands.get(*row) else {
            continue;
        };
        let path = placed.path().key("bands").index(*row);
        // An end that two bands share belongs to both, and only one of them has to be of 1.
        let shared = bands.iter().any(|(other, of)| {
            other != row
                && [of.low, of.high]
                    .iter()
                    .any(|end| Interval::exactly(*end).meets(at))
        });
        let text = match (&band.factor, band.says) {
            (Some(factor), _) if !Interval::of(factor).meets(Interval::exactly(1.0)) => {
                factor.text().to_owned()
            }
            (None, Some(BandSays::DoNotUse)) => "do not use".to_owned(),
            _ => continue,
        };
        if shared {
            continue;
        }
        report_one(
            placed,
            path,
            &format!(
                "{text} within {}",
                band.within.as_deref().unwrap_or_default()
            ),
            at,
            ends.unit,
            sink,
        );
    }
    if !held
        && placed.correction.elsewhere == Some(BandSays::DoNotUse)
        && let Some((_, ends)) = bands.first()
        && let Some(at) = placed.calibration(tube, ends.unit)
    {
        let path = placed.path().key("elsewhere");
        report_one(placed, path, "do not use", at, ends.unit, sink);
    }
}

/// The cell of a table against temperature and humidity where the scale is right.
fn grid(placed: &Placed<'_>, tube: &TubeEntry, sink: &mut Sink<'_>) {
    if !placed.is_grid() {
        return;
    }
    let Some((columns, unit)) = placed.columns() else {
        return;
    };
    let Some(at) = placed.calibration(tube, unit) else {
        return;
    };
    let humidity = tube.calibrated_at().and_then(|at| at.humidity.as_ref());
    let Some(humidity) = humidity else { return };
    let Some(column) = columns
        .iter()
        .position(|column| Interval::exactly(*column).meets(at))
    else {
        return;
    };
    for (row, line) in placed.correction.humidities.iter().enumerate() {
        let same = line.humidity.as_ref().is_some_and(|of| {
            of.unit().dimension() == humidity.unit().dimension()
                && Interval::of_written(of).meets(Interval::of_written(humidity))
        });
        let Some(factor) = line.factors.get(column).and_then(TableCell::number) else {
            continue;
        };
        if same && !Interval::of(factor).meets(Interval::exactly(1.0)) {
            let path = placed.path().key("humidities").index(row);
            let path = path.key("factors").index(column);
            let label = format!(
                "{} at {} and {}",
                factor.text(),
                placed.heading(column),
                humidity.text()
            );
            report_one(placed, path, &label, at, unit, sink);
        }
    }
}

/// A row of factors in a table against the reading.
fn of_factors(
    placed: &Placed<'_>,
    row: usize,
    (columns, at): (&[f64], Interval),
    sink: &mut Sink<'_>,
) {
    let Some(line) = placed.correction.lines.get(row) else {
        return;
    };
    let column = columns
        .iter()
        .position(|column| (column - at.middle()).abs() <= at.half_width());
    let Some(column) = column.filter(|_| line.factors.len() == columns.len()) else {
        return;
    };
    let Some(factor) = line.factors.get(column).and_then(TableCell::number) else {
        return;
    };
    let Ok((_, unit)) = table_columns(&placed.correction.columns, placed.axis) else {
        return;
    };
    if !Interval::of(factor).meets(Interval::exactly(1.0)) {
        let path = placed.path().key("lines").index(row);
        let path = path.key("factors").index(column);
        let label = format!("{} at {}", factor.text(), placed.heading(column));
        report_one(placed, path, &label, at, unit, sink);
    }
}

fn report_one(
    placed: &Placed<'_>,
    path: Path,
    label: &str,
    at: Interval,
    unit: &'static stainbook_core::Unit,
    sink: &mut Sink<'_>,
) {
    let digits = words::with_unit(at.middle(), unit);
    sink.report(
        sink.at(path)
            .message(format!("the {} correction changes the reading where the scale is right as printed", axis_name(placed.axis)))
            .label(format!("{label}, must be 1"))
            .note(format!("the scale is calibrated at {digits}, so nothing is to be corrected there"))
            .note("every reading near these conditions, which are the usual ones, would be off by this factor")
            .help("compare with the leaflet: a number has moved by a row or a cell, or a digit has slipped; or the calibration conditions have")
            .related(sink.place(calibrated_path(placed)), "the calibration conditions"),
    );
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
        // Evaluation takes the straight line between two rows; the leaflet's own curve may bend beside it.
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
        let span = (high.condition.value() - low.condition.value()).abs();
        let part = (at.middle() - low.condition.value()).abs() / span;
        let (first, second) = (low.factor.value(), high.factor.value());
        let middle = first + (second - first) * part;
        let rounding = low.factor.half_step().max(high.factor.half_step());
        (
            above,
            Interval::around(middle, rounding + BENDS * (second - first).abs()),
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
            of_factors(placed, row, (columns, at), sink);
            continue;
        }
        let here = columns
            .iter()
            .position(|column| (column - at.middle()).abs() <= at.half_width());
        let printed = Interval::of_written(reading);
        let (index, found) = if let Some(index) = here {
            let Some(value) = line.becomes.get(index).and_then(TableCell::number) else {
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
        let Some(value) = line.becomes.get(index).and_then(TableCell::number) else {
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
    let low = Interval::of_result(line.becomes.get(index)?.number()?);
    let high = Interval::of_result(line.becomes.get(index + 1)?.number()?);
    Some((index + 1, low.hull(high)))
}
