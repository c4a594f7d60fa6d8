//! A row of a table, cell by cell.

use std::sync::Arc;

use stainbook_catalog::typed::{FromText, Problem};
use stainbook_catalog::written::{
    LeakTest, Observation, PreTubeUsed, Present, Reading, Rest, Stated,
};
use stainbook_core::{Decimal, Quantity};

use super::averages::PartOf;
use super::header::{Column, WITH_UNIT};
use super::{CellProblem, CsvReading, DecimalMark, RefusedRow};

/// How a yes or a no is written.
const YES_OR_NO: [(&str, bool); 4] = [
    ("true", true),
    ("yes", true),
    ("false", false),
    ("no", false),
];

/// A row that is being read.
#[derive(Default)]
pub(crate) struct Row {
    worksheet: Option<String>,
    line: u64,
    reading: Reading,
    by: Option<String>,
    part_of: PartOf,
    /// The first cell that tells of an average.
    of_average: Option<(usize, &'static str)>,
    present: Vec<String>,
    levels: Vec<String>,
    uncertainties: Vec<String>,
    level_columns: [(usize, Option<String>); 2],
    problems: Vec<CellProblem>,
}

impl Row {
    /// A row that begins at a line.
    pub(crate) fn at(line: u64) -> Self {
        Self {
            line,
            ..Self::default()
        }
    }

    /// A row of a worksheet.
    pub(crate) fn of_worksheet(worksheet: &str, line: u64) -> Self {
        Self {
            worksheet: Some(worksheet.to_owned()),
            line,
            ..Self::default()
        }
    }

    /// Notes a problem.
    pub(crate) fn problem(&mut self, column: usize, name: &str, message: String, help: &str) {
        self.problems.push(CellProblem {
            worksheet: self.worksheet.clone(),
            line: self.line,
            column,
            name: name.to_owned(),
            message,
            help: help.to_owned(),
        });
    }

