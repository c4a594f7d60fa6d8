//! A limit whose source does not say whose limit it is.

use stainbook_catalog::written::SubstanceEntry;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::limits::{place_of_source, source_of};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "limit-without-authority",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A limit's source does not say whose limits it holds.",
    family: Family::Substance,
    docs: include_str!("limit-without-authority.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, limit) in substance.limits.iter().enumerate() {
        let Some(source) = source_of(limit, context) else {
            continue;
        };
        if source.authority.is_some() {
            continue;
        }
        let name = limit.source.as_deref().unwrap_or_default();
        let at = Path::root().key("limits").index(row);
        let place = place_of_source(name, context).unwrap_or_else(|| sink.place(at));
        sink.report(
            sink.at(Path::root().key("limits").index(row).key("source"))
                .message("nobody can say whose limit this is")
                .label(format!("`{name}` names no authority"))
                .note("a limit binds where its authority's word does; a result judged against it is of no use without knowing that, and limits are compared only within one authority")
                .help(help!(
                    "add {}, and {}, to the source `{name}`; or name the source that sets the limit",
                    Offer::name("authority").at(place.clone()),
                    Offer::name("jurisdiction").at(place.clone())
                ))
                .fact("source", Fact::text(name)),
        );
    }
}
