//! Figures of several readings by drawing, against the same models worked out here by a generator of the test's own.

use stainbook_catalog::Book;
use stainbook_core::elementary::ln;
use stainbook_evaluation::outcome::Code;
use stainbook_evaluation::result::{Evaluation, GroupResult, MonteCarlo};
use stainbook_evaluation::{MonteCarloOptions, Options};
use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another};

use crate::mutual_interference::pair;
use crate::plant::{plant_with, round_with, row, tube};

const DRAWS: u64 = 200_000;

/// SplitMix64 (G. Steele, D. Lea, C. Flood, "Fast splittable pseudorandom number generators", 2014, from memory).
struct OwnGenerator(u64);

impl OwnGenerator {
    fn zero_to_one(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn about_zero(&mut self) -> f64 {
        2.0 * self.zero_to_one() - 1.0
    }

    /// The polar method of G. Marsaglia.
    fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (self.about_zero(), self.about_zero());
            let square = x * x + y * y;
            if 0.0 < square && square < 1.0 {
                return x * (-2.0 * ln(square) / square).sqrt();
            }
        }
    }
}

/// The ends of the central 95 % and the median of a figure.
fn drawn_here(mut figure: impl FnMut(&mut OwnGenerator) -> f64) -> [f64; 3] {
    let mut generator = OwnGenerator(5);
    let mut drawn: Vec<f64> = (0..DRAWS).map(|_| figure(&mut generator)).collect();
    drawn.sort_unstable_by(f64::total_cmp);
    // 2.5, 50 and 97.5 % of them.
    [5_000, 100_000, 195_000].map(|place| drawn[place])
}

fn drawing(draws: u64) -> Options<'static> {
    Options::default().with_monte_carlo(MonteCarloOptions::new(
        Settings::new(Draws::Exactly(draws), 3),
        &one_after_another,
    ))
}

fn drawn_round(book: &Book, readings: &[&str], rest: &str) -> Evaluation {
    round_with(book, readings, rest, &drawing(DRAWS))
}

/// Within half a percent, where the draws themselves leave a fifth of one.
fn agree(drawn: &MonteCarlo, [low, median, high]: [f64; 3]) {
    let [Some(lowest), Some(highest)] = drawn.interval_symmetric else {
        panic!("{drawn:#?}")
    };
    for (found, expected) in [(lowest, low), (drawn.median, median), (highest, high)] {
        assert!(
            (found / expected - 1.0).abs() < 0.005,
            "{found} for {expected}: {drawn:#?}"
        );
    }
}

fn drawn(figure: &GroupResult) -> &MonteCarlo {
    figure.monte_carlo.as_ref().unwrap()
}

/// The sheet of a plant's tube with other figures.
fn sheet(id: &str, repeatability: &str, accuracy: &str) -> (String, String) {
    let (path, text) = tube(id, "alfa", &[]);
    let text = text
        .replace("rsd: 5 %", repeatability)
        .replace("within: 10 %, confidence: 95 %", accuracy);
    (path, text)
}

/// Of the stroke volume, known to 5 %.
const VOLUME: f64 = 0.05;

/// Half of the shift by one tube and half by another: the accuracy of one sheet stays whole, that of two sheets averages out.
#[test]
fn what_is_common_does_not_average_out() {
    let figures = |id| sheet(id, "rsd: 0.1 %", "within: 40 %, confidence: 95 %");
    let book = plant_with(vec![figures("ta"), figures("te")]);
    let rest = "together:\n  - {id: shift, method: average, readings: [r1, r2]}";
    let accuracy = 0.4 / 1.959_963_984_540_054;
    for (second, common) in [("ta", true), ("te", false)] {
        let readings = [
            "id: r1, tube: ta, lot: '1', reading: {at: 80 ppm, uncertainty: 0.1 ppm}, stands_for: 4 h",
            &format!(
                "id: r2, tube: {second}, lot: '1', reading: {{at: 40 ppm, uncertainty: 0.1 ppm}}, stands_for: 4 h"
            ),
        ];
        let evaluation = drawn_round(&book, &readings, rest);
        let expected = drawn_here(|g| {
            let volume = VOLUME * g.about_zero();
            let first = accuracy * g.normal();
            let second = if common { first } else { accuracy * g.normal() };
            let result = |at: f64, e: f64, g: &mut OwnGenerator| {
                (at + 0.1 * g.normal()) / (1.0 + e + volume + 0.001 * g.normal())
            };
            0.5 * result(80.0, first, g) + 0.5 * result(40.0, second, g)
        });
        agree(drawn(row(&evaluation, "shift")), expected);
    }
}

