//! The rows of a table as sheets.

use std::borrow::Cow;
use std::fmt::Write as _;

use stainbook_catalog::EntryKind;
use stainbook_catalog::embedded::Reference;
use stainbook_catalog::import_fields::{
    ImportField, ImportHolds, OF_RANGE, UNPLACED, field_at, numbers,
};
use stainbook_catalog::search::folded;
use stainbook_catalog::written::ImportMap;
use stainbook_survey::table::DecimalMark;

use super::{ImportTable, scalar};

/// Sheets that were made of a table.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct ImportedSheets {
    /// The sheets, in the order in which the table begins with them.
    pub sheets: Vec<ImportedSheet>,
    /// Contents of the table that have no place in a sheet.
    pub unplaced: Vec<UnplacedCell>,
}

/// A sheet that was made of rows.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct ImportedSheet {
    /// The short name.
    pub id: String,
    /// The text of the file.
    pub text: String,
}

/// Contents of the table that have no place in a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct UnplacedCell {
    /// The row, counted as people do; nothing where it is of a whole column.
    pub row: Option<u64>,
    /// The header of the column.
    pub header: String,
    /// The cell, or the number of cells.
    pub text: String,
    /// The reason.
    pub why: String,
}

impl std::fmt::Display for UnplacedCell {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self {
            row,
            header,
            text,
            why,
        } = self;
        match row {
            Some(row) => write!(f, "row {row}, `{header}`: `{text}`: {why}"),
            None => write!(f, "column `{header}`, {text}: {why}"),
        }
    }
}

/// A column that goes to a field.
struct PlacedColumn<'m> {
    at: usize,
    header: &'m str,
    field: &'static ImportField,
    unit: Option<&'m str>,
}

/// A cell that goes to a field.
struct PlacedCell {
    field: &'static ImportField,
    text: String,
    row: u64,
    header: String,
}

/// The rows of one tube.
#[derive(Default)]
struct TubeRows {
    key: String,
    numbers: Vec<u64>,
    of_tube: Vec<PlacedCell>,
    ranges: Vec<Vec<PlacedCell>>,
}

/// Field of the unit that is printed beside the scale.
const SCALE_UNIT: &str = "read.scales.unit";

/// Makes sheets of a table whose numbers have this decimal mark, as a map says.
pub fn sheets(table: &ImportTable, map: &ImportMap, mark: DecimalMark) -> ImportedSheets {
    let mut made = ImportedSheets::default();
    let placed = columns(table, map, &mut made.unplaced);
    let mut tubes: Vec<TubeRows> = Vec::new();
    for (number, row) in &table.rows {
        let cell = |at: usize| row.get(at).map_or("", |cell| cell.trim());
        if placed.iter().all(|column| cell(column.at).is_empty()) {
            continue;
        }
        let key = key(&placed, &cell);
        if key.is_empty() {
            made.unplaced.push(UnplacedCell {
                row: Some(*number),
                header: "name".to_owned(),
                text: row.join(", "),
                why: "the row names no tube".to_owned(),
            });
            continue;
        }
        let index = tubes.iter().position(|tube| tube.key == key);
        let index = index.unwrap_or_else(|| {
            tubes.push(TubeRows {
                key,
                ..TubeRows::default()
            });
            tubes.len() - 1
        });
        if let Some(tube) = tubes.get_mut(index) {
            tube.add(*number, &placed, &cell, (mark, &mut made.unplaced));
        }
    }
    for tube in tubes {
        let sheet = tube.sheet();
        let taken = made.sheets.iter().any(|other| other.id == sheet.id);
        let why = if sheet.id.is_empty() {
            "it has no letter or digit for a short name".to_owned()
        } else if taken {
            let id = &sheet.id;
            format!("another tube of the table has the short name `{id}` already")
        } else {
            made.sheets.push(sheet);
            continue;
        };
        made.unplaced.push(UnplacedCell {
            row: tube.numbers.first().copied(),
            header: "name".to_owned(),
            text: tube.key.replace('\n', ", "),
            why,
        });
    }
    made
}

