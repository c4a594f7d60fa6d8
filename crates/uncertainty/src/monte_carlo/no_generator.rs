//! In place of the generator where the feature `monte-carlo` is off: there is none, and the compiler knows it.

use super::Settings;

/// Pseudo-random numbers: without the feature `monte-carlo` there are none.
#[derive(Clone, Debug)]
pub enum Generator {}

impl Generator {
    /// There are no settings that it could be made of.
    pub(crate) fn of_block_of(settings: &Settings, _block: u64) -> Self {
        match settings.never {}
    }

    pub(crate) fn of_blocks(settings: &Settings) -> std::iter::Empty<Self> {
        match settings.never {}
    }

    /// As with the feature.
    pub fn zero_to_one(&mut self) -> f64 {
        match *self {}
    }

    /// As with the feature.
    pub fn about_zero(&mut self) -> f64 {
        match *self {}
    }

    /// As with the feature.
    pub fn standard_normal(&mut self) -> f64 {
        match *self {}
    }

    /// As with the feature.
    pub fn student_t(&mut self, _degrees_of_freedom: f64) -> f64 {
        match *self {}
    }

    /// As with the feature.
    pub fn root_of_chi_square(&mut self, _degrees_of_freedom: f64) -> f64 {
        match *self {}
    }
}
