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

/// A cell of a header, as far as it is understood.
#[derive(Clone, Debug)]
pub(crate) enum Heading {
    /// A column of a survey.
    Known(HeaderCell),
    /// A column of the person's own, which is passed over.
    Foreign(String),
    /// An empty cell, under which nothing may stand.
    Nameless,
}

impl Heading {
    /// The column of a survey that it names.
    pub(crate) fn known(&self) -> Option<&HeaderCell> {
        match self {
            Self::Known(cell) => Some(cell),
            Self::Foreign(_) | Self::Nameless => None,
        }
    }

    /// The name of that column, or nothing.
    pub(crate) fn name(&self) -> &'static str {
        self.known().map_or("", |cell| cell.column.name)
    }
}

/// A name that is not that of a column, and the column that it may mean.
struct LikelyMeant {
    number: usize,
    text: String,
    column: &'static str,
}

/// The columns of a table, from its header. A column that is like none of a survey, or stands beside the one that it is
/// like, is the person's own.
///
/// # Errors
///
/// [`HeaderProblem`]: a column that may be one of a survey and is not called so, one that is twice there, or a missing one
/// without which nothing can be read.
pub(crate) fn columns<'h>(
    header: impl Iterator<Item = &'h str>,
) -> Result<Vec<Heading>, HeaderProblem> {
    let problem = |column, message: String, help: String| HeaderProblem {
        line: 1,
        column,
        message,
        help,
    };
    let mut columns: Vec<Heading> = Vec::new();
    let mut likely = Vec::new();
    for (index, text) in header.enumerate() {
        let text = text.trim_start_matches('\u{feff}').trim();
        if text.is_empty() {
            columns.push(Heading::Nameless);
            continue;
        }
        let Some(cell) = cell(text, index + 1)? else {
            likely.extend(meant(text).map(|column| LikelyMeant {
                number: index + 1,
                text: text.to_owned(),
                column,
            }));
            columns.push(Heading::Foreign(text.to_owned()));
            continue;
        };
        let name = cell.column.name;
        if columns.iter().any(|other| other.name() == name) {
            return Err(problem(
                index + 1,
                format!("the column `{name}` is there twice"),
                "keep one of them".to_owned(),
            ));
        }
        columns.push(Heading::Known(cell));
    }
    let is_there = |name: &str| columns.iter().any(|heading| heading.name() == name);
    // What stands beside the column that it is like is something else.
    likely.retain(|likely| !is_there(likely.column));
    if let Some(first) = likely.first() {
        return Err(unknown(first.number, &likely));
    }
    let mut missing: Vec<&str> = NEEDED
        .into_iter()
        .filter(|needed| !is_there(needed))
        .collect();
    let nothing_read = !WHAT_WAS_READ.into_iter().any(is_there);
    if nothing_read {
        missing.push("reading [ppm]");
    }
    if missing.is_empty() {
        return Ok(columns);
    }
    let what = if missing.len() == 1 { "it" } else { "them" };
    let mut help = format!("add {what}: without {what} no reading can be evaluated");
    if nothing_read {
        help.push_str(
            "; in place of `reading [ppm]` there may be `short [ppm]` and `long [ppm]`, or `seen`",
        );
    }
    let foreign = foreign(&columns);
    if !foreign.is_empty() {
        help.push_str("; not understood: ");
        help.push_str(&quoted(&foreign));
    }
    Err(problem(
        columns.len(),
        format!("there is no column {}", quoted(&missing)),
        help,
    ))
}

/// The names of the columns that are passed over.
pub(crate) fn foreign<'h>(columns: impl IntoIterator<Item = &'h Heading>) -> Vec<&'h str> {
    columns.into_iter().filter_map(own_name).collect()
}

/// The name of a column that is passed over.
pub(crate) fn own_name(heading: &Heading) -> Option<&str> {
    match heading {
        Heading::Foreign(name) => Some(name),
        Heading::Known(_) | Heading::Nameless => None,
    }
}

/// Names in backticks, one after the other.
pub(crate) fn quoted(names: &[&str]) -> String {
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    names.join(", ")
}

/// The same of owned names.
#[cfg(feature = "spreadsheets")]
pub(crate) fn quoted_all(names: &[String]) -> String {
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    quoted(&names)
}

