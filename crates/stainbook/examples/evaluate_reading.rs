//! One reading evaluated with a sheet of the embedded demo.
//!
//! Run it with `cargo run -p stainbook --example evaluate_reading`.

use stainbook::present::Colour;
use stainbook::present::results_text::{self, Detail};
use stainbook::reading::{Options, evaluate};
use stainbook::{Book, EntryKind, SourceFile};

const SURVEY: &str = "\
survey: one-tube
title: One tube at the brine wash
by: KL
conditions: {air_temperature: 6 °C, humidity: 80 %RH, pressure: 1009 hPa}
readings:
  - id: r01
    at: \"2026-03-02T07:40+00:00\"
    place: brine wash, at the valve
    tube: brinewash-chlorine-a
    lot: 24-117
    expires: 2027-01
    pump: pump-03
    leak_test: held
    strokes: 3
    reading: {short: 4 ppm, long: 5 ppm}
";

fn main() {
    let demo = stainbook::catalog::demo_files();
    let survey = SourceFile::new("one-tube.survey.yaml", SURVEY);
    let (book, findings) = Book::read(demo.chain([survey]));
    assert!(findings.is_empty(), "{findings:?}");
    let Some(survey) = book.survey("one-tube") else {
        return;
    };
    let evaluation = evaluate(&book, survey, &Options::default());
    let text = results_text::render(&evaluation, Detail::Full, Colour::Plain);
    #[allow(clippy::print_stdout, reason = "an example shows what comes out")]
    {
        println!("{text}");
        println!(
            "evaluated with {} sheets at hand",
            book.ids(EntryKind::Tube).len()
        );
    }
}
