//! The rules that find the slips in a catalog of detector tubes, before they reach a wrong number.
//!
//! ```
//! use stainbook_catalog::{Book, SourceFile};
//! use stainbook_check::{Options, check};
//!
//! // The last digit of a CAS number follows from the others.
//! let file = SourceFile::new("carbon-monoxide.substance.yaml", "\
//! substance: carbon-monoxide
//! adds_to: stainbook-reference
//! name: carbon monoxide
//! cas: 630-08-1
//! formula: CO
//! ");
//! let (book, _) = Book::read([file]);
//! let findings = check(&book, &Options::default());
//! assert_eq!(findings[0].rule(), "cas-check-digit");
//! ```
//!
//! A [`Rule`] is declared once, in a file of its own under `src/rules`, with its document beside it; [`registry`] lists
//! them all, those of the reader included, and [`explain`] gives a rule's document. [`check`] runs them over a
//! [`Book`](stainbook_catalog::Book) and applies what the catalog and its entries say about levels and exceptions;
//! [`check_with`] does the same together with what reading the files has found.
//!
//! Entries are looked at several at a time, where the platform has threads; what comes out does not depend on it.
//! This crate prints nothing, reads no files, and knows no date but the one it is given.

mod as_meant;
mod bands;
pub mod baseline;
mod boxes;
pub mod compare;
mod control_figures;
mod dates;
pub mod due;
mod exceptions;
mod fix;
mod levels;
mod limits;
mod names;
pub mod plans;
mod points;
mod printed;
mod pump_record;
mod readings;
mod report;
mod rule;
mod rules;
mod run;
mod sheet;
mod sink;
mod station;
mod strokes_line;
mod tidy;
mod together;
mod trend;
mod words;

pub use fix::{Fixed, NotUtf8, fix};
pub use report::{Deny, Report};
pub use rule::{Check, Family, Rule};
pub use rules::{explain, find_rule, registry};
pub use run::{Options, check, check_entry, check_with, check_with_more};
pub use sheet::{ScaleView, SheetView};
pub use sink::{Context, Sink};
pub use tidy::{TidyRefusal, TidyStep, tidy};

// What every rule is written with.
use stainbook_document::finding::{Fact, Level};
use stainbook_document::place::Path;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
