//! A lab's own book of short-term detector-tube data, checked, and the arithmetic that turns a stain into a concentration
//! that can be defended.
//!
//! ```
//! use stainbook::conversion::{Gas, PressureGiven, Terms, convert};
//! use stainbook::core::unit;
//!
//! // 25 ppm of carbon monoxide, in the smokehouse at 1,600 m and 8 °C.
//! let mut terms = Terms::default();
//! terms.gas = Some(Gas::OfMolarMass("28.010 g/mol".parse()?));
//! terms.temperature = Some("8 °C".parse()?);
//! terms.pressure = Some(PressureGiven::Altitude("1600 m".parse()?));
//! let conversion = convert(&"25 ppm".parse()?, unit("mg/m3")?, &terms)?;
//! assert_eq!(conversion.result.text, "25.0 mg/m³");
//! // The altitude only stands in for the pressure, and the answer says so.
//! assert_eq!(conversion.assumptions[0].code, "standard-atmosphere");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What is where
//!
//! | for | look at |
//! | --- | --- |
//! | quantities, units, conversion, humidity, the standard atmosphere | [`core`] |
//! | reading a catalog's files, finding its entries | [`catalog`], [`Book`] |
//! | what is wrong with a catalog | [`check`], [`check_book`], [`findings`] |
//! | from readings to results | [`reading`], [`evaluate_survey`] |
//! | the uncertainty of any measurement | [`uncertainty`] |
//! | the tubes for a gas at a level, ranked, and why the others cannot serve | [`tube_search`], [`find_tubes`] |
//! | plans of rounds: tubes chosen, the survey begun; what is due | [`plan`], [`due`] |
//! | findings, sheets and results as text, JSON or CSV | [`present`] |
//! | two states of a catalog: what changed, and what that does to results | [`revision`] |
//! | results that were kept, and whether they still hold | [`revision`] |
//! | one conversion with everything it rests on | [`conversion`] |
//! | sheets made of a laboratory's own table | [`import`] |
//!
//! The items named in these modules are those that this crate promises to keep; the crates that it comes from are internal
//! to the project, but for `stainbook-core` and `stainbook-uncertainty`, which make the same promise.
//!
//! Nothing here reads a file, knows the time or prints: the caller hands over texts and dates, and gets data back. The
//! command of the same name is one such caller.
//!
//! # Features
//!
//! All are on unless switched off; without any the façade reads, checks, evaluates and gives JSON.
//!
//! | feature | for |
//! | --- | --- |
//! | `csv` | surveys in tables (`survey`), and tables of results |
//! | `spreadsheets` | surveys in worksheets; switches `csv` on |
//! | `html` | the field record |
//! | `monte-carlo` | the uncertainty by drawing as well, and records in which it was |
//! | `text` | texts for people: findings with the lines they are about, sheets, results, comparisons, changes, searches, conversions |
//! | `parallel` | entries checked several at a time |
//!
//! `xlsx`, results as a spreadsheet, has to be asked for: the crate that writes them asks the clock, which WebAssembly has not.
//!
//! # What it does not do
//!
//! It does not decide whether people may enter. Detector tubes alone never clear a confined space, nor an
//! oxygen-deficient or explosive atmosphere; a competent person decides, by the local code.

#![allow(
    clippy::format_push_string,
    reason = "texts here are short, and a line reads best as one format"
)]
#![cfg_attr(
    test,
    allow(clippy::float_cmp, reason = "a test compares with the very figure")
)]

pub mod conversion;
pub mod template;

pub mod catalog;
pub mod check;
pub mod core;
pub mod due;
pub mod findings;
#[cfg(feature = "csv")]
pub mod import;
pub mod plan;
pub mod present;
pub mod reading;
pub mod revision;
#[cfg(feature = "csv")]
pub mod survey;
pub mod tube_search;
pub mod uncertainty;

// Crates of others whose types stand in signatures here, in the version that fits.
#[cfg(feature = "csv")]
pub use csv;
pub use {jiff, serde_json};

pub use catalog::{Book, EntryKind, SourceFile};
pub use check::Report;
pub use findings::{Finding, Level};
pub use reading::{Evaluation, ReadingResult};

use std::fmt;

use jiff::civil::Date;
use stainbook_catalog::WrittenEntry;
use stainbook_evaluation::survey_faults::SurveyFaults;

/// Reads the files of a catalog and says what is wrong with them: what reading found and what the rules find.
///
/// `as_of` is the day by which dates are judged; without it they are compared with each other only.
///
/// # Example
///
/// ```
/// use stainbook::{SourceFile, check_book};
///
/// let file = SourceFile::new("quay.pump-kind.yaml", "\
/// pump_kind: quay
/// name: Quay piston pump
/// stroke: 0,1 L
/// half_strokes: true
/// volume_tolerance: 5 %
/// ");
/// let (book, report) = check_book([file], None);
/// assert_eq!((report.files, report.errors), (1, 1));
/// assert_eq!(report.findings[0].rule(), "decimal-comma");
/// assert!(book.pump_kind("quay").is_some());
/// ```
pub fn check_book<'a>(
    files: impl IntoIterator<Item = SourceFile<'a>>,
    as_of: Option<Date>,
) -> (Book, Report) {
    let (book, read) = Book::read(files);
    let report = check_read(
        &book,
        read,
        &stainbook_check::Options::default().with_as_of(as_of),
    );
    (book, report)
}

