//! Every file of `tests/vectors`: invented sheets and readings, with results worked by hand.
#![cfg(test)]

use std::collections::BTreeSet;
use std::path::Path;

use serde::Deserialize;
use stainbook_catalog::written::{Num, TubeEntry};
use stainbook_catalog::{Book, SourceFile};
use stainbook_document::finding::Finding;
use stainbook_evaluation::{Options, evaluate};

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

/// The kinds of correction that a sheet states, in words: `temperature: factor table`, `temperature: on the reading`, and
/// how it goes between rows.
fn kinds(sheet: &TubeEntry, found: &mut BTreeSet<String>) {
    let word = |value: serde_yaml::Value| value.as_str().unwrap().to_owned();
    let correct = sheet.correct.as_ref().unwrap();
    for (axis, correction) in [
        ("temperature", &correct.temperature),
        ("humidity", &correct.humidity),
        ("pressure", &correct.pressure),
    ] {
        let correction = correction.as_ref().unwrap();
        let method = word(serde_yaml::to_value(correction.method).unwrap());
        found.insert(format!("{axis}: {method}"));
        if let Some(target) = correction.multiply.or(correction.replace) {
            let target = word(serde_yaml::to_value(target).unwrap());
            found.insert(format!("{axis}: on the {target}"));
            let between =
                word(serde_yaml::to_value(correction.between.unwrap_or_default()).unwrap());
            let shape = if correction.lines.is_empty() {
                "rows"
            } else {
                "lines"
            };
            if method != "polynomial" {
                found.insert(format!("{shape}: {between}"));
            }
        }
        let unit = correction.of.iter().chain(&correction.columns);
        for unit in unit.filter(|_| axis == "humidity") {
            let kind = if unit.contains("%RH") {
                "relative"
            } else {
                "absolute"
            };
            if unit.as_str() != "factor" {
                found.insert(format!("humidity: {kind}"));
            }
        }
    }
    for other in sheet.read.iter().flat_map(|read| &read.response_factors) {
        let by = if other.rows.is_empty() {
            "one factor"
        } else {
            "by rows"
        };
        found.insert(format!("other gas: {by}"));
    }
    if sheet
        .read
        .as_ref()
        .is_some_and(|read| 1 < read.scales.len())
    {
        found.insert("two scales".to_owned());
    }
    if sheet
        .measures
        .as_ref()
        .is_some_and(|measures| measures.group.is_some())
    {
        found.insert("a group".to_owned());
    }
    if !correct.order.is_empty() {
        found.insert("an order of its own".to_owned());
    }
}

/// Every kind of correction that a sheet can state.
const KINDS: [&str; 34] = [
    "a group",
    "an order of its own",
    "humidity: absolute",
    "humidity: curve points",
    "humidity: factor table",
    "humidity: none needed",
    "humidity: on the concentration",
    "humidity: on the reading",
    "humidity: polynomial",
    "humidity: relative",
    "humidity: table",
    "lines: linear",
    "lines: logarithmic",
    "lines: not allowed",
    "other gas: by rows",
    "other gas: one factor",
    "pressure: curve points",
    "pressure: factor table",
    "pressure: none needed",
    "pressure: on the concentration",
    "pressure: on the reading",
    "pressure: polynomial",
    "pressure: proportional",
    "rows: linear",
    "rows: logarithmic",
    "rows: not allowed",
    "temperature: curve points",
    "temperature: factor table",
    "temperature: none needed",
    "temperature: on the concentration",
    "temperature: on the reading",
    "temperature: polynomial",
    "temperature: table",
    "two scales",
];

fn number(text: &str) -> (f64, f64) {
    let number = <Num as stainbook_document::typed::FromText>::read(text).unwrap();
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
    let mut found_kinds = BTreeSet::new();
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
        for (_, sheet) in book.tubes() {
            kinds(sheet, &mut found_kinds);
        }
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
            let refused = result
                .refusal
                .as_ref()
                .map(|refusal| refusal.code.to_string());
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
                result.converted.as_ref().map(|also| also.value),
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
    let wanted = KINDS.map(str::to_owned).into_iter().collect();
    assert_eq!(
        found_kinds, wanted,
        "every kind of correction is worked by hand somewhere"
    );
    assert!(
        checked >= 45,
        "only {checked} values were checked in {} files",
        files.len()
    );
}
