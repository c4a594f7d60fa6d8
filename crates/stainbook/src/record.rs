//! Records: results that were kept, and whether they still hold.
//!
//! A record is the JSON or JSON Lines output of an evaluation. It holds the readings as typed and the facts that the results
//! depend on. So it can be worked out again twice over: from its own facts alone, which shows whether somebody changed it by
//! hand, and with a catalog as it is now, which shows what a new revision does to past results.
//!
//! ```
//! use stainbook::record::{Record, verify};
//! use stainbook::{Book, evaluate_survey, check_book, catalog::embedded::demo_files, present::results_json};
//!
//! let (book, report) = check_book(demo_files(), None);
//! let name = book.surveys().next().and_then(|(_, survey)| survey.survey.clone()).unwrap_or_default();
//! let kept = results_json::render(&evaluate_survey(&book, &report, &name).map_err(|names| names.join(", "))?)?;
//!
//! let records = Record::read("kept.json", &kept)?;
//! assert!(verify(&book, &records, &|_| 0).all_hold());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use std::collections::BTreeMap;

use serde_json::Value;
use stainbook_catalog::document::{Document, Limits};
use stainbook_catalog::place::FileId;
use stainbook_catalog::{Book, EntryKind, digest};
use stainbook_check::compare::{Scope, compare};
use stainbook_present::verification::{
    Datum, Verification, VerifiedRecord, VerifiedResult, VerifiedState,
};
use stainbook_reading::changes::{in_words, of_result};
use stainbook_reading::monte_carlo::{Draws, Settings, one_after_another};
use stainbook_reading::record::{Difference, Part, Words, book_of, differences, parts, survey_of};
use stainbook_reading::result::SOFTWARE;
use stainbook_reading::{
    Evaluation, FaultySheets, MonteCarloOptions, Options, ReadingResult, Status, evaluate,
};

/// Results that were kept.
#[derive(Clone, Debug, Default)]
pub struct Record {
    /// The file, as it is shown.
    pub name: String,
    /// What it holds.
    pub evaluation: Evaluation,
}

/// A file that is no record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoRecord {
    /// The line, counted from 1.
    pub line: usize,
    /// Why not.
    pub message: String,
}

impl std::fmt::Display for NoRecord {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}: {}", self.line, self.message)
    }
}

impl std::error::Error for NoRecord {}

impl Record {
    /// Reads a record, JSON or JSON Lines. Lines of several surveys, or made with several revisions, are a record each.
    ///
    /// # Errors
    ///
    /// [`NoRecord`]: it is neither.
    pub fn read(name: &str, text: &str) -> Result<Vec<Self>, NoRecord> {
        let no_record = |line: usize, message: String| NoRecord { line, message };
        let whole = serde_json::from_str::<Value>(text);
        if let Ok(value) = &whole
            && value.get("results").is_some()
        {
            let evaluation = serde_json::from_value(value.clone())
                .map_err(|error| no_record(1, error.to_string()))?;
            return Ok(vec![Self {
                name: name.to_owned(),
                evaluation,
            }]);
        }
        let mut records: Vec<Self> = Vec::new();
        let mut facts: BTreeMap<String, Value> = BTreeMap::new();
        for (index, line) in text.lines().enumerate() {
            if line.trim().is_empty() {
                continue;
            }
            let value: Value = match serde_json::from_str(line) {
                Ok(value) => value,
                // A file that begins like one object and is none has its fault where the whole was not read on.
                Err(error) => {
                    let (line, error) = match (index, whole) {
                        (0, Err(of_whole)) => (of_whole.line(), of_whole),
                        _ => (index + 1, error),
                    };
                    return Err(no_record(line, error.to_string()));
                }
            };
            if value.get("status").is_none() || value.get("inputs").is_none() {
                return Err(no_record(
                    index + 1,
                    "there are no results in it: a record is what `stainbook evaluate --format json` or `jsonl` writes".to_owned(),
                ));
            }
            let result: ReadingResult = serde_json::from_value(value.clone())
                .map_err(|error| no_record(index + 1, error.to_string()))?;
            if let Some(Value::Object(given)) = value.get("facts") {
                facts.extend(given.clone());
            }
            let text = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
            let inputs = value.get("survey").cloned().unwrap_or_default();
            let head = Evaluation {
                software: text("software").unwrap_or_default(),
                catalog: text("catalog"),
                catalog_revision: result.catalog_revision.clone(),
                survey: inputs
                    .get("survey")
                    .and_then(Value::as_str)
                    .map(str::to_owned),
                inputs,
                ..Evaluation::default()
            };
            let same = |record: &Self| {
                let last = &record.evaluation;
                last.software == head.software
                    && last.catalog == head.catalog
                    && last.catalog_revision == head.catalog_revision
                    && last.inputs == head.inputs
            };
            if !records.last().is_some_and(same) {
                records.push(Self {
                    name: name.to_owned(),
                    evaluation: head,
                });
            }
            if let Some(record) = records.last_mut() {
                record.evaluation.results.push(result);
            }
        }
        for record in &mut records {
            let used: Vec<&String> = record
                .evaluation
                .results
                .iter()
                .filter_map(|result| result.sheet_digest.as_ref())
                .collect();
            record.evaluation.facts = facts
                .iter()
                .filter(|(digest, _)| used.contains(digest))
                .map(|(digest, facts)| (digest.clone(), facts.clone()))
                .collect();
        }
        if records.is_empty() {
            return Err(no_record(1, "there is nothing in it".to_owned()));
        }
        Ok(records)
    }
}

