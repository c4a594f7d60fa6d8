//! An entry of the gases present that names none, or two.

use stainbook_catalog::written::SurveyEntry;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::readings::placed;
use crate::{Check, Context, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "present-gas-unclear",
    level: Level::Error,
    since: "0.1.0",
    summary: "A gas that is said to be present has no name, or is both a substance and a group.",
    family: Family::Field,
    docs: include_str!("present-gas-unclear.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, reading) in placed(survey) {
        for (index, present) in reading.present.iter().enumerate() {
            let path = path.clone().key("present").index(index);
            let both = present.substance.is_some() && present.group.is_some();
            let neither = context
                .is_absent(present.substance.as_ref(), &path.clone().key("substance"))
                && context.is_absent(present.group.as_ref(), &path.clone().key("group"))
                && !context.may_have_others(&path, &["substance", "group", "level", "uncertainty"]);
            let (message, label) = if both {
                ("this gas is both a substance and a group", "two names")
            } else if neither {
                ("this gas has no name", "neither `substance` nor `group`")
            } else {
                continue;
            };
            sink.report(
                sink.at(path)
                    .message(message)
                    .label(label)
                    .note("what it does to the tube cannot be looked up, and its share cannot be taken off")
                    .help(help!("write {} with the name of one gas, or {} with that of several", Offer::name("substance"), Offer::name("group"))),
            );
        }
    }
}
