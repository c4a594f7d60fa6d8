//! A reading that the scale of its tube cannot give.

use stainbook_catalog::written::SurveyEntry;
use stainbook_catalog::written::tube::Scale;
use stainbook_core::{Concentration, Quantity, Written, unit_of};

use crate::printed::Interval;
use crate::readings::{Sheets, placed, scale_of};
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
                one(written, scale, id, at.clone().key(key), sink);
            }
        }
    }
}

fn one(written: &Written<Concentration>, scale: &Scale, id: &str, path: Path, sink: &mut Sink<'_>) {
    let unit = scale
        .unit
        .as_deref()
        .and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok());
    let (Some(unit), Some(first), Some(last)) = (unit, scale.marks.first(), scale.marks.last())
    else {
        return;
    };
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
            .help(format!("write `reading: {{seen: {seen}}}`; if it was multiplied already, write what stood on the glass")),
    );
}
