//! Which gas a reading is about, and which gases its result depends on.

use stainbook_catalog::Book;
use stainbook_catalog::model::{Measured, ResponseFactor, Substance, Tube};
use stainbook_catalog::written::Reading as WrittenReading;

use crate::compiled_sheet::CompiledSheet;
use crate::evaluated::Record;
use crate::outcome::{Code, Flag, Refusal};
use crate::pointers;
use crate::result::SubstanceUsed;
use crate::stain::{DrawnRange, same_strokes};

/// Which gas the result is about: the sheet's own, or a row of `also_measures`.
pub(super) fn gas<'t>(
    book: &Book,
    sheet: &'t CompiledSheet<'_>,
    reading: &WrittenReading,
    record: &mut Record,
) -> Result<Option<&'t ResponseFactor>, Refusal> {
    let tube = &sheet.tube;
    let used = |substance: &Substance, group: Option<&str>| SubstanceUsed {
        id: substance.id.clone(),
        name: substance.name.clone(),
        cas: substance.cas.map(|cas| cas.to_string()),
        stands_for_group: group.map(str::to_owned),
    };
    let own = tube.measured.substance();
    let wanted = reading.substance.as_deref().map(|typed| {
        book.find_substance(typed)
            .ok()
            .and_then(|entry| entry.substance.clone())
            .unwrap_or_else(|| typed.to_owned())
    });
    // A tube for a group may be asked for by the group's name or by that of the substance it is stated as.
    let group = sheet.entry.group();
    if wanted
        .as_deref()
        .is_none_or(|wanted| wanted == own.id || Some(wanted) == group)
    {
        let group = match &tube.measured {
            Measured::Group { name, expressed_as } => {
                record.flags.push(Flag::new(
                    Code::GroupExpressedAs,
                    format!("the tube answers to the group {name} together; the result is their total stated as {}, in ppm and in mg/m³ alike", expressed_as.name),
                ));
                Some(name.as_str())
            }
            Measured::Substance(_) => None,
        };
        record.substance = Some(used(own, group));
        return Ok(None);
    }
    let wanted = wanted.unwrap_or_default();
    match tube
        .response_factors
        .iter()
        .find(|other| other.substance.id == wanted)
    {
        Some(other) => {
            record.substance = Some(used(&other.substance, None));
            Ok(Some(other))
        }
        None => Err(Refusal::new(
            Code::GasNotOnSheet,
            format!("sheet `{}` has no factor for `{wanted}`", tube.id),
            format!(
                "the sheet measures {}; for another gas use a tube whose sheet names it",
                std::iter::once(&own.name)
                    .chain(
                        tube.response_factors
                            .iter()
                            .map(|other| &other.substance.name)
                    )
                    .map(String::as_str)
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        )
        .at(pointers::SUBSTANCE)),
    }
}

/// Of several rows for one gas the one that is printed for this scale and stroke count, else for this scale.
pub(super) fn other_row<'t>(
    tube: &'t Tube,
    other: Option<&'t ResponseFactor>,
    drawn: &DrawnRange<'_>,
) -> Option<&'t ResponseFactor> {
    let wanted = &other?.substance.id;
    let rows = || {
        tube.response_factors
            .iter()
            .filter(|row| &row.substance.id == wanted && row.scale == drawn.range.scale)
    };
    rows()
        .find(|row| same_strokes(row.strokes, drawn.range.strokes))
        .or_else(|| rows().next())
        .or(other)
}

/// The short names of all gases whose entries the result depends on.
pub(super) fn gases(
    book: &Book,
    tube: &Tube,
    substance: &Substance,
    reading: &WrittenReading,
) -> Vec<String> {
    let present = reading.present.iter().filter_map(|present| {
        book.find_substance(present.substance.as_deref()?)
            .ok()?
            .substance
            .clone()
    });
    let mut gases: Vec<String> = [tube.measured.substance().id.clone(), substance.id.clone()]
        .into_iter()
        .chain(present)
        .collect();
    gases.sort();
    gases.dedup();
    gases
}
