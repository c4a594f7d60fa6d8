//! Routes from a sheet to a gas: its own scale, a response factor on another gas's scale, or the substance that a group
//! is expressed as.

use stainbook_catalog::Book;
use stainbook_catalog::model::{Measured, MeasuringRange, ResponseFactor, Substance, Tube};
use stainbook_catalog::written::TubeEntry;

use crate::question::SoughtGas;

use stainbook_evaluation::outcome::{Code, Refusal};
use stainbook_evaluation::stain::same_strokes;

/// Route from a sheet to a gas.
#[derive(Clone, Debug)]
pub(crate) enum Route<'t> {
    /// The scale is printed for it.
    Own,
    /// By a factor; these are the gas's rows, one for each stroke count that the leaflet prints for it.
    ResponseFactor(Vec<&'t ResponseFactor>),
    /// The tube answers to a group, whose total is stated as the gas; or the group itself is sought.
    Group,
}

impl Route<'_> {
    /// As in the output.
    pub(crate) fn name(&self) -> &'static str {
        match self {
            Self::Own => "own scale",
            Self::ResponseFactor(_) => "other gas",
            Self::Group => "group",
        }
    }
}

/// Finds the way, or says why there is none.
///
/// # Errors
///
/// True if the sheet has to do with the gas at all, and the [`Refusal`].
pub(crate) fn route<'t>(
    book: &Book,
    tube: &'t Tube,
    entry: &TubeEntry,
    gas: &SoughtGas,
) -> Result<Route<'t>, (bool, Refusal)> {
    let group = entry.group();
    let substance = match gas {
        SoughtGas::Group { id, .. } if group == Some(id) => return Ok(Route::Group),
        SoughtGas::Group { .. } => return Err((false, other_gas_than(tube, gas))),
        SoughtGas::One(substance) => substance,
    };
    match &tube.measured {
        Measured::Substance(own) if own.id == substance.id => return Ok(Route::Own),
        Measured::Group { expressed_as, .. } if expressed_as.id == substance.id => {
            return Ok(Route::Group);
        }
        _ => {}
    }
    let rows: Vec<&ResponseFactor> = tube
        .response_factors
        .iter()
        .filter(|row| row.substance.id == substance.id)
        .collect();
    if !rows.is_empty() {
        return Ok(Route::ResponseFactor(rows));
    }
    if let Measured::Group { name, expressed_as } = &tube.measured {
        let member = group
            .and_then(|id| book.group(id))
            .is_some_and(|group| group.members.contains(&substance.id));
        if member {
            return Err((
                true,
                Refusal::new(
                    Code::GroupMemberOnly,
                    format!(
                        "it answers to {}, as it does to all of the group {name}, and states the total as {}; how strongly it answers to {} the sheet does not say",
                        substance.name, expressed_as.name, substance.name
                    ),
                    format!(
                        "a factor for {} under `also_measures`, if the leaflet prints one; or look for the group's total",
                        substance.name
                    ),
                ),
            ));
        }
    }
    Err((false, other_gas_than(tube, gas)))
}

fn other_gas_than(tube: &Tube, gas: &SoughtGas) -> Refusal {
    let measured = match &tube.measured {
        Measured::Substance(own) => own.name.clone(),
        Measured::Group { name, .. } => format!("the group {name}"),
    };
    Refusal::new(
        Code::OtherGasOnly,
        format!("it measures {measured}"),
        format!("a leaflet that prints a factor for {}", gas.name()),
    )
}

/// The substance that results of this sheet are about.
pub(crate) fn substance<'t>(tube: &'t Tube, route: &Route<'t>) -> &'t Substance {
    match route {
        Route::ResponseFactor(rows) => rows
            .first()
            .map_or_else(|| tube.measured.substance(), |row| &row.substance),
        Route::Own | Route::Group => tube.measured.substance(),
    }
}

/// The stroke counts that the leaflet prints for the gas, each with the gas's row. Nothing is worked out for a count that
/// it does not print.
pub(crate) fn counts<'t>(
    tube: &'t Tube,
    route: &Route<'t>,
) -> Vec<(&'t MeasuringRange, Option<&'t ResponseFactor>)> {
    match route {
        Route::Own | Route::Group => tube.ranges.iter().map(|range| (range, None)).collect(),
        Route::ResponseFactor(rows) => rows
            .iter()
            .flat_map(|row| {
                tube.ranges
                    .iter()
                    .filter(|range| {
                        range.scale == row.scale && same_strokes(range.strokes, row.strokes)
                    })
                    .map(|range| (range, Some(*row)))
            })
            .collect(),
    }
}
