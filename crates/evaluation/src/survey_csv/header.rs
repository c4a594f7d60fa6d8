//! The header of a table: which columns there are, and the unit that each names.

use stainbook_catalog::did_you_mean;
use stainbook_core::Quantity;

use super::HeaderProblem;

/// The columns that are understood, in the order in which a new table should have them.
pub const COLUMNS: [&str; 35] = [
    "id",
    "at",
    "place",
    "tube",
    "leaflet",
    "lot",
    "expires",
    "pre_tube_lot",
    "pre_tube_expires",
    "pump",
    "leak_test",
    "brought_to_ambient",
    "strokes",
    "scale",
    "substance",
    "stands_for",
    "average",
    "average_over",
    "rest",
    "blank",
    "repeat_of",
    "reading",
    "short",
    "long",
    "uncertainty",
    "seen",
    "air_temperature",
    "tube_temperature",
    "humidity",
    "pressure",
    "altitude",
    "sea_level_pressure",
    "present",
    "present_level",
    "present_uncertainty",
];

/// Columns beyond [`COLUMNS`] that no result depends on.
pub const REMARK_COLUMNS: [&str; 2] = ["by", "remark"];

/// The columns whose cells are quantities, with the unit that a header usually names.
pub(crate) const WITH_UNIT: [(&str, &str); 14] = [
    ("stands_for", "min"),
    ("average_over", "h"),
    ("reading", "ppm"),
    ("short", "ppm"),
    ("long", "ppm"),
    ("uncertainty", "ppm"),
    ("present_level", "ppm"),
    ("present_uncertainty", "ppm"),
    ("air_temperature", "°C"),
    ("tube_temperature", "°C"),
    ("humidity", "%RH"),
    ("pressure", "hPa"),
    ("altitude", "m"),
    ("sea_level_pressure", "hPa"),
];

/// A column with the unit that its header names.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) name: &'static str,
    pub(crate) unit: Option<String>,
}

/// The columns of a table, from its header.
///
/// # Errors
///
/// [`HeaderProblem`]: a column that is not known, or twice there, or a missing one without which nothing can be read.
pub(crate) fn columns<'h>(
    header: impl Iterator<Item = &'h str>,
) -> Result<Vec<Column>, HeaderProblem> {
    let problem = |column, message: String, help: &str| HeaderProblem {
        column,
        message,
        help: help.to_owned(),
    };
    let mut columns: Vec<Column> = Vec::new();
    for (index, text) in header.enumerate() {
        let column = column(text.trim_start_matches('\u{feff}').trim(), index + 1)?;
        if columns.iter().any(|other| other.name == column.name) {
            return Err(problem(
                index + 1,
                format!("the column `{}` is there twice", column.name),
                "keep one of them",
            ));
        }
        columns.push(column);
    }
    for needed in ["id", "tube", "strokes"] {
        if !columns.iter().any(|column| column.name == needed) {
            return Err(problem(
                columns.len(),
                format!("there is no column `{needed}`"),
                "add it: without it no reading can be evaluated",
            ));
        }
    }
    if !columns
        .iter()
        .any(|column| matches!(column.name, "reading" | "short" | "seen"))
    {
        return Err(problem(
            columns.len(),
            "there is no column for what was read".to_owned(),
            "add `reading [ppm]`, or `short [ppm]` and `long [ppm]`, or `seen`",
        ));
    }
    Ok(columns)
}

/// Whether a header names a column of a survey, whatever its unit.
pub(crate) fn is_known(text: &str) -> bool {
    let name = text.split('[').next().unwrap_or_default();
    let folded = name.trim().to_lowercase().replace([' ', '-'], "_");
    COLUMNS
        .into_iter()
        .chain(REMARK_COLUMNS)
        .any(|known| known == folded)
}

/// A header `name [unit]`.
fn column(text: &str, number: usize) -> Result<Column, HeaderProblem> {
    let problem = |message: String, help: String| HeaderProblem {
        column: number,
        message,
        help,
    };
    let (name, unit) = match text.split_once('[') {
        Some((name, rest)) => {
            let unit = rest.trim_end().strip_suffix(']').ok_or_else(|| {
                problem(
                    format!("`{text}` has no closing bracket"),
                    "write the unit in brackets, as in `reading [ppm]`".to_owned(),
                )
            })?;
            (name, Some(unit.trim().to_owned()))
        }
        None => (text, None),
    };
    let folded = name.trim().to_lowercase().replace([' ', '-'], "_");
    if folded.starts_with("amend") {
        return Err(problem(
            format!("a table has no room for a reading that was changed afterwards (`{}`)", text.trim()),
            "who changed it, when, why and what it was before stand under `amended` in a `.survey.yaml`; keep the survey there".to_owned(),
        ));
    }
    let known = || COLUMNS.into_iter().chain(REMARK_COLUMNS);
    let Some(name) = known().find(|known| *known == folded) else {
        let near = known()
            .map(|known| (did_you_mean::distance(&folded, known), known))
            .min()
            .filter(|(distance, known)| *distance * 3 <= known.len().max(3));
        return Err(problem(
            format!("no column is called `{}`", text.trim()),
            match near {
                Some((_, near)) => format!("did you mean `{near}`?"),
                None => format!("the columns are {}", known().collect::<Vec<_>>().join(", ")),
            },
        ));
    };
    if let Some(unit) = &unit {
        let usual = WITH_UNIT.iter().find(|(with, _)| *with == name);
        let Some((_, usual)) = usual else {
            return Err(problem(
                format!("the column `{name}` has no unit"),
                format!("write `{name}`"),
            ));
        };
        if let Err(message) = try_unit(name, unit) {
            return Err(problem(
                message,
                format!("write for example `{name} [{usual}]`"),
            ));
        }
    }
    Ok(Column { name, unit })
}

/// Whether a unit fits a column.
fn try_unit(name: &str, unit: &str) -> Result<(), String> {
    use stainbook_core as core;
    let fits = |dimension| {
        core::unit_of(dimension, unit)
            .map(|_| ())
            .map_err(|error| error.to_string())
    };
    match name {
        "air_temperature" | "tube_temperature" => fits(core::Temperature::DIMENSION),
        "humidity" => fits(core::Humidity::DIMENSION),
        "pressure" | "sea_level_pressure" => fits(core::Pressure::DIMENSION),
        "altitude" => fits(core::Altitude::DIMENSION),
        "stands_for" | "average_over" => fits(core::Duration::DIMENSION),
        _ => fits(core::Concentration::DIMENSION),
    }
}
