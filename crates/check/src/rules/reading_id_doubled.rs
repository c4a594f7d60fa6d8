//! Two readings of one survey under one name.

use std::collections::BTreeMap;

use stainbook_catalog::written::SurveyEntry;

use crate::readings::placed;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "reading-id-doubled",
    level: Level::Error,
    since: "0.1.0",
    summary: "Two readings of a survey have the same name.",
    family: Family::Field,
    docs: include_str!("reading-id-doubled.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut seen = BTreeMap::new();
    for (path, reading) in placed(survey) {
        let Some(id) = reading.id.as_deref() else {
            continue;
        };
        let path = path.key("id");
        match seen.get(id) {
            None => {
                seen.insert(id, path);
            }
            Some(first) => sink.report(
                sink.at(path)
                    .message(format!("there is a reading `{id}` above already"))
                    .label("used twice")
                    .note("a result is known by this name; with two of them nobody can say years later which reading a result came from")
                    .help("give each reading a name of its own; if the row was entered twice, take one out")
                    .related(sink.place(first.clone()), "the first one")
                    .fact("written", Fact::text(id)),
            ),
        }
    }
}
