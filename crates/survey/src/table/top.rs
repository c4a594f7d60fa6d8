//! The head of a table, above its header, which holds for all of its rows: a title, who read, where, and the air of that day.
//!
//! A row there is a label with what belongs to it beside it, several of them, or a text of its own. A label that may be meant for
//! a condition and is not called so is asked for, as the header of a column is: a temperature that nobody takes is missed by
//! every row.

use jiff::civil::Date;
use stainbook_catalog::written::{Conditions, SurveyEntry};
use stainbook_document::{column_letters, did_you_mean};

use super::HeaderProblem;
use super::column::{COLUMNS, Column};
use super::dates::{self, DateWays};
use super::header::{self, HeaderCell, quoted};
use super::row::RowDraft;
use super::settings::TableSettings;

/// Head of a table, above its header, which holds for all of its rows.
///
/// # Example
///
/// ```
/// use stainbook_survey::table::{DecimalMark, Rows};
///
/// let table = "Brine wash\nby,KL\nid,tube,strokes,reading [ppm]\n";
/// let rows = Rows::new(table.as_bytes(), b',', DecimalMark::Point)?;
/// assert_eq!(rows.top().survey(Some("quay")).title.as_deref(), Some("Brine wash"));
/// # Ok::<(), stainbook_survey::table::HeaderProblem>(())
/// ```
#[derive(Clone, Debug, Default)]
pub struct TableTop {
    title: Option<String>,
    pub(crate) by: Option<String>,
    pub(crate) place: Option<String>,
    remark: Option<String>,
    /// The day of the times that stand without one.
    pub(crate) day: Option<Date>,
    conditions: Conditions,
    /// The facts, in the order in which they stand there.
    pub(crate) understood: Vec<TopFact>,
    /// The rows that hold none.
    pub(crate) passed_over: Vec<TopRow>,
}

/// Fact from the rows above a header.
#[derive(Clone, Debug)]
pub(crate) struct TopFact {
    /// The field of a survey file; nothing for what is not one of its fields.
    pub(crate) field: &'static [&'static str],
    /// In words.
    words: String,
    /// The text as a survey file has it.
    pub(crate) text: String,
    /// The cell that it was typed in.
    pub(crate) line: u64,
    pub(crate) column: usize,
}

/// A row that holds nothing of a survey.
#[derive(Clone, Debug)]
pub(crate) struct TopRow {
    pub(crate) line: u64,
    pub(crate) column: usize,
    cells: Vec<String>,
}

/// A cell above the header.
pub(crate) struct TopCell<'c> {
    /// Counted from 1.
    pub(crate) column: usize,
    /// The text as it is shown.
    pub(crate) shown: String,
    /// The day, if a spreadsheet keeps one.
    pub(crate) day: Option<Date>,
    /// The text as a person would have typed it under a column, or the problem with it and its remedy.
    pub(crate) under: TextUnder<'c>,
}

/// Text of a cell under a column, or the problem with it and its remedy.
pub(crate) type TextUnder<'c> = Box<dyn Fn(&HeaderCell) -> Result<String, (String, String)> + 'c>;

/// Meaning of a label.
enum TopLabel {
    Title,
    Day,
    Column(HeaderCell),
    /// A column of a survey that says something of one reading.
    OfReadings(&'static str),
    /// Something that is near to a name which is understood.
    Near(&'static str),
    None,
}

/// The columns that hold for all rows where they stand above the header.
const FOR_ALL: [&str; 9] = [
    "by",
    "place",
    "remark",
    "air_temperature",
    "tube_temperature",
    "humidity",
    "pressure",
    "altitude",
    "sea_level_pressure",
];

/// Labels of a title, and of the day. Common practice, no source.
const TITLES: [&str; 6] = ["title", "survey", "titel", "titre", "título", "titolo"];
const DAYS: [&str; 6] = ["date", "day", "datum", "tag", "fecha", "at"];

/// Further labels of who read. A `name` may be anybody's.
const PERSONS: [&str; 6] = [
    "read by",
    "drawn by",
    "drawn and read by",
    "measured by",
    "sampled by",
    "sampler",
];

/// Letters from which a label may be a slip of another one: of shorter ones every second word would be.
const LONG_ENOUGH: usize = 6;

fn label(text: &str, column: usize) -> Result<TopLabel, HeaderProblem> {
    let text = text.trim().trim_end_matches([':', '=']).trim_end();
    let folded = text.to_lowercase();
    if TITLES.contains(&folded.as_str()) {
        return Ok(TopLabel::Title);
    }
    if DAYS.contains(&folded.as_str()) {
        return Ok(TopLabel::Day);
    }
    let by_name = if PERSONS.contains(&folded.as_str()) {
        Some("by")
    } else {
        header::named(text)
            .map(|column| column.name)
            .or_else(|| header::by_another_name(text).filter(|name| FOR_ALL.contains(name)))
    };
    if let Some(name) = by_name {
        if !FOR_ALL.contains(&name) {
            return Ok(TopLabel::OfReadings(name));
        }
        if let Some(known) = COLUMNS.iter().find(|column| column.name == name) {
            return header::cell_of(known, text, column).map(TopLabel::Column);
        }
    }
    Ok(near(&folded).map_or(TopLabel::None, TopLabel::Near))
}

/// The column of a label in which a letter or two are wrong.
fn near(folded: &str) -> Option<&'static str> {
    let folded = folded.replace([' ', '-'], "_");
    let folded = folded.split(['[', '(']).next().unwrap_or_default();
    let folded = folded.trim_end_matches('_');
    if folded.chars().count() < LONG_ENOUGH {
        return None;
    }
    FOR_ALL
        .into_iter()
        .chain(["temperature"])
        .filter(|name| LONG_ENOUGH <= name.len())
        .map(|name| (did_you_mean::distance(folded, name), name))
        .min()
        .filter(|(distance, name)| distance * 4 <= name.len())
        .map(|(_, name)| {
            if name == "temperature" {
                "air_temperature"
            } else {
                name
            }
        })
}

/// The rows above a header, as they are read.
pub(crate) struct TopDraft {
    top: TableTop,
    settings: TableSettings,
    /// Names of what was understood, so that nothing is said twice.
    names: Vec<&'static str>,
}

impl TopDraft {
    pub(crate) fn new(settings: TableSettings) -> Self {
        Self {
            top: TableTop::default(),
            settings,
            names: Vec::new(),
        }
    }

