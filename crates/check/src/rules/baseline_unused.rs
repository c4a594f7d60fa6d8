//! A finding that a baseline knows and that is no longer there.

use stainbook_document::finding::{Fact, Finding, Level};
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::Place;

use crate::baseline::BaselinedFinding;
use crate::{Check, Family, Rule};

pub(crate) const RULE: Rule = Rule {
    name: "baseline-unused",
    level: Level::Note,
    since: "0.1.0",
    summary: "A baseline knows a finding that is no longer there.",
    family: Family::Exception,
    docs: include_str!("baseline-unused.md"),
    check: Check::Exceptions,
};

pub(crate) fn finding(known: &BaselinedFinding, left: usize, place: Place) -> Finding {
    let times = if left == known.times {
        String::new()
    } else {
        format!(" {left} of {} times", known.times)
    };
    Finding::of(RULE.name, RULE.level, place)
        .message(format!("`{}` is no longer found{times} in `{}`", known.rule, known.file))
        .label("mended since")
        .note("what is left standing here would cover the next slip of the same kind in the same place")
        .help(help!("write the baseline again with {}, or take the entry out", Offer::command("--write-baseline")))
        .fact("rule", Fact::text(known.rule.as_str()))
        .fact("file", Fact::text(known.file.as_str()))
        .fact("at", Fact::text(known.at.as_str()))
}