/// All of the columns that may be some of a survey and are not called so.
fn unknown(number: usize, likely: &[LikelyMeant]) -> HeaderProblem {
    let names: Vec<&str> = likely.iter().map(|likely| likely.text.as_str()).collect();
    let each = |likely: &LikelyMeant| {
        let usual = COLUMNS
            .iter()
            .find(|column| column.name == likely.column)
            .and_then(Column::usual_unit)
            .map(|unit| format!(" [{unit}]"))
            .unwrap_or_default();
        (likely.text.clone(), format!("`{}{usual}`", likely.column))
    };
    let (message, help) = match likely {
        [only] => {
            let (_, meant) = each(only);
            (
                format!("no column is called {}", quoted(&names)),
                format!(
                    "did you mean {meant}? A column that is none of a survey's begins with `{OWN}`"
                ),
            )
        }
        several => {
            let meant: Vec<String> = several
                .iter()
                .map(each)
                .map(|(text, meant)| format!("{meant} for `{text}`"))
                .collect();
            (
                format!("no columns are called {}", quoted(&names)),
                format!(
                    "did you mean {}? A column that is none of a survey's begins with `{OWN}`",
                    meant.join(", ")
                ),
            )
        }
    };
    HeaderProblem {
        line: 1,
        column: number,
        message,
        help,
    }
}

/// Beginning of a name that says that the column is the person's own.
const OWN: &str = "x_";

/// Names that people give to columns, in lists that were kept before, and the column that they may mean by it. It is asked, never
/// taken: a `date` may lack the time, and `n` may be anything. Common practice, no source.
const OTHER_NAMES: [(&str, &[&str]); 14] = [
    (
        "id",
        &[
            "nr", "nr.", "no", "no.", "number", "nummer", "n°", "sample", "probe", "#",
        ],
    ),
    (
        "at",
        &[
            "date",
            "time",
            "datum",
            "zeit",
            "uhrzeit",
            "date_time",
            "datetime",
            "heure",
            "fecha",
            "data",
        ],
    ),
    (
        "place",
        &[
            "location", "ort", "lieu", "where", "messort", "luogo", "lugar",
        ],
    ),
    (
        "tube",
        &[
            "tubes",
            "röhrchen",
            "roehrchen",
            "detector_tube",
            "tube_type",
        ],
    ),
    (
        "lot",
        &[
            "batch",
            "charge",
            "lot_no",
            "lot_no.",
            "lot_number",
            "tube_lot",
        ],
    ),
    (
        "expires",
        &[
            "expiry",
            "expiry_date",
            "exp",
            "use_by",
            "verfall",
            "haltbar_bis",
        ],
    ),
    ("pump", &["pumpe", "pompe", "pump_id", "pump_no"]),
    (
        "strokes",
        &[
            "n",
            "number_of_strokes",
            "no_of_strokes",
            "hübe",
            "huebe",
            "hub",
            "coups",
            "pump_strokes",
        ],
    ),
    ("substance", &["gas", "stoff", "analyte", "gaz"]),
    (
        "reading",
        &[
            "value",
            "result",
            "concentration",
            "messwert",
            "wert",
            "read",
            "anzeige",
            "ppm",
        ],
    ),
    (
        "air_temperature",
        &[
            "temp",
            "temp.",
            "temperature",
            "temperatur",
            "air_temp",
            "t",
            "température",
        ],
    ),
    (
        "humidity",
        &[
            "rh",
            "relative_humidity",
            "rel._humidity",
            "feuchte",
            "luftfeuchte",
            "humidité",
        ],
    ),
    (
        "pressure",
        &["p", "air_pressure", "luftdruck", "pression", "barometer"],
    ),
    (
        "remark",
        &[
            "remarks",
            "comment",
            "comments",
            "note",
            "notes",
            "bemerkung",
            "bemerkungen",
            "remarque",
        ],
    ),
];

