//! A table to be filled in: the columns that a round needs, with what each is for and what may stand in it.
//!
//! All of it follows from the list of columns, the schema of survey files and a catalog, so that a template cannot ask for what
//! nobody reads.

use serde_json::Value;
use stainbook_catalog::schema::{Draft, schema};
use stainbook_catalog::{Book, EntryKind, WrittenEntry};

use super::column::{COLUMNS, Column, Holds};
use super::totals::{EXAMPLE, EXAMPLE_REMARK};

/// A table to be filled in.
///
/// # Example
///
/// ```
/// use stainbook_catalog::Book;
/// use stainbook_survey::table::{DecimalMark, TableTemplate, read};
///
/// let (book, _) = Book::demo();
/// let template = TableTemplate::for_book(&book);
/// let (survey, refused) = read(&template.csv(&[])?, DecimalMark::Point)?;
/// // The example is none of the readings.
/// assert!(survey.readings.is_empty() && refused.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct TableTemplate {
    /// Labels of what may stand once above the header.
    pub above: Vec<TemplateLabel>,
    /// Its columns.
    pub columns: Vec<TemplateColumn>,
    /// Further columns that may be added.
    pub further: Vec<TemplateColumn>,
    /// The sheets of the catalog, with the lots that each leaflet names.
    pub sheets: Vec<TemplateSheet>,
}

/// A label above the header of a template.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct TemplateLabel {
    /// The text, with its unit.
    pub text: String,
    /// Meaning of what is written beside it.
    pub meaning: String,
}

/// A column of a template.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct TemplateColumn {
    /// The column's name.
    pub name: &'static str,
    /// Its header, with the unit.
    pub header: String,
    /// Meaning of its cells.
    pub meaning: String,
    /// The usual unit of its cells, if they are quantities.
    pub unit: Option<&'static str>,
    /// Kind of text that belongs into a cell.
    pub write: String,
    /// Texts to choose from.
    pub choices: Vec<String>,
    /// True if nothing else may be written.
    pub closed: bool,
    /// A cell as it may be, where the template shows one.
    pub example: String,
    /// True if a spreadsheet must not make a number or a date of what is typed.
    pub as_text: bool,
}

/// A sheet of the catalog, for whoever fills in a template.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct TemplateSheet {
    /// The short name.
    pub id: String,
    /// The lots of its leaflet, as printed.
    pub lots: String,
    /// The stroke counts.
    pub strokes: String,
}

/// The columns that a round needs, beside those for which a sheet of the catalog asks.
const USUAL: [&str; 23] = [
    "id",
    "at",
    "place",
    "tube",
    "lot",
    "expires",
    "pump",
    "leak_test",
    "brought_to_ambient",
    "strokes",
    "repeat_of",
    "blank",
    "reading",
    "short",
    "long",
    "reads_to",
    "seen",
    "air_temperature",
    "humidity",
    "pressure",
    "other_gases",
    "by",
    "remark",
];

