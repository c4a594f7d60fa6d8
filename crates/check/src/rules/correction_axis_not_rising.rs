//! Conditions of a table that do not go one way.

use stainbook_catalog::written::tube::Correction;

use crate::points::{Placed, axis_name};
use crate::printed::same;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-axis-not-rising",
    level: Level::Error,
    since: "0.1.0",
    summary: "The conditions or readings of a correction table do not go one way.",
    family: Family::Correction,
    docs: include_str!("correction-axis-not-rising.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        if let Some((points, unit)) = placed.points() {
            let values: Vec<f64> = points.iter().map(|point| point.condition.value()).collect();
            if let Some(wrong) = out_of_order(&values)
                && let Some(point) = points.get(wrong)
            {
                let column = 1 - point.factor_column.min(1);
                let text = format!("{} {}", point.condition.text(), unit.canonical());
                let path = placed.path().key("rows").index(point.row).index(column);
                report(placed, path, &text, "rows", sink);
            }
        }
        if let Some((values, _)) = placed.columns()
            && let Some(wrong) = out_of_order(values)
        {
            let path = placed.path().key("columns").index(wrong);
            report(placed, path, placed.heading(wrong), "columns", sink);
        }
        if let Some(values) = readings(placed.correction)
            && let Some(wrong) = out_of_order(&values)
        {
            let line = placed
                .correction
                .lines
                .get(wrong)
                .and_then(|line| line.reading.as_ref());
            let text = line.map(|reading| reading.canonical()).unwrap_or_default();
            let path = placed.path().key("lines").index(wrong).key("reading");
            report(placed, path, &text, "readings", sink);
        }
    }
}

/// The readings of a table, in the unit of the first.
fn readings(correction: &Correction) -> Option<Vec<f64>> {
    let unit = correction.lines.first()?.reading.as_ref()?.unit();
    correction
        .lines
        .iter()
        .map(|line| {
            let reading = line.reading.as_ref()?;
            (reading.unit().dimension() == unit.dimension())
                .then(|| unit.from_base(reading.unit().to_base(reading.number())))
        })
        .collect()
}

/// The value that breaks the order; nothing if all rise or all fall. A leaflet may start with the highest temperature.
fn out_of_order(values: &[f64]) -> Option<usize> {
    let falling =
        matches!((values.first(), values.last()), (Some(first), Some(last)) if last < first);
    let goes_on = |a: f64, b: f64| if falling { b < a } else { a < b };
    let broken = values
        .windows(2)
        .position(|pair| matches!(pair, [a, b] if !goes_on(*a, *b)))?
        + 1;
    // The same condition twice has a rule of its own.
    if values
        .get(broken)
        .zip(values.get(broken - 1))
        .is_some_and(|(a, b)| same(*a, *b))
    {
        return None;
    }
    // The later of the two is the wrong one unless it fits to what comes before.
    let before = broken.checked_sub(2).and_then(|index| values.get(index));
    match (before, values.get(broken), values.get(broken + 1)) {
        (Some(before), Some(wrong), _) if goes_on(*before, *wrong) => Some(broken - 1),
        (None, Some(wrong), Some(after)) if goes_on(*wrong, *after) => Some(broken - 1),
        _ => Some(broken),
    }
}

fn report(
    placed: &Placed<'_>,
    path: stainbook_document::place::Path,
    text: &str,
    what: &str,
    sink: &mut Sink<'_>,
) {
    let axis = axis_name(placed.axis);
    sink.report(
        sink.at(path)
            .message(format!("the {what} of the {axis} correction do not go one way"))
            .label(format!("{text} out of order"))
            .note("a table is read between two neighbours; with a row out of order the factor of another condition is taken")
            .help("compare with the leaflet from top to bottom: a sign or a digit has slipped")
            .fact("written", Fact::text(text)),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_one_out_of_order_is_named() {
        for (values, wrong) in [
            (&[0.0, 10.0, 20.0, 30.0][..], None),
            (&[30.0, 20.0, 10.0, 0.0], None),
            (&[0.0, 100.0, 20.0, 30.0], Some(1)),
            (&[0.0, 10.0, 20.0, 3.0, 40.0], Some(3)),
            (&[10.0, 10.0, 20.0], None),
            (&[], None),
        ] {
            assert_eq!(out_of_order(values), wrong, "{values:?}");
        }
    }
}
