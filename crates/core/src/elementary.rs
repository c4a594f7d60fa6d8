//! Exponential, logarithm, power, trigonometric functions and the error function: the same bits on every platform.
//!
//! The functions of `std` call the platform's own, and those differ in the last bit in about one case of ten (measured between
//! glibc, musl and WebAssembly). A record that is worked out again on another machine then differs from itself. Here all go
//! through the crate `libm`, which is plain Rust; `.clippy.toml` forbids the others in every crate.
//!
//! The square root is not here: it is correctly rounded everywhere, as the four operations are.
//!
//! `stainbook-uncertainty`, which knows no crate of ours, has a module of the same name over the same crate; a test compares the
//! two bit by bit.
//!
//! # Example
//!
//! ```
//! use stainbook_core::elementary::{exp, ln, power_of_ten};
//!
//! assert_eq!(ln(exp(2.0)), 2.0);
//! assert_eq!(power_of_ten(-3), 0.001);
//! ```

/// `e` to the power `x`.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// `e` to the power `x`, less one, with all digits near zero.
#[inline]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
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

/// Ten to a whole power: the nearest number for powers from −22 to 22.
#[inline]
pub const fn power_of_ten(exponent: i32) -> f64 {
    powi(10.0, exponent)
}

/// Sine of an angle in radians.
#[inline]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
#[inline]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Worked out with 50 digits and rounded to the nearest number; what `libm` gives may be the neighbour of it.
    #[test]
    fn known_values_to_the_last_bit_but_one() {
        for (found, nearest) in [
            (exp(1.0), std::f64::consts::E),
            (exp(-0.5), 0.606_530_659_712_633_4),
            (exp_m1(1e-10), 1.000_000_000_05e-10),
            (ln(10.0), std::f64::consts::LN_10),
            (ln_1p(1e-10), 9.999_999_999_500_001e-11),
            (log10(2.0), std::f64::consts::LOG10_2),
            (powf(2.0, 0.5), std::f64::consts::SQRT_2),
            (sin(1.0), 0.841_470_984_807_896_5),
            (cos(1.0), 0.540_302_305_868_139_8),
            (tan(1.0), 1.557_407_724_654_902_3),
            (asin(0.5), std::f64::consts::FRAC_PI_6),
            (atan(1.0), std::f64::consts::FRAC_PI_4),
            (hypot(3.0, 4.0), 5.0),
            (erfc(1.0), 0.157_299_207_050_285_13),
        ] {
            assert!(
                nearest.next_down() <= found && found <= nearest.next_up(),
                "{found} {nearest}"
            );
        }
    }

    /// The bits on every platform: a change of these is a change of every recorded result.
    #[test]
    fn the_bits_are_pinned() {
        let bits = [
            exp(0.3),
            exp_m1(0.3),
            ln(0.3),
            ln_1p(0.3),
            log10(0.3),
            powf(0.3, 1.7),
            sin(0.3),
            cos(0.3),
            tan(0.3),
            asin(0.3),
            atan(0.3),
            hypot(0.3, 0.7),
            erfc(0.3),
        ]
        .map(f64::to_bits);
        assert_eq!(
            bits,
            [
                0x3ff5_9905_8c8c_1a96,
                0x3fd6_6416_3230_6a56,
                0xbff3_4378_fcbd_a721,
                0x3fd0_ca93_7be1_b9dc,
                0xbfe0_bb6c_34d8_1502,
                0x3fc0_8819_f76d_9f8d,
                0x3fd2_e9cd_95ba_ba33,
                0x3fee_921d_d42f_09ba,
                0x3fd3_cc2a_44e2_9998,
                0x3fd3_8015_9e14_f6ff,
                0x3fd2_a73a_661e_af06,
                0x3fe8_5ed7_614b_038c,
                0x3fe5_7be3_bbf1_0af8
            ]
        );
    }

    #[test]
    fn powers_of_ten_are_the_nearest_numbers_and_logarithms_find_them() {
        for exponent in -22..=22 {
            let nearest: f64 = format!("1e{exponent}").parse().unwrap();
            assert_eq!(power_of_ten(exponent), nearest, "{exponent}");
            assert_eq!(log10(nearest), f64::from(exponent), "{exponent}");
        }
    }

    #[test]
    fn whole_powers() {
        assert_eq!(powi(3.0, 5), 243.0);
        assert_eq!(powi(-2.0, 3), -8.0);
        assert_eq!(powi(7.0, 0), 1.0);
        assert_eq!(powi(2.0, -3), 0.125);
    }

    proptest! {
        #[test]
        fn the_second_power_is_one_multiplication(x in -1e6..1e6_f64) {
            prop_assert_eq!(powi(x, 2), x * x);
        }

        #[test]
        fn logarithm_and_exponential_undo_each_other(x in -300.0..300.0_f64) {
            prop_assert!((ln(exp(x)) - x).abs() <= 2.0 * f64::EPSILON * x.abs().max(1.0));
        }
    }
}
