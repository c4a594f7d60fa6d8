//! A row of a table, cell by cell.

use std::sync::Arc;

use stainbook_catalog::written::{
    Atmosphere, Instruction, LeakTest, Observation, OtherGases, PreTubeUsed, Preparation, Present,
    Reading, ReadsTo, Rest, Seen, Stated,
};
use stainbook_core::{Concentration, Decimal, Quantity};
use stainbook_document::finding::shortened;
use stainbook_document::typed::{FromText, Problem};

use super::as_typed::{self, Sign};
use super::averages::PartOf;
use super::column::Holds;
use super::dates::{self, DateWays, NationalDate};
use super::header::{HeaderCell, Heading};
use super::settings::{DecimalMark, TableSettings};
use super::{CellProblem, CsvReading, RefusedRow};

/// Bytes of the longest cell: a page of notes has some three thousand.
const LONGEST_CELL: usize = 10_000;

/// Spellings of yes and no.
const YES_OR_NO: [(&str, bool); 4] = [
    ("true", true),
    ("yes", true),
    ("false", false),
    ("no", false),
];
const LEAK_TESTS: [(&str, LeakTest); 3] = [
    ("held", LeakTest::Held),
    ("leaked", LeakTest::Leaked),
    ("not done", LeakTest::NotDone),
];
const OBSERVATIONS: [(&str, Observation); 4] = [
    ("no stain", Observation::NoStain),
    ("below first mark", Observation::BelowFirstMark),
    ("beyond last mark", Observation::BeyondLastMark),
    ("colour", Observation::Colour),
];
const OTHER_GASES: [(&str, OtherGases); 1] = [("none known", OtherGases::NoneKnown)];
const INSTRUCTIONS: [(&str, Instruction); 3] = [
    ("full draw", Instruction::FullDraw),
    ("pause", Instruction::Pause),
    ("time to read", Instruction::TimeToRead),
];
const PREPARATIONS: [(&str, Preparation); 3] = [
    ("flushed", Preparation::Flushed),
    ("tubes joined", Preparation::TubesJoined),
    ("ampoule broken", Preparation::AmpouleBroken),
];
const ATMOSPHERES: [(&str, Atmosphere); 3] = [
    ("air", Atmosphere::Air),
    ("oxygen deficient", Atmosphere::OxygenDeficient),
    ("inert gas", Atmosphere::InertGas),
];
const RESTS: [(&str, Rest); 2] = [
    ("without exposure", Rest::WithoutExposure),
    ("like the sampled time", Rest::LikeSampled),
];

/// Conventions of the cells of a table.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct CellWays {
    pub(crate) mark: DecimalMark,
    pub(crate) dates: DateWays,
}

impl From<TableSettings> for CellWays {
    fn from(settings: TableSettings) -> Self {
        Self {
            mark: settings.mark,
            dates: settings.into(),
        }
    }
}

impl Holds {
    /// The words of which a cell holds one, where it can hold no other.
    pub(crate) fn words(&self) -> Vec<&'static str> {
        fn of<T>(known: &[(&'static str, T)]) -> Vec<&'static str> {
            known.iter().map(|(word, _)| *word).collect()
        }
        match self {
            Self::YesNo(_) => vec!["yes", "no"],
            Self::LeakTest(_) => of(&LEAK_TESTS),
            Self::Observation(_) => of(&OBSERVATIONS),
            Self::ReadsTo(_) => of(&ReadsTo::ALL),
            Self::Rest(_) => of(&RESTS),
            Self::OtherGases(_) => of(&OTHER_GASES),
            Self::Instructions(_) => of(&INSTRUCTIONS),
            _ => Vec::new(),
        }
    }
}

/// A row that is being read.
#[derive(Default)]
pub(crate) struct RowDraft {
    worksheet: Option<String>,
    line: u64,
    pub(super) reading: Reading,
    pub(super) by: Option<String>,
    pub(super) part_of: PartOf,
    /// The first cell that tells of an average.
    of_average: Option<(usize, &'static str)>,
    pub(super) present: Vec<String>,
    pub(super) levels: OfGases,
    pub(super) uncertainties: OfGases,
    /// Both sides of an uneven front from one cell, with its column.
    sides: Option<(usize, [Stated<Concentration>; 2])>,
    /// The first date that is not written as in a survey file.
    national: Option<NationalDate>,
    problems: Vec<CellProblem>,
}

/// Name of the column for where the stain ends.
const READING: &str = "reading";

/// A cell with a concentration for each of the other gases.
#[derive(Default)]
pub(crate) struct OfGases {
    texts: Vec<String>,
    /// The column's number, and its cell in the header.
    column: Option<(usize, HeaderCell)>,
}

/// Problem of a cell, and its remedy.
pub(super) struct UnreadableCell {
    pub(super) message: String,
    pub(super) help: String,
}

impl RowDraft {
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
            message: shortened(message.into()).into_owned(),
            help: shortened(help.to_owned().into()).into_owned(),
        });
    }

