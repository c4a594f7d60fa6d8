//! Pressure factors that go the wrong way.

use stainbook_catalog::written::tube::Axis;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "pressure-factor-direction",
    level: Level::Error,
    since: "0.1.0",
    summary: "A pressure factor lowers the reading where the air is thinner, or raises it where it is denser.",
    family: Family::Correction,
    docs: include_str!("pressure-factor-direction.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let pressure = sheet
        .corrections()
        .iter()
        .filter(|placed| placed.axis == Axis::Pressure);
    for placed in pressure {
        let Some((points, unit)) = placed.points() else {
            continue;
        };
        let Some(at) = placed.calibration(sheet, unit) else {
            continue;
        };
        for point in points {
            let pressure = Interval::of(point.condition);
            let factor = Interval::of(point.factor);
            let one = Interval::exactly(1.0);
            let thinner = pressure.is_below(at) && factor.is_below(one);
            let denser = at.is_below(pressure) && one.is_below(factor);
            if !thinner && !denser {
                continue;
            }
            let proportional = at.middle() / point.condition.value();
            let direction = if thinner {
                "fewer molecules than"
            } else {
                "more molecules than"
            };
            sink.report(
                sink.at(placed.path().key("rows").index(point.row).index(point.factor_column))
                    .message("this pressure factor goes the wrong way")
                    .label(format!(
                        "{} at {} {}, about {} expected",
                        point.factor.text(),
                        point.condition.text(),
                        unit.canonical(),
                        words::number(proportional)
                    ))
                    .note(format!(
                        "a stroke there holds {direction} at the calibration pressure, {}, so the reading is multiplied by about {} / {} = {}",
                        words::with_unit(at.middle(), unit),
                        words::number(at.middle()),
                        point.condition.text(),
                        words::number(proportional)
                    ))
                    .note("a factor upside down is wrong twice over: once for not correcting, once for correcting the other way")
                    .help("look at the leaflet: it may print what the scale is divided by; write the factor that the reading is multiplied by")
                    .fact("written", words::number_fact(point.factor, ""))
                    .fact("proportional", words::computed_fact(proportional, "")),
            );
        }
    }
}
