//! The catalog of detector-tube data: reading it with positions, its written form and schema, and the checked model.

pub mod field_problem;
pub mod kind;
pub mod schema;
pub mod written;

pub use kind::EntryKind;
