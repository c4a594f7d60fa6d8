//! Worked examples of JCGM 100 and JCGM 101 and of guides that follow them, through the functions that a tube's result goes
//! through.
//!
//! A value agrees to half its last printed digit; where it is drawn, the table's `open` is added, about five standard
//! errors at the number of draws made here; where the source rounds its inputs, what their digits leave open.

use std::collections::BTreeMap;

use stainbook_core::elementary::{cos, ln, powi, sin};
use stainbook_uncertainty::distribution::Distribution;
use stainbook_uncertainty::monte_carlo::{
    Clamped, Comparison, Draws, Generator, Independent, MonteCarloResult, Settings, Trials,
    intervals, one_after_another, run,
};
use stainbook_uncertainty::propagation::{
    Combined, Correlation, Term, combine, correlation, degrees_of_freedom_of_inexact, terms,
};
use stainbook_uncertainty::student_t;

use crate::data::{self, PublishedRow};
use crate::report::{Origin, PublishedReport, within};

const GROUP: &str = "uncertainty";
const EXACT: f64 = f64::INFINITY;
const DRAWS: u64 = 200_000;

/// The rows of the table, each to be asked for once.
struct Checks<'r> {
    report: &'r mut PublishedReport,
    rows: BTreeMap<String, PublishedRow>,
}

impl Checks<'_> {
    fn value(&mut self, id: &str, computed: f64) {
        let row = self
            .rows
            .remove(id)
            .unwrap_or_else(|| panic!("`{id}` is not in the table, or was asked for twice"));
        assert!(!row.text("source").is_empty(), "{id} has no source");
        let printed = row.decimal("printed");
        let agrees = within(computed, &printed, row.number("open"));
        self.report.origin = Origin::said(row.text("source"));
        self.report.check(GROUP, id, agrees, || {
            format!("{} against {computed}", printed.text())
        });
    }
}

pub(crate) fn check(report: &mut PublishedReport) {
    let rows = data::uncertainty()
        .into_iter()
        .map(|row| (row.text("id").to_owned(), row))
        .collect();
    let mut checks = Checks { report, rows };
    end_gauge(&mut checks);
    simultaneous_resistance(&mut checks);
    thermometer(&mut checks);
    students_t(&mut checks);
    effective_degrees(&mut checks);
    additive(&mut checks);
    mass_calibration(&mut checks);
    comparison_loss(&mut checks);
    gauge_block(&mut checks);
    viscometer(&mut checks);
    thermal_expansion(&mut checks);
    logarithm(&mut checks);
    calibration_standard(&mut checks);
    let left: Vec<&String> = checks.rows.keys().collect();
    assert!(left.is_empty(), "nothing asked for {left:?}");
}

fn reaching(terms: &[Term], index: usize) -> f64 {
    terms[index].reaching().abs()
}

fn draw(trials: &dyn Trials, draws: u64) -> MonteCarloResult {
    let settings = Settings::new(Draws::Exactly(draws), 20_260_616);
    run(trials, &settings, &one_after_another)
}

/// JCGM 100, H.1: what the end gauge is longer than 50 mm, in nm. ls, d, δα, θ, αs, δθ.
fn length(x: &[f64]) -> f64 {
    let [ls, d, da, theta, a, dt] = x else {
        panic!("six inputs")
    };
    ls + d - ls * (da * theta + a * dt) - 50e6
}