    /// Reads a cell.
    pub(crate) fn cell(&mut self, number: usize, column: &Column, text: &str, mark: DecimalMark) {
        let unit = column.unit.as_deref();
        let owned = || Some(text.to_owned());
        let mut problems = Vec::new();
        // Each quantity is read with the header's unit, or its own.
        macro_rules! quantity {
            ($slot:expr) => {
                match stated(text, unit, column.name, mark) {
                    Ok(value) => $slot = Some(value),
                    Err(problem) => problems.push(problem),
                }
            };
        }
        macro_rules! field {
            ($slot:expr) => {
                match FromText::read(text) {
                    Ok(value) => $slot = Some(value),
                    Err(problem) => problems.push(message_and_help(&problem)),
                }
            };
        }
        if matches!(column.name, "average_over" | "rest") {
            self.of_average.get_or_insert((number, column.name));
        }
        let reading = &mut self.reading;
        match column.name {
            "id" => reading.id = owned(),
            "at" => field!(reading.at),
            "place" => reading.place = owned(),
            "tube" => reading.tube = owned(),
            "leaflet" => reading.leaflet = owned(),
            "lot" => reading.lot = owned(),
            "expires" => field!(reading.expires),
            "pre_tube_lot" => {
                reading
                    .pre_tube
                    .get_or_insert_with(PreTubeUsed::default)
                    .lot = owned();
            }
            "pre_tube_expires" => field!(
                reading
                    .pre_tube
                    .get_or_insert_with(PreTubeUsed::default)
                    .expires
            ),
            "pump" => reading.pump = owned(),
            "leak_test" => match one_of(
                text,
                &[
                    ("held", LeakTest::Held),
                    ("leaked", LeakTest::Leaked),
                    ("not done", LeakTest::NotDone),
                ],
            ) {
                Ok(value) => reading.leak_test = Some(value),
                Err(problem) => problems.push(problem),
            },
            "brought_to_ambient" => match one_of(text, &YES_OR_NO) {
                Ok(value) => reading.brought_to_ambient = Some(value),
                Err(problem) => problems.push(problem),
            },
            "strokes" => match FromText::read(&with_point(text, mark)) {
                Ok(value) => reading.strokes = Some(value),
                Err(problem) => problems.push(message_and_help(&problem)),
            },
            "scale" => reading.scale = owned(),
            "substance" => reading.substance = owned(),
            "stands_for" => quantity!(reading.stands_for),
            "average" => self.part_of.average = owned(),
            "average_over" => quantity!(self.part_of.over),
            "rest" => {
                let known = [
                    ("without exposure", Rest::WithoutExposure),
                    ("like the sampled time", Rest::LikeSampled),
                ];
                match one_of(text, &known) {
                    Ok(value) => self.part_of.rest = Some(value),
                    Err(problem) => problems.push(problem),
                }
            }
            "blank" => match one_of(text, &YES_OR_NO) {
                Ok(value) => reading.blank = Some(value),
                Err(problem) => problems.push(problem),
            },
            "repeat_of" => reading.repeat_of = owned(),
            "reading" => quantity!(reading.reading.get_or_insert_default().at),
            "short" => quantity!(reading.reading.get_or_insert_default().short),
            "long" => quantity!(reading.reading.get_or_insert_default().long),
            "uncertainty" => quantity!(reading.reading.get_or_insert_default().uncertainty),
            "seen" => {
                let known = [
                    ("no stain", Observation::NoStain),
                    ("below first mark", Observation::BelowFirstMark),
                    ("beyond last mark", Observation::BeyondLastMark),
                ];
                match one_of(text, &known) {
                    Ok(value) => reading.reading.get_or_insert_default().seen = Some(value),
                    Err(problem) => problems.push(problem),
                }
            }
            "air_temperature" => quantity!(reading.conditions.air_temperature),
            "tube_temperature" => quantity!(reading.conditions.tube_temperature),
            "humidity" => quantity!(reading.conditions.humidity),
            "pressure" => quantity!(reading.conditions.pressure),
            "altitude" => quantity!(reading.conditions.altitude),
            "sea_level_pressure" => quantity!(reading.conditions.sea_level_pressure),
            "present" => self.present = list(text),
            "present_level" => {
                self.levels = list(&with_point_in_each(text, mark));
                self.level_columns[0] = (number, column.unit.clone());
            }
            "present_uncertainty" => {
                self.uncertainties = list(&with_point_in_each(text, mark));
                self.level_columns[1] = (number, column.unit.clone());
            }
            "by" => self.by = owned(),
            "remark" => reading.remark = owned(),
            _ => {}
        }
        for (message, help) in problems {
            self.problem(number, column.name, message, &help);
        }
    }

