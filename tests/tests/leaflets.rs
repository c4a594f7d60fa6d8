//! Invented leaflets, written as paper first, and the sheets that were typed from them: nothing of the paper is lost, and what the
//! sheet gives was worked by hand.

#![cfg(test)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use stainbook::check_read;
use stainbook_catalog::written::{Conditions, Reading, Seen};
use stainbook_catalog::{Book, EntryKind, SourceFile};
use stainbook_evaluation::{Options, ReadingResult, Status, evaluate};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("leaflets")
}

/// The files whose names end so, with that end taken off, and their texts.
fn files(end: &str) -> BTreeMap<String, String> {
    fs::read_dir(folder())
        .unwrap()
        .filter_map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name()?.to_str()?;
            let stem = name.strip_suffix(end)?.to_owned();
            Some((stem, fs::read_to_string(&path).unwrap()))
        })
        .collect()
}

/// The numbers of a text, each as it stands there: `0.5`, `1013`, `-5` without its sign, as a dash stands for much.
fn numerals(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut current = String::new();
    let letters: Vec<char> = text.chars().collect();
    for (at, letter) in letters.iter().enumerate() {
        let next_is_digit = letters.get(at + 1).is_some_and(char::is_ascii_digit);
        let goes_on = letter.is_ascii_digit()
            || *letter == '.' && !current.is_empty() && next_is_digit && !current.contains('.');
        if goes_on {
            current.push(*letter);
        } else if !current.is_empty() {
            found.push(std::mem::take(&mut current));
        }
    }
    if !current.is_empty() {
        found.push(current);
    }
    found
}

fn value(numeral: &str) -> f64 {
    numeral.parse().unwrap()
}

