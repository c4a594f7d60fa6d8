//! From the reading on a detector tube to a concentration that can be defended.
//!
//! [`evaluate`] takes a catalog and a survey and gives one [`ReadingResult`] for each reading: a value, a bound, or a
//! refusal that says what to do instead. Everything that was done to the reading is listed with where it came from, and
//! everything that was assumed is said.
//!
//! ```
//! use stainbook_catalog::{Book, SourceFile};
//! use stainbook_catalog::written::SurveyEntry;
//! use stainbook_evaluation::{Options, evaluate};
//!
//! let (book, _) = Book::read([SourceFile::new("catalog.yaml", "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\n")]);
//! let survey = SurveyEntry { survey: Some("empty".to_owned()), ..SurveyEntry::default() };
//! let evaluation = evaluate(&book, &survey, &Options::default());
//! assert!(evaluation.is_complete());
//! assert_eq!(evaluation.catalog_revision.as_deref(), Some("2026-03-01"));
//! ```
//!
//! The types of a result are in [`result`]; they serialise to the keys of the JSON output. The arithmetic without the
//! words is in [`chain`] (reading to concentration), [`interpolation`] (tables) and [`budget`] (law of propagation); what
//! is assumed where sheet and survey are silent is in [`defaults`]. and [`worked`] works out the examples that a sheet gives. What is said beside the figures (flags, statements, refusals) has its codes in [`outcome`].
//!
//! The uncertainty is worked out by the law of propagation ([`budget`]) and, if asked for, by drawing ([`tube_trials`]) from
//! the same model; [`stainbook_uncertainty`] does both for any model.
//!
//! Several readings that are judged together – averages, mixtures, the tests of EN 689, gases that disturb each other's
//! tubes, repeats and blanks – are in [`together`].
//!
//! Not here: reading files (the command does), judging sheets (the rules do).

#![cfg_attr(
    test,
    allow(
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test compares with the very figure, and its counts are small"
    )
)]

pub mod air;
mod air_drawn;
mod amendments;
mod assured;
mod broken_line;
pub mod budget;
mod budget_words;
pub mod cautions;
mod cell;
pub mod chain;
mod checklist;
pub mod compiled_sheet;
pub mod defaults;
mod draws_words;
mod ends_words;
mod evaluate;
mod evaluated;
mod facts;
mod inputs;
mod interferents;
pub mod interpolation;
mod interval;
pub mod judgement;
mod limit_used;
mod one_reading;
mod other_unit;
pub mod outcome;
mod pointers;
mod pump_and_lot;
mod refused_at;
mod repeat;
pub mod repeated_ids;
mod required_conditions;
pub mod result;
mod sheet_choice;
mod sheet_errors;
mod square_matrix;
pub mod stain;
mod step_words;
mod stock;
mod stroke_spread;
pub mod survey_faults;
mod thresholds;
pub mod together;
pub mod tube_trials;
mod words;
pub mod worked;

pub use evaluate::{
    Evaluator, Faults, FaultySheets, MonteCarloOptions, Options, evaluate, evaluate_entry,
    lies_on_marks_only,
};
pub use evaluated::Evaluated;
pub use one_reading::{Concentration, PreparedReading};
pub use result::{Evaluation, ReadingResult, Status};
pub use sheet_errors::{ErrorsByFile, FaultyFile, SheetErrors};

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
