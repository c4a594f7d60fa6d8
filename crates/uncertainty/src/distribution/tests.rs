use crate::elementary::{asin, hypot};

use super::*;

/// One of each kind that ends somewhere.
const BOUNDED: [Distribution; 5] = [
    Distribution::Rectangular { half_width: 3.0 },
    Distribution::Triangular { half_width: 3.0 },
    Distribution::Trapezoid {
        half_width: 3.0,
        top: 0.4,
    },
    Distribution::CurvilinearTrapezoid {
        half_width: 3.0,
        inexactness: 1.0,
    },
    Distribution::Arcsine { half_width: 3.0 },
];

/// Drawn and stated standard deviations agree, and nothing lies outside what cannot be outside.
#[test]
fn draws_have_the_standard_deviation_of_their_distribution() {
    const N: usize = 200_000;
    let normal = Distribution::Normal { standard: 2.0 };
    for distribution in [normal].into_iter().chain(BOUNDED) {
        let mut draws = vec![0.0; N];
        distribution.draw(&mut Generator::of_block(7, 0), &mut draws);
        let mean = draws.iter().sum::<f64>() / N as f64;
        let standard = (draws.iter().map(|x| x * x).sum::<f64>() / N as f64).sqrt();
        // Five standard errors of a mean and of a standard deviation at this number of draws.
        assert!(
            mean.abs() < 5.0 * distribution.standard() / (N as f64).sqrt(),
            "{distribution:?} {mean}"
        );
        assert!(
            (standard / distribution.standard() - 1.0).abs() < 0.01,
            "{distribution:?} {standard}"
        );
        if !matches!(distribution, Distribution::Normal { .. }) {
            assert!(draws.iter().all(|x| x.abs() <= 4.0), "{distribution:?}");
        }
    }
}

