//! An accepted finding whose time is over.

use stainbook_catalog::written::tube::Accept;
use stainbook_document::finding::{Fact, Finding, Level};
use stainbook_document::place::Place;

use crate::{Check, Family, Rule};

pub(crate) const RULE: Rule = Rule {
    name: "exception-expired",
    level: Level::Warning,
    since: "0.1.0",
    summary: "An exception has passed the day until which it holds.",
    family: Family::Exception,
    docs: include_str!("exception-expired.md"),
    check: Check::Exceptions,
};

pub(crate) fn finding(accept: &Accept, place: Place) -> Finding {
    let until = accept
        .until
        .as_ref()
        .map(stainbook_catalog::written::Day::text)
        .unwrap_or_default();
    let rule = accept.rule.as_deref().unwrap_or_default();
    Finding::of(RULE.name, RULE.level, place)
        .message(format!("the exception from `{rule}` has expired"))
        .label(format!("held until {until}"))
        .note("whoever accepted the finding wanted it looked at again by then; until somebody has, it is reported as before")
        .help("look whether the reason still holds; then set a new day, or mend what was found")
        .fact("rule", Fact::text(rule))
        .fact("until", Fact::text(until))
}