impl TableTemplate {
    /// The template for rounds with the tubes of a catalog.
    pub fn for_book(book: &Book) -> Self {
        let schema = schema(EntryKind::Survey, Draft::Draft2020);
        let known = CatalogOffers::of(book);
        let (usual, further): (Vec<&Column>, Vec<&Column>) = COLUMNS
            .iter()
            .partition(|column| USUAL.contains(&column.name) || known.needs.contains(&column.name));
        let described = |columns: Vec<&'static Column>| {
            let each = columns.into_iter();
            each.map(|column| described(column, &schema, &known))
                .collect()
        };
        Self {
            above: labels(&schema),
            columns: described(usual),
            further: described(further),
            sheets: known.sheets,
        }
    }

    /// The rows above the header, label by label, with nothing beside them.
    pub fn rows_above(&self) -> impl Iterator<Item = &str> {
        self.above.iter().map(|label| label.text.as_str())
    }

    /// The example, cell by cell.
    pub fn example(&self) -> Vec<&str> {
        self.columns
            .iter()
            .map(|column| column.example.as_str())
            .collect()
    }

    /// The template as text with commas between the cells, with rows that are known already below the example.
    ///
    /// # Errors
    ///
    /// Only of the library that writes it.
    pub fn csv(&self, rows: &[Vec<String>]) -> Result<String, csv::Error> {
        let mut writer = csv::WriterBuilder::new()
            .flexible(true)
            .from_writer(Vec::new());
        for label in self.rows_above() {
            writer.write_record([label, ""])?;
        }
        writer.write_record(self.columns.iter().map(|column| column.header.as_str()))?;
        writer.write_record(self.example())?;
        for row in rows {
            writer.write_record(row)?;
        }
        let bytes = writer
            .into_inner()
            .map_err(csv::IntoInnerError::into_error)?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

/// Facts of a catalog that a template offers.
#[derive(Default)]
struct CatalogOffers {
    sheets: Vec<TemplateSheet>,
    pumps: Vec<String>,
    lots: Vec<String>,
    gases: Vec<String>,
    /// Columns for which a sheet asks.
    needs: Vec<&'static str>,
}

impl CatalogOffers {
    fn of(book: &Book) -> Self {
        let mut known = Self::default();
        for entry in book.own() {
            match &entry.written {
                WrittenEntry::Tube(tube) => known.add_tube(entry.id(), tube),
                WrittenEntry::Pump(_) => known.pumps.push(entry.id().to_owned()),
                WrittenEntry::Survey(survey) => {
                    let lots = survey.readings.iter();
                    known
                        .lots
                        .extend(lots.filter_map(|reading| reading.lot.clone()));
                }
                _ => {}
            }
        }
        for list in [&mut known.pumps, &mut known.lots, &mut known.gases] {
            list.sort();
            list.dedup();
        }
        known.sheets.sort_by(|a, b| a.id.cmp(&b.id));
        known
    }

    fn add_tube(&mut self, id: &str, tube: &stainbook_catalog::written::TubeEntry) {
        let lots = tube
            .leaflet
            .as_ref()
            .and_then(|leaflet| leaflet.lots.as_ref());
        let lots = lots.map(|lots| lots.text().to_owned()).unwrap_or_default();
        let single = |lot: &&str| !lot.is_empty() && !lot.contains(' ');
        let named = lots.split(',').map(str::trim).filter(single);
        self.lots.extend(named.map(str::to_owned));
        let mut strokes: Vec<&str> = Vec::new();
        for range in tube.ranges() {
            let count = range.strokes.as_ref().map(|count| count.text());
            strokes.extend(count.filter(|count| !strokes.contains(count)));
        }
        self.sheets.push(TemplateSheet {
            id: id.to_owned(),
            strokes: strokes.join(", "),
            lots,
        });
        let measures = tube.measures.as_ref();
        self.gases
            .extend(measures.and_then(|measures| measures.substance.clone()));
        if 1 < tube.printed_scales().len() {
            self.needs.push("scale");
        }
        let before = tube.before_use.as_ref();
        if before.is_some_and(|before| before.pre_tube.is_some()) {
            self.needs.extend(["pre_tube_lot", "pre_tube_expires"]);
        }
        let performance = tube.performance.as_ref();
        if performance.is_some_and(|known| !known.interferents.is_empty()) {
            self.needs.extend(["present", "present_level"]);
        }
    }
}

fn described(column: &'static Column, schema: &Value, known: &CatalogOffers) -> TemplateColumn {
    let field = column.in_schema(schema);
    let text = |key: &str| {
        field
            .and_then(|field| field.get(key))
            .and_then(Value::as_str)
    };
    let unit = column.usual_unit();
    let header = match unit {
        Some(unit) => format!("{} [{unit}]", column.name),
        None => column.name.to_owned(),
    };
    let words = column.holds.words();
    let closed = !words.is_empty() && !matches!(column.holds, Holds::Instructions(_));
    let choices = match column.name {
        "tube" => known.sheets.iter().map(|sheet| sheet.id.clone()).collect(),
        "pump" => known.pumps.clone(),
        "lot" => known.lots.clone(),
        "present" => known.gases.clone(),
        _ => words.into_iter().map(str::to_owned).collect(),
    };
    TemplateColumn {
        name: column.name,
        header,
        meaning: text("description").unwrap_or_default().to_owned(),
        unit,
        write: write_what(column),
        example: example(column, field, &choices),
        choices,
        closed,
        as_text: matches!(
            column.holds,
            Holds::Text(_) | Holds::Printed(_) | Holds::Moment(_) | Holds::Day(_) | Holds::Gases(_)
        ),
    }
}

/// Kind of text that belongs into a cell of a column.
fn write_what(column: &Column) -> String {
    match column.holds {
        Holds::Text(_) => "text".to_owned(),
        Holds::Printed(_) => "as printed on box or leaflet".to_owned(),
        Holds::Moment(_) => "date, time and distance from UTC, 2026-03-02T07:40+00:00; a date as your country writes it, with --zone when it is read".to_owned(),
        Holds::Day(_) => "a day, 2027-01-31, or a month, 2027-01".to_owned(),
        Holds::Number(_) => "a number; half a stroke is 0.5".to_owned(),
        Holds::Instructions(_) => "one or more of the words, with semicolons between them".to_owned(),
        Holds::Gases(_) => "gases with semicolons between them".to_owned(),
        Holds::OfGases(_) => "a number for each gas of `present`, in the same order, with semicolons between them".to_owned(),
        _ => match column.usual_unit() {
            Some(unit) => format!("a number in {unit}, or a number with its own unit"),
            None => "one of the words".to_owned(),
        },
    }
}

/// Cells that the example has; the others of the template stay empty in it, as one reading does not have everything.
const SHOWN: [&str; 17] = [
    "at",
    "place",
    "tube",
    "lot",
    "expires",
    "pump",
    "leak_test",
    "strokes",
    "reading",
    "reads_to",
    "air_temperature",
    "humidity",
    "pressure",
    "other_gases",
    "by",
    "id",
    "remark",
];

fn example(column: &Column, field: Option<&Value>, choices: &[String]) -> String {
    if !SHOWN.contains(&column.name) {
        return String::new();
    }
    match (column.name, choices.first()) {
        ("id", _) => return EXAMPLE.to_owned(),
        ("remark", _) => return EXAMPLE_REMARK.to_owned(),
        ("tube" | "pump" | "lot", Some(first)) => return first.clone(),
        _ => {}
    }
    let text = match field.and_then(|field| field.pointer("/examples/0")) {
        Some(Value::String(text)) => text.clone(),
        Some(Value::Bool(true)) => "yes".to_owned(),
        other => other.map(ToString::to_string).unwrap_or_default(),
    };
    // Under a header with its unit a number is enough.
    let bare = column
        .usual_unit()
        .and_then(|unit| text.strip_suffix(unit))
        .map(|number| number.trim().to_owned());
    bare.unwrap_or(text)
}

/// Labels of what a round has once, each read by [`super::top`].
fn labels(schema: &Value) -> Vec<TemplateLabel> {
    let label = |text: &str, meaning: &str| TemplateLabel {
        text: text.to_owned(),
        meaning: meaning.to_owned(),
    };
    let mut labels = vec![
        label("title", "What was surveyed and why."),
        label(
            "date",
            "The day, for times in the column `at` that stand without one.",
        ),
    ];
    for name in ["by", "place", "air_temperature", "humidity", "pressure"] {
        let Some(column) = COLUMNS.iter().find(|column| column.name == name) else {
            continue;
        };
        let meaning = column
            .in_schema(schema)
            .and_then(|field| field.get("description"));
        let unit = column.usual_unit().map(|unit| format!(" [{unit}]"));
        labels.push(TemplateLabel {
            text: format!("{name}{}", unit.unwrap_or_default()),
            meaning: format!(
                "For every row whose own cell is empty. {}",
                meaning.and_then(Value::as_str).unwrap_or_default()
            ),
        });
    }
    labels
}
