//! A blank that is averaged, added up or tested like a reading of the air.

use stainbook_catalog::written::SurveyEntry;

use crate::together::{ReadingsByName, named, rows};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "blank-among-readings",
    level: Level::Error,
    since: "0.1.0",
    summary: "A blank is put together with readings of the air.",
    family: Family::Field,
    docs: include_str!("blank-among-readings.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let readings = ReadingsByName::of(survey);
    for (path, row) in rows(survey) {
        for name in named(&path, row) {
            let Some((of, reading)) = readings.get(name.id) else {
                continue;
            };
            if reading.blank != Some(true) {
                continue;
            }
            sink.report(
                sink.at(name.path)
                    .message(format!("`{}` is a blank", name.id))
                    .label("drawn in clean air")
                    .note("a blank says nothing about the air of the workplace, so nothing is worked out with it among the readings")
                    .help(context.words(
                        "take it off the list; if the tube was drawn at the workplace, take `blank` out of the reading",
                        "leave `average` empty in the blank's row; if the tube was drawn at the workplace, leave `blank` empty",
                    ))
                    .related(sink.place(of.key("blank")), "said here")
                    .fact("written", Fact::text(name.id)),
            );
        }
    }
}
