//! The command over ten thousand made-up honest sheets: what a second thread gains, and how much memory it takes at most.
//!
//! `cargo bench --package stainbook-cli --bench large_catalog` writes the sheets into a folder of its own and runs
//! `stainbook check` on it, with one thread and with two, turn by turn. Memory is what the system says of the process while
//! it runs, which only Linux does this way.

#![allow(
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "a benchmark prints, and its figures are rounded"
)]

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use std::{fs, io, thread};

use stainbook_tests::honest::catalog;

const SHEETS: usize = 10_000;
const SEED: u64 = 20_261_125;
const TURNS: usize = 5;

fn main() -> io::Result<()> {
    let folder = tempfile::tempdir()?;
    let mut bytes = 0;
    for file in catalog(SEED, SHEETS) {
        let path = folder.path().join(&file.path);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)?;
        }
        bytes += file.text.len();
        fs::write(path, file.text)?;
    }
    println!("{SHEETS} sheets, {bytes} bytes");

    let mut best = [Duration::MAX; 2];
    let mut peak = 0;
    for _ in 0..TURNS {
        for (threads, best) in [1, 2].into_iter().zip(&mut best) {
            let (time, memory) = run(folder.path(), threads)?;
            *best = time.min(*best);
            peak = memory.max(peak);
        }
    }
    let [one, two] = best.map(|time| time.as_secs_f64());
    println!(
        "{:6.2} × as fast with two threads as with one ({two:.3} s and {one:.3} s)",
        one / two
    );
    let allowance = 64 << 20;
    println!(
        "{:6.2} bytes of memory for each byte of the catalog, beyond 64 MiB ({:.1} MiB at most)",
        peak.saturating_sub(allowance) as f64 / bytes as f64,
        peak as f64 / f64::from(1 << 20)
    );
    Ok(())
}

/// The time that a check takes, and its peak memory in bytes, as far as the system tells.
fn run(folder: &Path, threads: usize) -> io::Result<(Duration, usize)> {
    let start = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_stainbook"))
        .args(["check", "--as-of", "2026-11-25", "--format", "short"])
        .arg(folder)
        .env("RAYON_NUM_THREADS", threads.to_string())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()?;
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    let ended = loop {
        if let Some(ended) = child.try_wait()? {
            break ended;
        }
        // The high-water mark never falls, so a look shortly before the end is enough.
        peak = high_water_mark(&status).unwrap_or(0).max(peak);
        thread::sleep(Duration::from_millis(2));
    };
    let time = start.elapsed();
    assert!(
        ended.success(),
        "honest sheets are checked without an error"
    );
    Ok((time, peak))
}

fn high_water_mark(status: &str) -> Option<usize> {
    let status = fs::read_to_string(status).ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: usize = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    Some(kilobytes << 10)
}
