//! Propagation, draws, distributions, Student's t and tolerance factors, for any measurement.
//!
//! All of it comes from `stainbook-uncertainty`, which makes the same promise of stability and can be depended on alone.

pub use stainbook_uncertainty::{
    distribution, elementary, monte_carlo, normal, normal_range, propagation, shapiro_wilk,
    student_t, tolerance_factor,
};