/// Four readings whose repeatability rests on three: its true value is drawn once for all of them.
#[test]
fn a_standard_deviation_from_few_readings_is_one_figure() {
    let book = plant_with(vec![sheet(
        "ta",
        "rsd: 5 %, from_readings: 3",
        "within: 1 %, confidence: 95 %",
    )]);
    let readings: Vec<String> = (1..=4)
        .map(|n| {
            format!("id: r{n}, tube: ta, lot: '1', reading: {{at: 80 ppm, uncertainty: 0.1 ppm}}, stands_for: 2 h")
        })
        .collect();
    let readings: Vec<&str> = readings.iter().map(String::as_str).collect();
    let rest = "together:\n  - {id: shift, method: average, readings: [r1, r2, r3, r4]}";
    let evaluation = drawn_round(&book, &readings, rest);
    let accuracy = 0.01 / 1.959_963_984_540_054;
    let model = |one_figure: bool| {
        drawn_here(|g| {
            let common = VOLUME * g.about_zero() + accuracy * g.normal();
            // χ² with two degrees of freedom is −2·ln of a uniform number.
            let root = |g: &mut OwnGenerator| (-ln(1.0 - g.zero_to_one())).sqrt().recip();
            let of_all = root(g);
            let mut sum = 0.0;
            for _ in 0..4 {
                let own = if one_figure { of_all } else { root(g) };
                let e = common + 0.05 * own * g.normal();
                sum += if -1.0 < e {
                    (80.0 + 0.1 * g.normal()) / (1.0 + e)
                } else {
                    f64::INFINITY
                };
            }
            sum / 4.0
        })
    };
    let found = drawn(row(&evaluation, "shift"));
    agree(found, model(true));
    // Drawn by each reading for itself it would be another interval.
    let [low, _, _] = model(false);
    assert!(
        0.01 < (found.interval_symmetric[0].unwrap() / low - 1.0).abs(),
        "{found:#?} {low}"
    );
}

/// 120 and 70 ppm, each with a part of the other gas in it: both equations solved in every draw.
#[test]
fn gases_that_disturb_each_other() {
    let book = pair("0.4", "0.2");
    let readings = [
        "id: a, tube: ta, lot: '1', reading: {at: 120 ppm, uncertainty: 1 ppm}",
        "id: b, tube: tb, lot: '1', pump: p2, reading: {at: 70 ppm, uncertainty: 1 ppm}",
    ];
    let rest = "together:
  - {id: m, method: mutual interference, readings: [a, b]}
  - {id: x, method: mixture, readings: [a, b], same_effect: both make drowsy, limit: {source: own, kind: ceiling}}";
    let evaluation = drawn_round(&book, &readings, rest);
    let solved = |g: &mut OwnGenerator| {
        let mut stain = |at: f64| {
            let accuracy = 0.1 / 1.959_963_984_540_054 * g.normal();
            let e = accuracy + 0.05 * g.normal() + VOLUME * g.about_zero();
            (at + g.normal()) / (1.0 + e)
        };
        let (a, b) = (stain(120.0), stain(70.0));
        let on_alfa = 0.4 * (1.0 + 0.2 * g.normal());
        let on_beta = 0.2 * (1.0 + 0.2 * g.normal());
        let determinant = 1.0 - on_alfa * on_beta;
        [
            (a - on_alfa * b) / determinant,
            (b - on_beta * a) / determinant,
        ]
    };
    let m = row(&evaluation, "m");
    for (of, index) in m.solved.iter().zip([0, 1]) {
        let found = of.monte_carlo.as_ref().unwrap();
        agree(found, drawn_here(|g| solved(g)[index]));
    }
    // The mixture is drawn from the pair, not from its readings, and not from two pairs.
    let expected = drawn_here(|g| {
        let [a, b] = solved(g);
        a / 300.0 + b / 1000.0
    });
    agree(drawn(row(&evaluation, "x")), expected);
}

