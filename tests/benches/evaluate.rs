//! Time of a reading, and of a million draws beside the same model in NumPy: prints times and ratios.
//!
//! All on one core, in the time that the processor worked for us where the system tells it, so that a busy machine does not
//! count. `--test` (as `cargo test` runs benchmarks) only looks whether it runs.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a benchmark may stop, and prints"
)]

use std::hint::black_box;
use std::process::Command;
use std::sync::LazyLock;
use std::time::Instant;

use stainbook_catalog::Book;
use stainbook_catalog::SourceFile;
use stainbook_catalog::written::tube::Axis;
use stainbook_evaluation::budget::{Input, MeasurementModel, Source, Spans};
use stainbook_evaluation::chain::{AirState, Chain, StatedHumidity};
use stainbook_evaluation::tube_trials::TubeTrials;
use stainbook_evaluation::{Evaluator, Options};
use stainbook_uncertainty::distribution::Distribution;
use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another, run};

/// Invented: factors for temperature and humidity, pressure in proportion.
const SHEET: &str = "\
tube: lee-sulfur-dioxide-r1
name: Lee sulfur dioxide tube
leaflet: {title: Sheet 5, revision: '1', date: 2024-05}
entered: {by: KL, date: 2026-01-11}
verified: {by: MT, date: 2026-01-12}
measures: {substance: sulfur-dioxide}
before_use:
  pump_kinds: [quay]
  usable: {temperature: -5 to 45 °C, humidity: 10 to 95 %RH}
draw:
  stroke: 100 mL
  ranges:
    - {strokes: 1, multiply_by: 2.4, from: 24, to: 57.6, seconds_per_stroke: 50, uses: extension}
    - {strokes: 3, multiply_by: 1, from: 1, to: 24, seconds_per_stroke: 50, uses: whole scale}
read:
  scales:
    - {unit: ppm, marks: [1, 2.5, 6, 12, 24], printed_for_strokes: 3}
correct:
  calibrated_at: {temperature: 20 °C, pressure: 101.3 kPa, humidity: 50 %RH}
  temperature: {method: factor table, multiply: reading, columns: [°C, factor], rows: [[-5, 1.42], [5, 1.20], [20, 1.00], [45, 0.75]]}
  humidity: {method: factor table, multiply: reading, columns: ['%RH', factor], rows: [[10, 1.12], [50, 1.00], [95, 0.91]]}
  pressure: {method: proportional}
doubt:
  repeatability: [{up_to: 24 ppm, rsd: 10 %}]
  accuracy: [{up_to: 24 ppm, within: 25 %}]
";

const KIND: &str = "\
pump_kind: quay
name: Quay piston pump
stroke: 100 mL
half_strokes: true
volume_tolerance: 5 %
";

const SURVEY: &str = "\
survey: s
title: One reading
by: KL
readings:
  - {id: a, at: \"2026-03-02T07:40+00:00\", tube: lee-sulfur-dioxide, lot: 24-117, expires: 2027-01, pump: pump-1, leak_test: held, strokes: 1, reading: {short: 7 ppm, long: 9 ppm}, conditions: {air_temperature: 12 °C, humidity: 48 %RH, pressure: 95 kPa}}
";

const DRAWS: u64 = 1_000_000;

fn main() {
    let only_run = std::env::args().any(|argument| argument == "--test");
    let (book, _) = Book::read([
        SourceFile::new("lee-sulfur-dioxide-r1.tube.yaml", SHEET),
        SourceFile::new("quay.pump-kind.yaml", KIND),
        SourceFile::new(
            "pump-1.pump.yaml",
            "pump: pump-1\nkind: quay\nvolume_checks: [{date: 2026-01-14, volume: 99 mL, by: KL}]\n",
        ),
        SourceFile::new("s.survey.yaml", SURVEY),
    ]);
    let rounds: u32 = if only_run { 1 } else { 200_000 };
    let numbers = numbers_of_a_reading(&book, rounds);
    println!(
        "the numbers of a reading, limits included: {:.2} µs a reading; 1 µs is allowed, ratio {:.2}",
        numbers * 1e6,
        numbers / 1e-6
    );
    let whole = whole_result(&book, rounds / 20 + 1);
    println!(
        "the whole result with all its words, to bytes of JSON: {:.1} µs a reading, {:.0} times the numbers; 15 µs are allowed",
        whole * 1e6,
        whole / numbers
    );
    let draws = if only_run { 20_000 } else { DRAWS };
    let ours = monte_carlo(&book, draws, if only_run { 1 } else { 7 });
    println!(
        "Monte Carlo, {draws} draws of 11 inputs: {:.1} ms, {:.1} ns a draw",
        ours * 1e3,
        ours * 1e9 / draws as f64
    );
    if !only_run {
        match numpy(draws) {
            Some((seconds, said)) => println!(
                "the same in NumPy: {:.1} ms, {:.2} times as long; 4 times are asked for\n  {said}",
                seconds * 1e3,
                seconds / ours
            ),
            None => println!("no Python with NumPy: nothing to compare with (PYTHON names one)"),
        }
    }
}

/// The best of several tries of so many rounds, in seconds for one.
fn best_of(tries: u32, rounds: u32, mut work: impl FnMut()) -> f64 {
    (0..tries)
        .map(|_| {
            let start = worked();
            for _ in 0..rounds {
                work();
            }
            (worked() - start) / f64::from(rounds)
        })
        .fold(f64::INFINITY, f64::min)
}

/// Processor time of this thread in seconds; where the system does not tell, the clock's.
fn worked() -> f64 {
    static BEGINNING: LazyLock<Instant> = LazyLock::new(Instant::now);
    // Linux: nanoseconds on a processor, nanoseconds waiting for one, times.
    std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|told| told.split(' ').next()?.parse::<f64>().ok())
        .map_or_else(
            || BEGINNING.elapsed().as_secs_f64(),
            |nanoseconds| nanoseconds * 1e-9,
        )
}

