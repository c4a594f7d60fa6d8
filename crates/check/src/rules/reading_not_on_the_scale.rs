//! A reading that the scale of its tube cannot give.

use stainbook_catalog::written::tube::{MeasuringRange, Scale};
use stainbook_catalog::written::{Num, SurveyEntry};
use stainbook_core::{Concentration, Quantity, Written, unit_of};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::{Interval, same};
use crate::readings::{Sheets, placed, ranges_of, scale_of};
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "reading-not-on-the-scale",
    level: Level::Error,
    since: "0.1.0",
    summary: "A reading lies outside the printed marks, or is in a unit that the scale is not printed in.",
    family: Family::Field,
    docs: include_str!("reading-not-on-the-scale.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let Some((id, tube)) = sheets.only(reading) else {
            continue;
        };
        let (Some(seen), Some(scale)) = (&reading.reading, scale_of(tube, reading)) else {
            continue;
        };
        let at = path.key("reading");
        for (key, written) in [
            ("at", &seen.at),
            ("short", &seen.short),
            ("long", &seen.long),
        ] {
            if let Some(written) = written {
                one(written, scale, id, at.clone().key(key), context, sink);
            }
        }
        for (key, mark) in [
            ("at_mm", &seen.at_mm),
            ("short_mm", &seen.short_mm),
            ("long_mm", &seen.long_mm),
        ] {
            if let Some(mark) = mark {
                millimetre(mark, scale, id, at.clone().key(key), (context, sink));
            }
        }
        let strokes = reading.strokes.as_ref().map(|strokes| strokes.value());
        let ranges = strokes.map(|strokes| ranges_of(tube, reading, strokes));
        let Some([range]) = ranges.as_deref() else {
            continue;
        };
        for (key, written, side) in [
            ("less_than", &seen.less_than, Side::BeforeFirst),
            ("more_than", &seen.more_than, Side::BehindLast),
        ] {
            if let Some(written) = written {
                bound(
                    written,
                    scale,
                    range,
                    side,
                    at.clone().key(key),
                    (context, sink),
                );
            }
        }
    }
}

/// A millimetre mark has to lie in the paper's table.
fn millimetre(
    mark: &Num,
    scale: &Scale,
    id: &str,
    path: Path,
    (context, sink): (&Context<'_>, &mut Sink<'_>),
) {
    let unit = scale.unit.as_deref().unwrap_or("ppm");
    let reading = sink.place(path.parent().unwrap_or_default());
    let (Some(first), Some(last)) = (scale.millimetres.first(), scale.millimetres.last()) else {
        sink.report(
            sink.at(path)
                .message(format!("this reading is in millimetres, and the scale of `{id}` in {unit}"))
                .label("the sheet has no table of millimetres")
                .note("what a length of stain says is known only from a table on the leaflet")
                .help(format!(
                    "write what was read on the glass, in {unit}; or, if the glass shows millimetres, type the leaflet's table into the sheet under `millimetres`"
                )),
        );
        return;
    };
    let (side, end, seen) = if mark.value() < first.value() {
        (
            "before the first mark of the table",
            first,
            "below first mark",
        )
    } else if last.value() < mark.value() {
        (
            "behind the last mark of the table",
            last,
            "beyond last mark",
        )
    } else {
        return;
    };
    sink.report(
        sink.at(path)
            .message(format!("there is no table to read this from: it lies {side}"))
            .label(format!("{} mm written, the table of `{id}` ends at {} mm", mark.text(), end.text()))
            .note("a length outside the table is a guess; what is known is a bound, and that is how it is to be recorded")
            .help(context.words(
                help!("write for the reading {}", Offer::yaml(format!("{{seen: {seen}}}")).at(reading)),
                help!("leave the cell empty and write {} under `seen`", Offer::cell_under("seen", seen).in_part()),
            )),
    );
}

/// An end of a scale.
#[derive(Clone, Copy)]
enum Side {
    BeforeFirst,
    BehindLast,
}

impl Side {
    /// Words for the mark, what is seen beside it, and what else a sign may stand for there.
    fn words(self) -> [&'static str; 3] {
        match self {
            Self::BeforeFirst => ["first", "below first mark", "no stain"],
            Self::BehindLast => ["last", "beyond last mark", ""],
        }
    }
}

