//! A YAML file as a tree with places, checked against a schema, and read into typed values.
//!
//! ```
//! use stainbook_document::place::FileId;
//! use stainbook_document::{Document, ReadOptions};
//!
//! let text = b"kettle: blue\nholds: {water: 1.5 L}\n";
//! let (document, findings) = Document::read(FileId(0), "blue.yaml", text, &ReadOptions::default());
//! assert!(findings.is_empty());
//! let water = document.root().and_then(|root| root.get("holds")?.get("water"));
//! assert_eq!(water.and_then(|node| node.text()), Some("1.5 L"));
//! ```
//!
//! A [`Document`] is the text, its tree and where everything stands; [`schema_check`] says what does not fit a schema, with
//! exact places; [`typed`] reads the rest into types that serde knows. What is wrong is a [`finding`] at a [`place`]. No
//! stage stops at a problem, and no stage speaks of a place that an earlier one has [reported](reported_nodes). [`edit`] says
//! which bytes have to change for the text to say something else.
//!
//! This crate knows nothing of what the files are about: what a text holds is for the types to say.

#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::indexing_slicing,
        clippy::panic,
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test may fail loudly"
    )
)]

pub mod did_you_mean;
pub mod digest;
mod document;
pub mod finding;
pub mod offer;
pub mod place;
pub mod reported_nodes;
pub mod rules;
pub mod schema_check;
pub mod typed;

pub use document::{
    Cell, CellRange, Cells, Class, Document, Entries, Items, LayoutSlip, LineColumn, Node, NodeId,
    NodeKind, ReadOptions, Style, Worksheet, column_letters, double_quoted, edit, hiding_slips,
    is_plain_text, layout_slips,
};

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
