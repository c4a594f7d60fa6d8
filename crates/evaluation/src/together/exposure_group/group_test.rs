//! The group test of EN 689: whether, with 70 % confidence, fewer than 5 % of exposures are above the limit.
//!
//! Sources: the same package as for the preliminary test, and see [`tolerance_factor`].

use crate::outcome::{Code, Refusal};
use stainbook_catalog::model::Limit;
use stainbook_core::elementary::{exp, ln, powi};
use stainbook_core::print;

use super::super::GroupMember;
use super::super::result::{Decision, NamedFigure, Test};
use super::{bounded, words};
use stainbook_uncertainty::shapiro_wilk::shapiro_wilk;
use stainbook_uncertainty::tolerance_factor::tolerance_factor;

/// Below this probability values are called not lognormal. Common practice.
const LEVEL: f64 = 0.05;

/// The group test over values, with the test whether they are lognormal; with bounds among them see [`super::bounded`].
///
/// # Errors
///
/// A [`Refusal`]: there are fewer than six, or they are all the same.
pub(super) fn group_test(
    parts: &[(&str, &GroupMember)],
    at: f64,
    limit: &Limit,
) -> Result<Vec<Test>, Refusal> {
    let logs: Option<Vec<f64>> = parts
        .iter()
        .map(|(_, known)| Some(ln(known.ends.as_value()?.value)).filter(|log| log.is_finite()))
        .collect();
    let Some(logs) = logs else {
        return Ok(bounded::group_test(parts, at, limit));
    };
    let Some((of, factor)) = tolerance_factor(logs.len()) else {
        return Err(Refusal::new(
            Code::TooFewValues,
            "the group test needs 6 values",
            "measure further",
        ));
    };
    let count = f64::from(u32::try_from(logs.len()).unwrap_or(u32::MAX));
    let mean = logs.iter().sum::<f64>() / count;
    let spread = (logs.iter().map(|log| powi(log - mean, 2)).sum::<f64>() / (count - 1.0)).sqrt();
    if spread < 1e-9 {
        return Err(Refusal::new(
            Code::NoSpread,
            "all values are the same: they are read too coarsely for the group test, which lives on their spread",
            "read between the marks, or measure with a finer scale",
        ));
    }
    let u = (ln(at) - mean) / spread;
    let upper = exp(mean + factor * spread);
    let decision = if factor <= u {
        Decision::Compliance
    } else {
        Decision::NonCompliance
    };
    let than = if factor <= u { "at least" } else { "less than" };
    let mut tests = vec![Test {
        name: "EN 689 group test".to_owned(),
        decision,
        text: format!(
            "U_R = {} is {than} U_T = {} for {of} values, against the limit, {}",
            print::to_significant(u, 4),
            print::to_decimals(factor, 3),
            words(limit)
        ),
        figures: vec![
            NamedFigure::new("limit", at, "ppm"),
            NamedFigure::new("geometric mean", exp(mean), "ppm"),
            NamedFigure::new("geometric standard deviation", exp(spread), "1"),
            NamedFigure::new("U_R", u, "1"),
            NamedFigure::new("U_T", factor, "1"),
            NamedFigure::new(
                "upper limit of the 95th percentile, 70 % confidence",
                upper,
                "ppm",
            ),
        ],
    }];
    if let Some(tested) = shapiro_wilk(&logs) {
        let normal = LEVEL <= tested.p;
        tests.push(Test {
            name: "Shapiro-Wilk".to_owned(),
            decision: if normal {
                Decision::AsExpected
            } else {
                Decision::NotAsExpected
            },
            text: format!(
                "the logarithms of the values {}; with few values the test sees little, so look at a probability plot as well",
                if normal {
                    "may well be normally distributed"
                } else {
                    "are hardly normally distributed"
                }
            ),
            figures: vec![NamedFigure::new("W", tested.w, "1"), NamedFigure::new("p", tested.p, "1")],
        });
    }
    Ok(tests)
}
