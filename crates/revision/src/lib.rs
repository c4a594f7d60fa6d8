//! Effects of a change of a catalog on results, and verification of results that were kept.
//!
//! [`changes`] says what changed in meaning between two states of a catalog, with its [`effects`] on what readings come out
//! as; [`record`] works kept results out again, from their own facts and with a catalog as it is now, and gives a
//! [`verification`]. What a record holds is in [`recorded`]; where two results differ, for both, in [`results`].
//!
//! Not here: reading files and the history of a repository (the command does), words for people (the views do).

#![cfg_attr(
    test,
    allow(
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test compares with the very figure, and its counts are small"
    )
)]

pub mod changes;
pub mod effects;
mod pairing;
pub mod record;
pub mod recorded;
pub mod results;
pub mod verification;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
