//! The group test where some values are bounds.
//!
//! EN 689:2018 sends values below the limit of quantification to its Annex H, which names ways to put figures in their place:
//! fitting a censored lognormal distribution, or regression on order statistics (both from memory). What they put in has the
//! spread that the fit supposes, and with few values it decides the outcome. Nothing is put in here. The test compares
//!
//! ```text
//! T = mean + U_T · standard deviation     of the logarithms, with the logarithm of the limit,
//! ```
//!
//! and each bound may stand for anything between its ends. So `T` has a least and a greatest value, and there is a verdict if
//! both say the same:
//!
//! - `T` is convex in each value, so it is greatest where every bound is at one of its ends, and endless where an end is: with
//!   "less than" this never shows compliance, since a value next to nothing makes the spread as large as one likes;
//! - at its least all bounds are at one and the same figure `τ = mean − (n − 1)·s / (n·U_T)`, or at the end nearest to it:
//!   there its slope along each of them is zero, or points outward.
//!
//! An average over a shift in which one reading is a bound has two ends, often near to each other, and is the usual case.
//! Where that gives no verdict two other ways stand up: the preliminary test, if any five values would pass it, and from 24
//! values on a test that supposes no distribution: were 5 % of exposures above the limit, all of `n` values would be below it
//! with a probability of `0.95ⁿ`, which for 24 is less than 30 %.

use stainbook_catalog::model::Limit;
use stainbook_core::elementary::{exp, ln, powi};
use stainbook_core::print;

use super::super::GroupMember;
use super::super::result::{Decision, NamedFigure, Test};
use super::{preliminary, words};
use stainbook_uncertainty::tolerance_factor::tolerance_factor;

/// The part of exposures that may be above the limit, and how sure the test has to be that it is fewer. Source: EN 689:2018,
/// 5.5.3, from memory.
const EXCEEDING: f64 = 0.05;
const CONFIDENCE: f64 = 0.70;

/// With more bounds than this the ends are not all tried, and a figure that `T` cannot pass takes the place of its greatest.
const MOST_TRIED: usize = 14;

/// The logarithms that `T` is made of: the same twice for a value; endless ends of bounds are infinite.
type Logs = [(f64, f64)];

/// The group test, and what can be said where it gives no verdict.
pub(super) fn group_test(parts: &[(&str, &GroupMember)], at: f64, limit: &Limit) -> Vec<Test> {
    let Some((of, factor)) = tolerance_factor(parts.len()) else {
        return Vec::new();
    };
    let ends: Vec<(f64, f64)> = parts.iter().map(|(_, known)| logs(known)).collect();
    let bounds: Vec<&str> = parts
        .iter()
        .filter(|(_, known)| known.ends.as_value().is_none())
        .map(|(id, _)| *id)
        .collect();
    let (least, greatest) = (least(&ends, factor), greatest(&ends, factor));
    let (decision, said) = if greatest <= ln(at) {
        (Decision::Compliance, "is at or below the limit")
    } else if ln(at) < least {
        (Decision::NonCompliance, "is above the limit")
    } else {
        (Decision::NoDecision, "may lie on either side of the limit")
    };
    let mut text = format!(
        "wherever between its ends each bound is ({}), the upper limit of the 95th percentile with U_T = {} for {of} values {said}, {}",
        bounds.join(", "),
        print::to_decimals(factor, 3),
        words(limit)
    );
    if decision == Decision::NoDecision {
        text.push_str(
            "; repeat the bounds with the stroke count that gives a value, since no figure is put in for them",
        );
    } else if decision == Decision::NonCompliance {
        text.push_str(
            "; one value far from the others alone makes the spread large: look at whether they are of one group",
        );
    }
    let mut figures = vec![
        NamedFigure::new("limit", at, "ppm"),
        NamedFigure::new("U_T", factor, "1"),
    ];
    for (name, end) in [
        (
            "upper limit of the 95th percentile, 70 % confidence, at least",
            least,
        ),
        (
            "upper limit of the 95th percentile, 70 % confidence, at most",
            greatest,
        ),
    ] {
        if end.is_finite() {
            figures.push(NamedFigure::new(name, exp(end), "ppm"));
        }
    }
    let mut tests = vec![Test {
        name: "EN 689 group test".to_owned(),
        decision,
        text,
        figures,
    }];
    if decision == Decision::NoDecision {
        tests.extend(
            preliminary::of_any_five(parts, at, limit)
                .or_else(|| without_distribution(parts, at, limit)),
        );
    }
    tests
}