/// What is worked by hand of one sheet.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ByHand {
    sheet: String,
    not_typed: Vec<NotTyped>,
    air: Conditions,
    readings: Vec<Example>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NotTyped {
    numeral: String,
    because: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Example {
    strokes: stainbook_catalog::written::Num,
    reading: Seen,
    air: Option<Conditions>,
    substance: Option<String>,
    gives: String,
    by_hand: String,
}

fn by_hand() -> Vec<ByHand> {
    files(".worked.yaml")
        .into_values()
        .map(|text| serde_yaml::from_str(&text).unwrap())
        .collect()
}

fn book() -> Book {
    let names = [".tube.yaml", ".pump-kind.yaml"].map(|end| {
        files(end)
            .into_iter()
            .map(|(stem, text)| SourceFile::new(format!("{stem}{end}"), text))
            .collect::<Vec<_>>()
    });
    let catalog = fs::read_to_string(folder().join("catalog.yaml")).unwrap();
    let catalog = SourceFile::new("catalog.yaml", catalog);
    let (book, found) = Book::read(names.into_iter().flatten().chain([catalog]));
    let report = check_read(&book, found, &stainbook_check::Options::default());
    let said: Vec<String> = report
        .findings
        .iter()
        .filter(|one| one.level() == stainbook::Level::Error)
        .map(|one| format!("{} {:?}: {}", one.rule(), one.place(), one.message_text()))
        .collect();
    assert!(said.is_empty(), "{said:#?}");
    book
}

/// Every leaflet has a sheet and readings, ten at least, each with its arithmetic.
#[test]
fn each_has_its_sheet_and_its_readings() {
    let papers = files(".txt");
    assert!(!papers.is_empty());
    let names: Vec<&String> = papers.keys().collect();
    assert_eq!(names, files(".tube.yaml").keys().collect::<Vec<_>>());
    assert_eq!(names, files(".worked.yaml").keys().collect::<Vec<_>>());
    for worked in by_hand() {
        assert!(10 <= worked.readings.len(), "{}", worked.sheet);
        assert!(worked.readings.iter().all(|one| !one.by_hand.is_empty()));
    }
}

#[test]
fn every_numeral_of_the_paper_is_typed() {
    let sheets = files(".tube.yaml");
    let mut lost = Vec::new();
    for worked in by_hand() {
        let sheet = &sheets[&worked.sheet];
        let typed: Vec<f64> = numerals(sheet).iter().map(|text| value(text)).collect();
        let paper = &files(".txt")[&worked.sheet];
        for numeral in numerals(paper) {
            let is_typed = typed
                .iter()
                .any(|typed| typed.total_cmp(&value(&numeral)).is_eq());
            let excused = worked
                .not_typed
                .iter()
                .any(|one| one.numeral == numeral && !one.because.is_empty());
            if !is_typed && !excused {
                lost.push(format!("{}: {numeral}", worked.sheet));
            }
        }
        for one in &worked.not_typed {
            assert!(
                numerals(paper).contains(&one.numeral),
                "{} is not on the paper",
                one.numeral
            );
        }
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

/// Names of at most so many words are looked for: `hydrogen sulfide`, `chlorine dioxide`.
const LONGEST_NAME: usize = 3;
/// A word of fewer letters is no substance's name on these papers.
const SHORTEST_NAME: usize = 4;

#[test]
fn every_substance_of_the_paper_is_typed() {
    let book = book();
    let sheets = files(".tube.yaml");
    let mut lost = Vec::new();
    for (sheet, paper) in files(".txt") {
        let letters = paper.chars().map(|letter| {
            if letter.is_alphanumeric() {
                letter
            } else {
                ' '
            }
        });
        let text: String = letters.collect();
        let mut words: Vec<&str> = text.split_whitespace().collect();
        let mut found = 0;
        // The longest first: chlorine dioxide is no chlorine.
        for length in (1..=LONGEST_NAME).rev() {
            for at in 0..words.len() {
                let name = words.iter().skip(at).take(length).copied();
                let name = name.collect::<Vec<_>>().join(" ").to_lowercase();
                if name.len() < SHORTEST_NAME || at + length > words.len() {
                    continue;
                }
                let Some(substance) = book.named_substance(&name) else {
                    continue;
                };
                let id = substance.substance.as_deref().unwrap();
                words[at..at + length].fill("|");
                found += 1;
                if !sheets[&sheet].contains(&format!("substance: {id}")) {
                    lost.push(format!("{sheet}: {name} ({id})"));
                }
            }
        }
        assert!(0 < found, "{sheet} names no substance");
    }
    assert!(lost.is_empty(), "{lost:#?}");
}

/// A result in the words of the files: `20 ppm`, `less than 1 ppm`, `refused empty-cell`.
fn same(result: &ReadingResult, gives: &str) -> bool {
    if let Some(code) = gives.strip_prefix("refused ") {
        return result
            .refusal
            .as_ref()
            .is_some_and(|refusal| refusal.code.as_str() == code);
    }
    let (status, figure) = if let Some(figure) = gives.strip_prefix("less than ") {
        (Status::LessThan, figure)
    } else if let Some(figure) = gives.strip_prefix("more than ") {
        (Status::MoreThan, figure)
    } else {
        (Status::Measured, gives)
    };
    let (number, unit) = figure.split_once(' ').unwrap();
    let number = value(number);
    result.status == status
        && result.concentration.as_ref().is_some_and(|found| {
            found.unit == unit && (found.value - number).abs() <= 1e-9 * number.abs()
        })
}

#[test]
fn each_reading_gives_what_was_worked_by_hand() {
    let book = book();
    let mut wrong = Vec::new();
    for worked in by_hand() {
        assert!(book.find(EntryKind::Tube, &worked.sheet).is_some());
        let readings = worked.readings.iter().zip(1..).map(|(one, number)| {
            let own = one.air.clone().unwrap_or_default();
            let usual = worked.air.clone();
            Reading {
                id: Some(format!("r{number}")),
                tube: Some(worked.sheet.clone()),
                strokes: Some(one.strokes.clone()),
                reading: Some(one.reading.clone()),
                substance: one.substance.clone(),
                conditions: Conditions {
                    air_temperature: own.air_temperature.or(usual.air_temperature),
                    humidity: own.humidity.or(usual.humidity),
                    pressure: own.pressure.or(usual.pressure),
                    ..Conditions::default()
                },
                ..Reading::default()
            }
        });
        let survey = stainbook_catalog::written::SurveyEntry {
            survey: Some("by-hand".to_owned()),
            readings: readings.collect(),
            ..Default::default()
        };
        let results = evaluate(&book, &survey, &Options::default()).results;
        for (result, one) in results.iter().zip(&worked.readings) {
            if !same(result, &one.gives) {
                wrong.push(format!(
                    "{} {}, {}: {:?} {:?} {:?}",
                    worked.sheet,
                    result.id,
                    one.gives,
                    result.status,
                    result.concentration,
                    result.refusal
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
