//! The catalog of detector-tube data: reading it with positions, its written form and schema, and
//! the checked model.

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

pub mod blamed;
pub mod did_you_mean;
pub mod document;
pub mod finding;
pub mod place;
pub mod rules;
pub mod schema_check;
pub mod typed;
