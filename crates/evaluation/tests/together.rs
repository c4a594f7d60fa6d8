//! Several readings judged together: averages, mixtures, EN 689, mutual interference, repeats, blanks.
#![cfg(test)]
#![allow(
    clippy::float_cmp,
    clippy::cast_precision_loss,
    reason = "a test may fail loudly"
)]

mod support;

#[path = "together/averages.rs"]
mod averages;
#[path = "together/blanks_and_repeats.rs"]
mod blanks_and_repeats;
#[path = "together/drawn.rs"]
mod drawn;
#[path = "together/exposure_groups.rs"]
mod exposure_groups;
#[path = "together/few_readings.rs"]
mod few_readings;
#[path = "together/judging.rs"]
mod judging;
#[path = "together/mixtures.rs"]
mod mixtures;
#[path = "together/mutual_interference.rs"]
mod mutual_interference;
#[path = "together/plant.rs"]
mod plant;
