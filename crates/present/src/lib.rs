//! The views of findings, sheets, results and conversions: what a person reads and what a script reads.
//!
//! ```
//! use stainbook_catalog::{Book, SourceFile};
//! use stainbook_present::{Sources, findings_short};
//!
//! let (book, findings) = Book::read([SourceFile::new("quay.pump-kind.yaml", "pump_kind: quay\nstroke: 0,1 L\n")]);
//! let lines = findings_short::render(&findings, &Sources::of_book(&book));
//! assert!(lines.starts_with("quay.pump-kind.yaml:2:9: error"));
//! ```
//!
//! One module per view, each a function from plain data to text:
//!
//! | of | for people | for scripts |
//! | --- | --- | --- |
//! | findings | `findings_text`, [`findings_short`] | [`findings_json`], [`findings_sarif`], [`findings_github`], [`findings_junit`] |
//! | a tube's sheet | `sheet_text` | |
//! | results | `results_text`, `results_html` | [`results_json`], [`results_jsonl`], `results_csv`, `together_csv`, `results_xlsx` |
//! | a comparison | `comparison_text` | [`comparison_json`] |
//! | records worked out again | `verification_text` | `verification_csv`, and as JSON by itself |
//! | changes | `changes_text` | [`changes_json`] |
//! | a search for tubes | `find_text` | [`find_json`], `find_csv` |
//! | what is due | `due_text`, [`due_calendar`] | [`due_json`], `due_csv` |
//! | a conversion | `conversion_text` | [`conversion_json`] |
//!
//! Nothing here works anything out: a figure that is printed was in the data. Nothing here prints, either; the command
//! does.

#![allow(
    clippy::format_push_string,
    reason = "texts here are short, and a line reads best as one format"
)]
#![cfg_attr(
    test,
    allow(clippy::float_cmp, reason = "a test compares with the very figure")
)]

pub mod cautions;
mod change_words;
pub mod changes_json;
#[cfg(feature = "text")]
pub mod changes_text;
pub mod comparison;
pub mod comparison_json;
#[cfg(feature = "text")]
pub mod comparison_text;
pub mod conversion;
pub mod conversion_json;
#[cfg(feature = "text")]
pub mod conversion_text;
pub mod counts;
#[cfg(feature = "csv")]
pub mod csv_for_excel;
pub mod due_calendar;
#[cfg(feature = "csv")]
pub mod due_csv;
pub mod due_json;
#[cfg(feature = "text")]
pub mod due_text;
#[cfg(feature = "csv")]
pub mod find_csv;
pub mod find_json;
#[cfg(feature = "text")]
pub mod find_text;
pub mod findings_github;
pub mod findings_json;
pub mod findings_junit;
pub mod findings_sarif;
pub mod findings_short;
#[cfg(feature = "text")]
pub mod findings_text;
#[cfg(any(feature = "csv", feature = "text"))]
mod limit_name;
pub mod lines;
mod located;
pub mod measurement_model;
pub mod most_shown;
pub mod pretty_json;
#[cfg(any(feature = "text", feature = "xlsx"))]
mod result_value;
#[cfg(feature = "csv")]
pub mod results_csv;
#[cfg(feature = "html")]
pub mod results_html;
pub mod results_json;
pub mod results_jsonl;
#[cfg(feature = "text")]
pub mod results_text;
#[cfg(feature = "xlsx")]
pub mod results_xlsx;
#[cfg(feature = "text")]
pub mod sheet_text;
#[cfg(feature = "csv")]
pub mod together_csv;
mod uri;
#[cfg(feature = "csv")]
pub mod verification_csv;
#[cfg(feature = "text")]
pub mod verification_text;
#[cfg(feature = "csv")]
mod written_csv;

pub use counts::Counts;
pub use lines::Colour;
pub use located::{Located, Sources};
pub use most_shown::most_shown;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
