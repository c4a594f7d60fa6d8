//! Every view that a person reads, pinned on small inputs: one that is good, one that is flagged, one that is refused, and
//! readings together. The catalog is the sound one of the rules' fixtures.
#![cfg(test)]

mod bench;

mod comparison;
mod conversion;
mod find;
mod findings;
mod results;
mod sheet;
mod two_states;
mod verification;
