//! Rounding of figures that were computed and then printed to a few digits.

use stainbook_core::Decimal;
use stainbook_core::elementary::{log10, powf};

/// Leaflets round to two significant digits or more; a `120` may have been 124. Common practice, no source.
const LEAST_DIGITS: f64 = 2.0;

/// Relative error of the arithmetic itself.
const ARITHMETIC: f64 = 1e-9;

/// Half the step of a figure that was computed and then rounded for print, to two significant digits where the zeros before the
/// point may be filling.
pub fn half_step_of_result(number: &Decimal) -> f64 {
    half_step_of_rounded(number.value(), number.half_step(), LEAST_DIGITS)
}

/// The same for a figure of so many significant digits at least.
///
/// Only zeros before the point can be filling: `120` may stand for 124, `13` for no other whole number.
pub fn half_step_of_rounded(value: f64, half_step: f64, least_digits: f64) -> f64 {
    let size = value.abs();
    if size <= 0.0 {
        return half_step;
    }
    let coarsest = powf(10.0, log10(size).floor() - (least_digits - 1.0));
    let mut step = 10.0;
    let mut widest = half_step;
    while step <= coarsest * (1.0 + ARITHMETIC)
        && (value / step - (value / step).round()).abs() < ARITHMETIC
    {
        widest = widest.max(step / 2.0);
        step *= 10.0;
    }
    widest
}
