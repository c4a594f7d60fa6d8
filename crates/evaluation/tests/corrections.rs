//! Laws that hold for every kind of correction that a sheet can state, from the sheet's text to the concentration: exact where
//! the leaflet prints a value, without a jump between, monotone where the table is, whatever the order of its rows, and
//! nothing outside.
//!
//! The reference is worked out apart from the library, on the rows as they were drawn at random.
#![cfg(test)]
#![allow(clippy::float_cmp, reason = "a test compares with the very figure")]

mod support;

#[path = "corrections/another_gas.rs"]
mod another_gas;
#[path = "corrections/bands.rs"]
mod bands;
#[path = "corrections/bench.rs"]
mod bench;
#[path = "corrections/factor_tables.rs"]
mod factor_tables;
#[path = "corrections/formulas.rs"]
mod formulas;
#[path = "corrections/humidity_kinds.rs"]
mod humidity_kinds;
#[path = "corrections/pressure.rs"]
mod pressure;
#[path = "corrections/two_dimensions.rs"]
mod two_dimensions;
