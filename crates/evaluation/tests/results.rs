//! Results on a small invented sheet, each expected value worked by hand.
#![cfg(test)]

mod support;

#[path = "results/bands.rs"]
mod bands;
#[path = "results/bounds.rs"]
mod bounds;
#[path = "results/other_gases.rs"]
mod interferents;
#[path = "results/kept.rs"]
mod kept;
#[path = "results/limits.rs"]
mod limits;
#[path = "results/uncertainty.rs"]
mod uncertainty;
#[path = "results/units.rs"]
mod units;
#[path = "results/values.rs"]
mod values;

/// The pressure of calibration, kPa.
const PA: f64 = 101.3;
