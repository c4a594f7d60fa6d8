//! A reading that is named twice in one row of `together`.

use std::collections::BTreeMap;

use stainbook_catalog::written::SurveyEntry;

use crate::together::{named, rows};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "reading-named-twice",
    level: Level::Error,
    since: "0.1.0",
    summary: "A reading is named twice where readings are put together.",
    family: Family::Field,
    docs: include_str!("reading-named-twice.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, row) in rows(survey) {
        let all = named(&path, row);
        let mut before = BTreeMap::new();
        for name in &all {
            let first = *before.entry(name.id).or_insert(name);
            if std::ptr::eq(first, name) {
                continue;
            }
            sink.report(
                sink.at(name.path.clone())
                    .message(format!("`{}` is named twice", name.id))
                    .label("named again")
                    .note(
                        "what was measured once would count twice, so nothing is worked out of it",
                    )
                    .help("name each reading once; if another one was meant, put its name here")
                    .related(sink.place(first.path.clone()), "named here first")
                    .fact("written", Fact::text(name.id)),
            );
        }
    }
}