/// The columns that go somewhere; the others are named.
fn columns<'m>(
    table: &'m ImportTable,
    map: &'m ImportMap,
    unplaced: &mut Vec<UnplacedCell>,
) -> Vec<PlacedColumn<'m>> {
    let mut placed = Vec::new();
    for (at, header) in table.header.iter().enumerate() {
        let named = |column: &&stainbook_catalog::written::MappedColumn| {
            column.header.as_deref() == Some(header)
        };
        let why = match map.columns.iter().find(named) {
            None => "the map does not list it",
            Some(column) => match column.field.as_deref().and_then(field_at) {
                Some(field) => {
                    placed.push(PlacedColumn {
                        at,
                        header,
                        field,
                        unit: column.unit.as_deref(),
                    });
                    continue;
                }
                None => "the map says `unplaced`",
            },
        };
        let filled = table.rows.iter().filter(|(_, row)| {
            let cell = row.get(at);
            cell.is_some_and(|cell| !cell.trim().is_empty())
        });
        let text = match filled.count() {
            0 => continue,
            1 => "1 cell".to_owned(),
            cells => format!("{cells} cells"),
        };
        unplaced.push(UnplacedCell {
            row: None,
            header: header.clone(),
            text,
            why: why.to_owned(),
        });
    }
    for column in &map.columns {
        let header = column.header.as_deref().unwrap_or_default();
        let is_unplaced = column.field.as_deref() == Some(UNPLACED);
        if !is_unplaced && !table.header.iter().any(|there| there == header) {
            unplaced.push(UnplacedCell {
                row: None,
                header: header.to_owned(),
                text: "no cell".to_owned(),
                why: "the map lists it, and the table does not have it".to_owned(),
            });
        }
    }
    placed
}

/// Texts that tell a tube from the others: its short name, or its name and the revision of its leaflet.
fn key<'c>(placed: &[PlacedColumn<'_>], cell: &impl Fn(usize) -> &'c str) -> String {
    let under = |path: &str| {
        let column = placed.iter().find(|column| column.field.path == path);
        column.map_or("", |column| cell(column.at))
    };
    match (under("tube"), under("name")) {
        ("", "") => String::new(),
        ("", name) => format!("{name}\n{}", under("leaflet.revision")),
        (id, _) => id.to_owned(),
    }
}

impl TubeRows {
    fn add<'c>(
        &mut self,
        row: u64,
        placed: &[PlacedColumn<'_>],
        cell: &impl Fn(usize) -> &'c str,
        (mark, unplaced): (DecimalMark, &mut Vec<UnplacedCell>),
    ) {
        self.numbers.push(row);
        let scale_unit = scale_unit(placed, cell);
        let mut range = Vec::new();
        for column in placed {
            let text = cell(column.at);
            if text.is_empty() {
                continue;
            }
            let refuse = |why: String| UnplacedCell {
                row: Some(row),
                header: column.header.to_owned(),
                text: text.to_owned(),
                why,
            };
            match understood(text, column, scale_unit, mark) {
                Err(why) => unplaced.push(refuse(why)),
                Ok(text) => {
                    let value = PlacedCell {
                        field: column.field,
                        text,
                        row,
                        header: column.header.to_owned(),
                    };
                    if column.field.path.starts_with(OF_RANGE) {
                        range.push(value);
                    } else if let Some(why) = self.keep(value) {
                        unplaced.push(refuse(why));
                    }
                }
            }
        }
        // The marks' header may say the unit that no column does.
        if let (Some(unit), Some(field)) = (scale_unit, field_at(SCALE_UNIT)) {
            let by_column = placed.iter().any(|column| column.field.path == SCALE_UNIT);
            if !by_column {
                self.keep(PlacedCell {
                    field,
                    text: unit.to_owned(),
                    row,
                    header: String::new(),
                });
            }
        }
        self.add_range(row, range, unplaced);
    }

    /// Keeps what is said of the tube; says why not, if another row says something else.
    fn keep(&mut self, value: PlacedCell) -> Option<String> {
        match self.of(value.field.path) {
            Some(other) if other.text == value.text => None,
            Some(other) => Some(format!(
                "row {} of the same tube says `{}`, which was taken",
                other.row, other.text
            )),
            None => {
                self.of_tube.push(value);
                None
            }
        }
    }

