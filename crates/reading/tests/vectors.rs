//! Every file of `tests/vectors`: invented sheets and readings, with results worked by hand.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test may fail loudly"
)]

use std::path::Path;

use serde::Deserialize;
use stainbook_catalog::finding::Finding;
use stainbook_catalog::written::Num;
use stainbook_catalog::{Book, SourceFile};
use stainbook_reading::{Options, evaluate};

mod support;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Vectors {
    sheet: String,
    #[serde(default)]
    more: Vec<More>,
    readings: String,
    expect: Vec<Expected>,
}

/// Another file that the sheet needs: a group, or a second sheet.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct More {
    path: String,
    text: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expected {
    id: String,
    status: Option<String>,
    value: Option<String>,
    also: Option<String>,
    refusal: Option<String>,
    worked: String,
}

fn number(text: &str) -> (f64, f64) {
    let number = <Num as stainbook_catalog::typed::FromText>::read(text).unwrap();
    (number.value(), number.half_step())
}

#[test]
fn all_vectors() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/vectors");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.retain(|path| path.extension().is_some_and(|suffix| suffix == "yaml"));
    files.sort();
    let mut wrong = Vec::new();
    let mut checked = 0;
    for file in &files {
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        let vectors: Vectors = serde_yaml::from_str(&std::fs::read_to_string(file).unwrap())
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        let id = vectors
            .sheet
            .lines()
            .next()
            .unwrap()
            .trim_start_matches("tube: ")
            .to_owned();
        let indented = format!("  {}\n", vectors.readings.trim_end().replace('\n', "\n  "));
        let mut sources = vec![
            SourceFile::new(format!("{id}.tube.yaml"), vectors.sheet.as_str()),
            SourceFile::new("quay.pump-kind.yaml", support::KIND),
            SourceFile::new("pump-1.pump.yaml", support::PUMP),
            SourceFile::new(
                "s.survey.yaml",
                format!("survey: s\ntitle: Vectors\nby: KL\nreadings:\n{indented}"),
            ),
        ];
        sources.extend(
            vectors
                .more
                .iter()
                .map(|more| SourceFile::new(more.path.clone(), more.text.as_str())),
        );
        let (book, findings) = Book::read(sources);
        let said: Vec<&str> = findings
            .iter()
            .filter(|f| f.rule() != "missing-key")
            .map(Finding::message_text)
            .collect();
        assert!(said.is_empty(), "{name}: {said:?}");
        let results = evaluate(&book, book.survey("s").unwrap(), &Options::default()).results;
        assert_eq!(
            results.len(),
            vectors.expect.len(),
            "{name}: one expectation for each reading"
        );
        for (result, expected) in results.iter().zip(&vectors.expect) {
            let mut differs = |what: String| {
                wrong.push(format!(
                    "{name} {}: {what} ({})",
                    expected.id, expected.worked
                ));
            };
            assert_eq!(result.id, expected.id, "{name}");
            let refused = result.refusal.as_ref().map(|refusal| refusal.code.clone());
            if refused != expected.refusal {
                differs(format!(
                    "refused as {:?}, not {:?}",
                    result.refusal, expected.refusal
                ));
                continue;
            }
            if let Some(status) = &expected.status
                && status != result.status.name()
            {
                differs(format!("{} and not {status}", result.status.name()));
            }
            let found = [
                result.concentration.as_ref().map(|amount| amount.value),
                result.also_as.as_ref().map(|also| also.value),
            ];
            for (found, text) in found.into_iter().zip([&expected.value, &expected.also]) {
                let Some(text) = text else { continue };
                let (wanted, half_step) = number(text);
                if found.is_none_or(|found| (found - wanted).abs() > half_step * (1.0 + 1e-6)) {
                    differs(format!("{found:?} and not {text}"));
                }
                checked += 1;
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(
        checked >= 25,
        "only {checked} values were checked in {} files",
        files.len()
    );
}
