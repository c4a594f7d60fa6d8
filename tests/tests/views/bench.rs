//! The catalog and the survey that the views show.

use std::fs;
use std::path::Path;

use stainbook_catalog::{Book, SourceFile};
use stainbook_core::print;
use stainbook_evaluation::{Evaluation, Options, evaluate};

/// The files of the sound catalog, each with its text changed.
pub(crate) fn book_with(change: impl Fn(&str, String) -> String) -> Book {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/base");
    let mut files = Vec::new();
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = change(&name, fs::read_to_string(&path).unwrap());
        files.push((name, text));
    }
    files.sort();
    let sources = files
        .iter()
        .map(|(name, text)| SourceFile::new(name, text.clone()));
    let (book, findings) = Book::read(sources);
    assert!(findings.is_empty(), "{findings:#?}");
    book
}

/// The sound catalog.
pub(crate) fn book() -> Book {
    book_with(|_, text| text)
}

/// The sound catalog with these readings as its survey.
pub(crate) fn book_of(readings: &str) -> Book {
    book_with(|name, text| {
        if name != "round.survey.yaml" {
            return text;
        }
        let head = text.split("readings:").next().unwrap_or_default();
        format!("{head}readings:\n{readings}")
    })
}

/// The only survey of a catalog, evaluated.
pub(crate) fn results(book: &Book) -> Evaluation {
    let (_, survey) = book.surveys().next().unwrap();
    evaluate(book, survey, &Options::default())
}

/// A reading with nothing to say against it.
pub(crate) const GOOD: &str = r#"
  - id: good
    at: "2026-02-20T07:40+00:00"
    place: quay
    tube: quay-chlorine
    leaflet: "1"
    lot: 24-117
    expires: 2027-01
    pump: pump-01
    leak_test: held
    other_gases: none known
    strokes: 3
    reading: {at: 5 ppm}
"#;

/// The same from a lot that had expired.
pub(crate) const FLAGGED: &str = r#"
  - id: flagged
    at: "2026-02-20T07:50+00:00"
    place: hold
    tube: quay-chlorine
    leaflet: "1"
    lot: 24-117
    expires: 2026-01
    pump: pump-01
    leak_test: held
    other_gases: none known
    strokes: 3
    reading: {at: 3 ppm}
"#;

/// One that has no result: nobody draws five strokes with this tube.
pub(crate) const REFUSED: &str = r#"
  - id: refused
    at: "2026-02-20T08:00+00:00"
    place: quay
    tube: quay-chlorine
    leaflet: "1"
    lot: 24-117
    expires: 2027-01
    pump: pump-01
    leak_test: held
    other_gases: none known
    strokes: 5
    reading: {at: 3 ppm}
"#;

/// Two readings and their average over a shift.
pub(crate) fn averaged() -> String {
    let second = GOOD
        .replace("id: good", "id: later")
        .replace("07:40", "07:50")
        .replace("5 ppm", "3 ppm");
    let stands =
        |reading: &str, time: &str| format!("{}\n    stands_for: {time}\n", reading.trim_end());
    let (first, second) = (stands(GOOD, "2 h"), stands(&second, "90 min"));
    let average = "
together:
  - {id: shift, method: average, readings: [good, later], over: 8 h, rest: without exposure}
";
    format!("{first}{second}{average}")
}

/// A table's rows as `column: cell`, without what is empty and without digests. Figures have six digits here: the last ones of
/// a calculation are nothing to look at.
pub(crate) fn cells(table: &str) -> String {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let head = reader.headers().unwrap().clone();
    let mut lines = Vec::new();
    for row in reader.records() {
        for (column, cell) in head.iter().zip(&row.unwrap()) {
            if cell.is_empty() || column == "sheet digest" {
                continue;
            }
            match cell.parse::<f64>() {
                Ok(number) if 8 < cell.len() => {
                    lines.push(format!("{column}: {}", print::to_significant(number, 6)));
                }
                _ => lines.push(format!("{column}: {cell}")),
            }
        }
    }
    lines.join("\n")
}
