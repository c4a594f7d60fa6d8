//! Readings whose times do not follow each other.

use stainbook_catalog::written::SurveyEntry;

use crate::readings::placed;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "times-out-of-order",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A reading is dated before the one above it.",
    family: Family::Field,
    docs: include_str!("times-out-of-order.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut before: Option<(
        stainbook_document::place::Path,
        &stainbook_catalog::written::Moment,
    )> = None;
    for (path, reading) in placed(survey) {
        let Some(at) = &reading.at else { continue };
        let path = path.key("at");
        if let Some((above_path, above)) = &before
            && at.instant() < above.instant()
        {
            sink.report(
                sink.at(path.clone())
                    .message("this reading is dated before the one above it")
                    .label(format!("{} after {}", at.text(), above.text()))
                    .note("readings stand in the order in which they were taken; expiries, checks of the pump and an average over the shift go by their times")
                    .help("look at date, hour and zone: one has a slip, or the rows are to be put in the order of their times")
                    .related(sink.place(above_path.clone()), "the reading above")
                    .fact("written", Fact::text(at.text()))
                    .fact("above", Fact::text(above.text())),
            );
        }
        before = Some((path, at));
    }
}
