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
//! A file goes through [`stainbook_document`] (a tree with byte ranges, findings with exact places, and typed values: the
//! [`written`] form, the author's digits kept) and, with the other files of its [`Book`], becomes the
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
mod book;
pub mod embedded;
mod entry;
pub mod import_fields;
mod kind;
pub mod known_by;
pub mod model;
pub mod printed_digits;
mod read_options;
pub mod references;
pub mod rules;
pub mod schema;
pub mod search;
mod sheet_index;
mod stock_index;
mod unit_spelling;
pub mod written;

pub use book::Book;
pub use entry::{Entry, SourceFile, WrittenEntry, read_entry, read_import_map, read_trusted};
pub use kind::EntryKind;
pub use read_options::READ_OPTIONS;
pub use stock_index::ListedBox;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
