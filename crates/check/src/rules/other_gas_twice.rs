//! One other gas that a sheet speaks of twice.

use stainbook_catalog::written::tube::{AloneEffect, InterferenceEffect, Interferent};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::same;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "other-gas-twice",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The same other gas is listed twice, or is said to stain in one place and not to in another.",
    family: Family::Interferent,
    docs: include_str!("other-gas-twice.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(performance) = &sheet.performance else {
        return;
    };
    let gases = &performance.interferents;
    for (row, gas) in gases.iter().enumerate() {
        let Some((name, key)) = name(gas) else {
            continue;
        };
        let path = Path::root().key("doubt").key("other_gases").index(row);
        let above = gases.iter().take(row).position(|other| {
            other.substance == gas.substance
                && other.group == gas.group
                && (is_same_case(other, gas) || are_opposed(other, gas))
        });
        if let Some(above) = above.and_then(|above| Some((above, gases.get(above)?))) {
            let (first, other) = above;
            let contradicts = other.alone != gas.alone
                || other.together != gas.together
                || response(other) != response(gas);
            let label = if contradicts {
                "with other effects here"
            } else {
                "with the same effects"
            };
            sink.report(
                sink.at(path.clone().key(key))
                    .message(format!("`{name}` stands in this list above already"))
                    .label(label)
                    .note("what the gas does to a reading is taken from one of the two rows; if they contradict each other, one is a row of another gas")
                    .help(help!("compare both rows with the leaflet; if it tells two cases apart, say so with {} or {}", Offer::name("matters_from"), Offer::name("tested_to")))
                    .related(sink.place(Path::root().key("doubt").key("other_gases").index(first)), "the first row")
                    .fact("written", Fact::text(name)),
            );
        }
        let also = sheet.response_factors().iter().enumerate();
        let measured = also
            .into_iter()
            .find(|(_, also)| gas.substance.is_some() && also.substance == gas.substance);
        if let (Some(AloneEffect::NoStain), Some((also_row, _))) = (gas.alone, measured) {
            sink.report(
                sink.at(path.key("alone"))
                    .message(format!(
                        "`{name}` leaves no stain here, and the same tube measures it with a factor"
                    ))
                    .label("no stain")
                    .note("a gas that leaves no stain cannot be measured by its stain")
                    .help("compare both places with the leaflet: one is a row of another gas")
                    .related(
                        sink.place(
                            Path::root()
                                .key("read")
                                .key("also_measures")
                                .index(also_row),
                        ),
                        "measured with a factor",
                    )
                    .fact("written", Fact::text(name)),
            );
        }
    }
}

fn name(gas: &Interferent) -> Option<(&str, &'static str)> {
    match (&gas.substance, &gas.group) {
        (Some(substance), _) => Some((substance, "substance")),
        (None, Some(group)) => Some((group, "group")),
        (None, None) => None,
    }
}

fn response(gas: &Interferent) -> Option<&str> {
    gas.response
        .as_ref()
        .map(stainbook_catalog::written::tube::paper_words::Factor::text)
}

/// True if one of two rows holds at any concentration, and the other says that the reading goes the other way.
fn are_opposed(a: &Interferent, b: &Interferent) -> bool {
    let always = |gas: &Interferent| {
        gas.matters_from.is_none() && gas.matters_from_times.is_none() && gas.tested_to.is_none()
    };
    let opposed = matches!(
        (a.together, b.together),
        (
            Some(InterferenceEffect::ReadsHigh),
            Some(InterferenceEffect::ReadsLow)
        ) | (
            Some(InterferenceEffect::ReadsLow),
            Some(InterferenceEffect::ReadsHigh)
        )
    );
    opposed && (always(a) || always(b))
}

/// Leaflets tell apart what little and what much of a gas does: rows with other thresholds are other cases.
fn is_same_case(a: &Interferent, b: &Interferent) -> bool {
    let level = |written: &Option<
        stainbook_catalog::written::Stated<stainbook_core::Concentration>,
    >| { written.as_ref().map(|written| written.canonical()) };
    let times = |gas: &Interferent| gas.matters_from_times.as_ref().map(|times| times.value());
    let same_times = match (times(a), times(b)) {
        (Some(a), Some(b)) => same(a, b),
        (a, b) => a.is_none() && b.is_none(),
    };
    level(&a.matters_from) == level(&b.matters_from)
        && level(&a.tested_to) == level(&b.tested_to)
        && same_times
}
