//! Findings: the slips that reading a file and checking it find, with their places, their arithmetic and what to do.

pub use stainbook_document::Document;
pub use stainbook_document::finding::{Edit, Fact, Fault, Finding, Level, Safety};
pub use stainbook_document::place::{EntryPart, FileId, Path, PathStep, Place, Spot};
