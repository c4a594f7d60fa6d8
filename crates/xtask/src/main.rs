//! `cargo xtask`: makes the files that are committed but not written by hand.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command for developers talks to the terminal"
)]
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::indexing_slicing,
        clippy::panic,
        clippy::float_cmp,
        reason = "a test may stop at the first surprise"
    )
)]

mod import;

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    // The workspace root, two levels above this crate.
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    match words.as_slice() {
        ["import"] => import::write(&root),
        ["import", "--check"] => import::check(&root),
        _ => {
            eprintln!("usage: cargo xtask import [--check]");
            ExitCode::from(2)
        }
    }
}
