//! The survey that is evaluated: an entry of a catalog, or a table, which streams.

use std::cell::Cell;
use std::collections::BTreeSet;
use std::fs::File;
use std::io::{Chain, Cursor, IsTerminal as _, Read};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use stainbook_document::finding::Level;
use stainbook_evaluation::outcome::{Code, Statement};
use stainbook_evaluation::repeated_ids::REMEMBERED;
use stainbook_present::{Counts, Sources, findings_text, most_shown, results_csv, results_jsonl};

use stainbook_catalog::EntryKind;
use stainbook_catalog::written::SurveyEntry;
use stainbook_document::finding::Finding;
use stainbook_evaluation::survey_faults::SurveyFaults;
use stainbook_evaluation::{Evaluation, Evaluator, FaultySheets, Status, evaluate_entry};
use stainbook_survey::document::table_stem;
use stainbook_survey::spreadsheet::{Workbook, WorkbookProblem, WorksheetRows};
use stainbook_survey::table::{self, CsvReading, RefusedRow, Rows, TableTop};

use super::checked::Checked;
use super::results_format::{OutputTarget, ResultsFormat};
use super::{Evaluate, end};
use crate::bounded_read;
use crate::catalog_files::{identity, shown};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::progress::{Counted, Progress, Talk, Unit};

/// A survey before it is read.
pub(super) enum Survey {
    /// `.survey.yaml`.
    Entry { name: PathBuf, bytes: Vec<u8> },
    /// One row a reading.
    Table(SurveyTable),
}

/// The name of a table that is piped in under none.
const PIPED: &str = "standard-input.csv";

/// A table before it is read.
pub(super) struct SurveyTable {
    name: PathBuf,
    source: TableSource,
}

enum TableSource {
    /// Text, with its length where it is known.
    Csv(Box<dyn Read>, Option<u64>),
    Workbook(Vec<u8>),
}

/// The rows of a table of either form.
enum TableRows {
    Lines(Box<Rows<FirstLines>>),
    Worksheet(Box<WorksheetRows>),
}

/// A source whose first bytes were looked at before.
type FirstLines = Chain<Cursor<Vec<u8>>, Counted<Box<dyn Read>>>;

impl TableRows {
    fn top(&self) -> &TableTop {
        match self {
            Self::Lines(rows) => rows.top(),
            Self::Worksheet(rows) => rows.top(),
        }
    }

    fn foreign_columns(&self) -> Vec<&str> {
        match self {
            Self::Lines(rows) => rows.foreign_columns(),
            Self::Worksheet(rows) => rows.foreign_columns(),
        }
    }

    fn said_of_top(&self) -> Vec<String> {
        match self {
            Self::Lines(rows) => rows.said_of_top(),
            Self::Worksheet(rows) => rows.said_of_top(),
        }
    }

    fn said_of_rows(&self) -> Vec<String> {
        match self {
            Self::Lines(rows) => rows.said_of_rows(),
            Self::Worksheet(rows) => rows.said_of_rows(),
        }
    }
}

impl Iterator for TableRows {
    type Item = Result<CsvReading, RefusedRow>;

    fn next(&mut self) -> Option<Self::Item> {
        match self {
            Self::Lines(rows) => rows.next(),
            Self::Worksheet(rows) => rows.next(),
        }
    }
}

impl Survey {
    /// Opens it by its name, which says what it is.
    pub(super) fn open(path: &Path, stdin_filename: Option<&Path>) -> Result<Self, Failure> {
        let piped = path == Path::new("-");
        let name = if piped {
            stdin_filename.map_or_else(|| PathBuf::from(PIPED), Path::to_path_buf)
        } else {
            path.to_path_buf()
        };
        let whole = || {
            if piped {
                bounded_read::standard_input(bounded_read::TABLE)
            } else {
                bounded_read::file(path, bounded_read::TABLE)
            }
        };
        let extension = name
            .extension()
            .and_then(|extension| extension.to_str())
            .unwrap_or_default()
            .to_ascii_lowercase();
        let source = match extension.as_str() {
            "csv" | "tsv" if piped => TableSource::Csv(Box::new(std::io::stdin()), None),
            "csv" | "tsv" => {
                let unreadable = |error| Failure::unreadable(path, &error);
                let file = File::open(path).map_err(unreadable)?;
                let length = file.metadata().map_err(unreadable)?.len();
                TableSource::Csv(Box::new(file), Some(length))
            }
            "xlsx" | "xlsm" | "ods" => TableSource::Workbook(whole()?),
            _ => {
                let bytes = whole()?;
                let kind = EntryKind::of_file(&shown(&name)).map(|(kind, _)| kind);
                if kind == Some(EntryKind::Survey) {
                    return Ok(Self::Entry { name, bytes });
                }
                return Err(Failure::usage(
                    format!("`{}` is no survey", name.display()),
                    "a survey's name ends in `.survey.yaml`, `.csv`, `.xlsx` or `.ods`",
                ));
            }
        };
        Ok(Self::Table(SurveyTable { name, source }))
    }

