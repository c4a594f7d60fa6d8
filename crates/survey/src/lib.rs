//! Surveys that were kept as a table or in a spreadsheet, one row for each reading.
//!
//! ```
//! use stainbook_survey::table::{DecimalMark, read};
//!
//! let table = "id,tube,strokes,reading [ppm]\nr1,quay-chlorine,3,5\n";
//! let (survey, refused) = read(table, DecimalMark::Point)?;
//! assert_eq!((survey.readings.len(), refused.len()), (1, 0));
//! # Ok::<(), stainbook_survey::table::HeaderProblem>(())
//! ```
//!
//! [`table`] reads text that is divided by commas, semicolons or tabs, and evaluates it row by row; `spreadsheet` reads
//! worksheets as the same rows; [`document`] makes of either what a survey file would be, with the place of each cell, for
//! whoever checks it. [`boxes`] does the same for the boxes in stock.
//!
//! Files are read by the command.

#![cfg_attr(
    test,
    allow(
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test compares with the very figure, and its counts are small"
    )
)]

pub mod boxes;
pub mod document;
mod line_ends;
mod refused_at;
pub mod row_bound;
#[cfg(feature = "spreadsheets")]
pub mod spreadsheet;
pub mod table;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