    /// Puts the other gases together with their levels.
    pub(crate) fn finish(
        mut self,
        columns: &Arc<[&'static str]>,
    ) -> Result<CsvReading, RefusedRow> {
        let names = std::mem::take(&mut self.present);
        let (levels, uncertainties) = (
            std::mem::take(&mut self.levels),
            std::mem::take(&mut self.uncertainties),
        );
        if let (Some((number, name)), None) = (self.of_average, &self.part_of.average) {
            self.problem(
                number,
                name,
                "it tells of an average, and the row names none".to_owned(),
                "name the average that the reading is a part of under `average`, or leave the cell empty",
            );
        }
        let [level_column, uncertainty_column] = self.level_columns.clone();
        for (cells, (number, _), name) in [
            (&levels, &level_column, "present_level"),
            (&uncertainties, &uncertainty_column, "present_uncertainty"),
        ] {
            if cells.len() > names.len() {
                self.problem(*number, name, format!("{} levels for {} gases", cells.len(), names.len()), "give the gases in `present`, divided by semicolons, and their levels in the same order");
            }
        }
        for (index, gas) in names.into_iter().enumerate() {
            let mut present = Present {
                substance: Some(gas),
                ..Present::default()
            };
            let one = |cells: &[String], unit: &Option<String>, name| {
                let text = cells.get(index).filter(|text| !text.is_empty())?;
                Some(stated(text, unit.as_deref(), name, DecimalMark::Point))
            };
            match one(&levels, &level_column.1, "present_level").transpose() {
                Ok(level) => present.level = level,
                Err((message, help)) => {
                    self.problem(level_column.0, "present_level", message, &help);
                }
            }
            match one(&uncertainties, &uncertainty_column.1, "present_uncertainty").transpose() {
                Ok(uncertainty) => present.uncertainty = uncertainty,
                Err((message, help)) => {
                    self.problem(uncertainty_column.0, "present_uncertainty", message, &help);
                }
            }
            self.reading.present.push(present);
        }
        if self.problems.is_empty() {
            return Ok(CsvReading {
                worksheet: self.worksheet,
                line: self.line,
                reading: self.reading,
                by: self.by,
                part_of: self.part_of,
                columns: Arc::clone(columns),
            });
        }
        Err(RefusedRow {
            worksheet: self.worksheet,
            line: self.line,
            id: self.reading.id,
            part_of: Box::new(self.part_of),
            problems: self.problems,
        })
    }
}

/// A cell with the header's unit, or with its own.
fn stated<Q: Quantity>(
    text: &str,
    unit: Option<&str>,
    name: &str,
    mark: DecimalMark,
) -> Result<Stated<Q>, (String, String)> {
    let text = with_point(text, mark);
    let bare = Decimal::parse(&text).is_ok();
    let whole = match unit {
        Some(unit) if bare => format!("{text} {unit}"),
        None if bare => {
            let usual = WITH_UNIT
                .iter()
                .find(|(with, _)| *with == name)
                .map_or("ppm", |(_, unit)| unit);
            return Err((
                format!("`{text}` has no unit"),
                format!(
                    "write the unit in the column's header, `{name} [{usual}]`, or in the cell, `{text} {usual}`"
                ),
            ));
        }
        _ => text,
    };
    Stated::read(&whole).map_err(|problem| message_and_help(&problem))
}

/// What is wrong and what to do.
fn message_and_help(problem: &Problem) -> (String, String) {
    let mut help = problem.help_text().unwrap_or_default().to_owned();
    if problem.is_decimal_comma() {
        if !help.is_empty() {
            help.push_str("; ");
        }
        help.push_str("if all numbers of the table have a comma, say --decimal-comma");
    }
    (problem.message().to_owned(), help)
}

/// `2,5` as `2.5`, if the table's numbers have a comma.
fn with_point(text: &str, mark: DecimalMark) -> String {
    let number = text.split_whitespace().next().unwrap_or_default();
    if mark == DecimalMark::Comma && number.matches(',').count() == 1 && !number.contains('.') {
        return text.replacen(',', ".", 1);
    }
    text.to_owned()
}

/// The same for each number of a list.
fn with_point_in_each(text: &str, mark: DecimalMark) -> String {
    let parts: Vec<String> = text.split(';').map(|part| with_point(part, mark)).collect();
    parts.join(";")
}

/// Cells of a list are divided by semicolons.
fn list(text: &str) -> Vec<String> {
    text.split(';').map(|part| part.trim().to_owned()).collect()
}

fn one_of<T: Copy>(text: &str, known: &[(&str, T)]) -> Result<T, (String, String)> {
    let folded = text.to_lowercase();
    if let Some((_, value)) = known.iter().find(|(word, _)| *word == folded) {
        return Ok(*value);
    }
    let words = known
        .iter()
        .map(|(word, _)| format!("`{word}`"))
        .collect::<Vec<_>>()
        .join(", ");
    Err((
        format!("`{text}` is not understood"),
        format!("write one of {words}"),
    ))
}