/// A bound is a reading only where it is what the mark at its end stands for at that stroke count.
fn bound(
    written: &Written<Concentration>,
    scale: &Scale,
    range: &MeasuringRange,
    side: Side,
    path: Path,
    (context, sink): (&Context<'_>, &mut Sink<'_>),
) {
    let unit = scale
        .unit
        .as_deref()
        .and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok());
    let mark = match side {
        Side::BeforeFirst => scale.marks.first(),
        Side::BehindLast => scale.marks.last(),
    };
    let multiplier = range.multiply_by.as_ref().map(|factor| factor.value());
    let (Some(unit), Some(mark), Some(multiplier)) = (unit, mark, multiplier) else {
        return;
    };
    let stands_for = mark.value() * multiplier;
    if written.unit().dimension() == unit.dimension()
        && same(written.value().in_unit(unit), stands_for)
    {
        return;
    }
    let [which, seen, otherwise] = side.words();
    let reading = path.parent().unwrap_or_default();
    let record =
        |seen: &str| Offer::yaml(format!("{{seen: {seen}}}")).at(sink.place(reading.clone()));
    let in_file = match side {
        Side::BeforeFirst => help!(
            "write for the reading {} if a stain ended there, {} if the filling kept its colour; a bound that was worked out belongs under `remark`",
            record(seen),
            record(otherwise)
        ),
        Side::BehindLast => help!(
            "write for the reading {} if a stain ended there, the reading itself if the stain ended before that; a bound that was worked out belongs under `remark`",
            record(seen)
        ),
    };
    let cell = |seen: &'static str| Offer::cell_under("seen", seen).in_part();
    let in_table = match side {
        Side::BeforeFirst => help!(
            "leave the cell empty and write under `seen` what was seen: {} if a stain ended there, {} if the filling kept its colour; a bound that was worked out belongs under `remark`",
            cell(seen),
            cell(otherwise)
        ),
        Side::BehindLast => help!(
            "leave the cell empty and write under `seen` what was seen: {} if a stain ended there, the reading itself if the stain ended before that; a bound that was worked out belongs under `remark`",
            cell(seen)
        ),
    };
    sink.report(
        sink.at(path)
            .message("this bound may be a stain beside the scale, or one that somebody worked out")
            .label(format!(
                "the {which} mark stands for {} {} at this stroke count",
                words::number(stands_for),
                unit.canonical()
            ))
            .note("a bound that was worked out already would be corrected a second time, and a stain is a fact only if somebody saw it")
            .help(context.words(in_file, in_table))
            .fact("written", words::written_fact(written)),
    );
}

fn one(
    written: &Written<Concentration>,
    scale: &Scale,
    id: &str,
    path: Path,
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    let unit = scale
        .unit
        .as_deref()
        .and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok());
    let (Some(unit), Some(first), Some(last)) = (unit, scale.marks.first(), scale.marks.last())
    else {
        return;
    };
    let reading = sink.place(path.parent().unwrap_or_default());
    let finding = sink.at(path).fact("written", words::written_fact(written));
    if written.unit().dimension() != unit.dimension() {
        sink.report(
            finding
                .message(format!("this reading is in {}, and the scale of `{id}` in {}", written.unit().canonical(), unit.canonical()))
                .label(format!("the scale is printed in {}", unit.canonical()))
                .note("a reading is what stands beside the end of the stain; a concentration that was worked out already would be corrected a second time")
                .help(format!("write what was read on the glass, in {}", unit.canonical())),
        );
        return;
    }
    // Marks that do not rise have a rule of their own.
    let rising =
        |pair: &[stainbook_catalog::written::Num]| matches!(pair, [a, b] if a.value() < b.value());
    if !scale.marks.windows(2).all(rising) {
        return;
    }
    let value = Interval::exactly(written.value().in_unit(unit));
    let (side, mark, seen) = if value.is_below(Interval::exactly(first.value())) {
        ("before the first mark", first, "below first mark")
    } else if Interval::exactly(last.value()).is_below(value) {
        ("behind the last mark", last, "beyond last mark")
    } else {
        return;
    };
    let mark = words::as_written(mark, unit);
    sink.report(
        finding
            .message(format!("there is no scale to read this from: it lies {side}"))
            .label(format!("{} written, {side} of `{id}`, {mark}", written.canonical()))
            .note("a number outside the printed marks is a guess; what is known is a bound, and that is how it is to be recorded")
            .help(context.words(
                help!(
                    "write for the reading {}; if it was multiplied already, write what stood on the glass",
                    Offer::yaml(format!("{{seen: {seen}}}")).at(reading)
                ),
                help!(
                    "leave the cell empty and write {} under `seen`; if it was multiplied already, write what stood on the glass",
                    Offer::cell_under("seen", seen).in_part()
                ),
            )),
    );
}
