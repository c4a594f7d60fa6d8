//! An accepted finding that is not there.

use stainbook_catalog::written::tube::Accept;
use stainbook_document::finding::{Fact, Finding, Level};
use stainbook_document::place::Place;

use crate::{Check, Family, Rule};

pub(crate) const RULE: Rule = Rule {
    name: "exception-unused",
    level: Level::Warning,
    since: "0.1.0",
    summary: "An entry accepts a finding that is not there.",
    family: Family::Exception,
    docs: include_str!("exception-unused.md"),
    check: Check::Exceptions,
};

pub(crate) fn finding(accept: &Accept, accepted: &Rule, place: Place) -> Finding {
    let finding = Finding::of(RULE.name, RULE.level, place)
        .message(format!("`{}` has nothing to accept here", accepted.name))
        .label("no such finding")
        .note("an exception that is left standing would cover the next slip of the same kind")
        .fact("rule", Fact::text(accepted.name));
    match &accept.at {
        Some(at) => finding.help(format!(
            "take the exception out, or mend `at: {at}` if the finding is elsewhere"
        )),
        None => finding.help("take the exception out"),
    }
}