/// Works records out again. `errors` is how many errors the checker finds in the sheet of a short name.
pub fn verify(book: &Book, records: &[Record], errors: &dyn Fn(&str) -> usize) -> Verification {
    let catalog = book.catalog().map(|(_, catalog)| catalog);
    Verification {
        catalog: catalog.and_then(|catalog| catalog.catalog.clone()),
        catalog_revision: catalog
            .and_then(|catalog| catalog.revision.as_ref())
            .map(|revision| revision.text().to_owned()),
        ..Verification::new(
            records
                .iter()
                .map(|record| verify_one(book, record, errors))
                .collect(),
        )
    }
}

/// Works one record out again.
pub fn verify_one(book: &Book, record: &Record, errors: &dyn Fn(&str) -> usize) -> VerifiedRecord {
    let kept = &record.evaluation;
    let mut verified = VerifiedRecord {
        record: record.name.clone(),
        survey: kept.survey.clone(),
        software: (!kept.software.is_empty()).then(|| kept.software.clone()),
        catalog_revision: kept.catalog_revision.clone(),
        no_facts: None,
        results: Vec::new(),
    };
    let (survey, positions) = match survey_of(&kept.inputs, &kept.results) {
        Ok(again) => again,
        Err(why) => {
            verified.no_facts = Some(format!("what was typed cannot be read: {why}"));
            return verified;
        }
    };
    let words = if kept.software == SOFTWARE {
        Words::Compared
    } else {
        Words::PassedOver
    };
    let options = options_of(kept);
    let now = evaluate(
        book,
        &survey,
        &Options {
            sheet_errors: Some(errors),
            ..options
        },
    );
    let own = if kept.facts.is_empty() {
        Err("there are no facts in it".to_owned())
    } else {
        book_of(kept.facts.values())
    };
    let from_own = match &own {
        Ok(own) => Some(evaluate(own, &survey, &options)),
        Err(why) => {
            verified.no_facts = Some(why.clone());
            None
        }
    };
    verified.results = kept
        .results
        .iter()
        .enumerate()
        .map(|(position, was)| {
            let again = positions.iter().position(|other| *other == position);
            let computed = again.and_then(|again| now.results.get(again));
            let Some((again, is)) = again.zip(computed) else {
                return nothing_to_check(was);
            };
            let by_hand = from_own
                .as_ref()
                .and_then(|own| own.results.get(again))
                .map(|own| not_from_own_facts(kept, was, own, words))
                .unwrap_or_default();
            let because = |moved: bool| {
                let data = changed_data(kept, was, &now, is);
                let movers: Vec<Datum> = if moved {
                    data.iter()
                        .filter(|change| moves(change, kept, again, &survey, from_own.as_ref()))
                        .flat_map(|change| change.data.clone())
                        .collect()
                } else {
                    Vec::new()
                };
                if movers.is_empty() {
                    data.into_iter().flat_map(|change| change.data).collect()
                } else {
                    movers
                }
            };
            let otherwise = differences(was, is, words);
            let moved = of_result(kept.survey.as_deref().unwrap_or_default(), was, is);
            let state = if !by_hand.is_empty() {
                VerifiedState::NotReproducible
            } else if moved.is_some() || !otherwise.is_empty() {
                VerifiedState::Moved
            } else {
                VerifiedState::Holds
            };
            VerifiedResult {
                state,
                because: because(state == VerifiedState::Moved),
                moved,
                otherwise,
                not_from_own_facts: by_hand,
                ..nothing_to_check(was)
            }
        })
        .collect();
    verified
}

