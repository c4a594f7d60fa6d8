//! Roundings by authorities of the mass concentration that they print beside a volume fraction.

use stainbook_core::Decimal;
use stainbook_core::elementary::power_of_ten;

/// True if a printed number is the computed one after one of the roundings that tables of limits use: to one to four
/// significant digits, or to a multiple of 5 or 2.5 (times a power of ten).
///
/// A multiple of 5 or 2.5 counts only from twice the step up: rounding to the step itself would explain almost anything.
pub(crate) fn explains(computed: f64, printed: &Decimal) -> bool {
    let value = printed.value();
    (-4..=4).any(|exponent| {
        let power = power_of_ten(exponent);
        let digits_left = value / power;
        let to_digits = 1.0 <= digits_left + 1e-9
            && digits_left < 10_000.0
            && is_nearest(computed, value, power);
        let to_step = [5.0, 2.5].iter().any(|step| {
            2.0 <= value / (step * power) + 1e-9 && is_nearest(computed, value, step * power)
        });
        to_digits || to_step
    })
}

/// True if `value` is a multiple of `step`, and the one nearest to `computed`.
fn is_nearest(computed: f64, value: f64, step: f64) -> bool {
    let multiple = value / step;
    (multiple - multiple.round()).abs() < 1e-9
        && (computed - value).abs() <= step / 2.0 * (1.0 + 1e-12)
}

/// Cases that the rule itself must decide rightly, so that it cannot explain everything.
pub(crate) fn self_check() {
    let d = |text: &str| text.parse::<Decimal>().unwrap();
    for (computed, printed) in [
        (24.56, "25"),
        (0.229, "0.25"),
        (425.7, "425"),
        (2.25, "2"),
        (359.9, "360"),
        (89.6, "90"),
    ] {
        assert!(explains(computed, &d(printed)), "{computed} {printed}");
    }
    for (computed, printed) in [
        (24.35, "27"),
        (8.6, "5"),
        (29.9, "25"),
        (1.124, "1.5"),
        (12.57, "13.5"),
        (1008.0, "1015"),
    ] {
        assert!(!explains(computed, &d(printed)), "{computed} {printed}");
    }
}
