//! Writes a catalog of made-up honest sheets into a folder, for trying things out on many files.
//!
//! `cargo run --package stainbook-tests --example honest_sheets -- FOLDER SHEETS [SEED]`

use std::path::Path;
use std::process::ExitCode;
use std::{env, fs, io};

use stainbook_tests::honest::catalog;

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let (Some(folder), Some(Ok(sheets))) = (
        arguments.first(),
        arguments.get(1).map(|number| number.parse::<usize>()),
    ) else {
        eprintln!("honest_sheets FOLDER SHEETS [SEED]");
        return ExitCode::from(2);
    };
    let seed = arguments
        .get(2)
        .and_then(|seed| seed.parse().ok())
        .unwrap_or(1);
    match write(Path::new(folder), seed, sheets) {
        Ok(bytes) => {
            println!("{sheets} sheets, {bytes} bytes with all that they refer to");
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{folder}: {error}");
            ExitCode::from(2)
        }
    }
}

fn write(folder: &Path, seed: u64, sheets: usize) -> io::Result<usize> {
    let mut bytes = 0;
    for file in catalog(seed, sheets) {
        let path = folder.join(&file.path);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)?;
        }
        fs::write(path, &file.text)?;
        bytes += file.text.len();
    }
    Ok(bytes)
}