/// A record is worked out again in the way in which it was made: from faulty sheets if that was wanted, and with the same
/// draws.
fn options_of(kept: &Evaluation) -> Options<'static> {
    let mut uncertainties = kept
        .results
        .iter()
        .filter_map(|result| result.uncertainty.as_ref());
    let drawn = uncertainties.find_map(|uncertainty| uncertainty.monte_carlo.as_ref());
    Options {
        faulty_sheets: faulty_sheets(kept),
        monte_carlo: drawn.map(|drawn| MonteCarloOptions {
            settings: Settings {
                draws: if drawn.adaptive {
                    Settings::default().draws
                } else {
                    Draws::Exactly(drawn.draws)
                },
                seed: drawn.seed,
            },
            in_blocks: &one_after_another,
        }),
        ..Options::default()
    }
}

/// Whether a record was made of faulty sheets on purpose.
fn faulty_sheets(kept: &Evaluation) -> FaultySheets {
    let flagged = kept
        .results
        .iter()
        .flat_map(|result| &result.flags)
        .any(|flag| flag.code == "sheet-has-errors");
    if flagged {
        FaultySheets::FlagOnly
    } else {
        FaultySheets::Refuse
    }
}

fn nothing_to_check(was: &ReadingResult) -> VerifiedResult {
    VerifiedResult {
        id: was.id.clone(),
        at: was.at.clone(),
        place: was.place.clone(),
        sheet: was.sheet.as_ref().map(|sheet| sheet.id.clone()),
        state: VerifiedState::NothingToCheck,
        was: in_words(was),
        moved: None,
        otherwise: Vec::new(),
        because: Vec::new(),
        not_from_own_facts: Vec::new(),
    }
}

/// What does not follow from the facts: of the facts themselves whether they have the digest that the result names, then
/// everything that was worked out.
fn not_from_own_facts(
    kept: &Evaluation,
    was: &ReadingResult,
    own: &ReadingResult,
    words: Words,
) -> Vec<Difference> {
    // Without a sheet there are no facts: the reading was refused before they counted.
    let Some(named) = &was.sheet_digest else {
        return Vec::new();
    };
    let digest = kept
        .facts
        .get(named)
        .and_then(|facts| digest::sha256(facts).ok());
    if digest.as_ref() != Some(named) {
        return vec![Difference {
            pointer: format!("/facts/{named}"),
            recorded: Value::from(named.as_str()),
            computed: digest.map_or(Value::Null, Value::from),
        }];
    }
    // What a checker says of a sheet is not among its facts.
    let of_checker = |code: &str| matches!(code, "sheet-has-errors" | "reading-has-errors");
    if was.status == Status::Refused && was.refusal.as_ref().is_some_and(|r| of_checker(&r.code)) {
        return Vec::new();
    }
    let mut recorded = was.clone();
    recorded.flags.retain(|flag| !of_checker(&flag.code));
    differences(&recorded, own, words)
}

/// An entry that says something else now.
struct ChangedEntry {
    now: Option<Part>,
    data: Vec<Datum>,
}