    pub(crate) fn finish(self) -> TableTop {
        self.top
    }

    /// Reads a row that begins in a line, by its cells that hold something.
    ///
    /// # Errors
    ///
    /// [`HeaderProblem`]: a label that may be meant for another, one that belongs to each row, or a value that cannot be read.
    pub(crate) fn row(&mut self, line: u64, cells: &[TopCell<'_>]) -> Result<(), HeaderProblem> {
        self.cells(line, cells)
            .map_err(|problem| HeaderProblem { line, ..problem })
    }

    fn cells(&mut self, line: u64, cells: &[TopCell<'_>]) -> Result<(), HeaderProblem> {
        let mut labels = Vec::with_capacity(cells.len());
        for cell in cells {
            labels.push(label(&cell.shown, cell.column)?);
        }
        if let ([only], [TopLabel::None]) = (cells, labels.as_slice())
            && let Some((before, value)) = only.shown.split_once(':')
            && !value.trim().is_empty()
        {
            let inside = label(before, only.column)?;
            if !matches!(inside, TopLabel::None) {
                let value = TopCell {
                    column: only.column,
                    shown: value.trim().to_owned(),
                    day: None,
                    under: Box::new(|_| Ok(value.trim().to_owned())),
                };
                return self.fact(line, (only.column, before), inside, &[value]);
            }
        }
        // Labels side by side may have their values below them, and each may be the value of the one before.
        let is_label = |label: &TopLabel| !matches!(label, TopLabel::None);
        let side_by_side = labels.iter().skip_while(|label| !is_label(label));
        if 1 < side_by_side.clone().count()
            && side_by_side.clone().all(is_label)
            && let Some(first) = cells.get(labels.iter().position(is_label).unwrap_or(0))
        {
            return Err(HeaderProblem {
                line,
                column: first.column,
                message: format!(
                    "`{}` and what follows it stand above the header with nothing beside them",
                    first.shown
                ),
                help: "write the value of each beside it, in the next cell".to_owned(),
            });
        }
        // What stands before the first label belongs to none.
        let first = labels
            .iter()
            .position(|label| !matches!(label, TopLabel::None))
            .unwrap_or(labels.len());
        let mut labels = labels.into_iter().skip(first);
        let (alone, mut rest) = cells.split_at(first);
        self.alone(line, alone);
        let mut label = labels.next();
        while let (Some(this), Some((head, behind))) = (label.take(), rest.split_first()) {
            let mut length = 0;
            for next in labels.by_ref() {
                if !matches!(next, TopLabel::None) {
                    label = Some(next);
                    break;
                }
                length += 1;
            }
            let (values, after) = behind.split_at_checked(length).unwrap_or((behind, &[]));
            self.fact(line, (head.column, &head.shown), this, values)?;
            rest = after;
        }
        Ok(())
    }

    /// Cells without a label: the title, if it is one text and the first of them.
    fn alone(&mut self, line: u64, cells: &[TopCell<'_>]) {
        if let [only] = cells
            && self.top.title.is_none()
            && is_title(&only.shown)
        {
            self.top.title = Some(only.shown.clone());
            self.note(
                &["title"],
                "title",
                (line, only.column),
                only.shown.clone(),
                true,
            );
            return;
        }
        if let Some(first) = cells.first() {
            self.top.passed_over.push(TopRow {
                line,
                column: first.column,
                cells: cells.iter().map(|cell| cell.shown.clone()).collect(),
            });
        }
    }

    /// A label with what stands behind it.
    fn fact(
        &mut self,
        line: u64,
        (at, label_text): (usize, &str),
        label: TopLabel,
        values: &[TopCell<'_>],
    ) -> Result<(), HeaderProblem> {
        // A form whose field was left empty says nothing.
        let Some(value) = values.first() else {
            return Ok(());
        };
        let problem = |column, message: String, help: String| HeaderProblem {
            line,
            column,
            message,
            help,
        };
        let text = || join(values, ", ");
        let name = match &label {
            TopLabel::None => return Ok(()),
            TopLabel::Title => "title",
            TopLabel::Day => "date",
            TopLabel::Column(head) => head.column.name,
            TopLabel::OfReadings(name) => {
                return Err(problem(
                    at,
                    format!(
                        "`{name}` stands above the header, and may hold for some of the rows or for all"
                    ),
                    format!(
                        "give it a column of its own, with a cell in each row; what may stand above the header is a title, `date`, {}",
                        quoted(&FOR_ALL)
                    ),
                ));
            }
            TopLabel::Near(name) => {
                return Err(problem(
                    at,
                    format!(
                        "`{}` may be meant for `{name}`, which would hold for every row",
                        label_text.trim()
                    ),
                    format!("write `{name}`, or something else if it is something else"),
                ));
            }
        };
        if self.names.contains(&name) {
            return Err(problem(
                at,
                format!("`{name}` stands above the header twice"),
                "keep one of them; where rows differ, give it a column of its own".to_owned(),
            ));
        }
        self.names.push(name);
        let place = (line, value.column);
        match label {
            TopLabel::Title => {
                let title = text();
                // A text of its own was taken for it before.
                self.top.understood.retain(|fact| fact.field != ["title"]);
                self.top.title = Some(title.clone());
                self.note(&["title"], name, place, title, true);
            }
            TopLabel::Day => {
                let day = self.day(value, values)?;
                self.top.day = Some(day);
                self.note(&[], "date", place, day.to_string(), false);
            }
            TopLabel::Column(head) => self.column(line, &head, value, values)?,
            TopLabel::OfReadings(_) | TopLabel::Near(_) | TopLabel::None => {}
        }
        Ok(())
    }

    fn day(&self, value: &TopCell<'_>, values: &[TopCell<'_>]) -> Result<Date, HeaderProblem> {
        if let Some(day) = value.day {
            return Ok(day);
        }
        let text = join(values, " ");
        let ways = DateWays::from(self.settings);
        let read = dates::day(&text, &ways).map(|(day, _)| day);
        match read {
            Ok(day) if day.first() == day.last() => Ok(day.last()),
            Ok(day) => Err(HeaderProblem {
                line: 1,
                column: value.column,
                message: format!("`{}` is more than one day", day.text()),
                help: "write the day of the round, as in `2026-03-02`".to_owned(),
            }),
            Err(problem) => Err(HeaderProblem {
                line: 1,
                column: value.column,
                message: problem.message,
                help: problem.help,
            }),
        }
    }

    fn column(
        &mut self,
        line: u64,
        head: &HeaderCell,
        value: &TopCell<'_>,
        values: &[TopCell<'_>],
    ) -> Result<(), HeaderProblem> {
        let unreadable = |message, help| HeaderProblem {
            line,
            column: value.column,
            message,
            help,
        };
        let between = if head.column.usual_unit().is_some() {
            " "
        } else {
            ", "
        };
        let first = (value.under)(head).map_err(|(message, help)| unreadable(message, help))?;
        let rest = values.iter().skip(1).map(|cell| cell.shown.as_str());
        let text: Vec<&str> = std::iter::once(first.as_str()).chain(rest).collect();
        let text = text.join(between);
        let mut draft = RowDraft::at(line);
        draft.cell(value.column, head, &text, &self.settings.into());
        if let Some(problem) = draft.first_problem() {
            let help = if problem.help.contains("column's header") {
                let usual = head.column.usual_unit().unwrap_or_default();
                format!("write the unit behind the number, `{text} {usual}`, or in the next cell")
            } else {
                problem.help.clone()
            };
            return Err(unreadable(problem.message.clone(), help));
        }
        let conditions = std::mem::take(&mut draft.reading.conditions);
        let shown = take(&mut self.top.conditions, conditions);
        if let Some(by) = draft.by.take() {
            self.top.by = Some(by);
        }
        if let Some(place) = draft.reading.place.take() {
            self.top.place = Some(place);
        }
        if let Some(remark) = draft.reading.remark.take() {
            self.top.remark = Some(remark);
        }
        let is_text = shown.is_none();
        let field = field_for_all(head.column);
        let place = (line, value.column);
        self.note(
            field,
            head.column.name,
            place,
            shown.unwrap_or(text),
            is_text,
        );
        Ok(())
    }

    fn note(
        &mut self,
        field: &'static [&'static str],
        name: &str,
        (line, column): (u64, usize),
        text: String,
        quote: bool,
    ) {
        let name = if name == "title" || name == "date" {
            name.to_owned()
        } else {
            format!("`{name}`")
        };
        let words = if quote {
            format!("{name} `{text}`")
        } else {
            format!("{name} {text}")
        };
        self.top.understood.push(TopFact {
            field,
            words,
            text,
            line,
            column,
        });
    }
}

/// True of words; `18 °C` may be the value of the label above it.
fn is_title(text: &str) -> bool {
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    text.starts_with(char::is_alphabetic) || FEWEST_LETTERS <= letters
}

/// Letters from which a text that begins with a figure is a title.
const FEWEST_LETTERS: usize = 5;

/// The field of a survey file that holds for all readings; a place has none.
fn field_for_all(column: &Column) -> &'static [&'static str] {
    match column.name {
        "by" => &["by"],
        "remark" => &["remark"],
        "place" => &[],
        _ => column.field.get(1..).unwrap_or_default(),
    }
}

/// Takes over the one condition that a row has read, and gives its text.
fn take(conditions: &mut Conditions, read: Conditions) -> Option<String> {
    let Conditions {
        air_temperature,
        tube_temperature,
        humidity,
        pressure,
        altitude,
        sea_level_pressure,
        atmosphere,
    } = read;
    let mut shown = None;
    if let Some(it) = air_temperature {
        shown = Some(it.text().to_owned());
        conditions.air_temperature = Some(it);
    }
    if let Some(it) = tube_temperature {
        shown = Some(it.text().to_owned());
        conditions.tube_temperature = Some(it);
    }
    if let Some(it) = humidity {
        shown = Some(it.text().to_owned());
        conditions.humidity = Some(it);
    }
    if let Some(it) = pressure {
        shown = Some(it.text().to_owned());
        conditions.pressure = Some(it);
    }
    if let Some(it) = altitude {
        shown = Some(it.text().to_owned());
        conditions.altitude = Some(it);
    }
    if let Some(it) = sea_level_pressure {
        shown = Some(it.text().to_owned());
        conditions.sea_level_pressure = Some(it);
    }
    if let Some(it) = atmosphere {
        shown = Some(it.name().to_owned());
        conditions.atmosphere = Some(it);
    }
    shown
}

fn join(values: &[TopCell<'_>], between: &str) -> String {
    let texts: Vec<&str> = values.iter().map(|cell| cell.shown.as_str()).collect();
    texts.join(between)
}

/// Kind of a table's rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum RowsAre {
    /// Lines of a file.
    Lines,
    /// Rows of a worksheet.
    Rows,
}

impl RowsAre {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Lines => "line",
            Self::Rows => "row",
        }
    }

