//! The header of a table: which columns there are, and the unit that each names.

use stainbook_core::unit_of;
use stainbook_document::did_you_mean;

use super::HeaderProblem;
use super::column::{COLUMNS, Column, WHAT_WAS_READ};

/// A cell of a header: the column, and the unit that is named for it.
#[derive(Clone, Debug)]
pub(crate) struct HeaderCell {
    pub(crate) column: &'static Column,
    pub(crate) unit: Option<String>,
}

/// The columns of a table, from its header.
///
/// # Errors
///
/// [`HeaderProblem`]: a column that is not known, or twice there, or a missing one without which nothing can be read.
pub(crate) fn columns<'h>(
    header: impl Iterator<Item = &'h str>,
) -> Result<Vec<HeaderCell>, HeaderProblem> {
    let problem = |column, message: String, help: &str| HeaderProblem {
        column,
        message,
        help: help.to_owned(),
    };
    let mut columns: Vec<HeaderCell> = Vec::new();
    for (index, text) in header.enumerate() {
        let cell = cell(text.trim_start_matches('\u{feff}').trim(), index + 1)?;
        let name = cell.column.name;
        if columns.iter().any(|other| other.column.name == name) {
            return Err(problem(
                index + 1,
                format!("the column `{name}` is there twice"),
                "keep one of them",
            ));
        }
        columns.push(cell);
    }
    let is_there = |name: &str| columns.iter().any(|cell| cell.column.name == name);
    for needed in ["id", "tube", "strokes"] {
        if !is_there(needed) {
            return Err(problem(
                columns.len(),
                format!("there is no column `{needed}`"),
                "add it: without it no reading can be evaluated",
            ));
        }
    }
    if !WHAT_WAS_READ.into_iter().any(is_there) {
        return Err(problem(
            columns.len(),
            "there is no column for what was read".to_owned(),
            "add `reading [ppm]`, or `short [ppm]` and `long [ppm]`, or `seen`",
        ));
    }
    Ok(columns)
}

/// The column that a header names, whatever its unit.
pub(crate) fn named(text: &str) -> Option<&'static Column> {
    let name = folded(text.split('[').next().unwrap_or_default());
    COLUMNS.iter().find(|column| column.name == name)
}

/// A name as people vary it: in capitals, with blanks or hyphens.
fn folded(name: &str) -> String {
    let name = name.trim_start_matches('\u{feff}').trim();
    name.to_lowercase().replace([' ', '-'], "_")
}

/// A header `name [unit]`.
fn cell(text: &str, number: usize) -> Result<HeaderCell, HeaderProblem> {
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
    let folded = folded(name);
    if folded.starts_with("amend") {
        return Err(problem(
            format!("a table has no room for a reading that was changed afterwards (`{}`)", text.trim()),
            "who changed it, when, why and what it was before stand under `amended` in a `.survey.yaml`; keep the survey there".to_owned(),
        ));
    }
    let Some(column) = COLUMNS.iter().find(|column| column.name == folded) else {
        let names = COLUMNS.iter().map(|column| column.name);
        let near = names
            .clone()
            .map(|known| (did_you_mean::distance(&folded, known), known))
            .min()
            .filter(|(distance, known)| *distance * 3 <= known.len().max(3));
        return Err(problem(
            format!("no column is called `{}`", text.trim()),
            match near {
                Some((_, near)) => format!("did you mean `{near}`?"),
                None => format!("the columns are {}", names.collect::<Vec<_>>().join(", ")),
            },
        ));
    };
    if let Some(unit) = &unit {
        let name = column.name;
        let Some((dimension, usual)) = column.quantity() else {
            return Err(problem(
                format!("the column `{name}` has no unit"),
                format!("write `{name}`"),
            ));
        };
        if let Err(error) = unit_of(dimension, unit) {
            return Err(problem(
                error.to_string(),
                format!("write for example `{name} [{usual}]`"),
            ));
        }
    }
    Ok(HeaderCell { column, unit })
}
