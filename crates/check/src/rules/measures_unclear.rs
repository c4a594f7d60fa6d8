//! A sheet that does not say what it measures in one way.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "measures-unclear",
    level: Level::Error,
    since: "0.1.0",
    summary: "A sheet names neither one substance nor a group with the substance that it is expressed as.",
    family: Family::Identity,
    docs: include_str!("measures-unclear.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let path = Path::root().key("measures");
    let Some(measures) = &sheet.measures else {
        return;
    };
    if context.may_have_others(&path, &["substance", "formula", "group", "expressed_as"]) {
        return;
    }
    let given = |key: &'static str, understood: &Option<String>| {
        !context.is_absent(understood.as_ref(), &path.clone().key(key))
    };
    let label = match (
        given("substance", &measures.substance),
        given("group", &measures.group),
        given("expressed_as", &measures.expressed_as),
    ) {
        (true, false, false) => return,
        (false, true, true) => {
            let group = measures
                .group
                .as_deref()
                .and_then(|group| context.book.group(group));
            let (Some(group), Some(substance)) = (group, &measures.expressed_as) else {
                return;
            };
            if group.expressed_as.is_empty() || group.expressed_as.contains(substance) {
                return;
            }
            sink.report(
                sink.at(path.key("expressed_as"))
                    .message("the group's total is not stated as this substance")
                    .label(format!("`{substance}` is none of those the group allows"))
                    .note("ppm of a mixture become mg/m³ by the molar mass of the substance it is stated as; another one gives another mass")
                    .help(help!(
                        "write one of {}, or add it to the group's entry",
                        group
                            .expressed_as
                            .iter()
                            .map(|name| Offer::yaml(name.clone()))
                            .collect::<Vec<Offer>>()
                    ))
                    .fact("written", Fact::text(substance.clone())),
            );
            return;
        }
        (true, true, _) => "both a substance and a group",
        (true, false, true) => "`expressed_as` goes with a group",
        (false, true, false) => "a group needs `expressed_as`",
        (false, false, _) => "neither a substance nor a group",
    };
    sink.report(
        sink.at_key(path)
            .message("it is not clear what the tube measures")
            .label(label)
            .note("the molar mass, the limits and the statement of the result all follow from it")
            .help(help!(
                "write {}, or {} for a tube that answers to several gases together",
                Offer::field("measures: {substance: …}"),
                Offer::field("measures: {group: …, expressed_as: …}")
            )),
    );
}