fn numbers_of_a_reading(book: &Book, rounds: u32) -> f64 {
    let survey = book.survey("s").unwrap();
    let evaluator = Evaluator::new(book, Options::default());
    evaluator
        .with_prepared(&survey.readings[0], &survey.conditions, |prepared| {
            best_of(5, rounds, || {
                black_box(black_box(prepared).concentration().unwrap());
            })
        })
        .unwrap()
}

fn whole_result(book: &Book, rounds: u32) -> f64 {
    let survey = book.survey("s").unwrap();
    let mut evaluator = Evaluator::new(book, Options::default());
    best_of(5, rounds, || {
        let result = evaluator.reading(0, &survey.readings[0], &survey.conditions, None);
        assert!(result.uncertainty.is_some());
        black_box(serde_json::to_vec(&result).unwrap());
    })
}

fn monte_carlo(book: &Book, draws: u64, tries: u32) -> f64 {
    let tube = book.tube_model("lee-sulfur-dioxide-r1").unwrap();
    let range = &tube.ranges[0];
    let chain = Chain::new(&tube, &tube.scales[0], range, None);
    let air = AirState {
        tube_celsius: 12.0,
        air_celsius: 12.0,
        humidity: StatedHumidity::Relative(48.0),
        kilopascals: 95.0,
    };
    let about = |source, half_width| Input::new(source, Distribution::Rectangular { half_width });
    let normal = |source, standard| Input::new(source, Distribution::Normal { standard });
    let inputs = [
        about(Source::Reading, 3.0),
        about(Source::Front, 1.0),
        normal(Source::Accuracy, 0.1276),
        normal(Source::Repeatability, 0.10),
        about(Source::StrokeVolume, 0.05),
        about(Source::Multiplier, 0.0208),
        about(Source::Temperature, 1.0),
        about(Source::Humidity, 5.0),
        about(Source::Pressure, 0.475),
        about(Source::Table(Axis::Temperature), 0.004),
        about(Source::Table(Axis::Humidity), 0.005),
    ];
    let spans = Spans {
        temperature: (-5.0, 45.0),
        humidity: (10.0, 95.0),
        ..Spans::OPEN
    };
    let value = chain
        .value(
            8.0,
            &air,
            stainbook_evaluation::chain::TableLookup::AsStated,
        )
        .unwrap();
    let trials = TubeTrials::new(
        MeasurementModel {
            chain: &chain,
            air: &air,
            tube_by_itself: false,
            reading: 8.0,
            bias: 0.0,
            value,
            spans,
        },
        &inputs,
    );
    let mut outcome = None;
    let seconds = best_of(tries, 1, || {
        let settings = Settings::new(Draws::Exactly(draws), 1);
        outcome = Some(run(&trials, &settings, &one_after_another));
    });
    println!("{:?}", outcome.unwrap());
    seconds
}

fn numpy(draws: u64) -> Option<(f64, String)> {
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/monte_carlo_numpy.py");
    let said = Command::new(python)
        .arg(script)
        .arg(draws.to_string())
        .env("OMP_NUM_THREADS", "1")
        .output()
        .ok()
        .filter(|output| output.status.success())?;
    let text = String::from_utf8_lossy(&said.stdout).trim().to_owned();
    let answer: serde_json::Value = serde_json::from_str(&text).ok()?;
    Some((answer["seconds"].as_f64()?, text))
}
