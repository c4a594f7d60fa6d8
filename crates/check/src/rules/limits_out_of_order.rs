//! Limits of one authority that contradict each other.

use stainbook_catalog::written::{Limit, LimitKind, SubstanceEntry};
use stainbook_core::{Concentration, Quantity, Written};

use crate::limits::{kind_words, source_of, values};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "limits-out-of-order",
    level: Level::Warning,
    since: "0.1.0",
    summary: "One authority's limits do not rise from the 8-hour limit to the danger level.",
    family: Family::Substance,
    docs: include_str!("limits-out-of-order.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, limit) in substance.limits.iter().enumerate() {
        // One limit of each kind is enough to say that this one is above it.
        let mut said = Vec::new();
        for (other_row, other) in substance.limits.iter().enumerate() {
            let (Some(kind), Some(other_kind)) = (limit.kind, other.kind) else {
                continue;
            };
            if !must_not_exceed(kind, other_kind)
                || said.contains(&other_kind)
                || authority(limit, context) != authority(other, context)
            {
                continue;
            }
            let Some(((low_key, low), (high_key, high))) = comparable(limit, other) else {
                continue;
            };
            // A figure that binds is exact; one that was computed for print is rounded.
            let rounded = |key: &str| {
                if key == "at_most" {
                    0.0
                } else {
                    low.half_step()
                }
            };
            let tolerance = rounded(low_key) + rounded(high_key);
            let found = Interval::around(low.number(), tolerance);
            if !Interval::exactly(high.value().in_unit(low.unit())).is_below(found) {
                continue;
            }
            said.push(other_kind);
            let at = |row| Path::root().key("limits").index(row).key("at_most");
            let (kind, other_kind) = (kind_words(kind), kind_words(other_kind));
            sink.report(
                sink.at(at(row))
                    .message(format!("the {kind} is above the {other_kind} of the same authority"))
                    .label(format!("{} written, the {other_kind} is {}", low.canonical(), high.canonical()))
                    .note("an average over a shift cannot be allowed to be higher than what is not to be exceeded for minutes; a result judged against the wrong one of the two calls unsafe air safe")
                    .help("look at the source: the two are swapped, or one has a slip in its number or unit")
                    .related(sink.place(at(other_row)), format!("the {other_kind}"))
                    .fact("written", words::written_fact(low))
                    .fact("other", words::written_fact(high)),
            );
        }
    }
}

/// True if limits of the first kind lie at or below those of the second: a shift's average below a short-term limit, both
/// below a ceiling, all below what is immediately dangerous.
fn must_not_exceed(a: LimitKind, b: LimitKind) -> bool {
    a != b && rank(a) < rank(b)
}

fn rank(kind: LimitKind) -> u8 {
    match kind {
        LimitKind::EightHours => 0,
        LimitKind::ShortTerm => 1,
        LimitKind::Ceiling => 2,
        LimitKind::Danger => 3,
    }
}

fn authority<'a>(limit: &'a Limit, context: &Context<'a>) -> Option<&'a str> {
    let source = source_of(limit, context)?;
    source
        .authority
        .as_deref()
        .or(source.publisher.as_deref())
        .or(limit.source.as_deref())
}

/// A value of a limit with the key that it stands under.
type Keyed<'a> = (&'static str, &'a Written<Concentration>);

/// The values of two limits that are of one dimension, the binding ones first.
fn comparable<'a>(a: &'a Limit, b: &'a Limit) -> Option<(Keyed<'a>, Keyed<'a>)> {
    values(a).find_map(|a| {
        values(b)
            .find(|b| a.1.value().dimension() == b.1.value().dimension())
            .map(|b| (a, b))
    })
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::{Book, SourceFile};

    use crate::{Options, check};

    #[test]
    fn a_list_of_twice_as_many_limits_has_twice_as_many_findings() {
        let found = |pairs: usize| {
            let rows = "  - {kind: 8-hour average, at_most: 5 ppm, source: us-osha}\n  - {kind: ceiling, at_most: 1 ppm, source: us-osha}\n";
            let text = format!(
                "substance: quay-gas\nname: quay gas\nlimits:\n{}",
                rows.repeat(pairs)
            );
            let (book, _) = Book::read([SourceFile::new("quay-gas.substance.yaml", text)]);
            let findings = check(&book, &Options::default());
            let of_rule = findings
                .iter()
                .filter(|finding| finding.rule() == super::RULE.name);
            of_rule.count()
        };
        assert_eq!((found(1), found(20), found(40)), (1, 20, 40));
    }
}
