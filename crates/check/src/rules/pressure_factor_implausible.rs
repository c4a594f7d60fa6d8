//! A pressure factor that the amount of gas in a stroke does not explain.

use stainbook_catalog::written::tube::Axis;
use stainbook_core::elementary::powf;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "pressure-factor-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A pressure factor is far from calibration pressure over pressure.",
    family: Family::Correction,
    docs: include_str!("pressure-factor-implausible.md"),
    check: Check::Tube(check),
};

/// A stroke holds gas in proportion to the pressure, and a stain grows with some power of the amount: the same power as with
/// strokes, which lies between these for real tubes (from memory).
const EXPONENTS: (f64, f64) = (0.6, 1.7);

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let corrections = sheet.corrections().iter();
    for placed in corrections.filter(|placed| placed.axis == Axis::Pressure) {
        let Some((points, unit)) = placed.points() else {
            continue;
        };
        let Some(at) = placed.calibration(sheet, unit) else {
            continue;
        };
        for point in points {
            let ratio = at.over(Interval::of(point.condition));
            if !(0.0 < ratio.low && ratio.high.is_finite()) {
                continue;
            }
            let ends = [
                powf(ratio.low, EXPONENTS.0),
                powf(ratio.low, EXPONENTS.1),
                powf(ratio.high, EXPONENTS.0),
                powf(ratio.high, EXPONENTS.1),
            ];
            let possible = Interval {
                low: ends.iter().copied().fold(f64::INFINITY, f64::min),
                high: ends.iter().copied().fold(0.0, f64::max),
            };
            let factor = Interval::of(point.factor);
            let one = Interval::exactly(1.0);
            // A factor that goes the wrong way has a rule of its own.
            let wrong_way = (possible.low < 1.0 && one.is_below(factor))
                || (1.0 < possible.high && factor.is_below(one));
            if factor.meets(possible) || wrong_way {
                continue;
            }
            let proportional = at.middle() / point.condition.value();
            sink.report(
                sink.at(placed.path().key("rows").index(point.row).index(point.factor_column))
                    .message("this pressure factor is implausible")
                    .label(format!(
                        "{} at {}, {} to {} plausible",
                        point.factor.text(),
                        words::as_written(point.condition, unit),
                        words::number(possible.low),
                        words::number(possible.high)
                    ))
                    .note(format!(
                        "a stroke holds gas in proportion to the pressure: {} / {} = {}; a stain that grows with the {} to {}th power of the amount explains the rest",
                        words::with_unit(at.middle(), unit),
                        point.condition.text(),
                        words::number(proportional),
                        EXPONENTS.0,
                        EXPONENTS.1
                    ))
                    .help("compare the row with the leaflet: a digit has slipped in the pressure or in the factor; if it is printed so, accept the finding with that as the reason")
                    .fact("written", words::number_fact(point.factor, ""))
                    .fact("proportional", words::computed_fact(proportional, "")),
            );
        }
    }
}
