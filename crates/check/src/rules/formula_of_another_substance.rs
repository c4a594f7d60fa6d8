//! A formula copied from the leaflet that is not that of the substance named beside it.

use stainbook_core::Formula;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "formula-of-another-substance",
    level: Level::Error,
    since: "0.1.0",
    summary: "The formula that the leaflet prints is not that of the substance named beside it.",
    family: Family::Identity,
    docs: include_str!("formula-of-another-substance.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let root = Path::root;
    let measured = sheet.measures.iter().map(|measures| {
        let named = if measures.group.is_some() {
            &measures.expressed_as
        } else {
            &measures.substance
        };
        (named, &measures.formula, root().key("measures"))
    });
    let also = sheet
        .response_factors()
        .iter()
        .enumerate()
        .map(|(row, gas)| {
            let path = root().key("read").key("also_measures").index(row);
            (&gas.substance, &gas.formula, path)
        });
    let others = sheet.interferents().iter().enumerate().map(|(row, gas)| {
        let path = root().key("doubt").key("other_gases").index(row);
        (&gas.substance, &gas.formula, path)
    });
    for (substance, formula, path) in measured.chain(also).chain(others) {
        one(
            substance.as_deref(),
            formula.as_deref(),
            path,
            context,
            sink,
        );
    }
}

fn one(
    substance: Option<&str>,
    printed: Option<&str>,
    path: Path,
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    let (Some(id), Some(printed)) = (substance, printed) else {
        return;
    };
    let at = path.key("formula");
    let formula = match Formula::parse(printed) {
        Ok(formula) => formula,
        Err(error) => {
            sink.report(
                sink.at(at)
                    .message(format!("`{printed}` cannot be read as a formula"))
                    .note(format!("{error}"))
                    .help(help!(
                        "write it as on the leaflet, with plain figures: {}, {}",
                        Offer::yaml("ClO2"),
                        Offer::yaml("(CH3)2CO")
                    )),
            );
            return;
        }
    };
    let own = context
        .book
        .substance(id)
        .and_then(|entry| entry.formula.as_deref());
    let Some(own) = own.and_then(|text| Formula::parse(text).ok()) else {
        return;
    };
    if own == formula {
        return;
    }
    sink.report(
        sink.at(at)
            .message(format!("the leaflet prints `{printed}`, but `{id}` is {own}"))
            .label(format!("{formula} here, {own} for `{id}`"))
            .note("results, limits and molar mass would be those of another substance")
            .help("look at the name and the formula on the leaflet; one of the two was taken for another"),
    );
}
