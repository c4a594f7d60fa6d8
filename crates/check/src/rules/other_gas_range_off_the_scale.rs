//! A range of another gas that scale and factor do not give.

use stainbook_catalog::written::Num;
use stainbook_catalog::written::tube::ResponseFactor;

use crate::printed::{Interval, same};
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, ScaleView, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "other-gas-range-off-the-scale",
    level: Level::Error,
    since: "0.1.0",
    summary: "The range of another gas is reversed, or lies outside of marks times multiplier times its factor.",
    family: Family::Interferent,
    docs: include_str!("other-gas-range-off-the-scale.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let also = sheet.response_factors().iter().enumerate();
    for (row, other) in also {
        let path = Path::root().key("read").key("also_measures").index(row);
        if let (Some(from), Some(to)) = (&other.from, &other.to)
            && to.value() <= from.value()
        {
            sink.report(
                sink.at(path.key("to"))
                    .message("the range of this gas does not start below its end")
                    .label(format!("from {} to {}", from.text(), to.text()))
                    .note("no concentration lies in such a range, so every reading would be called outside it")
                    .help("compare both with the leaflet: the two are swapped, or a digit has slipped")
                    .fact("from", words::number_fact(from, ""))
                    .fact("to", words::number_fact(to, "")),
            );
            continue;
        }
        let Some(possible) = possible(other, sheet) else {
            continue;
        };
        if let Some(from) = &other.from
            && Interval::of_result(from).is_below(Interval::exactly(possible.low.low))
        {
            report(from, "from", true, &possible, path.clone(), sink);
        }
        if let Some(to) = &other.to
            && Interval::exactly(possible.high.high).is_below(Interval::of_result(to))
        {
            report(to, "to", false, &possible, path, sink);
        }
    }
}

/// Scale times multiplier times factor at either end, with its derivation.
struct Possible<'a> {
    view: &'a ScaleView<'a>,
    low: Interval,
    high: Interval,
    multiplier: String,
    factors: (String, String),
}

fn possible<'a>(other: &ResponseFactor, sheet: &'a SheetView<'_>) -> Option<Possible<'a>> {
    let view = sheet.scale_named(other.scale.as_deref())?;
    let (first, last) = view.ends()?;
    let scale_strokes = view.scale.printed_for_strokes.as_ref()?.value();
    let strokes = other.strokes.as_ref().map_or(scale_strokes, |n| n.value());
    let range = view.ranges.iter().find(|(_, range)| {
        range
            .strokes
            .as_ref()
            .is_some_and(|count| same(count.value(), strokes))
    });
    let (multiplier, text) = match range {
        Some((_, range)) => (
            view.multiplier(range)?,
            range.multiply_by.as_ref()?.text().to_owned(),
        ),
        None if same(strokes, scale_strokes) => (Interval::exactly(1.0), "1".to_owned()),
        // A stroke count that the sheet lacks has rules of its own.
        None => return None,
    };
    let (low, high) = factors_at_ends(other)?;
    let at = |mark: f64, factor: &(Interval, String)| {
        Interval::exactly(mark).times(multiplier).times(factor.0)
    };
    Some(Possible {
        view,
        low: at(first, &low),
        high: at(last, &high),
        multiplier: text,
        factors: (low.1, high.1),
    })
}

/// The factor that leads furthest down and the one that leads furthest up, each with its text.
fn factors_at_ends(other: &ResponseFactor) -> Option<((Interval, String), (Interval, String))> {
    let rows = other.rows.iter().filter_map(|row| row.get(1));
    let rows = rows.map(|factor| (Interval::of(factor), factor.text().to_owned()));
    let by = other.by.iter();
    let by = by.map(|by| {
        (
            Interval::around(by.value(), by.half_width()),
            by.text().to_owned(),
        )
    });
    let factors: Vec<(Interval, String)> = by.chain(rows).collect();
    let positive = factors.iter().all(|(factor, _)| 0.0 < factor.middle());
    let order =
        |a: &&(Interval, String), b: &&(Interval, String)| a.0.middle().total_cmp(&b.0.middle());
    let smallest = factors.iter().min_by(order)?;
    let largest = factors.iter().max_by(order)?;
    positive.then(|| (smallest.clone(), largest.clone()))
}

fn report(
    written: &Num,
    key: &'static str,
    low: bool,
    possible: &Possible<'_>,
    path: Path,
    sink: &mut Sink<'_>,
) {
    let view = possible.view;
    let marks = &view.scale.marks;
    let (bound, mark, factor, word) = if low {
        (
            possible.low.low,
            marks.first(),
            &possible.factors.0,
            "least",
        )
    } else {
        (
            possible.high.high,
            marks.last(),
            &possible.factors.1,
            "most",
        )
    };
    let Some(mark) = mark else { return };
    let computed = if low {
        possible.low.middle()
    } else {
        possible.high.middle()
    };
    let tolerance = (bound - computed).abs();
    let end = if low { "first" } else { "last" };
    sink.report(
        sink.at(path.key(key))
            .message("the range of this gas does not fit on the scale")
            .label(format!("{} written, at {word} {} possible", view.words(written.text()), view.words(&words::number(bound))))
            .note(format!(
                "the {end} mark, {}, times the multiplier {} and the factor {factor} is {}; their digits explain {}",
                view.words(mark.text()),
                possible.multiplier,
                view.words(&words::number(computed)),
                view.words(&words::tolerance(tolerance))
            ))
            .note("readings that the leaflet does not vouch for would be taken as measured, or good ones called outside the range")
            .help("compare range, factor and strokes with the leaflet: one of the three has a slip, or is that of another gas")
            .fact("written", words::number_fact(written, view.unit_text()))
            .fact("computed", words::computed_fact(computed, view.unit_text()))
            .fact("tolerance", words::tolerance_fact(tolerance, view.unit_text())),
    );
}
