//! An average whose readings do not say how long they stand for, or stand for longer than it.

use stainbook_catalog::written::{SurveyEntry, TogetherMethod};
use stainbook_core::print;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::together::{ReadingsByName, named, rows};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "times-not-for-the-average",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The times that readings stand for do not make the average.",
    family: Family::Field,
    docs: include_str!("times-not-for-the-average.md"),
    check: Check::Survey(check),
};

/// Up to this period a short-term limit is meant, and readings that stand for longer are those of another period: ISO 17621
/// is for measurements of up to 15 minutes. A shift may be longer than its 8 hours.
const SHORT_PERIOD_MINUTES: f64 = 15.0;

/// Sums of times are compared with room for what adding them up leaves.
const ROUNDING: f64 = 1e-9;

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let readings = ReadingsByName::of(survey);
    for (path, row) in rows(survey) {
        if row.method != Some(TogetherMethod::Average) {
            continue;
        }
        let mut stood_for = Some(0.0);
        for name in named(&path, row) {
            let Some((of, reading)) = readings.get(name.id) else {
                stood_for = None;
                continue;
            };
            let minutes = reading
                .stands_for
                .as_ref()
                .map(|time| time.value().minutes());
            stood_for = stood_for.zip(minutes).map(|(sum, minutes)| sum + minutes);
            let absent = minutes.is_none() && context.says_nothing(&of.clone().key("stands_for"));
            let nothing = minutes.is_some_and(|minutes| minutes <= 0.0);
            // A blank is blamed by a rule of its own.
            if !(absent || nothing) || reading.blank == Some(true) {
                continue;
            }
            sink.report(
                sink.at(name.path)
                    .message(if nothing {
                        format!("`{}` stands for no time", name.id)
                    } else {
                        format!("`{}` does not say how long it stands for", name.id)
                    })
                    .label("no time to weigh it with")
                    .note("that the air was the same for longer than the tube was drawn is the judgement of whoever was there; without it no average is worked out")
                    .help(context.words(
                        help!(
                            "write into the reading how long the air was like that, as in {}",
                            Offer::field("stands_for: 90 min").at(sink.place(of.clone()))
                        ),
                        help!(
                            "write into the row of the reading how long the air was like that, as in {} under `stands_for`",
                            Offer::cell_under("stands_for", "90 min").at(sink.place(of.clone()))
                        ),
                    ))
                    .related(sink.place(of), "the reading")
                    .fact("reading", Fact::text(name.id)),
            );
        }
        let Some(over) = &row.over else { continue };
        let period = over.value().minutes();
        if period <= 0.0 {
            sink.report(
                sink.at(path.key("over"))
                    .message("the average is over no time")
                    .label("nothing")
                    .note("what was there is divided by the period of the limit")
                    .help(help!(
                        "write the period of the limit: {} or {}",
                        Offer::yaml("8 h"),
                        Offer::yaml("15 min")
                    ))
                    .fact("over", Fact::number(period, "min", over.text())),
            );
        } else if let Some(sum) = stood_for
            && period <= SHORT_PERIOD_MINUTES * (1.0 + ROUNDING)
            && period * (1.0 + ROUNDING) < sum
        {
            sink.report(
                sink.at(path.key("over"))
                    .message(format!(
                        "the readings stand for {} min together, longer than the period of {}",
                        print::number(sum),
                        over.text()
                    ))
                    .label(format!("shorter than {} min", print::number(sum)))
                    .note("a short-term limit is for the quarter of an hour with the most gas, and not for a longer time")
                    .help(format!("name only the readings of the {} with the most gas", over.text()))
                    .fact("stands_for", Fact::number(sum, "min", format!("{} min", print::number(sum))))
                    .fact("over", Fact::number(period, "min", over.text())),
            );
        }
    }
}