/// A mixture is drawn from the readings of the averages that it names, and repeats with the spread that was found.
#[test]
fn averages_of_averages_and_repeats() {
    let book = plant_with(vec![sheet(
        "ta",
        "rsd: 2 %",
        "within: 10 %, confidence: 95 %",
    )]);
    let readings = [
        "id: r1, tube: ta, lot: '1', reading: {at: 80 ppm, uncertainty: 0.1 ppm}, stands_for: 8 h",
        "id: r2, tube: ta, lot: '1', reading: {at: 60 ppm, uncertainty: 0.1 ppm}, repeat_of: r1",
        "id: r3, tube: tg, lot: '1', reading: {at: 40 ppm, uncertainty: 0.1 ppm}, stands_for: 8 h",
    ];
    let rest = "together:
  - {id: shift, method: average, readings: [r1]}
  - {id: other, method: average, readings: [r3]}
  - {id: sum, method: mixture, averages: [shift, other], same_effect: irritate, limit: {source: own, kind: 8-hour average}}";
    let evaluation = drawn_round(&book, &readings, rest);
    let accuracy = 0.1 / 1.959_963_984_540_054;
    let result = |at: f64, common: f64, g: &mut OwnGenerator| {
        (at + 0.1 * g.normal()) / (1.0 + common + 0.02 * g.normal())
    };
    let common = |g: &mut OwnGenerator| accuracy * g.normal() + VOLUME * g.about_zero();
    let one = drawn_here(|g| {
        let common = common(g);
        result(80.0, common, g)
    });
    agree(drawn(row(&evaluation, "shift")), one);
    // The pump is one for both gases.
    let sum = drawn_here(|g| {
        let volume = VOLUME * g.about_zero();
        let other =
            (40.0 + 0.1 * g.normal()) / (1.0 + volume + accuracy * g.normal() + 0.05 * g.normal());
        result(80.0, volume + accuracy * g.normal(), g) / 100.0 + other / 200.0
    });
    agree(drawn(row(&evaluation, "sum")), sum);
    let repeats = evaluation
        .together
        .iter()
        .find(|together| together.id == "r1 r2")
        .unwrap();
    let budget = &repeats.uncertainty.as_ref().unwrap().budget;
    let spread = budget.iter().find(|line| line.code == "spread").unwrap();
    // One degree of freedom: Student's t is the distribution of Cauchy.
    let mean = drawn_here(|g| {
        let common = common(g);
        let mean = 0.5 * result(80.0, common, g) + 0.5 * result(60.0, common, g);
        let cauchy = g.normal() / g.normal();
        (mean + spread.standard * cauchy).max(0.0)
    });
    let found = drawn(repeats);
    assert_eq!((found.interval_symmetric[0], mean[0]), (Some(0.0), 0.0));
    assert!((found.median / mean[1] - 1.0).abs() < 0.01, "{found:#?}");
    // The tail of such a distribution is long: the end itself is uncertain by a few percent.
    assert!(
        (found.interval_symmetric[1].unwrap() / mean[2] - 1.0).abs() < 0.06,
        "{found:#?} {mean:?}"
    );
}

/// The same draws again give the same figures; other threads would as well, since blocks are put together in their order.
#[test]
fn the_same_seed_draws_the_same() {
    let book = pair("0.4", "0.2");
    let readings = [
        "id: a, tube: ta, lot: '1', reading: {at: 120 ppm}",
        "id: b, tube: tb, lot: '1', reading: {at: 70 ppm}",
    ];
    let rest = "together:\n  - {id: m, method: mutual interference, readings: [a, b]}";
    let backwards =
        |numbers: std::ops::Range<u64>,
         work: &(dyn Fn(u64) -> stainbook_uncertainty::monte_carlo::Block + Sync)| {
            let mut blocks: Vec<_> = numbers.rev().map(work).collect();
            blocks.reverse();
            blocks
        };
    let settings = Settings::new(Draws::Exactly(30_000), 3);
    let of = |options: &Options<'_>| round_with(&book, &readings, rest, options).together;
    let forwards = of(&drawing(30_000));
    let other = MonteCarloOptions::new(settings, &backwards);
    assert_eq!(forwards, of(&Options::default().with_monte_carlo(other)));
    let settings = Settings::new(Draws::Exactly(30_000), 4);
    let other = MonteCarloOptions::new(settings, &one_after_another);
    assert_ne!(forwards, of(&Options::default().with_monte_carlo(other)));
}

/// Bounds are not drawn, and say so where draws were asked for.
#[test]
fn bounds_are_not_drawn() {
    let readings = [
        "id: r1, tube: ta, lot: '1', reading: {at: 80 ppm}, stands_for: 4 h",
        "id: r2, tube: ta, lot: '1', reading: {seen: below first mark}, stands_for: 4 h",
    ];
    let rest = "together:\n  - {id: shift, method: average, readings: [r1, r2]}\n  - {id: half, method: average, readings: [r1], rest: without exposure}";
    let book = plant_with(Vec::new());
    for (options, asked) in [(drawing(2000), true), (Options::default(), false)] {
        let evaluation = round_with(&book, &readings, rest, &options);
        for (id, drawn) in [("shift", false), ("half", asked)] {
            let figure = row(&evaluation, id);
            let said = figure.statements.iter();
            let said = said.filter(|said| said.code == Code::NotDrawn).count();
            assert_eq!(figure.monte_carlo.is_some(), drawn, "{id}");
            assert_eq!(said == 1, asked && !drawn, "{id}");
        }
    }
}
