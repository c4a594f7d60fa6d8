//! Reading, schema and rules over made-up honest sheets, against the bare event scan of `unsafe-libyaml` over the same text.
//!
//! `cargo bench --package stainbook-tests --bench reading` prints the ratios first, both sides measured turn by turn in one
//! run, then the times of each stage.

#![allow(
    unsafe_code,
    reason = "the yardstick is a C library's port and is called as one"
)]

use std::hint::black_box;
use std::mem::MaybeUninit;
use std::time::{Duration, Instant};

use stainbook_catalog::READ_OPTIONS;
use stainbook_catalog::{Book, SourceFile};
use stainbook_check::Options;
use stainbook_document::Document;
use stainbook_document::place::FileId;
use stainbook_tests::honest::{HonestFile, catalog};

const SHEETS: usize = 10_000;
/// For the times of single stages.
const FEW: usize = 1_000;
const SEED: u64 = 20_261_125;

/// Something done to all files; the number keeps it from being optimised away.
type Stage = fn(&[HonestFile]) -> usize;

fn main() {
    // The yardstick runs on one thread, and so do we.
    rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build_global()
        .expect("the pool is built once");
    ratios();
    divan::main();
}

fn few() -> Vec<HonestFile> {
    catalog(SEED, FEW)
}

/// Cost of the whole in units of the yardstick: the best of several turns of each, taken in turn.
fn ratios() {
    let files = catalog(SEED, SHEETS);
    let bytes: usize = files.iter().map(|file| file.text.len()).sum();
    println!("{} files, {bytes} bytes", files.len());
    let stages: [(&str, Stage); 4] = [
        ("event scan of unsafe-libyaml", scan_all),
        ("our tree", tree_all),
        ("tree, schema and written form", book_all),
        ("tree, schema, written form and all rules", check_all),
    ];
    let mut best = [Duration::MAX; 4];
    for _ in 0..5 {
        for ((_, stage), best) in stages.iter().zip(&mut best) {
            let start = Instant::now();
            black_box(stage(black_box(&files)));
            *best = start.elapsed().min(*best);
        }
    }
    let yardstick = best[0].as_secs_f64();
    for ((name, _), time) in stages.iter().zip(best) {
        println!(
            "{:6.2} × the yardstick   {:7.1} ms   {name}",
            time.as_secs_f64() / yardstick,
            time.as_secs_f64() * 1e3
        );
    }
}

fn scan_all(files: &[HonestFile]) -> usize {
    files.iter().map(|file| scan(&file.text)).sum()
}

/// The number of events that `unsafe-libyaml` sees; nothing is kept.
fn scan(text: &str) -> usize {
    use unsafe_libyaml::{
        YAML_STREAM_END_EVENT, yaml_event_delete, yaml_event_t, yaml_parser_delete,
        yaml_parser_initialize, yaml_parser_parse, yaml_parser_set_input_string, yaml_parser_t,
    };
    let mut parser = MaybeUninit::<yaml_parser_t>::uninit();
    let parser = parser.as_mut_ptr();
    let mut events = 0;
    // SAFETY: the parser is initialised before use and deleted once; the text outlives it; every event that was parsed is
    // deleted once before the next.
    unsafe {
        assert!(yaml_parser_initialize(parser).ok);
        yaml_parser_set_input_string(parser, text.as_ptr(), text.len() as u64);
        loop {
            let mut event = MaybeUninit::<yaml_event_t>::uninit();
            let event = event.as_mut_ptr();
            assert!(yaml_parser_parse(parser, event).ok);
            events += 1;
            let last = (*event).type_ == YAML_STREAM_END_EVENT;
            yaml_event_delete(event);
            if last {
                break;
            }
        }
        yaml_parser_delete(parser);
    }
    events
}

fn tree_all(files: &[HonestFile]) -> usize {
    files
        .iter()
        .map(|file| {
            let (document, findings) =
                Document::read(FileId(0), &file.path, file.text.as_bytes(), &READ_OPTIONS);
            document.node_count() + findings.len()
        })
        .sum()
}

fn read(files: &[HonestFile]) -> Book {
    let (book, findings) = Book::read(
        files
            .iter()
            .map(|file| SourceFile::new(file.path.as_str(), file.text.as_str())),
    );
    assert!(findings.is_empty(), "honest sheets read without a finding");
    book
}

fn book_all(files: &[HonestFile]) -> usize {
    read(files).entries().len()
}

fn check_all(files: &[HonestFile]) -> usize {
    stainbook_check::check(&read(files), &Options::default()).len()
}

#[divan::bench]
fn yardstick(bencher: divan::Bencher<'_, '_>) {
    let files = few();
    bencher.bench(|| scan_all(&files));
}

#[divan::bench]
fn tree(bencher: divan::Bencher<'_, '_>) {
    let files = few();
    bencher.bench(|| tree_all(&files));
}

#[divan::bench]
fn written_form(bencher: divan::Bencher<'_, '_>) {
    let files = few();
    bencher.bench(|| book_all(&files));
}

#[divan::bench]
fn rules_alone(bencher: divan::Bencher<'_, '_>) {
    let files = few();
    let book = read(&files);
    bencher.bench(|| stainbook_check::check(&book, &Options::default()).len());
}
