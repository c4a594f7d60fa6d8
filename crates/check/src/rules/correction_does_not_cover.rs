//! A correction that ends inside the range in which the tube is said to work.

use stainbook_catalog::written::tube::paper_words::OpenRange;
use stainbook_catalog::written::tube::{Axis, MeasuringRange, Method, TubeEntry};
use stainbook_core::{Quantity, Temperature, Unit, WrittenRange};

use stainbook_document::help;
use stainbook_document::offer::{Help, Offer};

use crate::points::{Placed, axis_name};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-does-not-cover",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A correction table does not cover the conditions in which the tube is said to work.",
    family: Family::Correction,
    docs: include_str!("correction-does-not-cover.md"),
    check: Check::Tube(check),
};

/// The conditions of one kind that a table covers.
struct Covered {
    axis: Axis,
    low: f64,
    high: f64,
    unit: &'static Unit,
}

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        let of_axis = placed.span().map(|(low, high, unit)| Covered {
            axis: placed.axis,
            low,
            high,
            unit,
        });
        for covered in of_axis.into_iter().chain(of_humidities(placed)) {
            report(placed, &covered, sheet, sink);
        }
    }
}

/// The humidities of a table for temperature and humidity together.
fn of_humidities(placed: &Placed<'_>) -> Option<Covered> {
    let humidities = || {
        let lines = placed.correction.humidities.iter();
        lines.filter_map(|line| line.humidity.as_ref())
    };
    let unit = humidities().next()?.unit();
    let same_kind = humidities().all(|one| one.unit().dimension() == unit.dimension());
    let values = || humidities().map(|one| one.value().in_unit(unit));
    Some(Covered {
        axis: Axis::Humidity,
        low: values().reduce(f64::min)?,
        high: values().reduce(f64::max)?,
        unit,
    })
    .filter(|_| same_kind)
}

fn report(placed: &Placed<'_>, covered: &Covered, sheet: &SheetView<'_>, sink: &mut Sink<'_>) {
    let &Covered {
        axis,
        low,
        high,
        unit,
    } = covered;
    let Some((usable_low, usable_high, text)) = usable(axis, placed, sheet, unit) else {
        return;
    };
    let below = usable_low.is_below(Interval::exactly(low));
    let above = Interval::exactly(high).is_below(usable_high);
    if !below && !above {
        return;
    }
    let missing = match (below, above) {
        (true, true) => format!(
            "below {} and above {}",
            words::with_unit(low, unit),
            words::with_unit(high, unit)
        ),
        (true, false) => format!("below {}", words::with_unit(low, unit)),
        _ => format!("above {}", words::with_unit(high, unit)),
    };
    let axis = axis_name(axis);
    let help = if placed.correction.method == Some(Method::FactorBands) {
        help!(
            "compare both with the leaflet: a row of the table is missing, or the usable range has a slip; if the leaflet says nothing there, write {}",
            Offer::field("elsewhere: not stated").at(sink.place(placed.path().clone()))
        )
    } else {
        Help::from(
            "compare both with the leaflet: a row of the table is missing, or the usable range has a slip",
        )
    };
    sink.report(
        sink.at_key(placed.path())
            .message(format!("the {axis} correction does not cover the conditions in which the tube is said to work"))
            .label(format!("nothing {missing}, usable {text}"))
            .note("a correction is refused outside its table, so readings there would have no result although the sheet calls the tube usable")
            .help(help)
            .related(sink.place(Path::root().key("before_use").key("usable").key(axis)), "the usable range")
            .fact("table_from", Fact::number(low, unit.canonical(), words::with_unit(low, unit)))
            .fact("table_to", Fact::number(high, unit.canonical(), words::with_unit(high, unit)))
            .fact("usable", Fact::text(text)),
    );
}

/// The usable range in a unit of its own kind: its ends with what their digits leave open, and its text.
fn usable(
    axis: Axis,
    placed: &Placed<'_>,
    tube: &TubeEntry,
    unit: &'static Unit,
) -> Option<(Interval, Interval, String)> {
    let usable = tube.usable()?;
    match axis {
        Axis::Temperature => {
            let (low, high, text) = ends(usable.temperature.as_ref()?, unit)?;
            let [bar_low, bar_high] = barred(placed, tube, unit);
            // Where its stroke counts are barred, a table has nothing to cover.
            let low = bar_low
                .map(Interval::exactly)
                .filter(|bar| low.is_below(*bar))
                .unwrap_or(low);
            let high = bar_high
                .map(Interval::exactly)
                .filter(|bar| bar.is_below(high))
                .unwrap_or(high);
            Some((low, high, text))
        }
        // Relative and absolute humidity cover each other only together with a temperature.
        Axis::Humidity => ends(usable.humidity.as_ref()?, unit),
        Axis::Pressure => None,
    }
}

/// The ends of the temperatures at which the stroke counts of a table may be drawn, where each of them is barred beyond.
fn barred(placed: &Placed<'_>, tube: &TubeEntry, unit: &'static Unit) -> [Option<f64>; 2] {
    let full = tube.ranges_in_full();
    let counts = || {
        placed
            .correction
            .for_strokes
            .iter()
            .map(|count| count.value())
    };
    let rows = || {
        let of_table = |range: &MeasuringRange| {
            let strokes = range.strokes.as_ref();
            strokes.is_some_and(|strokes| counts().any(|count| same_count(count, strokes.value())))
        };
        full.rows
            .iter()
            .map(|row| &row.range)
            .filter(move |range| of_table(range))
    };
    let all = |end: fn(&OpenRange<Temperature>) -> Option<Temperature>,
               wider: fn(f64, f64) -> f64| {
        let ends: Option<Vec<f64>> = rows()
            .map(|range| Some(end(range.usable.as_ref()?)?.in_unit(unit)))
            .collect();
        ends?.into_iter().reduce(wider)
    };
    [
        all(OpenRange::low, f64::min),
        all(OpenRange::high, f64::max),
    ]
}

/// True if two stroke counts are the same.
fn same_count(one: f64, other: f64) -> bool {
    (one - other).abs() < 0.25
}

fn ends<Q: Quantity + PartialOrd>(
    range: &WrittenRange<Q>,
    unit: &'static Unit,
) -> Option<(Interval, Interval, String)> {
    let end = |written: &stainbook_core::Written<Q>| {
        let half_step = written.unit().step_to_base(written.half_step()) / unit.step_to_base(1.0);
        (written.unit().dimension() == unit.dimension())
            .then(|| Interval::around(written.value().in_unit(unit), half_step))
    };
    (!range.is_reversed()).then_some(())?;
    Some((end(range.low())?, end(range.high())?, range.canonical()))
}
