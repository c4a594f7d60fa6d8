//! The elementary functions of `core` and of `uncertainty`, which knows no crate of ours, are the same to the bit.

use stainbook_core::elementary as core;
use stainbook_uncertainty::elementary as alone;

/// A function of one number.
type OfOne = fn(f64) -> f64;
/// A function of two numbers.
type OfTwo = fn(f64, f64) -> f64;

#[test]
fn both_modules_give_the_same_bits() {
    let both: [(OfOne, OfOne); 8] = [
        (core::exp, alone::exp),
        (core::ln, alone::ln),
        (core::log10, alone::log10),
        (core::sin, alone::sin),
        (core::tan, alone::tan),
        (core::asin, alone::asin),
        (core::atan, alone::atan),
        (core::erfc, alone::erfc),
    ];
    let of_two: [(OfTwo, OfTwo); 2] = [(core::powf, alone::powf), (core::hypot, alone::hypot)];
    for step in 1..=10_000 {
        let x = f64::from(step) / 10_000.0;
        let y = 3.0 - 5.0 * x;
        for (a, b) in both {
            assert_eq!(a(x).to_bits(), b(x).to_bits(), "{x}");
        }
        for (a, b) in of_two {
            assert_eq!(a(x, y).to_bits(), b(x, y).to_bits(), "{x} {y}");
        }
        assert_eq!(
            core::powi(x, 7).to_bits(),
            alone::powi(x, 7).to_bits(),
            "{x}"
        );
    }
}
