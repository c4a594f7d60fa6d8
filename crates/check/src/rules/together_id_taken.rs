//! A row of `together` whose name is taken.

use std::collections::BTreeMap;

use stainbook_catalog::written::SurveyEntry;

use crate::together::{ReadingsByName, rows};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "together-id-taken",
    level: Level::Error,
    since: "0.1.0",
    summary: "A row of `together` is called like a reading or like another row.",
    family: Family::Field,
    docs: include_str!("together-id-taken.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut seen = BTreeMap::new();
    let readings = ReadingsByName::of(survey);
    for (path, row) in rows(survey) {
        let Some(id) = row.id.as_deref() else {
            continue;
        };
        let path = path.key("id");
        let first = readings
            .get(id)
            .map(|(path, _)| (path.key("id"), "a reading is called so"))
            .or_else(|| Some((seen.get(id).cloned()?, "the first row of this name")));
        if let Some((first, words)) = first {
            sink.report(
                sink.at(path.clone())
                    .message(format!("the name `{id}` is taken"))
                    .label("used twice")
                    .note("averages and readings are known by their names alike; with two of one name nobody can say which figure went into a result")
                    .help("give the row a name of its own, such as that of the person or the shift it is for")
                    .related(sink.place(first), words)
                    .fact("written", Fact::text(id)),
            );
        }
        seen.entry(id).or_insert(path);
    }
}
