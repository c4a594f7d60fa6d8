//! From the reading on a detector tube to a concentration that can be defended.
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

pub mod result;

pub use result::{Evaluation, ReadingResult, Status};