/// The logarithms of the ends of what is known.
fn logs(known: &GroupMember) -> (f64, f64) {
    let end = |end: Option<f64>, none: f64| end.map_or(none, ln);
    let numbers = known.ends.numbers();
    (
        end(numbers.lowest, f64::NEG_INFINITY),
        end(numbers.highest, f64::INFINITY),
    )
}

/// With 24 values and more that are all below the limit.
fn without_distribution(parts: &[(&str, &GroupMember)], at: f64, limit: &Limit) -> Option<Test> {
    let all_below = parts.iter().all(|(_, known)| {
        let highest = known.ends.highest.as_ref();
        highest.is_some_and(|highest| highest.value < at)
    });
    let count = i32::try_from(parts.len()).ok()?;
    let confidence = 1.0 - powi(1.0 - EXCEEDING, count);
    (all_below && CONFIDENCE <= confidence).then(|| Test {
        name: "test without a distribution".to_owned(),
        decision: Decision::Compliance,
        text: format!(
            "all {count} values are below the limit, {}, even at their upper ends: fewer than 5 % of exposures are above it with at least 70 % confidence, whatever their distribution",
            words(limit)
        ),
        figures: vec![
            NamedFigure::new("limit", at, "ppm"),
            NamedFigure::new("confidence", confidence, "1"),
        ],
    })
}

/// `T` of logarithms.
fn upper(values: &[f64], factor: f64) -> f64 {
    let (mean, spread) = mean_and_spread(values);
    mean + factor * spread
}

fn mean_and_spread(values: &[f64]) -> (f64, f64) {
    let count = count(values.len());
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|x| powi(x - mean, 2)).sum();
    (mean, (squares / (count - 1.0)).sqrt())
}

fn count(values: usize) -> f64 {
    f64::from(u32::try_from(values).unwrap_or(u32::MAX))
}

/// The greatest that `T` can be.
fn greatest(ends: &Logs, factor: f64) -> f64 {
    if ends
        .iter()
        .any(|(low, high)| !low.is_finite() || !high.is_finite())
    {
        return f64::INFINITY;
    }
    let open: Vec<usize> = ends
        .iter()
        .enumerate()
        .filter(|(_, (low, high))| low < high)
        .map(|(index, _)| index)
        .collect();
    if MOST_TRIED < open.len() {
        return above_greatest(ends, factor);
    }
    (0..1_usize << open.len())
        .map(|choice| {
            let mut values: Vec<f64> = ends.iter().map(|(low, _)| *low).collect();
            for (bit, index) in open.iter().enumerate() {
                if choice >> bit & 1 == 1
                    && let (Some(slot), Some((_, high))) =
                        (values.get_mut(*index), ends.get(*index))
                {
                    *slot = *high;
                }
            }
            upper(&values, factor)
        })
        .fold(f64::NEG_INFINITY, f64::max)
}

/// A figure that `T` cannot pass: no mean is above that of the upper ends, and the squares about the mean are the least
/// there are, so those about any other figure are no smaller.
fn above_greatest(ends: &Logs, factor: f64) -> f64 {
    let count = count(ends.len());
    let mean = ends.iter().map(|(_, high)| high).sum::<f64>() / count;
    let middle = ends
        .iter()
        .map(|(low, high)| f64::midpoint(*low, *high))
        .sum::<f64>()
        / count;
    let squares: f64 = ends
        .iter()
        .map(|(low, high)| powi((low - middle).abs().max((high - middle).abs()), 2))
        .sum();
    mean + factor * (squares / (count - 1.0)).sqrt()
}

