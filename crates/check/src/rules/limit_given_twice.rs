//! One limit that is given twice.

use stainbook_catalog::written::{Limit, LimitKind, SubstanceEntry};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::limits::kind_words;
use crate::printed::same;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "limit-given-twice",
    level: Level::Error,
    since: "0.1.0",
    summary: "One source's limit of one kind and period is given twice.",
    family: Family::Substance,
    docs: include_str!("limit-given-twice.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, limit) in substance.limits.iter().enumerate() {
        let above = substance.limits.iter().take(row).enumerate();
        let Some((first, _)) = above
            .into_iter()
            .find(|(_, other)| is_same_limit(limit, other))
        else {
            continue;
        };
        let (Some(kind), Some(written), Some(source)) =
            (limit.kind, &limit.at_most, limit.source.as_deref())
        else {
            continue;
        };
        let other = substance
            .limits
            .get(first)
            .and_then(|other| other.at_most.as_ref());
        let other = other.map_or(String::new(), |other| {
            format!(", {} above", other.canonical())
        });
        sink.report(
            sink.at(Path::root().key("limits").index(row).key("at_most"))
                .message(format!("`{source}` has this {} above already", kind_words(kind)))
                .label(format!("{} here{other}", written.canonical()))
                .note("a result is judged against both; the looser of the two calls air safe that the other does not")
                .help(help!("look at the source: keep the row that it prints, or say what tells the two apart ({}, another source)", Offer::name("averaged_over")))
                .related(sink.place(Path::root().key("limits").index(first).key("at_most")), "the first one")
                .fact("written", words::written_fact(written))
                .fact("source", Fact::text(source)),
        );
    }
}

/// True if two rows are about one limit: source, kind, period, and ppm or mg/m³.
fn is_same_limit(a: &Limit, b: &Limit) -> bool {
    let dimension = |limit: &Limit| {
        limit
            .at_most
            .as_ref()
            .map(|value| value.value().dimension())
    };
    a.kind.is_some()
        && a.kind == b.kind
        && a.source.is_some()
        && a.source == b.source
        && dimension(a).is_some()
        && dimension(a) == dimension(b)
        && same(minutes(a), minutes(b))
        && a.remark == b.remark
        && a.since == b.since
}

/// The period in minutes: the usual one unless another is stated.
fn minutes(limit: &Limit) -> f64 {
    if let Some(period) = &limit.averaged_over {
        return period.value().minutes();
    }
    match limit.kind {
        Some(LimitKind::EightHours) => 480.0,
        Some(LimitKind::ShortTerm) => 15.0,
        Some(LimitKind::Ceiling | LimitKind::Danger) | None => 0.0,
    }
}
