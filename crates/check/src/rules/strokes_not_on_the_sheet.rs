//! A stroke count that the sheet of a reading does not have.

use stainbook_catalog::written::{Observation, SurveyEntry};

use crate::readings::{Sheets, placed, ranges_of};
use crate::words;
use crate::{Check, Context, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "strokes-not-on-the-sheet",
    level: Level::Error,
    since: "0.1.0",
    summary: "A reading was made with a stroke count that its sheet does not have.",
    family: Family::Field,
    docs: include_str!("strokes-not-on-the-sheet.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let (Some(strokes), Some((id, tube))) = (&reading.strokes, sheets.only(reading)) else {
            continue;
        };
        let full = tube.ranges_in_full();
        let counts: Option<Vec<&str>> = full
            .rows
            .iter()
            .map(|full| &full.range)
            .filter(|range| {
                range.scale.is_none() || reading.scale.is_none() || range.scale == reading.scale
            })
            .map(|range| range.strokes.as_ref().map(|count| count.text()))
            .collect();
        let Some(mut counts) = counts.filter(|counts| !counts.is_empty()) else {
            continue;
        };
        if !ranges_of(tube, reading, strokes.value()).is_empty() {
            continue;
        }
        // Beyond the printed counts the sheet may allow strokes without a stain; with one, evaluating refuses it.
        let most = tube.draw.as_ref();
        let most = most.and_then(|draw| draw.more_strokes_if_no_stain.as_ref());
        let seen = reading.reading.as_ref().and_then(|read| read.seen);
        if seen == Some(Observation::NoStain)
            && most.is_some_and(|most| strokes.value() <= most.value())
        {
            continue;
        }
        counts.dedup();
        let on = reading
            .scale
            .as_deref()
            .map_or(String::new(), |scale| format!(" on its scale `{scale}`"));
        sink.report(
            sink.at(path.key("strokes"))
                .message(format!("`{id}` has no range for {}{on}", words::count_of_strokes(strokes)))
                .label(format!("the sheet has {}", counts.join(", ")))
                .note("what the scale is multiplied by is stated for these counts only, and does not follow from them: nothing can be worked out for another one")
                .help("look at the record again: the count may have a slip, or belong to another tube; else repeat with a count that the sheet has")
                .fact("written", words::number_fact(strokes, "strokes")),
        );
    }
}
