//! A lower explosive limit that is not below the upper one.

use stainbook_catalog::written::SubstanceEntry;

use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "explosive-limits-reversed",
    level: Level::Error,
    since: "0.1.0",
    summary: "The lower explosive limit is not below the upper one.",
    family: Family::Substance,
    docs: include_str!("explosive-limits-reversed.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, limits) in substance.explosive_limits.iter().enumerate() {
        let (Some(lower), Some(upper)) = (&limits.lower, &limits.upper) else {
            continue;
        };
        if lower.value() < upper.value() {
            continue;
        }
        let at = |key| Path::root().key("explosive_limits").index(row).key(key);
        sink.report(
            sink.at(at("lower"))
                .message("the lower explosive limit is not below the upper one")
                .label(format!("{} written, the upper limit is {}", lower.canonical(), upper.canonical()))
                .note("between the two the air can explode; a lower limit that is too high lets people work in it")
                .help("look at the source: the two are swapped, or one has lost its decimal point")
                .related(sink.place(at("upper")), "the upper limit")
                .fact("lower", words::written_fact(lower))
                .fact("upper", words::written_fact(upper)),
        );
    }
}