    fn cell(self, line: u64, column: usize) -> String {
        match self {
            Self::Lines => format!("line {line}, column {column}"),
            Self::Rows => format!("cell {}{line}", column_letters(column)),
        }
    }
}

impl TableTop {
    /// The survey that the table is, without its readings: its name, its title, who read, and the air.
    pub fn survey(&self, name: Option<&str>) -> SurveyEntry {
        SurveyEntry {
            survey: name.map(str::to_owned),
            title: self.title.clone(),
            by: self.by.clone(),
            remark: self.remark.clone(),
            conditions: self.conditions.clone(),
            ..SurveyEntry::default()
        }
    }

    /// The words about what holds for every row, if there is anything.
    pub(crate) fn understood_words(&self, rows: RowsAre) -> Option<String> {
        let each = self.understood.iter().map(|fact| {
            let place = rows.cell(fact.line, fact.column);
            format!("{} ({place})", fact.words)
        });
        let each: Vec<String> = each.collect();
        (!each.is_empty())
            .then(|| format!("from above the header, for every row: {}", each.join(", ")))
    }

    /// The words about what is none of a survey's there, if there is anything.
    pub(crate) fn passed_over_words(&self, rows: RowsAre) -> Option<String> {
        let each = self.passed_over.iter().map(|row| {
            let cells: Vec<&str> = row.cells.iter().map(String::as_str).collect();
            format!("{} ({} {})", quoted(&cells), rows.word(), row.line)
        });
        let each: Vec<String> = each.collect();
        (!each.is_empty()).then(|| format!("passed over above the header: {}", each.join(", ")))
    }
}