/// The probability of a draw at or below a place, each by its own formula.
fn probability_below(distribution: Distribution, at: f64) -> f64 {
    let rectangular = |half_width: f64| f64::midpoint(at / half_width, 1.0).clamp(0.0, 1.0);
    match distribution {
        Distribution::Normal { standard } => crate::normal::probability_below(at / standard),
        Distribution::StudentT {
            scale,
            degrees_of_freedom,
        } => {
            // By bisection of the two-sided quantiles.
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..60 {
                let middle = f64::midpoint(low, high);
                if crate::student_t::two_sided(middle, degrees_of_freedom) * scale < at.abs() {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            0.5 + 0.5 * low * at.signum()
        }
        Distribution::Rectangular { half_width } => rectangular(half_width),
        Distribution::Triangular { half_width } => {
            let from_end = (1.0 - at.abs() / half_width).max(0.0);
            let outside = from_end * from_end / 2.0;
            if at < 0.0 { outside } else { 1.0 - outside }
        }
        Distribution::Trapezoid { half_width, top } => {
            // The density is level at 1/(a(1 + β)) within βa, and falls to nothing at a.
            let level = 1.0 / (half_width * (1.0 + top));
            let from_end = half_width - at.abs();
            let slope = half_width * (1.0 - top);
            let outside = if from_end < slope {
                level * from_end * from_end / (2.0 * slope)
            } else {
                level * (slope / 2.0 + from_end - slope)
            };
            if at < 0.0 { outside } else { 1.0 - outside }
        }
        Distribution::CurvilinearTrapezoid {
            half_width,
            inexactness,
        } => {
            // The mean over where the ends may be.
            let ends = (0..2000).map(|n| half_width + inexactness * (f64::from(n) / 999.5 - 1.0));
            ends.map(rectangular).sum::<f64>() / 2000.0
        }
        Distribution::Arcsine { half_width } => 0.5 + asin(at / half_width) / std::f64::consts::PI,
    }
}

/// As many draws lie below a place as should, in the middle and far out.
#[test]
fn draws_lie_where_their_distribution_says() {
    const N: usize = 400_000;
    let far: &[f64] = &[
        -4.0, -3.5, -3.0, -2.0, -1.0, -0.3, 0.0, 0.5, 1.5, 2.5, 3.2, 4.0,
    ];
    let bounded: &[f64] = &[
        -0.999, -0.99, -0.9, -0.6, -0.2, 0.0, 0.3, 0.5, 0.8, 0.95, 0.995,
    ];
    for (distribution, unit, places) in [
        (Distribution::Normal { standard: 2.0 }, 2.0, far),
        (
            Distribution::StudentT {
                scale: 1.5,
                degrees_of_freedom: 5.0,
            },
            1.5,
            far,
        ),
        (Distribution::Rectangular { half_width: 3.0 }, 3.0, bounded),
        (Distribution::Triangular { half_width: 3.0 }, 3.0, bounded),
        (
            Distribution::Trapezoid {
                half_width: 3.0,
                top: 0.4,
            },
            3.0,
            bounded,
        ),
        (
            Distribution::CurvilinearTrapezoid {
                half_width: 3.0,
                inexactness: 1.0,
            },
            4.0,
            bounded,
        ),
        (Distribution::Arcsine { half_width: 3.0 }, 3.0, bounded),
    ] {
        let mut draws = vec![0.0; N];
        distribution.draw(&mut Generator::of_block(11, 3), &mut draws);
        for place in places {
            let at = place * unit;
            let expected = probability_below(distribution, at);
            let found = draws.iter().filter(|draw| **draw <= at).count() as f64 / N as f64;
            // Five standard errors of a counted share, and one draw.
            let error = (expected * (1.0 - expected) / N as f64).sqrt();
            assert!(
                (found - expected).abs() <= 5.0 * error + 1.0 / N as f64,
                "{distribution:?} at {at}: {found} and not {expected}"
            );
        }
    }
}

/// Independence of draws: neither one draw with the next, nor one input with another.
#[test]
fn draws_are_independent() {
    const N: usize = 200_000;
    let generator = &mut Generator::of_block(23, 0);
    let (mut a, mut b) = (vec![0.0; N], vec![0.0; N]);
    Distribution::Normal { standard: 1.0 }.draw(generator, &mut a);
    Distribution::Normal { standard: 1.0 }.draw(generator, &mut b);
    let correlation = |a: &[f64], b: &[f64]| {
        a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>() / a.len().min(b.len()) as f64
    };
    let squares = |x: &[f64]| {
        x.iter()
            .map(|x| (x * x - 1.0) / 2.0_f64.sqrt())
            .collect::<Vec<_>>()
    };
    let five_errors = 5.0 / (N as f64).sqrt();
    for (a, b, what) in [
        (&a[1..], &a[..N - 1], "the next one"),
        (&a[2..], &a[..N - 2], "the one after that"),
        (&a[..], &b[..], "another input"),
        (
            &squares(&a)[..],
            &squares(&b)[..],
            "the size of another input",
        ),
    ] {
        let found = correlation(a, b);
        assert!(found.abs() < five_errors, "{what}: {found}");
    }
}

#[test]
fn nothing_is_drawn_beyond_its_reach() {
    let normal = Distribution::Normal { standard: 0.0 };
    for distribution in [normal].into_iter().chain(BOUNDED) {
        let mut draws = vec![f64::NAN; 50_000];
        distribution.draw(&mut Generator::of_block(7, 5), &mut draws);
        let farthest = draws.iter().fold(0.0_f64, |far, x| far.max(x.abs()));
        let reach = distribution.reach();
        // And not far beyond what is drawn either: a triangle's ends are rarely drawn.
        assert!(
            farthest <= reach && 0.9 * reach <= farthest,
            "{distribution:?} {farthest}"
        );
    }
    assert!(Distribution::Normal { standard: 1.0 }.reach().is_infinite());
}

#[test]
fn few_readings_spread_wider() {
    const N: usize = 200_000;
    let mut draws = vec![0.0; N];
    Distribution::StudentT {
        scale: 1.0,
        degrees_of_freedom: 8.0,
    }
    .draw(&mut Generator::of_block(7, 1), &mut draws);
    let variance = draws.iter().map(|x| x * x).sum::<f64>() / N as f64;
    // ν/(ν − 2)
    assert!((variance / (8.0 / 6.0) - 1.0).abs() < 0.02, "{variance}");
}

#[test]
fn two_rectangular_ones_make_a_trapezoid() {
    for (a, b) in [(1.0, 3.0), (2.0, 2.0), (0.0, 1.5)] {
        let sum = Distribution::sum_of_rectangular(a, b).standard();
        assert!((sum - hypot(a / 3.0_f64.sqrt(), b / 3.0_f64.sqrt())).abs() < 1e-12);
    }
}