/// Checks a book that has been read: what reading it found, every rule, and the worked examples of its sheets worked out
/// again, with the catalog's levels and exceptions applied to all of them.
pub fn check_read(
    book: &Book,
    read: Vec<Finding>,
    options: &stainbook_check::Options,
) -> stainbook_check::Report {
    stainbook_check::check_with_more(book, read, options, &|book, entry| {
        stainbook_evaluation::worked::check_entry(book, entry)
    })
}

/// Evaluates a survey of a book, by its short name, with its faulty sheets refused.
///
/// `report` is what [`check_book`] said of the book: a sheet with errors is not computed with.
///
/// # Errors
///
/// [`NoSuchSurvey`]: the book has no survey of this name.
///
/// # Example
///
/// ```
/// use stainbook::{catalog::demo_files, check_book, evaluate_survey};
///
/// let (book, report) = check_book(demo_files(), None);
/// let name = book.surveys().next().and_then(|(_, survey)| survey.survey.clone()).unwrap_or_default();
/// let evaluation = evaluate_survey(&book, &report, &name)?;
/// assert!(!evaluation.results.is_empty());
/// assert!(evaluate_survey(&book, &report, "no-such-survey").is_err());
/// # Ok::<(), stainbook::NoSuchSurvey>(())
/// ```
pub fn evaluate_survey(
    book: &Book,
    report: &Report,
    name: &str,
) -> Result<Evaluation, NoSuchSurvey> {
    let Some((entry, WrittenEntry::Survey(survey))) = book
        .find(EntryKind::Survey, name)
        .map(|entry| (entry, &entry.written))
    else {
        let surveys = book.ids(EntryKind::Survey);
        return Err(NoSuchSurvey {
            name: name.to_owned(),
            surveys: surveys.into_iter().map(ToOwned::to_owned).collect(),
        });
    };
    let by_file = errors_by_file(report);
    let errors = |sheet: &str| by_file.of_sheet(book, sheet);
    let options = stainbook_evaluation::Options::default().with_sheet_errors(&errors);
    let faults = SurveyFaults::of(entry, report.findings.iter().chain(&report.follow));
    Ok(stainbook_evaluation::evaluate_entry(
        book,
        entry,
        survey,
        &faults,
        &options,
        |_| {},
    ))
}

/// A survey that the book does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct NoSuchSurvey {
    /// The name that was asked for.
    pub name: String,
    /// Short names of the surveys that the book has.
    pub surveys: Vec<String>,
}

impl fmt::Display for NoSuchSurvey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "there is no survey `{}`, ", self.name)?;
        if self.surveys.is_empty() {
            f.write_str("the book has none")
        } else {
            write!(f, "there is `{}`", self.surveys.join("`, `"))
        }
    }
}

impl std::error::Error for NoSuchSurvey {}

/// Finds the tubes of a book for a purpose, with its faulty sheets among those that cannot serve.
///
/// `report` is what [`check_book`] said of the book.
///
/// # Errors
///
/// A refusal of the question as a whole, with what to do: see [`tube_search::find`].
///
/// # Example
///
/// ```
/// use stainbook::{catalog::demo_files, check_book, find_tubes, tube_search::Wanted};
///
/// let (book, report) = check_book(demo_files(), None);
/// let mut wanted = Wanted::default();
/// wanted.substance = "chlorine".to_owned();
/// wanted.level = Some("3 ppm".parse()?);
/// let search = find_tubes(&book, &report, &wanted)?;
/// let first = search.serve[0].levels[0].best.as_ref().ok_or("a way to read it")?;
/// assert_eq!((search.serve[0].rank, first.strokes), (1, 3.0));
/// // ResultEffect cannot serve says what would have to change.
/// assert!(search.cannot.iter().all(|sheet| sheet.why.iter().all(|why| !why.remedy.is_empty())));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn find_tubes(
    book: &Book,
    report: &Report,
    wanted: &tube_search::Wanted,
) -> Result<tube_search::Search, stainbook_evaluation::outcome::Refusal> {
    let by_file = errors_by_file(report);
    let errors = |sheet: &str| by_file.of_sheet(book, sheet);
    let options = stainbook_evaluation::Options::default().with_sheet_errors(&errors);
    tube_search::find(book, wanted, &options)
}

fn errors_by_file(report: &Report) -> stainbook_evaluation::ErrorsByFile {
    stainbook_evaluation::ErrorsByFile::of(&report.findings).with_those_that_follow(&report.follow)
}

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
