//! One point of a correction that leaves the trend of its neighbours.

use stainbook_core::elementary::ln;

use crate::points::{Placed, axis_name};
use crate::trend::{Sample, off_the_trend};
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-off-the-trend",
    level: Level::Warning,
    since: "0.1.0",
    summary: "One number of a correction table leaves the trend of its neighbours.",
    family: Family::Correction,
    docs: include_str!("correction-off-the-trend.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        factors(placed, sink);
        table(placed, sink);
    }
}

fn factors(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    let Some((points, unit)) = placed.rising_points() else {
        return;
    };
    let read_off = placed.read_off_half_width();
    let samples: Option<Vec<Sample>> = points
        .iter()
        .map(|point| {
            Sample::new(
                point.condition.value(),
                point.factor.value(),
                point.factor.half_step() + read_off * point.factor.value(),
            )
        })
        .collect();
    let Some(found) = samples.and_then(|samples| off_the_trend(&samples)) else {
        return;
    };
    let Some(point) = points.get(found.index) else {
        return;
    };
    let axis = axis_name(placed.axis);
    sink.report(
        sink.at(placed.path().key("rows").index(point.row).index(point.factor_column))
            .message(format!("one factor of the {axis} correction leaves the trend of the others"))
            .label(format!(
                "{} at {} {}, the others lead to {}",
                point.factor.text(),
                point.condition.text(),
                unit.canonical(),
                words::number(found.expected)
            ))
            .note(format!(
                "a curve through the neighbouring rows gives {}, give or take {}",
                words::number(found.expected),
                words::tolerance(found.tolerance)
            ))
            .note("readings near this condition are multiplied by it")
            .help("compare the row with the leaflet; if it is printed so, accept the finding with that as the reason")
            .fact("written", words::number_fact(point.factor, ""))
            .fact("expected", words::computed_fact(found.expected, ""))
            .fact("tolerance", words::tolerance_fact(found.tolerance, "")),
    );
}

fn table(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    let Some((columns, _)) = placed.columns() else {
        return;
    };
    let lines = &placed.correction.lines;
    if lines
        .iter()
        .any(|line| line.reading.is_none() || line.cells().len() != columns.len())
    {
        return;
    }
    for column in 0..columns.len() {
        // Down a column the corrected value grows with the reading; what it grows by changes slowly.
        let mut samples = Vec::new();
        let mut order: Vec<usize> = (0..lines.len()).collect();
        let reading = |index: usize| {
            lines
                .get(index)
                .and_then(|line| line.reading.as_ref())
                .map_or(0.0, |reading| reading.value_in_base())
        };
        order.sort_by(|a, b| reading(*a).total_cmp(&reading(*b)));
        let cell = |index: usize| lines.get(index)?.cells().get(column)?.number();
        order.retain(|index| cell(*index).is_some());
        for index in &order {
            let (Some(line), Some(value)) = (lines.get(*index), cell(*index)) else {
                continue;
            };
            let (Some(written), Some(ratio)) = (&line.reading, line.factor(column)) else {
                continue;
            };
            if written.number() <= 0.0 {
                return;
            }
            // The reading is a mark or a round figure: exact. What it becomes was rounded.
            let half_step = value.half_step() * ratio / value.value();
            samples.extend(Sample::new(ln(written.value_in_base()), ratio, half_step));
        }
        if samples.len() != order.len() {
            return;
        }
        let Some(found) = off_the_trend(&samples) else {
            continue;
        };
        let Some(row) = order.get(found.index) else {
            continue;
        };
        let Some(line) = lines.get(*row) else {
            continue;
        };
        let (Some(written), Some(value)) = (&line.reading, cell(*row)) else {
            continue;
        };
        let heading = placed.heading(column);
        let unit = written.unit().canonical();
        let key = line.cells_key();
        // A row of factors says factors.
        let (shown, times) = if key == "factors" {
            ("", 1.0)
        } else {
            (unit, written.number())
        };
        sink.report(
            sink.at(placed.path().key("lines").index(*row).key(key).index(column))
                .message(format!("one value of the {} correction leaves the trend of the others", axis_name(placed.axis)))
                .label(format!(
                    "{} {shown} at {heading}, the others lead to {}",
                    value.text(),
                    words::number(found.expected * times)
                ))
                .note(format!(
                    "by the neighbouring rows {} becomes {} {unit}, give or take {}",
                    written.canonical(),
                    words::number(found.expected * written.number()),
                    words::tolerance(found.tolerance * written.number())
                ))
                .note("readings beside it are replaced by what the table says there")
                .help("compare the row with the leaflet; if it is printed so, accept the finding with that as the reason")
                .fact("written", words::number_fact(value, shown))
                .fact("expected", words::computed_fact(found.expected * times, shown)),
        );
    }
}

trait InBase {
    fn value_in_base(&self) -> f64;
}

impl InBase for stainbook_core::Written<stainbook_core::Concentration> {
    fn value_in_base(&self) -> f64 {
        self.unit().to_base(self.number())
    }
}
