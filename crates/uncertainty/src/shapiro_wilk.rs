//! Test of normality by Shapiro and Wilk (Biometrika 52, 1965) with the approximations of
//! P. Royston, "Remark AS R94", Applied Statistics 44 (1995), whose coefficients stand here from memory.

use crate::elementary::{asin, exp, ln, powi};

use crate::normal::{probability_below, two_sided};

/// The outcome of the test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tested {
    /// The statistic, at most 1.
    pub w: f64,
    /// The probability of a smaller one if the values are normal.
    pub p: f64,
}

/// Tests 3 to 5000 values; nothing for fewer, for more, and for values that are all the same.
pub fn shapiro_wilk(values: &[f64]) -> Option<Tested> {
    let n = u32::try_from(values.len()).ok()?;
    if !(3..=5000).contains(&n) {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let count = f64::from(n);
    let mean = sorted.iter().sum::<f64>() / count;
    let squares: f64 = sorted.iter().map(|x| powi(x - mean, 2)).sum();
    let scale = sorted.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    if squares <= powi(scale * 1e-12, 2) {
        return None;
    }
    let weighted: f64 = weights(n).iter().zip(&sorted).map(|(a, x)| a * x).sum();
    let w = (weighted * weighted / squares).min(1.0);
    Some(Tested {
        w,
        p: probability(w, n),
    })
}

/// The weight of each value in order.
fn weights(n: u32) -> Vec<f64> {
    let count = f64::from(n);
    let middle: Vec<f64> = (1..=n)
        .map(|i| quantile((f64::from(i) - 0.375) / (count + 0.25)))
        .collect();
    let square: f64 = middle.iter().map(|m| m * m).sum();
    if n == 3 {
        let end = 0.5_f64.sqrt();
        return vec![-end, 0.0, end];
    }
    let root = square.sqrt();
    let u = 1.0 / count.sqrt();
    let of_end = |from_end: usize| middle.iter().rev().nth(from_end).copied().unwrap_or(0.0);
    let (last, before) = (of_end(0), of_end(1));
    let a_last = last / root
        + polynomial(
            u,
            &[0.0, 0.221_157, -0.147_981, -2.071_19, 4.434_685, -2.706_056],
        );
    let a_before = before / root
        + polynomial(
            u,
            &[
                0.0, 0.042_981, -0.293_762, -1.752_461, 5.682_633, -3.582_633,
            ],
        );
    let (phi, ends) = if 5 < n {
        (
            (square - 2.0 * last * last - 2.0 * before * before)
                / (1.0 - 2.0 * a_last * a_last - 2.0 * a_before * a_before),
            vec![a_last, a_before],
        )
    } else {
        (
            (square - 2.0 * last * last) / (1.0 - 2.0 * a_last * a_last),
            vec![a_last],
        )
    };
    let mut weights: Vec<f64> = middle.iter().map(|m| m / phi.sqrt()).collect();
    for (slot, a) in weights.iter_mut().zip(&ends) {
        *slot = -a;
    }
    for (slot, a) in weights.iter_mut().rev().zip(&ends) {
        *slot = *a;
    }
    weights
}

fn probability(w: f64, n: u32) -> f64 {
    let count = f64::from(n);
    if n == 3 {
        let p = 6.0 / std::f64::consts::PI * (asin(w.sqrt()) - asin(0.75_f64.sqrt()));
        return p.clamp(0.0, 1.0);
    }
    let (y, mean, standard) = if n <= 11 {
        let gamma = -2.273 + 0.459 * count;
        let inner = gamma - ln(1.0 - w);
        if inner <= 0.0 {
            return 0.0;
        }
        (
            -ln(inner),
            polynomial(count, &[0.544, -0.399_78, 0.025_054, -6.714e-4]),
            exp(polynomial(
                count,
                &[1.3822, -0.778_57, 0.062_767, -0.002_032_2],
            )),
        )
    } else {
        let log = ln(count);
        (
            ln(1.0 - w),
            polynomial(log, &[-1.5861, -0.310_82, -0.083_751, 0.003_891_5]),
            exp(polynomial(log, &[-0.4803, -0.082_676, 0.003_030_2])),
        )
    };
    probability_below((mean - y) / standard)
}

fn polynomial(x: f64, coefficients: &[f64]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The value that a standard normal variable stays below with a probability.
fn quantile(p: f64) -> f64 {
    if p < 0.5 {
        -two_sided(1.0 - 2.0 * p)
    } else {
        two_sided(2.0 * p - 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of the 1965 paper (weights of eleven men): W = 0.79. The further digits and p are what widely used
    /// packages print for it, from memory.
    #[test]
    fn the_first_example() {
        let weights = [
            148.0, 154.0, 158.0, 160.0, 161.0, 162.0, 166.0, 170.0, 182.0, 195.0, 236.0,
        ];
        let tested = shapiro_wilk(&weights).unwrap();
        assert!((tested.w - 0.7888).abs() < 5e-5, "{tested:?}");
        assert!((tested.p - 0.0067).abs() < 5e-5, "{tested:?}");
    }

    #[test]
    fn normal_values_pass_and_others_do_not() {
        let normal: Vec<f64> = (1..20).map(|i| quantile(f64::from(i) / 20.0)).collect();
        assert!(0.9 < shapiro_wilk(&normal).unwrap().p);
        let skewed: Vec<f64> = normal.iter().map(|x| exp(2.0 * x)).collect();
        assert!(shapiro_wilk(&skewed).unwrap().p < 0.01);
        assert_eq!(shapiro_wilk(&[2.0; 8]), None);
        assert_eq!(shapiro_wilk(&[1.0, 2.0]), None);
    }

    /// Three values one step apart are as normal as three can be.
    #[test]
    fn of_three() {
        let tested = shapiro_wilk(&[1.0, 2.0, 3.0]).unwrap();
        assert!(
            (tested.w - 1.0).abs() < 1e-12 && (tested.p - 1.0).abs() < 1e-9,
            "{tested:?}"
        );
    }

    /// Neither the order of the values nor their unit plays a part.
    #[test]
    fn order_and_unit() {
        let values = [3.0, 1.2, 9.5, 4.4, 2.0, 7.1];
        let turned: Vec<f64> = values.iter().rev().map(|x| x * 40.9 + 3.0).collect();
        let (a, b) = (
            shapiro_wilk(&values).unwrap(),
            shapiro_wilk(&turned).unwrap(),
        );
        assert!((a.w - b.w).abs() < 1e-12 && (a.p - b.p).abs() < 1e-9);
    }
}
