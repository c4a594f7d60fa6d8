//! An example of the leaflet that the sheet does not reproduce.

use crate::{Check, Family, Level, Rule};

pub(crate) const RULE: Rule = Rule {
    name: "worked-example-differs",
    level: Level::Error,
    since: "0.1.0",
    summary: "A worked example of the leaflet does not come out as it is printed.",
    family: Family::Performance,
    docs: include_str!("worked-example-differs.md"),
    check: Check::Evaluation,
};
