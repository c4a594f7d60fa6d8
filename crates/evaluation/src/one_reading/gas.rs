//! The gas that a reading is about, and the gases that its result depends on.

use stainbook_catalog::Book;
use stainbook_catalog::model::{Measured, ResponseFactor, Substance, Tube};
use stainbook_catalog::written::Reading as WrittenReading;

use crate::compiled_sheet::CompiledSheet;
use crate::evaluated::not_prepared::NotPrepared;
use crate::evaluated::record_flag::RecordFlag;
use crate::interferents::PresentGas;
use crate::result::SubstanceUsed;
use crate::stain::{DrawnRange, same_strokes};

/// The gas that a result is about.
pub(super) struct GasMeasured<'t> {
    /// As results state it.
    pub(super) used: SubstanceUsed,
    /// Its rows of `also_measures`; nothing for the sheet's own gas.
    pub(super) response: Option<&'t ResponseFactor>,
    /// A group stands for it.
    pub(super) flag: Option<RecordFlag>,
}

/// The gas that the result is about: the sheet's own, or a row of `also_measures`.
pub(super) fn gas<'t>(
    book: &Book,
    sheet: &'t CompiledSheet<'_>,
    reading: &WrittenReading,
) -> Result<GasMeasured<'t>, NotPrepared> {
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
    let Some(wanted) = wanted.filter(|wanted| *wanted != own.id && Some(wanted.as_str()) != group)
    else {
        let (group, flag) = match &tube.measured {
            Measured::Group { name, expressed_as } => (
                Some(name.as_str()),
                Some(RecordFlag::GroupExpressedAs {
                    group: name.clone(),
                    substance: expressed_as.name.clone(),
                }),
            ),
            Measured::Substance(_) => (None, None),
        };
        return Ok(GasMeasured {
            used: used(own, group),
            response: None,
            flag,
        });
    };
    let others = || tube.response_factors.iter();
    let response = others().find(|other| other.substance.id == wanted);
    if response.is_none() && tube.qualitative.contains(&wanted) {
        return Err(NotPrepared::GasOnlyShown {
            sheet: tube.id.clone(),
            gas: wanted,
        });
    }
    let response = response.ok_or_else(|| NotPrepared::GasNotOnSheet {
        sheet: tube.id.clone(),
        gas: wanted,
        measures: std::iter::once(own)
            .chain(others().map(|other| &other.substance))
            .map(|substance| substance.name.clone())
            .collect(),
    })?;
    Ok(GasMeasured {
        used: used(&response.substance, None),
        response: Some(response),
        flag: None,
    })
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
    // Groups that are present stand among them: of each the entry is kept that there is.
    let present = reading.present.iter().filter_map(|present| {
        let gas = PresentGas::of(present, book)?;
        let is_known = book.substance(&gas.id).is_some() || book.group(&gas.id).is_some();
        is_known.then_some(gas.id)
    });
    let mut gases: Vec<String> = [tube.measured.substance().id.clone(), substance.id.clone()]
        .into_iter()
        .chain(present)
        .collect();
    gases.sort();
    gases.dedup();
    gases
}