fn end_gauge(checks: &mut Checks<'_>) {
    let inputs = [
        (50_000_623.0, 25.0, 18.0),
        (215.0, 9.7, 25.6),
        (0.0, 0.58e-6, degrees_of_freedom_of_inexact(0.1)),
        (-0.1, 0.41, EXACT),
        (11.5e-6, 1.2e-6, EXACT),
        (
            0.0,
            0.05 / 3.0_f64.sqrt(),
            degrees_of_freedom_of_inexact(0.5),
        ),
    ];
    let terms = terms(&inputs, length);
    let combined = combine(&terms, &[]);
    checks.value("h1-length", length(&inputs.map(|input| input.0)));
    checks.value("h1-uc", combined.standard);
    checks.value("h1-standard", reaching(&terms, 0));
    checks.value("h1-comparison", reaching(&terms, 1));
    checks.value("h1-expansion-difference", reaching(&terms, 2));
    checks.value("h1-temperature-difference", reaching(&terms, 5));
    let degrees = combined.effective_degrees_of_freedom.floor();
    let t = student_t::two_sided(0.99, degrees);
    checks.value("h1-degrees", degrees);
    checks.value("h1-t99", t);
    checks.value("h1-u99", t * combined.standard);
    checks.value("inexact-tenth", degrees_of_freedom_of_inexact(0.1));
    checks.value("inexact-half", degrees_of_freedom_of_inexact(0.5));
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// The covariance of the means of two series that were taken together (JCGM 100, 5.2.3).
fn covariance_of_means(a: &[f64], b: &[f64]) -> f64 {
    let (mean_a, mean_b, n) = (mean(a), mean(b), a.len() as f64);
    let sum: f64 = a
        .iter()
        .zip(b)
        .map(|(a, b)| (a - mean_a) * (b - mean_b))
        .sum();
    sum / (n * (n - 1.0))
}

/// JCGM 100, H.2: voltage, current and phase angle read five times together.
fn simultaneous_resistance(checks: &mut Checks<'_>) {
    let series = [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ];
    let standard: Vec<f64> = series
        .iter()
        .map(|s| covariance_of_means(s, s).sqrt())
        .collect();
    let inputs: Vec<(f64, f64, f64)> = series
        .iter()
        .zip(&standard)
        .map(|(s, u)| (mean(s), *u, EXACT))
        .collect();
    let together: Vec<Correlation> = [(0, 1), (0, 2), (1, 2)]
        .into_iter()
        .map(|(first, second)| Correlation {
            first,
            second,
            coefficient: covariance_of_means(&series[first], &series[second])
                / (standard[first] * standard[second]),
        })
        .collect();
    let models: [fn(&[f64]) -> f64; 3] = [
        |x| x[0] * cos(x[2]) / x[1],
        |x| x[0] * sin(x[2]) / x[1],
        |x| x[0] / x[1],
    ];
    let estimates: Vec<f64> = inputs.iter().map(|input| input.0).collect();
    let of: Vec<Vec<Term>> = models.iter().map(|model| terms(&inputs, model)).collect();
    for ((model, terms), name) in models.iter().zip(&of).zip(["r", "x", "z"]) {
        let combined = combine(terms, &together);
        checks.value(&format!("h2-{name}"), model(&estimates));
        checks.value(&format!("h2-u{name}"), combined.standard);
        // Without the correlations it is another figure altogether.
        let independent = combine(terms, &[]).standard;
        assert!(
            (independent / combined.standard - 1.0).abs() > 0.1,
            "{name}: {independent}"
        );
    }
    checks.value("h2-rrx", correlation(&of[0], &of[1], &together));
    checks.value("h2-rrz", correlation(&of[0], &of[2], &together));
    checks.value("h2-rxz", correlation(&of[1], &of[2], &together));
}

/// JCGM 100, H.3: a straight line through the corrections of a thermometer; each correction is an input whose standard
/// uncertainty is the scatter about the line.
fn thermometer(checks: &mut Checks<'_>) {
    let t = [
        21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
    ];
    let b = [
        -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
    ];
    let from_20: Vec<f64> = t.iter().map(|t| t - 20.0).collect();
    let line = |b: &[f64]| {
        let (mean_t, mean_b) = (mean(&from_20), mean(b));
        let over: f64 = from_20
            .iter()
            .zip(b)
            .map(|(t, b)| (t - mean_t) * (b - mean_b))
            .sum();
        let slope = over / from_20.iter().map(|t| powi(t - mean_t, 2)).sum::<f64>();
        (mean_b - slope * mean_t, slope)
    };
    let (y1, y2) = line(&b);
    let scatter: f64 = from_20
        .iter()
        .zip(b)
        .map(|(t, b)| powi(b - y1 - y2 * t, 2))
        .sum();
    let degrees = t.len() as f64 - 2.0;
    let inputs: Vec<(f64, f64, f64)> = b
        .iter()
        .map(|b| (*b, (scatter / degrees).sqrt(), EXACT))
        .collect();
    let intercept = terms(&inputs, |b| line(b).0);
    let slope = terms(&inputs, |b| line(b).1);
    let at_30 = terms(&inputs, |b| line(b).0 + 10.0 * line(b).1);
    checks.value("h3-y1", y1);
    checks.value("h3-uy1", combine(&intercept, &[]).standard);
    checks.value("h3-y2", y2);
    checks.value("h3-uy2", combine(&slope, &[]).standard);
    checks.value("h3-r", correlation(&intercept, &slope, &[]));
    checks.value("h3-b30", y1 + 10.0 * y2);
    checks.value("h3-ub30", combine(&at_30, &[]).standard);
}

fn students_t(checks: &mut Checks<'_>) {
    for degrees in [1.0, 2.0, 3.0, 4.0, 5.0, 8.0, 10.0, 16.0, 20.0, 50.0, 100.0] {
        checks.value(&format!("t-{degrees}"), student_t::two_sided(0.95, degrees));
    }
    let k = student_t::two_sided(0.95, 9.0);
    checks.value("g7-k", k);
    checks.value("g7-u", k * 0.35);
}

fn effective_degrees(checks: &mut Checks<'_>) {
    let sum = terms(&[(0.0, 0.57, 9.0), (0.0, 0.25, EXACT)], |x| x[0] + x[1]);
    checks.value(
        "ws-degrees",
        combine(&sum, &[]).effective_degrees_of_freedom,
    );
    let inputs = [
        (0.1820, 0.000_93, 9.0),
        (0.1823, 0.000_58, 19.0),
        (0.6978, 0.0026, 19.0),
    ];
    let ratio = |x: &[f64]| x[0] / x[1] * x[2];
    let Combined {
        standard,
        effective_degrees_of_freedom,
    } = combine(&terms(&inputs, ratio), &[]);
    checks.value("xrf-y", ratio(&inputs.map(|input| input.0)));
    checks.value("xrf-u", standard);
    checks.value("xrf-degrees", effective_degrees_of_freedom);
    checks.value(
        "xrf-u95",
        standard * student_t::two_sided(0.95, effective_degrees_of_freedom),
    );
}

/// JCGM 101, 9.2: four inputs added.
fn additive(checks: &mut Checks<'_>) {
    let sum = |x: &[f64]| x.iter().sum::<f64>();
    let normal = Distribution::Normal { standard: 1.0 };
    let wide = |standard: f64| Distribution::Rectangular {
        half_width: standard * 3.0_f64.sqrt(),
    };
    for (name, inputs, bears_out) in [
        ("s922", [normal; 4], Some(true)),
        ("s923", [wide(1.0); 4], None),
        (
            "s924",
            [wide(1.0), wide(1.0), wide(1.0), wide(10.0)],
            Some(false),
        ),
    ] {
        let inputs = inputs.map(|distribution| (0.0, distribution));
        let outcome = draw(
            &Independent {
                inputs: &inputs,
                model: sum,
            },
            DRAWS,
        );
        let [low, high] = outcome.intervals.symmetric;
        checks.value(&format!("{name}-u"), outcome.standard);
        checks.value(&format!("{name}-low"), low);
        checks.value(&format!("{name}-high"), high);
        let moved = inputs.map(|(estimate, of)| (estimate, of.standard(), EXACT));
        let standard = combine(&terms(&moved, sum), &[]).standard;
        let half = standard * student_t::two_sided(0.95, EXACT);
        let comparison = Comparison::new([-half, half], standard, &outcome, 2);
        // Of the second the ends are 0.04 apart where 0.05 are allowed: nearer than these draws can tell.
        if let Some(bears_out) = bears_out {
            assert_eq!(comparison.agrees(), bears_out, "{name}: {comparison:?}");
        }
        if name == "s924" {
            checks.value(
                "s924-gum-high",
                standard * student_t::two_sided(0.95, EXACT),
            );
        }
    }
}

/// JCGM 101, 9.3: a weight compared in air; the law of propagation misses that two inputs multiply.
fn mass_calibration(checks: &mut Checks<'_>) {
    let inputs = [
        (100_000.0, Distribution::Normal { standard: 0.050 }),
        (1.234, Distribution::Normal { standard: 0.020 }),
        (1.2, Distribution::Rectangular { half_width: 0.1 }),
        (8000.0, Distribution::Rectangular { half_width: 1000.0 }),
        (8000.0, Distribution::Rectangular { half_width: 50.0 }),
    ];
    let model =
        |x: &[f64]| (x[0] + x[1]) * (1.0 + (x[2] - 1.2) * (1.0 / x[3] - 1.0 / x[4])) - 100_000.0;
    let moved = inputs.map(|(estimate, of)| (estimate, of.standard(), EXACT));
    let standard = combine(&terms(&moved, model), &[]).standard;
    let half = standard * student_t::two_sided(0.95, EXACT);
    checks.value("s93-gum-u", standard);
    checks.value("s93-gum-low", 1.234 - half);
    checks.value("s93-gum-high", 1.234 + half);
    let outcome = draw(
        &Independent {
            inputs: &inputs,
            model,
        },
        DRAWS,
    );
    checks.value("s93-mean", outcome.mean);
    checks.value("s93-u", outcome.standard);
    checks.value("s93-low", outcome.intervals.symmetric[0]);
    checks.value("s93-high", outcome.intervals.symmetric[1]);
    let half = standard * student_t::two_sided(0.95, EXACT);
    let propagated = [1.234 - half, 1.234 + half];
    assert!(!Comparison::new(propagated, standard, &outcome, 2).agrees());
}

/// Two normal inputs that go together, of which the second is about zero.
struct Loss {
    x1: f64,
    coefficient: f64,
}

impl Trials for Loss {
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Clamped {
        let normal = Distribution::Normal { standard: 1.0 };
        let (mut a, mut b) = (vec![0.0; out.len()], vec![0.0; out.len()]);
        normal.draw(generator, &mut a);
        normal.draw(generator, &mut b);
        let r = self.coefficient;
        for ((slot, a), b) in out.iter_mut().zip(&a).zip(&b) {
            let x1 = self.x1 + 0.005 * a;
            let x2 = 0.005 * (r * a + (1.0 - r * r).sqrt() * b);
            *slot = (x1 * x1 + x2 * x2) * 1e6;
        }
        Clamped::default()
    }
}

/// JCGM 101, 9.4: at zero the law of propagation sees no uncertainty at all.
fn comparison_loss(checks: &mut Checks<'_>) {
    for (name, x1) in [("0", 0.0), ("10", 0.010), ("50", 0.050)] {
        let inputs = [(x1, 0.005, EXACT), (0.0, 0.005, EXACT)];
        let loss = |x: &[f64]| (x[0] * x[0] + x[1] * x[1]) * 1e6;
        checks.value(
            &format!("s94-{name}-0-gum"),
            combine(&terms(&inputs, loss), &[]).standard,
        );
        let outcome = draw(
            &Loss {
                x1,
                coefficient: 0.0,
            },
            DRAWS,
        );
        checks.value(&format!("s94-{name}-0-mean"), outcome.mean);
        checks.value(&format!("s94-{name}-0-u"), outcome.standard);
        let outcome = draw(
            &Loss {
                x1,
                coefficient: 0.9,
            },
            DRAWS,
        );
        checks.value(&format!("s94-{name}-9-u"), outcome.standard);
        if name == "10" {
            checks.value("s94-10-9-mean", outcome.mean);
        }
    }
}

/// JCGM 101, 9.5: the end gauge again, with a distribution for each input.
fn gauge_block(checks: &mut Checks<'_>) {
    let t = |scale, degrees_of_freedom| Distribution::StudentT {
        scale,
        degrees_of_freedom,
    };
    let inputs = [
        (50_000_623.0, t(25.0, 18.0)),
        (215.0, t(6.0, 24.0)),
        (0.0, t(4.0, 5.0)),
        (0.0, t(7.0, 8.0)),
        (
            0.0,
            Distribution::CurvilinearTrapezoid {
                half_width: 1e-6,
                inexactness: 0.1e-6,
            },
        ),
        (-0.1, Distribution::Normal { standard: 0.2 }),
        (0.0, Distribution::Arcsine { half_width: 0.5 }),
        (11.5e-6, Distribution::Rectangular { half_width: 2e-6 }),
        (
            0.0,
            Distribution::CurvilinearTrapezoid {
                half_width: 0.05,
                inexactness: 0.025,
            },
        ),
    ];
    let model = |x: &[f64]| length(&[x[0], x[1] + x[2] + x[3], x[4], x[5] + x[6], x[7], x[8]]);
    let block = Independent {
        inputs: &inputs,
        model,
    };
    let outcome = draw(&block, DRAWS);
    checks.value("s95-mean", outcome.mean);
    checks.value("s95-u", outcome.standard);
    let mut values = vec![0.0; 200_000];
    block.draw(&mut Generator::of_block(3, 0), &mut values);
    let [low, high] = intervals(&mut values, 0.99).symmetric;
    checks.value("s95-low", low);
    checks.value("s95-high", high);
}

/// NIST TN 1900, E3.
fn viscometer(checks: &mut Checks<'_>) {
    let inputs = [
        (4.63, 0.0463),
        (61.0, 6.1),
        (36.6, 5.49),
        (2217.0, 0.5),
        (1180.0, 0.5),
        (810.0, 0.5),
    ]
    .map(|(estimate, standard)| (estimate, Distribution::Normal { standard }));
    let model = |x: &[f64]| x[0] * x[1] * (x[3] - x[4]) / (x[2] * (x[3] - x[5]));
    checks.value("e3-gum", model(&inputs.map(|input| input.0)));
    let outcome = draw(
        &Independent {
            inputs: &inputs,
            model,
        },
        DRAWS,
    );
    checks.value("e3-mean", outcome.mean);
    checks.value("e3-u", outcome.standard);
    checks.value("e3-low", outcome.intervals.symmetric[0]);
    checks.value("e3-high", outcome.intervals.symmetric[1]);
}

/// NIST TN 1900, E13.
fn thermal_expansion(checks: &mut Checks<'_>) {
    let inputs = [
        (1.4999, 1e-4, 3.0),
        (1.5021, 2e-4, 3.0),
        (288.15, 0.02, 3.0),
        (373.10, 0.05, 3.0),
    ];
    let model = |x: &[f64]| (x[1] - x[0]) / (x[0] * (x[3] - x[2])) * 1e6;
    checks.value("e13-gum", model(&inputs.map(|input| input.0)));
    checks.value("e13-u", combine(&terms(&inputs, model), &[]).standard);
}

/// NPL DEM-ES-011: the shortest interval of a skewed distribution.
fn logarithm(checks: &mut Checks<'_>) {
    let rectangular = Distribution::Rectangular { half_width: 0.5 };
    // Over a step as wide as the uncertainty the slope of a logarithm is not its derivative; the report takes that.
    let slope = Term {
        sensitivity_coefficient: 1.0 / 0.6,
        standard: rectangular.standard(),
        degrees_of_freedom: EXACT,
    };
    checks.value("ln-gum", combine(&[slope], &[]).standard);
    let outcome = draw(
        &Independent {
            inputs: &[(0.6, rectangular)],
            model: |x: &[f64]| ln(x[0]),
        },
        DRAWS,
    );
    checks.value("ln-mean", outcome.mean);
    checks.value("ln-u", outcome.standard);
    checks.value("ln-low", outcome.intervals.shortest[0]);
    checks.value("ln-high", outcome.intervals.shortest[1]);
}

/// EURACHEM/CITAC, A1: mass, purity, and a volume of which the flask, filling it and its temperature are parts.
fn calibration_standard(checks: &mut Checks<'_>) {
    let inputs = [
        (100.28, 0.05, EXACT),
        (
            0.9999,
            Distribution::Rectangular { half_width: 0.0001 }.standard(),
            EXACT,
        ),
        (
            0.0,
            Distribution::Triangular { half_width: 0.1 }.standard(),
            EXACT,
        ),
        (0.0, 0.02, EXACT),
        (
            0.0,
            Distribution::Rectangular { half_width: 0.084 }.standard(),
            EXACT,
        ),
    ];
    let model = |x: &[f64]| 1000.0 * x[0] * x[1] / (100.0 + x[2] + x[3] + x[4]);
    let terms = terms(&inputs, model);
    checks.value("a1-c", model(&inputs.map(|input| input.0)));
    checks.value("a1-u", combine(&terms, &[]).standard);
    checks.value("a1-mass", reaching(&terms, 0));
    checks.value("a1-purity", reaching(&terms, 1));
    checks.value("a1-flask", reaching(&terms, 2));
    checks.value("a1-temperature", reaching(&terms, 4));
}
