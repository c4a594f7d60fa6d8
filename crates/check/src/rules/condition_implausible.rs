//! A temperature or pressure that no tube meets.

use stainbook_catalog::written::tube::Axis;
use stainbook_core::plausible_air::{TEMPERATURE_CELSIUS, within};
use stainbook_core::{Pressure, Quantity, Temperature, Unit, unit_of};

use crate::points::{Placed, axis_name};
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "condition-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A temperature or pressure on a sheet is one that no tube is made for.",
    family: Family::Performance,
    docs: include_str!("condition-implausible.md"),
    check: Check::Tube(check),
};

/// Tubes are calibrated at room temperature and at the pressure of low ground. Common practice, no source.
const CALIBRATED_CELSIUS: (f64, f64) = (10.0, 35.0);
/// See [`CALIBRATED_CELSIUS`].
const CALIBRATED_KILOPASCALS: (f64, f64) = (90.0, 107.0);
/// From an altitude of 7,000 m to a pressurised caisson's lock. Common practice, no source.
const USED_KILOPASCALS: (f64, f64) = (40.0, 120.0);

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    if let Some(at) = sheet.calibrated_at() {
        let path = Path::root().key("correct").key("calibrated_at");
        if let Some(temperature) = &at.temperature {
            one(
                "calibration temperature",
                temperature.value(),
                &temperature.canonical(),
                "°C",
                CALIBRATED_CELSIUS,
                path.clone().key("temperature"),
                sink,
            );
        }
        if let Some(pressure) = &at.pressure {
            one(
                "calibration pressure",
                pressure.value(),
                &pressure.canonical(),
                "kPa",
                CALIBRATED_KILOPASCALS,
                path.key("pressure"),
                sink,
            );
        }
    }
    let usable = sheet.usable();
    if let Some(range) = usable.and_then(|usable| usable.temperature.as_ref()) {
        let path = Path::root()
            .key("before_use")
            .key("usable")
            .key("temperature");
        for end in [range.low(), range.high()] {
            one(
                "usable temperature",
                end.value(),
                &end.canonical(),
                "°C",
                TEMPERATURE_CELSIUS,
                path.clone(),
                sink,
            );
        }
    }
    for placed in sheet.corrections() {
        axis(placed, sink);
    }
}

fn one<Q: Quantity>(
    what: &str,
    value: Q,
    text: &str,
    unit: &str,
    plausible: (f64, f64),
    path: Path,
    sink: &mut Sink<'_>,
) {
    let Ok(unit) = unit_of(Q::DIMENSION, unit) else {
        return;
    };
    let number = value.in_unit(unit);
    if within(number, plausible) {
        return;
    }
    sink.report(
        sink.at(path)
            .message(format!("this {what} is implausible"))
            .label(format!("{text} written, {} to {} plausible", words::number(plausible.0), words::with_unit(plausible.1, unit)))
            .note("corrections start from these conditions, and readings outside of them are marked or refused")
            .help("compare it with the leaflet, unit and decimal point included; if it is printed so, accept the finding with that as the reason")
            .fact("written", Fact::number(number, unit.canonical(), text)),
    );
}

/// The conditions of a table. Humidity has bounds of its own in the unit.
fn axis(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    let what = format!("{} in the correction", axis_name(placed.axis));
    let mut judge = |number: f64, unit: &'static Unit, text: &str, path: Path| match placed.axis {
        Axis::Temperature => {
            if let Ok(value) = Temperature::from_unit(number, unit) {
                one(&what, value, text, "°C", TEMPERATURE_CELSIUS, path, sink);
            }
        }
        Axis::Pressure => {
            if let Ok(value) = Pressure::from_unit(number, unit) {
                one(&what, value, text, "kPa", USED_KILOPASCALS, path, sink);
            }
        }
        Axis::Humidity => {}
    };
    if let Some((points, unit)) = placed.points() {
        for point in points {
            let path = placed
                .path()
                .key("rows")
                .index(point.row)
                .index(1 - point.factor_column.min(1));
            judge(
                point.condition.value(),
                unit,
                &words::as_written(point.condition, unit),
                path,
            );
        }
    }
    if let Some((columns, unit)) = placed.columns() {
        for (index, number) in columns.iter().copied().enumerate() {
            let text = placed
                .correction
                .columns
                .get(index)
                .map_or("", String::as_str);
            judge(
                number,
                unit,
                text,
                placed.path().key("columns").index(index),
            );
        }
    }
}
