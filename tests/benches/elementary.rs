//! Cost of the elementary functions of `core` beside the platform's own: prints nanoseconds per call and ratios.
//!
//! `--test` (as `cargo test` runs benchmarks) only looks whether it runs.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a benchmark prints, and compares with the functions that are forbidden elsewhere"
)]

use std::hint::black_box;
use std::time::Instant;

use stainbook_core::elementary::{erfc, exp, ln, log10, powf};

/// The best of several runs, in nanoseconds per call: the others were disturbed.
fn nanoseconds(of: impl Fn(f64) -> f64, arguments: &[f64], runs: u32) -> f64 {
    let one = || {
        let start = Instant::now();
        for x in arguments {
            black_box(of(black_box(*x)));
        }
        start.elapsed().as_secs_f64() * 1e9 / arguments.len() as f64
    };
    (0..runs).map(|_| one()).fold(f64::INFINITY, f64::min)
}

/// An elementary function of one number.
type Elementary = fn(f64) -> f64;

fn main() {
    let short = std::env::args().any(|argument| argument == "--test");
    let (count, runs) = if short { (1_000, 1) } else { (200_000, 30) };
    // Factors, ratios and exponents as they occur: from a hundredth to a hundred.
    let arguments: Vec<f64> = (0..count)
        .map(|i| exp(f64::from(i) / f64::from(count) * 9.2 - 4.6))
        .collect();
    let pairs: [(&str, Elementary, Elementary); 4] = [
        ("exp", |x| exp(x / 20.0), |x| (x / 20.0).exp()),
        ("ln", ln, f64::ln),
        ("log10", log10, f64::log10),
        ("powf", |x| powf(x, 1.7), |x| x.powf(1.7)),
    ];
    for (name, ours, platform) in pairs {
        let (a, b) = (
            nanoseconds(ours, &arguments, runs),
            nanoseconds(platform, &arguments, runs),
        );
        println!(
            "{name:6} {a:6.1} ns, platform {b:6.1} ns, ratio {:.2}",
            a / b
        );
    }
    println!("erfc   {:6.1} ns", nanoseconds(erfc, &arguments, runs));
}