    /// Reads a cell of a table, if its column is one of a survey.
    pub(crate) fn cell_under(
        &mut self,
        number: usize,
        heading: &Heading,
        text: &str,
        ways: &CellWays,
    ) {
        match heading {
            Heading::Known(head) => self.cell(number, head, text, ways),
            Heading::Foreign(_) => {}
            Heading::Nameless => self.under_no_header(number),
        }
    }

    /// Notes that a cell stands under no header.
    pub(crate) fn under_no_header(&mut self, number: usize) {
        self.problem(
            number,
            "",
            "the cell stands under no header".to_owned(),
            "give its column one (`remark` for notes), or clear it",
        );
    }

    /// Reads a cell.
    pub(crate) fn cell(&mut self, number: usize, head: &HeaderCell, text: &str, ways: &CellWays) {
        if LONGEST_CELL < text.len() {
            self.problem(
                number,
                head.column.name,
                format!(
                    "the cell has {} characters, and at most {LONGEST_CELL} are read",
                    text.chars().count()
                ),
                "look for a quotation mark that is not closed; a longer note belongs in a file of its own",
            );
            return;
        }
        if head.column.is_of_average() {
            self.of_average.get_or_insert((number, head.column.name));
        }
        let taken = self.take(number, head, text, ways);
        if let Err(problem) =
            taken.map_err(|problem| as_typed::or_what_it_became(problem, text, head.column))
        {
            self.problem(number, head.column.name, problem.message, &problem.help);
        }
    }

    fn take(
        &mut self,
        number: usize,
        head: &HeaderCell,
        text: &str,
        ways: &CellWays,
    ) -> Result<(), UnreadableCell> {
        let mark = ways.mark;
        match head.column.holds {
            Holds::Text(slot) | Holds::Printed(slot) => *slot(self) = Some(text.to_owned()),
            Holds::Moment(slot) => {
                let (moment, national) = dates::moment(text, &ways.dates)?;
                self.national = self.national.take().or(national);
                *slot(self) = Some(moment);
            }
            Holds::Day(slot) => {
                let (day, national) = dates::day(text, &ways.dates)?;
                self.national = self.national.take().or(national);
                *slot(self) = Some(day);
            }
            Holds::Number(slot) => {
                let written = with_point(text, mark);
                *slot(self) = Some(read(&as_typed::strokes(&written).unwrap_or(written))?);
            }
            Holds::YesNo(slot) => *slot(self) = Some(one_of(text, &YES_OR_NO)?),
            Holds::LeakTest(slot) => *slot(self) = Some(one_of(text, &LEAK_TESTS)?),
            Holds::Observation(slot) => *slot(self) = Some(one_of(text, &OBSERVATIONS)?),
            Holds::ReadsTo(slot) => *slot(self) = Some(one_of(text, &ReadsTo::ALL)?),
            Holds::Rest(slot) => *slot(self) = Some(one_of(text, &RESTS)?),
            Holds::OtherGases(slot) => *slot(self) = Some(one_of(text, &OTHER_GASES)?),
            Holds::Instructions(slot) => {
                let each = list(text).into_iter();
                *slot(self) = each
                    .map(|one| one_of(&one, &INSTRUCTIONS))
                    .collect::<Result<_, _>>()?;
            }
            Holds::Preparations(slot) => {
                let each = list(text).into_iter();
                *slot(self) = each
                    .map(|one| one_of(&one, &PREPARATIONS))
                    .collect::<Result<_, _>>()?;
            }
            Holds::Atmosphere(slot) => *slot(self) = Some(one_of(text, &ATMOSPHERES)?),
            Holds::Temperature(slot) => *slot(self) = Some(stated(text, head, mark)?),
            Holds::Humidity(slot) => *slot(self) = Some(stated(text, head, mark)?),
            Holds::Pressure(slot) => *slot(self) = Some(stated(text, head, mark)?),
            Holds::Altitude(slot) => *slot(self) = Some(stated(text, head, mark)?),
            Holds::Duration(_, slot) => *slot(self) = Some(stated(text, head, mark)?),
            Holds::Concentration(slot) if head.column.name == READING => {
                if let Some([short, long]) = as_typed::two_sides(text) {
                    let sides = [stated(&short, head, mark)?, stated(&long, head, mark)?];
                    self.sides = Some((number, sides));
                } else if let Some((sign, bound)) = as_typed::bound(text) {
                    let bound = stated(bound, head, mark)
                        .map_err(|_| as_typed::beside_the_scale(text, sign))?;
                    match sign {
                        Sign::LessThan => self.seen().less_than = Some(bound),
                        Sign::MoreThan => self.seen().more_than = Some(bound),
                    }
                } else {
                    *slot(self) = Some(stated(text, head, mark)?);
                }
            }
            Holds::Concentration(slot) => *slot(self) = Some(stated(text, head, mark)?),
            Holds::Gases(slot) => *slot(self) = list(text),
            Holds::OfGases(slot) => {
                *slot(self) = OfGases {
                    texts: list(&with_point_in_each(text, mark)),
                    column: Some((number, head.clone())),
                }
            }
        }
        Ok(())
    }

