//! A relative response whose sign contradicts the effect in words.

use stainbook_catalog::written::tube::{AloneEffect, InterferenceEffect, Interferent};

use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "response-against-effect",
    level: Level::Error,
    since: "0.1.0",
    summary: "A relative response contradicts what is said of the other gas in words.",
    family: Family::Interferent,
    docs: include_str!("response-against-effect.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let others = sheet.interferents().iter().enumerate();
    for (row, other) in others {
        let Some(response) = &other.response else {
            continue;
        };
        let Some((key, words, wanted)) = contradiction(other, response.value()) else {
            continue;
        };
        let path = Path::root().key("doubt").key("other_gases").index(row);
        sink.report(
            sink.at(path.clone().key("response"))
                .message(format!("the response contradicts `{key}: {words}`"))
                .label(format!("{} written, {wanted} expected", response.text()))
                .note("the other gas's share is taken off the reading by this figure; with the wrong sign it is added, and the error is doubled")
                .help("look at the leaflet: a sign is lost, or the row's words are those of another gas")
                .related(sink.place(path.key(key)), "the effect in words")
                .fact("written", Fact::text(response.text()))
                .fact("effect", Fact::text(words)),
        );
    }
}

/// The field that contradicts the response, its words, and the sign they ask for.
fn contradiction(
    other: &Interferent,
    response: f64,
) -> Option<(&'static str, &'static str, &'static str)> {
    match other.together {
        Some(InterferenceEffect::ReadsHigh) if response <= 0.0 => {
            return Some(("together", "reads high", "a figure above 0"));
        }
        Some(InterferenceEffect::ReadsLow) if 0.0 <= response => {
            return Some(("together", "reads low", "a figure below 0"));
        }
        Some(InterferenceEffect::NoEffect) if response.abs() > 0.0 => {
            return Some(("together", "no effect", "0, or no response at all"));
        }
        _ => {}
    }
    (other.alone == Some(AloneEffect::Stains) && response < 0.0 && other.together.is_none())
        .then_some(("alone", "stains", "a figure above 0"))
}
