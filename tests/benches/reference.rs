//! Cost of the embedded reference: opening it, and finding a substance in it.
//!
//! Run with `cargo bench -p stainbook-tests --bench reference`. The bounds of the project: opening under 200 µs, a
//! look-up by CAS number, short name, name or synonym under 200 ns. The first look-up of an entry reads its file and is
//! shown by itself.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a benchmark speaks on the terminal"
)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use divan::Bencher;
use stainbook_catalog::embedded::Reference;
use stainbook_catalog::{Book, EntryKind};

/// Typed names: a CAS number, a short name, a name, synonyms short and long.
const TYPED: [&str; 8] = [
    "7783-06-4",
    "hydrogen-sulfide",
    "Hydrogen sulphide",
    "H2S",
    "PER",
    "1,1,2-Trichloro-1,2,2-trifluoroethane",
    "α-methyl styrene",
    "NO2",
];

fn main() {
    first_times();
    divan::main();
}

/// Work done only once in a process, measured by hand: opening, and the first look-up of each entry.
fn first_times() {
    let start = Instant::now();
    let (book, _) = Book::read([]);
    let opened = start.elapsed();
    let start = Instant::now();
    let found = black_box(book.find_substance("67-56-1")).is_ok();
    let first = start.elapsed();
    let ids = book.ids(EntryKind::Substance);
    let start = Instant::now();
    for id in &ids {
        black_box(book.substance(id));
    }
    let all = start.elapsed();
    println!(
        "opening: {opened:?} (bound 200 µs: {})",
        within(opened, 200_000)
    );
    println!("first look-up of the process: {first:?}, found {found}");
    println!(
        "reading all {} substances: {all:?}, {:?} for each first look-up",
        ids.len(),
        all / u32::try_from(ids.len()).unwrap()
    );
    for name in TYPED {
        let Ok(_) = book.find_substance(name) else {
            println!("  `{name}` is not found");
            continue;
        };
        let rounds = 100_000_u32;
        let start = Instant::now();
        for _ in 0..rounds {
            let _ = black_box(book.find_substance(black_box(name)));
        }
        let each = start.elapsed() / rounds;
        println!(
            "look-up of `{name}`: {each:?} (bound 200 ns: {})",
            within(each, 200)
        );
    }
}

fn within(took: Duration, bound_in_nanoseconds: u128) -> &'static str {
    if took.as_nanos() < bound_in_nanoseconds {
        "kept"
    } else {
        "NOT kept"
    }
}

#[divan::bench]
fn open() -> bool {
    Reference::embedded().knows(EntryKind::Substance, black_box("ammonia"))
}

#[divan::bench(args = TYPED)]
fn find(bencher: Bencher<'_, '_>, name: &str) {
    let (book, _) = Book::read([]);
    bencher.bench_local(|| black_box(book.find_substance(black_box(name)).is_ok()));
}

#[divan::bench]
fn by_short_name(bencher: Bencher<'_, '_>) {
    let (book, _) = Book::read([]);
    bencher.bench_local(|| black_box(book.substance(black_box("nitrogen-dioxide")).is_some()));
}

/// The slow path: nothing is called so, and the nearest names are looked for.
#[divan::bench(args = ["amonia", "xylene", "trichlorethylen"])]
fn suggest(bencher: Bencher<'_, '_>, name: &str) {
    let (book, _) = Book::read([]);
    bencher.bench_local(|| black_box(book.find_substance(black_box(name)).is_err()));
}
