//! Two rows of a plan of one name.

use std::collections::BTreeMap;

use stainbook_catalog::written::PlanEntry;

use crate::plans::placed;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "plan-id-doubled",
    level: Level::Error,
    since: "0.1.0",
    summary: "Two rows of a plan have the same name.",
    family: Family::Field,
    docs: include_str!("plan-id-doubled.md"),
    check: Check::Plan(check),
};

fn check(plan: &PlanEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut seen: BTreeMap<&str, Path> = BTreeMap::new();
    for (path, planned) in placed(plan) {
        let Some(id) = planned.id.as_deref() else {
            continue;
        };
        let path = path.key("id");
        if let Some(first) = seen.get(id) {
            sink.report(
                sink.at(path)
                    .message(format!("two rows of the plan are called `{id}`"))
                    .label("used before")
                    .related(sink.place(first.clone()), "the first of this name")
                    .note("the readings of the survey get these names, and of two of one name nobody knows which was meant")
                    .help("give each row a name of its own")
                    .fact("written", Fact::text(id)),
            );
        } else {
            seen.insert(id, path);
        }
    }
}
