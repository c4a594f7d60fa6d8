//! Fewer readings than a method needs.

use stainbook_catalog::written::{SurveyEntry, TogetherMethod};

use crate::together::rows;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "too-few-readings-together",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Fewer readings are put together than the method needs.",
    family: Family::Field,
    docs: include_str!("too-few-readings-together.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, row) in rows(survey) {
        let (least, why) = match row.method {
            Some(TogetherMethod::Average) => (1, "an average is of one reading at least"),
            Some(TogetherMethod::Mixture) => (2, "one gas is no mixture"),
            Some(TogetherMethod::MutualInterference) => {
                (2, "one gas alone disturbs no other gas's tube")
            }
            // EN 689:2018: 3 to 5 values go to the preliminary test.
            Some(TogetherMethod::ExposureGroup) => {
                (3, "the preliminary test of EN 689 needs three values")
            }
            None => continue,
        };
        // A name that could not be read counts: it is there.
        let count = names(context, &path.clone().key("readings"))
            + names(context, &path.clone().key("averages"));
        if least <= count {
            continue;
        }
        let field = if row.readings.is_empty() && !row.averages.is_empty() {
            "averages"
        } else {
            "readings"
        };
        let at = path.clone().key(field);
        let at = if context.says_nothing(&at) {
            path.key("id")
        } else {
            at
        };
        sink.report(
            sink.at(at)
                .message(format!("{count} named, and {least} are the least"))
                .label("too few")
                .note(why)
                .help("name the other readings that belong to it, or take the row out")
                .fact("written", Fact::text(count.to_string()))
                .fact("least", Fact::text(least.to_string())),
        );
    }
}

fn names(context: &Context<'_>, list: &Path) -> usize {
    let node = context.entry.document.find(list);
    node.map_or(0, |node| node.items().count())
}