/// The column that a name may mean which is not that of one.
fn meant(text: &str) -> Option<&'static str> {
    let (name, _) = divided(text);
    let folded = folded(name);
    if folded.starts_with(OWN) {
        return None;
    }
    let other = OTHER_NAMES
        .iter()
        .find(|(_, names)| names.contains(&folded.as_str()));
    if let Some((column, _)) = other {
        return Some(column);
    }
    COLUMNS
        .iter()
        .map(|column| (did_you_mean::distance(&folded, column.name), column.name))
        .min()
        .filter(|(distance, known)| distance * 3 <= known.len().max(3))
        .map(|(_, known)| known)
}

/// Likeness of a cell to the head of a column: two for its name, one for what may be meant for it.
pub(crate) fn likeness(text: &str) -> usize {
    let text = text.trim();
    match (text.is_empty(), named(text), meant(text)) {
        (false, Some(_), _) => 2,
        (false, None, Some(_)) => 1,
        _ => 0,
    }
}

/// True if a row names every column without which nothing can be read.
pub(crate) fn names_all_that_is_needed(cells: &[&str]) -> bool {
    let is_there = |name: &&'static str| {
        let mut columns = cells.iter().filter_map(|cell| named(cell));
        columns.any(|column| column.name == *name)
    };
    NEEDED.iter().all(is_there) && WHAT_WAS_READ.iter().any(is_there)
}

/// The columns that every table has, beside one of those that say what was read.
const NEEDED: [&str; 3] = ["id", "tube", "strokes"];

/// The column for which people use a name, if it is one of the list.
pub(super) fn by_another_name(text: &str) -> Option<&'static str> {
    let (name, _) = divided(text);
    let folded = folded(name);
    let names = OTHER_NAMES.iter();
    let mut names = names.filter(|(_, names)| names.contains(&folded.as_str()));
    names.next().map(|(column, _)| *column)
}

/// The column that a header names, whatever its unit.
pub(crate) fn named(text: &str) -> Option<&'static Column> {
    let (name, _) = divided(text);
    let name = folded(name);
    COLUMNS.iter().find(|column| column.name == name)
}

/// A name as people vary it: in capitals, with blanks or hyphens.
fn folded(name: &str) -> String {
    let name = name.trim_start_matches('\u{feff}').trim();
    name.to_lowercase().replace([' ', '-'], "_")
}

/// A header's name, and what stands behind its opening bracket or parenthesis.
fn divided(text: &str) -> (&str, Option<(&str, char)>) {
    let bracketed = |open, close| {
        let (name, rest) = text.split_once(open)?;
        Some((name, Some((rest, close))))
    };
    bracketed('[', ']')
        .or_else(|| bracketed('(', ')'))
        .unwrap_or((text, None))
}

/// A header `name [unit]` or `name (unit)`; nothing where it names no column of a survey.
fn cell(text: &str, number: usize) -> Result<Option<HeaderCell>, HeaderProblem> {
    let problem = |message: String, help: String| HeaderProblem {
        line: 1,
        column: number,
        message,
        help,
    };
    let (name, _) = divided(text);
    let folded = folded(name);
    if folded.starts_with("amend") {
        return Err(problem(
            format!("a table has no room for a reading that was changed afterwards (`{text}`)"),
            "who changed it, when, why and what it was before stand under `amended` in a `.survey.yaml`; keep the survey there".to_owned(),
        ));
    }
    let Some(column) = COLUMNS.iter().find(|column| column.name == folded) else {
        return Ok(None);
    };
    cell_of(column, text, number).map(Some)
}

/// A header that stands for a column, with the unit that it names.
pub(super) fn cell_of(
    column: &'static Column,
    text: &str,
    number: usize,
) -> Result<HeaderCell, HeaderProblem> {
    let problem = |message: String, help: String| HeaderProblem {
        line: 1,
        column: number,
        message,
        help,
    };
    let (_, rest) = divided(text);
    let Some((rest, close)) = rest else {
        return Ok(HeaderCell { column, unit: None });
    };
    let unit = rest.trim_end().strip_suffix(close).ok_or_else(|| {
        problem(
            format!("`{text}` has no closing bracket"),
            "write the unit in brackets, as in `reading [ppm]`".to_owned(),
        )
    })?;
    let unit = unit.trim();
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
    Ok(HeaderCell {
        column,
        unit: Some(unit.to_owned()),
    })
}