    pub(super) fn name(&self) -> &Path {
        match self {
            Self::Entry { name, .. } | Self::Table(SurveyTable { name, .. }) => name,
        }
    }
}

/// Rows with what tells how far they have come.
struct OpenTable {
    rows: TableRows,
    /// The name under which its rows are spoken of.
    name: String,
    /// The survey that they make, without its readings.
    survey: SurveyEntry,
    progress: Progress,
    /// Bytes that were read; rows are counted where there is nothing.
    bytes: Option<Rc<Cell<u64>>>,
}

impl Evaluate {
    /// Evaluates a table, and writes each result as soon as it is there if the format allows.
    pub(super) fn table(
        &self,
        table: SurveyTable,
        checked: &Checked,
    ) -> Result<ExitStatus, Failure> {
        let mut open = self.open_table(table)?;
        let errors = |id: &str| checked.errors_of(id);
        let mut evaluator = Evaluator::new(&checked.loaded.book, self.options(&errors));
        let complete = if self.format().streams() {
            self.streamed(&mut open, &mut evaluator)?
        } else {
            let evaluation = collected(&mut open, &mut evaluator);
            self.put(&evaluation)?;
            evaluation.is_complete()
        };
        self.notes(&open.name, open.rows.said_of_rows());
        self.say_understood(evaluator.understood());
        if evaluator.has_forgotten_ids() && !self.quiet {
            output::message(&format!(
                "note: whether an `id` is used twice was looked at among {REMEMBERED} readings one after the other"
            ));
        }
        Ok(end(complete, checked))
    }

    /// Says once what each other name of a substance was understood as.
    fn say_understood(&self, words: BTreeSet<String>) {
        for words in words.iter().filter(|_| !self.quiet) {
            output::message(words);
        }
    }

    fn streamed(
        &self,
        open: &mut OpenTable,
        evaluator: &mut Evaluator<'_>,
    ) -> Result<bool, Failure> {
        let frame = evaluator.frame_of(&open.survey, Vec::new());
        let common = results_jsonl::Common {
            catalog: frame.catalog.as_deref(),
            survey: &frame.inputs,
        };
        let mut sink = OutputTarget::open(self.output.as_deref())?;
        let mut complete = true;
        let OpenTable {
            rows,
            survey,
            progress,
            bytes,
            ..
        } = open;
        if self.format() == ResultsFormat::Csv {
            sink.write(&self.for_excel(results_csv::head().map_err(Failure::ours)?)?)?;
        }
        let mut alone = 0_usize;
        for (index, row) in rows.enumerate() {
            let result = table::evaluate_row_alone(evaluator, &survey.conditions, index, row);
            let is_alone = |said: &Statement| said.code == Code::NotJudgedTogether;
            alone += usize::from(result.statements.iter().any(is_alone));
            complete &= result.status != Status::Refused;
            let facts = evaluator.take_facts();
            let line = if self.format() == ResultsFormat::Csv {
                self.for_excel(results_csv::line(&result).map_err(Failure::ours)?)?
            } else {
                results_jsonl::line(&result, common, &facts).map_err(Failure::ours)?
            };
            if !sink.write(&line)? {
                break;
            }
            progress.at(done(bytes.as_deref(), index));
        }
        progress.end();
        sink.end()?;
        if 0 < alone && !self.quiet {
            output::message(&format!(
                "note: {alone} of the rows are blanks, repeats or parts of an average, or lie on a mark with nothing said of how finely was read; results written row by row do not put them together, and --format text, json or together-csv does that"
            ));
        }
        Ok(complete)
    }

    fn open_table(&self, table: SurveyTable) -> Result<OpenTable, Failure> {
        let settings = self.table.settings();
        // Lines that run over a terminal leave no place for a bar.
        let talk = if self.format().streams()
            && self.output.is_none()
            && std::io::stdout().is_terminal()
        {
            Talk::Quiet
        } else {
            self.talk()
        };
        let name = table.name.display().to_string();
        let (rows, progress, bytes) = match table.source {
            TableSource::Csv(source, length) => {
                let (mut source, bytes) = Counted::new(source);
                let first = table::first_lines(&mut source)
                    .map_err(|error| Failure::unreadable(&table.name, &error))?;
                let delimiter = table::delimiter_of(&String::from_utf8_lossy(&first));
                let source = Cursor::new(first).chain(source);
                let rows = Rows::new(source, delimiter, settings).map_err(|problem| {
                    Failure::new(
                        "table-unreadable",
                        format!(
                            "`{name}`, line {}, column {}: {}",
                            problem.line, problem.column, problem.message
                        ),
                        problem.help,
                    )
                })?;
                let progress = Progress::new(length.unwrap_or(0), Unit::Bytes, talk);
                (TableRows::Lines(Box::new(rows)), progress, Some(bytes))
            }
            TableSource::Workbook(content) => {
                let problem = |problem: WorkbookProblem| {
                    Failure::new(
                        "table-unreadable",
                        format!("`{name}`: {}", problem.message),
                        problem.help,
                    )
                };
                let rows = Workbook::open(content)
                    .and_then(|mut book| book.rows(self.worksheet.as_deref(), settings))
                    .map_err(problem)?;
                let progress = Progress::new(rows.rows_left(), Unit::Rows, talk);
                (TableRows::Worksheet(Box::new(rows)), progress, None)
            }
        };
        if let Some(words) = table::passed_over(&rows.foreign_columns()) {
            self.notes(&name, [words]);
        }
        self.notes(&name, rows.said_of_top());
        Ok(OpenTable {
            survey: survey_of(&table.name, &rows),
            rows,
            name,
            progress,
            bytes,
        })
    }