/// The least that `T` can be. There is no bound below where nearly everything is a bound.
fn least(ends: &Logs, factor: f64) -> f64 {
    // Logarithms of concentrations, in whatever unit, are far inside.
    const FAR: f64 = 1e4;
    let at = |figure: f64| -> Vec<f64> {
        ends.iter()
            .map(|(low, high)| figure.clamp(*low, *high))
            .collect()
    };
    // Below zero where a larger figure makes T smaller.
    let slope = |figure: f64| {
        let count = count(ends.len());
        let (mean, spread) = mean_and_spread(&at(figure));
        figure - (mean - (count - 1.0) * spread / (count * factor))
    };
    let (mut low, mut high) = (-FAR, FAR);
    if 0.0 <= slope(low) {
        let open = ends.iter().any(|(low, _)| !low.is_finite());
        return if open {
            f64::NEG_INFINITY
        } else {
            upper(&at(low), factor)
        };
    }
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if slope(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    upper(&at(f64::midpoint(low, high)), factor)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const FACTOR: f64 = 2.1867;

    fn values(of: &[f64]) -> Vec<(f64, f64)> {
        of.iter().map(|x| (ln(*x), ln(*x))).collect()
    }

    /// Without bounds both are `T`.
    #[test]
    fn of_values() {
        let of = [10.0, 20.0, 40.0, 10.0, 20.0, 40.0_f64];
        let ends = values(&of);
        let t = ln(20.0) + FACTOR * ln(2.0) * 0.8_f64.sqrt();
        assert!((least(&ends, FACTOR) - t).abs() < 1e-9);
        assert!((greatest(&ends, FACTOR) - t).abs() < 1e-9);
    }

    /// A bound without a lower end leaves T without an upper one, and with nothing but bounds without a lower one too.
    #[test]
    fn endless() {
        let mut ends = values(&[10.0, 20.0, 40.0, 10.0, 20.0]);
        ends.push((f64::NEG_INFINITY, ln(5.0)));
        assert!(greatest(&ends, FACTOR).is_infinite());
        let t = least(&ends, FACTOR);
        assert!(ln(20.0) < t && t.is_finite(), "{t}");
        assert_eq!(
            least(&[(f64::NEG_INFINITY, 0.0); 6], FACTOR),
            f64::NEG_INFINITY
        );
        assert!(greatest(&[(0.0, f64::INFINITY); 6], FACTOR).is_infinite());
    }

    prop_compose! {
        fn a_box()(
            of in prop::collection::vec((0.0..5.0_f64, 0.0..2.0_f64, any::<bool>()), 6..12),
        ) -> Vec<(f64, f64)> {
            of.into_iter()
                .map(|(low, width, open)| (low, if open { low + width } else { low }))
                .collect()
        }
    }

    proptest! {
        /// Wherever the bounds are, T lies between.
        #[test]
        fn nothing_lies_outside(ends in a_box(), places in prop::collection::vec(0.0..=1.0_f64, 12)) {
            let (least, greatest) = (least(&ends, FACTOR), greatest(&ends, FACTOR));
            let inside: Vec<f64> = ends
                .iter()
                .zip(&places)
                .map(|((low, high), place)| low + place * (high - low))
                .collect();
            let t = upper(&inside, FACTOR);
            prop_assert!(least - 1e-9 <= t && t <= greatest + 1e-9, "{least} {t} {greatest}");
            prop_assert!(greatest <= above_greatest(&ends, FACTOR) + 1e-9);
        }

        /// The least is reached: small steps from there to any side lead up.
        #[test]
        fn the_least_is_one_that_can_be(ends in a_box()) {
            let found = least(&ends, FACTOR);
            let finest = (0..=400)
                .map(|i| -1.0 + 9.0 * f64::from(i) / 400.0)
                .map(|figure| {
                    let at: Vec<f64> = ends.iter().map(|(l, h)| figure.clamp(*l, *h)).collect();
                    upper(&at, FACTOR)
                })
                .fold(f64::INFINITY, f64::min);
            prop_assert!(found <= finest + 1e-9 && finest - found < 0.01, "{found} {finest}");
        }
    }
}
