//! The catalog of detector-tube data: reading it with positions, its written form and schema, and
//! the checked model.
//!
//! ```
//! use stainbook_catalog::{Book, SourceFile};
//!
//! let file = SourceFile::new("pumps/quay.pump-kind.yaml", "\
//! pump_kind: quay
//! name: Quay piston pump
//! stroke: 100 mL
//! half_strokes: true
//! volume_tolerance: 5 %
//! ");
//! let (book, findings) = Book::read([file]);
//! assert!(findings.is_empty());
//! assert!(book.pump_kind("quay").is_some());
//! ```
//!
//! A file goes through [`document`] (a tree with byte ranges), [`schema_check`] (findings with exact places),
//! [`typed`] (the [`written`] form, the author's digits kept) and, with the other files of its [`Book`], becomes the
//! [`model`] that readings are evaluated with. No stage stops at a problem, and no stage speaks of a place that an
//! earlier one has blamed.
//!
//! This crate does not read folders (the command does), does not judge whether a sheet makes sense (the rules do) and
//! does not compute a result.

#![cfg_attr(
    test,
    allow(
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test compares with the very figure, and its counts are small"
    )
)]

mod additions;
pub mod blamed;
mod book;
pub mod did_you_mean;
pub mod digest;
pub mod document;
pub mod embedded;
mod entry;
pub mod finding;
mod kind;
pub mod model;
pub mod place;
pub mod rules;
pub mod schema;
pub mod schema_check;
pub mod search;
mod sheet_index;
pub mod typed;
mod unit_spelling;
pub mod written;

pub use book::Book;
pub use entry::{Entry, SourceFile, WrittenEntry, read_entry};
pub use kind::EntryKind;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