    /// The first problem that was noted.
    pub(crate) fn first_problem(&self) -> Option<&CellProblem> {
        self.problems.first()
    }

    /// The first date that is not written as in a survey file.
    pub(crate) fn take_national_date(&mut self) -> Option<NationalDate> {
        self.national.take()
    }

    /// The value read, to be filled in.
    pub(super) fn seen(&mut self) -> &mut Seen {
        self.reading.reading.get_or_insert_default()
    }

    /// The pre-tube, to be filled in.
    pub(super) fn pre_tube(&mut self) -> &mut PreTubeUsed {
        self.reading.pre_tube.get_or_insert_default()
    }

    /// Puts the other gases together with their levels.
    pub(crate) fn finish(
        mut self,
        columns: &Arc<[&'static str]>,
    ) -> Result<CsvReading, RefusedRow> {
        if let (Some((number, name)), None) = (self.of_average, &self.part_of.average) {
            self.problem(
                number,
                name,
                "it tells of an average, and the row names none".to_owned(),
                "name the average that the reading is a part of under `average`, or leave the cell empty",
            );
        }
        if let Some((number, sides)) = self.sides.take() {
            self.put_sides(number, sides);
        }
        let levels = std::mem::take(&mut self.levels);
        let uncertainties = std::mem::take(&mut self.uncertainties);
        let gases = self.present.len();
        for OfGases { texts, column } in [&levels, &uncertainties] {
            if let Some((number, head)) = column
                && gases < texts.len()
            {
                self.problem(*number, head.column.name, format!("{} levels for {gases} gases", texts.len()), "give the gases in `present`, divided by semicolons, and their levels in the same order");
            }
        }
        for (index, gas) in std::mem::take(&mut self.present).into_iter().enumerate() {
            let present = Present {
                group: None,
                substance: Some(gas),
                level: self.of_gas(&levels, index),
                uncertainty: self.of_gas(&uncertainties, index),
            };
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

    /// Puts both sides of an uneven front where those of two columns go.
    fn put_sides(&mut self, number: usize, [short, long]: [Stated<Concentration>; 2]) {
        if self.seen().short.is_some() || self.seen().long.is_some() {
            self.problem(
                number,
                READING,
                "the two sides of the front stand here and under `short` or `long` as well"
                    .to_owned(),
                "keep one of both",
            );
            return;
        }
        if long.number() < short.number() {
            self.problem(
                number,
                READING,
                format!("`{}` is more than `{}`", short.text(), long.text()),
                "write the short side of the front first, then the long one",
            );
            return;
        }
        let seen = self.seen();
        seen.short = Some(short);
        seen.long = Some(long);
    }

    /// The concentration that is given for one of the other gases.
    fn of_gas(&mut self, cell: &OfGases, gas: usize) -> Option<Stated<Concentration>> {
        let (number, head) = cell.column.as_ref()?;
        let text = cell.texts.get(gas).filter(|text| !text.is_empty())?;
        match stated(text, head, DecimalMark::Point) {
            Ok(concentration) => Some(concentration),
            Err(problem) => {
                self.problem(*number, head.column.name, problem.message, &problem.help);
                None
            }
        }
    }
}

/// A cell with the header's unit, or with its own.
fn stated<Q: Quantity>(
    text: &str,
    head: &HeaderCell,
    mark: DecimalMark,
) -> Result<Stated<Q>, UnreadableCell> {
    let text = with_point(text, mark);
    let bare = Decimal::parse(&text).is_ok();
    let whole = match &head.unit {
        Some(unit) if bare => format!("{text} {unit}"),
        None if bare => {
            let name = head.column.name;
            let usual = head.column.usual_unit().unwrap_or_default();
            return Err(UnreadableCell {
                message: format!("`{text}` has no unit"),
                help: format!(
                    "write the unit in the column's header, `{name} [{usual}]`, or in the cell, `{text} {usual}`"
                ),
            });
        }
        _ => text,
    };
    read(&whole)
}

fn read<T: FromText>(text: &str) -> Result<T, UnreadableCell> {
    T::read(text).map_err(|problem| UnreadableCell::from(&problem))
}

impl From<&Problem> for UnreadableCell {
    fn from(problem: &Problem) -> Self {
        let mut help = problem.help_text().unwrap_or_default().to_owned();
        if problem.is_decimal_comma() {
            if !help.is_empty() {
                help.push_str("; ");
            }
            help.push_str("if all numbers of the table have a comma, say --decimal-comma");
        }
        Self {
            message: problem.message().to_owned(),
            help,
        }
    }
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

fn one_of<T: Copy>(text: &str, known: &[(&str, T)]) -> Result<T, UnreadableCell> {
    let folded = text.to_lowercase();
    if let Some((_, value)) = known.iter().find(|(word, _)| *word == folded) {
        return Ok(*value);
    }
    let words = known
        .iter()
        .map(|(word, _)| format!("`{word}`"))
        .collect::<Vec<_>>()
        .join(", ");
    Err(UnreadableCell {
        message: format!("`{text}` is not understood"),
        help: format!("write one of {words}"),
    })
}
