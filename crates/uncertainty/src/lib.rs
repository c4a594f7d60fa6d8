//! The uncertainty of a measurement, for any model of it.
//!
//! [`propagation`] is the law of propagation of the GUM (JCGM 100:2008), [`monte_carlo`] its supplement that draws
//! (JCGM 101:2008), with inputs that have a [`distribution`]. [`student_t`] and [`normal`] give probabilities and the factors
//! of intervals; [`tolerance_factor`], [`normal_range`] and [`shapiro_wilk`] are of several values that are judged together.
//!
//! ```
//! use stainbook_uncertainty::propagation::{Term, combine};
//!
//! // A length of 1000 mm from two parts, known to 0.3 mm and 0.4 mm.
//! let term = |standard| Term { sensitivity_coefficient: 1.0, standard, degrees_of_freedom: f64::INFINITY };
//! assert!((combine(&[term(0.3), term(0.4)], &[]).standard - 0.5).abs() < 1e-12);
//! ```
//!
//! Nothing here knows what is measured.

#![cfg_attr(
    test,
    allow(
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test compares with the very figure, and its counts are small"
    )
)]

pub mod distribution;
pub mod elementary;
pub mod monte_carlo;
pub mod normal;
pub mod normal_range;
pub mod propagation;
pub mod shapiro_wilk;
pub mod student_t;
pub mod tolerance_factor;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
