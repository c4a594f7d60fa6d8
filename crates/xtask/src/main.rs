//! Generates what is committed: `cargo xtask import`, then `cargo xtask generate`.
//!
//! Every generator writes, or with `--check` compares and fails if what is committed differs.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a tool for contributors speaks on the terminal"
)]
mod fuzz;
mod generate;
mod import;
mod output;
mod slips;

use std::process::ExitCode;

const USAGE: &str = "\
usage: cargo xtask import [--check]     the entries of catalog/reference, from its tables
       cargo xtask generate [--check]   schemas and the lists of embedded files and names
       cargo xtask slips [--write[=N] | --check]  how many slips are seen; into tests/slips and the README, or compared;
                                        with N in every Nth sheet only
       cargo xtask slips --tables       the tables anew from the committed counts, without counting
       cargo xtask slips --silent       that nothing is said about the demo and 1,000 further made-up sheets
       cargo xtask slips --missed=N     what passes in every Nth sheet, and which rule sees how many
       cargo xtask fuzz [--seconds N] [--seed N] [--cases N] [--only N]  damaged files through everything that reads and checks
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["import"] => import::write(),
        ["import", "--check"] => import::compare(),
        ["generate"] => generate::all().and_then(|files| output::write(&files)),
        ["generate", "--check"] => generate::all().and_then(|files| output::compare(&files)),
        ["slips"] => slips::run(""),
        [
            "slips",
            to_do @ ("--write" | "--check" | "--tables" | "--silent"),
        ] => slips::run(to_do),
        ["fuzz", rest @ ..] => fuzz::run(rest),
        ["slips", every] if every.starts_with("--missed=") || every.starts_with("--write=") => {
            slips::run(every)
        }
        _ => {
            eprint!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(said) => {
            println!("{said}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}
