//! Published values against what the core computes.
//!
//! The data lies in `tests/published`, each value with its source. A value agrees when the computed one lies within half a unit
//! of its last printed digit, widened only by what the digits of the source's own inputs leave open. What disagrees is listed by
//! name and with its reason in `known_disagreements.csv`, and must disagree: a listed value that is suddenly reproduced fails, as
//! does an entry that no check has asked for.
//!
//! Only what somebody published is counted as published: what other programs or closed forms give, and what the trade does
//! without a source, is counted apart.
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

use report::Origin;

fn main() -> ExitCode {
    let mut report = report::PublishedReport::new();
    for check in [
        factors::check,
        limits::check,
        examples::check,
        exposure_groups::check,
        altitude::check,
        strokes::check,
        water::check,
        units::check,
        weights::check,
        cas_numbers::check,
        reference::check,
        uncertainty::check,
    ] {
        report.origin = Origin::Published;
        check(&mut report);
    }
    report.finish()
}
