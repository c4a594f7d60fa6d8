//! A limit in mg/m³ whose source does not say at which temperature and pressure.

use stainbook_catalog::written::SubstanceEntry;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::limits::{place_of_source, source_of, stated_at, values};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "limit-without-conditions",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A limit is in mg/m³, and its source does not say at which temperature and pressure.",
    family: Family::Substance,
    docs: include_str!("limit-without-conditions.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, limit) in substance.limits.iter().enumerate() {
        let Some(source) = source_of(limit, context) else {
            continue;
        };
        if stated_at(source).is_some() {
            continue;
        }
        let Some((key, value)) =
            values(limit).find(|(_, value)| value.value().mass_concentration().is_some())
        else {
            continue;
        };
        let name = limit.source.as_deref().unwrap_or_default();
        let at = Path::root().key("limits").index(row);
        let place = place_of_source(name, context).unwrap_or_else(|| sink.place(at));
        sink.report(
            sink.at(Path::root().key("limits").index(row).key(key))
                .message("this limit is in mg/m³ at no stated temperature and pressure")
                .label(format!("`{name}` does not say where it states mg/m³"))
                .note("between 20 and 25 °C alone a mg/m³ differs by 1.7 %, between sea level and 2,000 m by more than 20 %; a reading in ppm cannot be compared with it")
                .help(help!(
                    "add {} to the source `{name}`, as the publication says it",
                    Offer::name("mass_stated_at").at(place.clone())
                ))
                .fact("written", Fact::number(value.number(), value.unit().canonical(), value.text())),
        );
    }
}