/// The entries that a result rests on and that say something else now.
fn changed_data(
    kept: &Evaluation,
    was: &ReadingResult,
    now: &Evaluation,
    is: &ReadingResult,
) -> Vec<ChangedEntry> {
    if was.sheet_digest == is.sheet_digest {
        return Vec::new();
    }
    // Refused before it came to any facts: the refusal says why.
    if let (None, Some(refusal)) = (&is.sheet_digest, &is.refusal) {
        let sheet = was.sheet.as_ref().map(|sheet| sheet.id.clone());
        let datum = Datum {
            kind: EntryKind::Tube.name(),
            entry: sheet.unwrap_or_default(),
            field: refusal.text.clone(),
            was: None,
            is: None,
        };
        return vec![ChangedEntry {
            now: None,
            data: vec![datum],
        }];
    }
    let facts = |of: &Evaluation, result: &ReadingResult| {
        result
            .sheet_digest
            .as_ref()
            .and_then(|digest| of.facts.get(digest))
            .map(parts)
            .unwrap_or_default()
    };
    let (old, mut new) = (facts(kept, was), facts(now, is));
    let mut changed = Vec::new();
    for part in old {
        // There is one sheet, one pump and one kind of pump; of the others there may be several.
        let single = matches!(
            part.kind,
            EntryKind::Tube | EntryKind::Pump | EntryKind::PumpKind
        );
        let same = new
            .iter()
            .position(|other| other.kind == part.kind && (single || other.id == part.id));
        let other = same.map(|at| new.remove(at));
        let data = between(&part, other.as_ref());
        if !data.is_empty() {
            changed.push(ChangedEntry { now: other, data });
        }
    }
    for part in new {
        let datum = Datum {
            kind: part.kind.name(),
            entry: part.id.clone(),
            field: String::new(),
            was: None,
            is: Some("there now".to_owned()),
        };
        changed.push(ChangedEntry {
            now: Some(part),
            data: vec![datum],
        });
    }
    changed
}

/// What one entry says otherwise, in the words in which two transcriptions are compared.
fn between(old: &Part, new: Option<&Part>) -> Vec<Datum> {
    let datum = |field: String, was: Option<String>, is: Option<String>| Datum {
        kind: old.kind.name(),
        entry: old.id.clone(),
        field,
        was,
        is,
    };
    let Some(new) = new else {
        return vec![datum(String::new(), Some("used then".to_owned()), None)];
    };
    let mut data = Vec::new();
    if old.id != new.id {
        data.push(datum(
            "another entry is used".to_owned(),
            Some(old.id.clone()),
            Some(new.id.clone()),
        ));
    }
    let (a, b) = (document(old, 0), document(new, 1));
    let id_key = old.kind.id_key();
    data.extend(
        compare(old.kind, &a, &b, Scope::Everything)
            .into_iter()
            .filter(|difference| difference.names.first().is_none_or(|name| name != id_key))
            .map(|difference| {
                datum(
                    difference.field,
                    difference.a.map(|side| side.text),
                    difference.b.map(|side| side.text),
                )
            }),
    );
    data
}

/// The entry as a document, which is what two transcriptions are compared as.
fn document(part: &Part, file: u32) -> Document {
    let text = part.says.to_string();
    let name = format!("{}.{}.yaml", part.id, part.kind.name());
    let read = Document::read(FileId(file), &name, text.as_bytes(), &Limits::default());
    read.0
}

/// Whether a changed entry by itself moves the result that follows from the record's own facts.
fn moves(
    change: &ChangedEntry,
    kept: &Evaluation,
    reading: usize,
    survey: &stainbook_catalog::written::SurveyEntry,
    from_own: Option<&Evaluation>,
) -> bool {
    let (Some(now), Some(own)) = (&change.now, from_own) else {
        return true;
    };
    let swapped: Vec<Value> = kept.facts.values().map(|facts| with(facts, now)).collect();
    let Ok(book) = book_of(&swapped) else {
        return true;
    };
    let options = options_of(kept);
    let alone = evaluate(&book, survey, &options);
    match (own.results.get(reading), alone.results.get(reading)) {
        (Some(was), Some(is)) => !differences(was, is, Words::Compared).is_empty(),
        _ => true,
    }
}

/// Facts with one entry as it is now.
fn with(facts: &Value, now: &Part) -> Value {
    let mut facts = facts.clone();
    let slots: Vec<&mut Value> = match (now.kind, &mut facts) {
        (_, Value::Object(fields)) => fields
            .values_mut()
            .flat_map(|field| match field {
                Value::Array(items) => items.iter_mut().collect(),
                other => vec![other],
            })
            .collect(),
        _ => Vec::new(),
    };
    for slot in slots {
        let id = slot.get(now.kind.id_key()).and_then(Value::as_str);
        if id == Some(now.id.as_str()) {
            *slot = now.says.clone();
        }
    }
    facts
}