    /// Says what was understood of a table and what is passed over, once each.
    fn notes(&self, table: &str, said: impl IntoIterator<Item = String>) {
        for words in said.into_iter().filter(|_| !self.quiet) {
            output::message(&format!("note: `{table}`: {words}"));
        }
    }

    /// Evaluates a survey that is an entry of the book.
    pub(super) fn entry(&self, name: &Path, checked: &Checked) -> Result<Evaluation, Failure> {
        let wanted = identity(name);
        let book = &checked.loaded.book;
        let found = book
            .surveys()
            .find(|(entry, _)| identity(Path::new(&entry.path)) == wanted);
        let Some((entry, survey)) = found else {
            return Err(Failure::ours(format!(
                "the survey `{}` was read and is not in the book",
                name.display()
            )));
        };
        let errors = |id: &str| checked.errors_of(id);
        let options = self.options(&errors);
        let faults = SurveyFaults::of(entry, checked.findings.iter().chain(&checked.unread));
        let own: Vec<Finding> = checked
            .findings
            .iter()
            .filter(|finding| finding.place().file == entry.file)
            .filter(|finding| finding.level() == Level::Error)
            .cloned()
            .collect();
        if !own.is_empty() && !self.quiet {
            let sources = Sources::of_book(book);
            let plain = stainbook_present::Colour::Plain;
            let mut said = findings_text::each(&most_shown(&own), &sources, plain);
            said.push_str(&findings_text::summary(Counts::of(&own), 1, plain));
            output::message(said.trim_end());
        }
        if faults.stop_all(options.faulty_sheets) {
            return Err(Failure {
                end: ExitStatus::Findings,
                ..Failure::new(
                    "survey-has-errors",
                    format!(
                        "the survey `{}` has errors and is not evaluated",
                        name.display()
                    ),
                    if faults.stop_all(FaultySheets::FlagOnly) {
                        "correct them first: the text cannot be read to its end, and what is missing could be anything"
                    } else {
                        "correct them, or say --despite-findings to evaluate what could be read"
                    },
                )
            });
        }
        self.say_understood(
            entry
                .named_otherwise
                .iter()
                .map(ToString::to_string)
                .collect(),
        );
        let count = |number: usize| u64::try_from(number).unwrap_or(0);
        let mut progress = Progress::new(count(survey.readings.len()), Unit::Readings, self.talk());
        let evaluation = evaluate_entry(book, entry, survey, &faults, &options, |done| {
            progress.at(count(done));
        });
        progress.end();
        Ok(evaluation)
    }
}

fn collected(open: &mut OpenTable, evaluator: &mut Evaluator<'_>) -> Evaluation {
    let OpenTable {
        rows,
        survey,
        progress,
        bytes,
        ..
    } = open;
    let counted = rows
        .enumerate()
        .inspect(|(index, _)| progress.at(done(bytes.as_deref(), *index)))
        .map(|(_, row)| row);
    let evaluation = table::evaluate_rows(evaluator, survey.clone(), counted);
    progress.end();
    evaluation
}

/// Names of worksheets that nobody chose, without their number. Common practice, no source.
const UNNAMED: [&str; 8] = [
    "sheet", "tabelle", "feuil", "feuille", "hoja", "foglio", "planilha", "blad",
];

/// The survey that a table is, named after its file, with the title above its header, else the name of its worksheet or file.
fn survey_of(name: &Path, rows: &TableRows) -> SurveyEntry {
    // What is piped in under no name has none.
    let stem = Some(table_stem(&shown(name)).to_owned()).filter(|_| name != Path::new(PIPED));
    let mut survey = rows.top().survey(stem.as_deref());
    let worksheet = match rows {
        TableRows::Worksheet(rows) => Some(rows.worksheet()),
        TableRows::Lines(_) => None,
    };
    let chosen = worksheet.filter(|name| {
        let name = name.to_lowercase();
        let word = name.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ');
        !UNNAMED.contains(&word)
    });
    survey.title = survey.title.or_else(|| chosen.map(str::to_owned)).or(stem);
    survey
}

fn done(bytes: Option<&Cell<u64>>, index: usize) -> u64 {
    bytes.map_or_else(|| u64::try_from(index + 1).unwrap_or(0), Cell::get)
}
