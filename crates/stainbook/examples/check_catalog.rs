//! Checking a catalog that is held in memory, with a slip in it.
//!
//! Run it with `cargo run -p stainbook --example check_catalog`.

use stainbook::present::{Colour, Sources, findings_text};
use stainbook::{Book, SourceFile, check_book};

/// The last digit of a CAS number follows from the others: here two digits are swapped.
const SLIP: &str = "\
substance: quay-gas
name: quay gas
cas: 603-08-0
formula: CO
identified_by: quay-book
";

const SOURCE: &str = "\
source: quay-book
title: The quay's own book
publisher: Harbour laboratory
edition: first
licence: own work
obtained: looked up
";

fn main() {
    let files = [
        SourceFile::new("quay-gas.substance.yaml", SLIP),
        SourceFile::new("quay-book.source.yaml", SOURCE),
    ];
    let (book, report) = check_book(files, None);
    let text = findings_text::render(
        &report.findings,
        &Sources::of_book(&book),
        report.files,
        Colour::Plain,
    );
    #[allow(clippy::print_stdout, reason = "an example shows what comes out")]
    {
        println!("{text}");
    }

    // The demo is free of errors.
    let (demo, read) = Book::demo();
    let report = stainbook::check::check_with(&demo, read, &stainbook::check::Options::default());
    #[allow(clippy::print_stdout, reason = "an example shows what comes out")]
    {
        println!(
            "the demo: {} errors in {} files",
            report.errors, report.files
        );
    }
}