    fn add_range(&mut self, row: u64, range: Vec<PlacedCell>, unplaced: &mut Vec<UnplacedCell>) {
        let Some(first) = range.first() else { return };
        let strokes = |range: &[PlacedCell]| {
            let is_count = |value: &&PlacedCell| value.field.path == "draw.ranges.strokes";
            range.iter().find(is_count).map(|value| value.text.clone())
        };
        let count = strokes(&range);
        let before = self
            .ranges
            .iter()
            .find(|other| count.is_some() && strokes(other) == count)
            .and_then(|other| other.first());
        if let (Some(count), Some(before)) = (&count, before) {
            let cells = range.iter().map(|value| value.text.as_str());
            unplaced.push(UnplacedCell {
                row: Some(row),
                header: first.header.clone(),
                text: cells.collect::<Vec<_>>().join(", "),
                why: format!(
                    "row {} has the count {count} of this tube already, and was taken",
                    before.row
                ),
            });
            return;
        }
        self.ranges.push(range);
    }

    fn of(&self, path: &str) -> Option<&PlacedCell> {
        self.of_tube.iter().find(|value| value.field.path == path)
    }

    fn sheet(&self) -> ImportedSheet {
        let text_of = |path: &str| self.of(path).map(|value| value.text.as_str());
        let id = match (text_of("tube"), text_of("leaflet.revision")) {
            (Some(id), _) => kebab(id),
            (None, Some(revision)) => {
                let name = kebab(text_of("name").unwrap_or_default());
                format!("{name}-r{}", kebab(revision))
            }
            (None, None) => kebab(text_of("name").unwrap_or_default()),
        };
        let rows: Vec<String> = self.numbers.iter().map(ToString::to_string).collect();
        let mut text = format!(
            "# Made of a table, of its rows {}. What the table does not say is left out, and `stainbook check` asks for it.\ntube: {}\n",
            rows.join(", "),
            scalar(&id)
        );
        let of_file = |value: &&PlacedCell| !value.field.path.contains('.');
        for value in self.of_tube.iter().filter(of_file) {
            if value.field.path != "tube" {
                let _ = writeln!(text, "{}: {}", value.field.path, written(value));
            }
        }
        for group in [
            "leaflet",
            "measures",
            "before_use",
            "draw",
            "read",
            "correct",
        ] {
            let lines = self.group(group);
            if !lines.is_empty() {
                let _ = write!(text, "\n{group}:\n{lines}");
            }
        }
        ImportedSheet { id, text }
    }

    /// The lines of a group of fields.
    fn group(&self, group: &str) -> String {
        let mut lines = String::new();
        let mut inner: Vec<(&str, Vec<String>)> = Vec::new();
        for value in &self.of_tube {
            let mut way = value.field.path.split('.');
            if way.next() != Some(group) {
                continue;
            }
            match (way.next(), way.next()) {
                (Some(field), None) => {
                    let _ = writeln!(lines, "  {field}: {}", written(value));
                }
                (Some(below), Some(field)) => {
                    let one = format!("{field}: {}", written(value));
                    match inner.iter_mut().find(|(name, _)| *name == below) {
                        Some((_, fields)) => fields.push(one),
                        None => inner.push((below, vec![one])),
                    }
                }
                (None, _) => {}
            }
        }
        for (below, fields) in inner {
            let fields = fields.join(", ");
            // One row has one scale; the second of a glass with two is for a person to enter.
            let _ = if below == "scales" {
                writeln!(lines, "  scales:\n    - {{{fields}}}")
            } else {
                writeln!(lines, "  {below}: {{{fields}}}")
            };
        }
        if group == "draw" && !self.ranges.is_empty() {
            lines.push_str("  ranges:\n");
            for range in &self.ranges {
                let fields = range.iter().map(|value| {
                    let field = value.field.path.strip_prefix(OF_RANGE);
                    format!("{}: {}", field.unwrap_or_default(), written(value))
                });
                let fields: Vec<String> = fields.collect();
                let _ = writeln!(lines, "    - {{{}}}", fields.join(", "));
            }
        }
        lines
    }
}

