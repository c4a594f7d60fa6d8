//! Every slip of every class, for one sheet.

use stainbook_document::Document;

use super::SlipClass;
use super::edit::ByteEdit;
use super::tally::SheetPart;
use super::targets::{SlipTarget, Sort, given_on_top, targets};
use super::{in_name, in_number, in_table};

/// A slip that is to be made.
#[derive(Clone, Debug)]
pub(super) struct InjectedSlip {
    pub(super) class: SlipClass,
    pub(super) field: String,
    pub(super) part: SheetPart,
    pub(super) edits: Vec<ByteEdit>,
}

/// Every slip of a sheet in the order of classes within the order of the text. The same sheet with formulas and control
/// figures has the same slips in the same order.
pub(super) fn slips(
    document: &Document,
    other: &Document,
    references: &[String],
) -> Vec<InjectedSlip> {
    let targets = targets(document);
    let mut found = in_targets(document, &targets, references);
    let in_tables = in_table::slips(document)
        .into_iter()
        .chain(in_table::copied(document, other));
    found.extend(in_tables.map(|(field, class, edits)| InjectedSlip {
        class,
        field,
        part: SheetPart::Leaflet,
        edits,
    }));
    found
}

/// Every slip in the control figures and examples of a sheet.
pub(super) fn slips_on_top(document: &Document, references: &[String]) -> Vec<InjectedSlip> {
    let mut found = in_targets(document, &given_on_top(document), references);
    for slip in &mut found {
        slip.part = SheetPart::OnTop;
    }
    found
}

fn in_targets(
    document: &Document,
    targets: &[SlipTarget],
    references: &[String],
) -> Vec<InjectedSlip> {
    let text = document.text();
    let read = |range: &std::ops::Range<usize>| text.get(range.clone()).unwrap_or_default();
    let substances: Vec<String> = targets
        .iter()
        .filter(|target| target.sort == Sort::Substance)
        .map(|target| read(&target.range).to_owned())
        .collect();
    let mut found = Vec::new();
    for target in targets {
        let own = read(&target.range);
        let changes: Vec<(SlipClass, String)> = match target.sort {
            Sort::Number => in_number::slips(own),
            Sort::Paperwork => in_number::paperwork(own),
            Sort::Unit => {
                // The heading of a column may have its number with it.
                let (number, unit) = own
                    .split_once(' ')
                    .filter(|(number, _)| number.parse::<f64>().is_ok())
                    .unwrap_or(("", own));
                let siblings = in_name::sibling_units(unit).into_iter();
                siblings
                    .map(|sibling| {
                        (
                            SlipClass::UnitSibling,
                            format!(
                                "{number}{}{sibling}",
                                if number.is_empty() { "" } else { " " }
                            ),
                        )
                    })
                    .collect()
            }
            Sort::Substance => in_name::other_substances(own, &substances)
                .into_iter()
                .map(|other| (SlipClass::WrongSubstance, other))
                .collect(),
            Sort::Reference => wrong_reference(own, &target.field, references)
                .map(|other| (SlipClass::WrongReference, other))
                .into_iter()
                .collect(),
        };
        found.extend(changes.into_iter().map(|(class, to)| InjectedSlip {
            class,
            field: target.field.clone(),
            part: match target.sort {
                Sort::Paperwork if target.field.starts_with("leaflet") => SheetPart::Paperwork,
                Sort::Paperwork => SheetPart::People,
                _ => SheetPart::Leaflet,
            },
            edits: vec![ByteEdit::new(target.range.clone(), to)],
        }));
    }
    found
}

/// Another entry of the same kind, or the other scale.
fn wrong_reference(own: &str, field: &str, references: &[String]) -> Option<String> {
    if field.ends_with("scale") {
        return Some(if own == "fine" { "coarse" } else { "fine" }.to_owned());
    }
    let kind = if field.ends_with("group") {
        "group"
    } else if field.contains("pump_kinds") {
        "pump-kind"
    } else {
        "tube"
    };
    let named = references.iter().filter_map(|path| {
        path.rsplit('/')
            .next()?
            .strip_suffix(&format!(".{kind}.yaml"))
    });
    named.filter(|id| *id != own).map(str::to_owned).next()
}
