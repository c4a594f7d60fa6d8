//! A correction that is larger than any tube needs.

use stainbook_catalog::written::tube::Axis;

use crate::points::{Placed, axis_name};
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-size-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A correction for temperature or humidity is implausibly large or small.",
    family: Family::Correction,
    docs: include_str!("correction-size-implausible.md"),
    check: Check::Tube(check),
};

/// Tubes that need more than this are not said to work at those conditions. Common practice, no source.
const PLAUSIBLE: (f64, f64) = (0.2, 5.0);

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let corrections = sheet.corrections().iter();
    // What pressure does follows from physics, which has a rule of its own.
    for placed in corrections.filter(|placed| placed.axis != Axis::Pressure) {
        for (row, numbers) in placed.correction.rows.iter().enumerate() {
            let Some((points, _)) = placed.points() else {
                break;
            };
            let column = points.first().map_or(1, |point| point.factor_column);
            let Some(factor) = numbers.get(column) else {
                continue;
            };
            if is_plausible(factor.value()) {
                continue;
            }
            let path = placed.path().key("rows").index(row).index(column);
            report(
                placed,
                path,
                &format!("times {}", factor.text()),
                factor.value(),
                sink,
            );
        }
        further(placed, sink);
        for (row, line) in placed.correction.lines.iter().enumerate() {
            let Some(reading) = &line.reading else {
                continue;
            };
            for (column, becomes) in line.cells().iter().enumerate() {
                let Some(factor) = line.factor(column) else {
                    continue;
                };
                if is_plausible(factor) {
                    continue;
                }
                let path = placed
                    .path()
                    .key("lines")
                    .index(row)
                    .key(line.cells_key())
                    .index(column);
                let what = format!(
                    "{} becomes {}, times {}",
                    reading.canonical(),
                    becomes.text(),
                    words::number(factor)
                );
                report(placed, path, &what, factor, sink);
            }
        }
    }
}

/// Factors of bands, and of a table against temperature and humidity.
fn further(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    for (row, band) in placed.correction.bands.iter().enumerate() {
        let Some(factor) = band
            .factor
            .as_ref()
            .filter(|factor| !is_plausible(factor.value()))
        else {
            continue;
        };
        let path = placed.path().key("bands").index(row).key("factor");
        report(
            placed,
            path,
            &format!("times {}", factor.text()),
            factor.value(),
            sink,
        );
    }
    for (row, line) in placed.correction.humidities.iter().enumerate() {
        for (column, cell) in line.factors.iter().enumerate() {
            let Some(factor) = cell.number().filter(|factor| !is_plausible(factor.value())) else {
                continue;
            };
            let path = placed.path().key("humidities").index(row);
            let path = path.key("factors").index(column);
            report(
                placed,
                path,
                &format!("times {}", factor.text()),
                factor.value(),
                sink,
            );
        }
    }
}

fn is_plausible(factor: f64) -> bool {
    PLAUSIBLE.0 <= factor && factor <= PLAUSIBLE.1 || !factor.is_finite()
}

fn report(placed: &Placed<'_>, path: Path, what: &str, factor: f64, sink: &mut Sink<'_>) {
    sink.report(
        sink.at(path)
            .message(format!("this {} correction is implausible", axis_name(placed.axis)))
            .label(format!("{what}; {} to {} plausible", words::number(PLAUSIBLE.0), words::number(PLAUSIBLE.1)))
            .note("a tube whose reading has to be changed by more than that does not measure there; readings near this condition would be off by the whole factor")
            .help("compare the number with the leaflet: the decimal point has moved, or the cell belongs to another column")
            .fact("factor", words::computed_fact(factor, "")),
    );
}
