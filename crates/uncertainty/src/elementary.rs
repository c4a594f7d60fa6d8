//! Elementary functions with the same bits on every platform, over the crate `libm`.
//!
//! The platform's own differ in the last bit, and a result that is worked out again elsewhere would differ from itself. This
//! crate stands alone, so it has the module itself; whoever has another over the same crate gets the same bits.

/// `e` to the power `x`.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm: not a number below zero, minus infinity at zero.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Natural logarithm of `1 + x`, with all digits near zero.
#[inline]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Logarithm to base ten: exact for powers of ten that are numbers.
#[inline]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// `base` to the power `exponent`; not a number for a negative base with an exponent that is not whole.
#[inline]
pub fn powf(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// `base` to a whole power, by squaring and multiplying in an order that is the same everywhere.
///
/// The second power is one multiplication, exactly `base * base`.
#[inline]
pub const fn powi(base: f64, exponent: i32) -> f64 {
    let (mut square, mut rest, mut product) = (base, exponent.unsigned_abs(), 1.0);
    loop {
        if rest % 2 == 1 {
            product *= square;
        }
        rest /= 2;
        if rest == 0 {
            break;
        }
        square *= square;
    }
    if exponent < 0 { 1.0 / product } else { product }
}

/// Sine of an angle in radians.
#[inline]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Tangent of an angle in radians.
#[inline]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Angle in radians whose sine is `x`; not a number outside −1 to 1.
#[inline]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Angle in radians whose tangent is `x`.
#[inline]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Root of the sum of two squares.
#[inline]
pub fn hypot(a: f64, b: f64) -> f64 {
    libm::hypot(a, b)
}

/// Complementary error function, `1 − erf(x)`, whose small values keep their digits.
#[inline]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}