/// The unit of the scale, as a column or the header of the marks says.
fn scale_unit<'p, 'c: 'p>(
    placed: &'p [PlacedColumn<'_>],
    cell: &impl Fn(usize) -> &'c str,
) -> Option<&'p str> {
    let column = placed.iter().find(|column| column.field.path == SCALE_UNIT);
    if let Some(column) = column {
        return Some(cell(column.at)).filter(|unit| !unit.is_empty());
    }
    let marks = |column: &&PlacedColumn<'_>| {
        column.field.path == "read.scales.marks" && !cell(column.at).is_empty()
    };
    placed.iter().find(marks)?.unit
}

/// A cell as the field has it, digits as they stand.
///
/// # Errors
///
/// The reason for which it cannot stand there.
fn understood(
    text: &str,
    column: &PlacedColumn<'_>,
    scale_unit: Option<&str>,
    mark: DecimalMark,
) -> Result<String, String> {
    let holds = column.field.holds;
    let text = &*with_point(text, holds, mark);
    let read = match holds {
        ImportHolds::Quantity(_) => match column.unit {
            Some(unit) if is_bare(text) => format!("{text} {unit}"),
            _ => text.to_owned(),
        },
        ImportHolds::OnScale => on_scale(text, column.unit, scale_unit)?,
        ImportHolds::Substance => short_name(text)?,
        _ => text.to_owned(),
    };
    holds.read(&read)?;
    Ok(read)
}

/// A text whose numbers have a point.
fn with_point(text: &str, holds: ImportHolds, mark: DecimalMark) -> Cow<'_, str> {
    let of_numbers = matches!(
        holds,
        ImportHolds::Number
            | ImportHolds::Numbers
            | ImportHolds::OnScale
            | ImportHolds::Quantity(_)
    );
    if mark == DecimalMark::Comma && of_numbers && !text.contains('.') {
        Cow::Owned(text.replace(',', "."))
    } else {
        Cow::Borrowed(text)
    }
}

/// True of a number, or of two with `to` between them, without a unit.
fn is_bare(text: &str) -> bool {
    let number = |text: &str| text.trim().parse::<f64>().is_ok();
    number(text)
        || text
            .split_once(" to ")
            .is_some_and(|(low, high)| number(low) && number(high))
}

/// A number in the unit of the scale, without it.
fn on_scale(text: &str, of_column: Option<&str>, of_scale: Option<&str>) -> Result<String, String> {
    let is_of_number = |c: char| c.is_ascii_digit() || ".,+-".contains(c);
    let end = text.find(|c| !is_of_number(c)).unwrap_or(text.len());
    let (number, behind) = text.split_at_checked(end).unwrap_or((text, ""));
    let own = Some(behind.trim()).filter(|unit| !unit.is_empty());
    match (own.or(of_column), of_scale) {
        (Some(unit), Some(scale)) if unit != scale => Err(format!(
            "it is in {unit}, and the scale in {scale}: a sheet states both in the unit of the scale"
        )),
        (Some(unit), None) if own.is_some() => Err(format!(
            "it is in {unit}, and the table does not say the unit of the scale"
        )),
        _ => Ok(number.to_owned()),
    }
}

/// The short name of a substance, by whichever name the table has.
fn short_name(text: &str) -> Result<String, String> {
    let reference = Reference::embedded();
    if reference.knows(EntryKind::Substance, text) {
        return Ok(text.to_owned());
    }
    match reference.by_name(&folded(text)) {
        Some(id) => Ok(id.to_owned()),
        None => Err("the reference data has no substance of this name; enter it, or write its short name into the sheet".to_owned()),
    }
}

/// A value as it stands in a file.
fn written(value: &PlacedCell) -> String {
    match value.field.holds {
        // A day looks like a date in a file, and is one.
        ImportHolds::Number | ImportHolds::OnScale | ImportHolds::Day => value.text.clone(),
        ImportHolds::Numbers => {
            let all: Vec<&str> = numbers(&value.text).collect();
            format!("[{}]", all.join(", "))
        }
        ImportHolds::Texts => {
            let each = value.text.split(';').map(|one| scalar(&kebab(one)));
            format!("[{}]", each.collect::<Vec<_>>().join(", "))
        }
        _ => scalar(&value.text),
    }
}

/// A text as a short name: small letters, digits and hyphens.
fn kebab(text: &str) -> String {
    let lower = text.to_lowercase();
    let words = lower.split(|c: char| !c.is_ascii_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("-")
}
