//! The record that a lab keeps fits its committed schema: the demo's, drawn and not, and those of the files that raise each
//! code, refused ones among them.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use stainbook_catalog::embedded::{demo_files, demo_tables};
use stainbook_catalog::{Book, SourceFile};
use stainbook_evaluation::{Evaluation, MonteCarloOptions, Options, evaluate};
use stainbook_survey::table::{DecimalMark, evaluate_csv};
use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn validator() -> jsonschema::Validator {
    let text = fs::read_to_string(root().join("schemas/results.schema.json")).unwrap();
    jsonschema::validator_for(&serde_json::from_str(&text).unwrap()).unwrap()
}

/// Parts of a record that do not fit, with their places.
fn misfits(validator: &jsonschema::Validator, record: &Value) -> Vec<String> {
    validator
        .iter_errors(record)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

/// The evaluations of all surveys of a book.
fn of_surveys(book: &Book, options: &Options<'_>) -> Vec<Evaluation> {
    book.surveys()
        .map(|(_, survey)| evaluate(book, survey, options))
        .collect()
}

fn drawn() -> Options<'static> {
    Options::default().with_monte_carlo(MonteCarloOptions::new(
        Settings::new(Draws::Exactly(2_000), 7),
        &one_after_another,
    ))
}

fn demo_records() -> Vec<Value> {
    let (book, _) = Book::demo();
    let mut done = of_surveys(&book, &Options::default());
    done.extend(of_surveys(&book, &drawn()));
    for table in demo_tables() {
        done.push(
            evaluate_csv(&book, table.text, DecimalMark::Point, &Options::default()).unwrap(),
        );
    }
    assert!(5 <= done.len());
    done.iter()
        .map(|record| serde_json::to_value(record).unwrap())
        .collect()
}

#[test]
fn the_records_of_the_demo_fit() {
    let validator = validator();
    for record in demo_records() {
        assert_eq!(
            misfits(&validator, &record),
            Vec::<String>::new(),
            "{}",
            record["survey"]
        );
    }
}

#[test]
fn the_records_of_doubtful_and_refused_readings_fit() {
    let validator = validator();
    let mut surveys = 0;
    for folder in fs::read_dir(root().join("tests/flags")).unwrap() {
        let file = folder.unwrap().path().join("raises.survey.yaml");
        let Ok(text) = fs::read_to_string(&file) else {
            continue;
        };
        let survey = SourceFile::new("surveys/a.survey.yaml", text);
        let catalog = demo_files().filter(|file| !file.path.starts_with("surveys/"));
        let (book, _) = Book::read(catalog.chain([survey]));
        for done in of_surveys(&book, &Options::default()) {
            let record = serde_json::to_value(&done).unwrap();
            assert_eq!(
                misfits(&validator, &record),
                Vec::<String>::new(),
                "{}",
                file.display()
            );
            surveys += 1;
        }
    }
    assert!(50 < surveys, "{surveys} surveys");
}

/// A change of a record.
type Change = fn(&mut Value);

#[test]
fn a_record_that_lacks_something_does_not_fit() {
    let validator = validator();
    let sound = demo_records().swap_remove(0);
    let changes: [Change; 4] = [
        |record| {
            record.as_object_mut().unwrap().remove("facts");
        },
        |record| {
            let result = record["results"][0].as_object_mut().unwrap();
            result.remove("sheet_digest");
        },
        |record| record["results"][0]["status"] = Value::from("guessed"),
        |record| record["results"][0]["flags"] = Value::Null,
    ];
    for (number, change) in changes.into_iter().enumerate() {
        let mut record = sound.clone();
        change(&mut record);
        assert!(!misfits(&validator, &record).is_empty(), "change {number}");
    }
    // A later version may say more.
    let mut record = sound;
    record["results"][0]["remarked"] = Value::from("further");
    assert_eq!(misfits(&validator, &record), Vec::<String>::new());
}
