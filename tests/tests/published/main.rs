//! Published values against what the core computes.
//!
//! The data lies in `tests/published`, each value with its source. A value agrees when the computed one lies within half a unit
//! of its last printed digit, widened only by what the digits of the source's own inputs leave open. What disagrees is listed by
//! name and with its reason in `known_disagreements.csv`, and must disagree: a listed value that is suddenly reproduced fails, as
//! does an entry that no check has asked for.
//!
//! The test has its own `main` so that the count is printed whenever it runs.
#![cfg(test)]

mod altitude;
mod cas_numbers;
mod data;
mod examples;
mod exposure_groups;
mod factors;
mod limits;
mod reference;
mod report;
mod rounding;
mod strokes;
mod uncertainty;
mod units;
mod water;
mod weights;

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut report = report::PublishedReport::new();
    factors::check(&mut report);
    limits::check(&mut report);
    examples::check(&mut report);
    exposure_groups::check(&mut report);
    altitude::check(&mut report);
    strokes::check(&mut report);
    water::check(&mut report);
    units::check(&mut report);
    weights::check(&mut report);
    cas_numbers::check(&mut report);
    reference::check(&mut report);
    uncertainty::check(&mut report);
    report.finish()
}
