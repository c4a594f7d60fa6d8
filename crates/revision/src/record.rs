//! Records: results that were kept, and whether they still hold.
//!
//! A record is the JSON or JSON Lines output of an evaluation. It holds the readings as typed and the facts that the results
//! depend on. So it can be worked out again twice over: from its own facts alone, which shows whether somebody changed it by
//! hand, and with a catalog as it is now, which shows what a new revision does to past results.
//!
//! ```
//! use stainbook_catalog::Book;
//! use stainbook_evaluation::{Options, SheetErrors, evaluate};
//! use stainbook_revision::record::{Record, verify};
//!
//! let (book, _) = Book::demo();
//! let (_, survey) = book.surveys().next().ok_or("a survey")?;
//! let kept = serde_json::to_string(&evaluate(&book, survey, &Options::default()))?;
//!
//! let records = Record::read("kept.json", &kept)?;
//! assert!(verify(&book, &records, &|_| SheetErrors::default()).all_hold());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

use std::collections::{BTreeMap, BTreeSet};

use crate::recorded::{book_of, survey_of};
use crate::results::{Compared, Difference, Words, differences, moved};
use crate::verification::{
    Verification, Verified, VerifiedRecord, VerifiedResult, VerifiedState, VerifiedTogether,
};
use serde_json::Value;
use stainbook_catalog::Book;
use stainbook_document::digest;
use stainbook_evaluation::outcome::Code;
use stainbook_evaluation::result::{GroupResult, SCHEMA_VERSION, SOFTWARE};
use stainbook_evaluation::{
    Evaluation, FaultySheets, MonteCarloOptions, Options, ReadingResult, SheetErrors, Status,
    evaluate,
};
use stainbook_uncertainty::monte_carlo::one_after_another;

mod causes;
mod draws;
mod entries;
mod read;

use causes::Causes;

/// Results that were kept.
#[derive(Clone, Debug, Default)]
pub struct Record {
    /// The file, as it is shown.
    pub name: String,
    /// Contents of the record.
    pub evaluation: Evaluation,
    /// The results as they are written in the file, which tell a key that says null from one that is not there.
    pub results: Vec<Value>,
    /// Results of readings together, as written.
    pub together: Vec<Value>,
}

/// A file that is no record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoRecord {
    /// The line, counted from 1.
    pub line: usize,
    /// The reason.
    pub message: String,
}

impl std::fmt::Display for NoRecord {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}: {}", self.line, self.message)
    }
}

impl std::error::Error for NoRecord {}

/// Works records out again. `errors` is what the checker finds in the sheet of a short name and in the files that it rests on.
pub fn verify(
    book: &Book,
    records: &[Record],
    errors: &dyn Fn(&str) -> SheetErrors,
) -> Verification {
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
pub fn verify_one(
    book: &Book,
    record: &Record,
    errors: &dyn Fn(&str) -> SheetErrors,
) -> VerifiedRecord {
    let kept = &record.evaluation;
    let mut verified = VerifiedRecord {
        record: record.name.clone(),
        survey: kept.survey.clone(),
        software: (!kept.software.is_empty()).then(|| kept.software.clone()),
        catalog_revision: kept.catalog_revision.clone(),
        earlier_model: kept.schema_version < SCHEMA_VERSION,
        no_facts: None,
        results: Vec::new(),
        together: Vec::new(),
        together_not_kept: 0,
    };
    let (survey, positions) = match survey_of(&kept.inputs, &kept.results) {
        Ok(again) => again,
        Err(why) => {
            verified.no_facts = Some(format!("what was typed cannot be read: {why}"));
            return verified;
        }
    };
    if kept.together.is_empty() {
        verified.together_not_kept = survey.together.len();
    }
    let words = if kept.software == SOFTWARE {
        Words::Compared
    } else {
        Words::PassedOver
    };
    let options = options_of(kept);
    let now = evaluate(book, &survey, &options.with_sheet_errors(errors));
    let own = if kept.facts.is_empty() {
        Err("there are no facts in it".to_owned())
    } else {
        book_of(kept.facts.values()).map_err(|unreadable| unreadable.to_string())
    };
    // What a checker says of a sheet is not among its facts, but what it said then stands with the results.
    let faulty = faulty_then(kept);
    let faulty = |id: &str| SheetErrors::own(usize::from(faulty.contains(id)));
    let own_options = options.with_sheet_errors(&faulty);
    let from_own = match &own {
        Ok(own) => Some(evaluate(own, &survey, &own_options)),
        Err(why) => {
            verified.no_facts = Some(why.clone());
            None
        }
    };
    // The place of each result among those that were worked out again.
    let places: BTreeMap<usize, usize> = positions.into_iter().zip(0..).collect();
    let causes = Causes::new(kept, &survey, &now, own.as_ref().ok(), &own_options);
    let earlier_model = verified.earlier_model;
    let again = Again {
        kept,
        earlier_model,
        words,
        survey: kept.survey.as_deref().unwrap_or_default(),
    };
    for (position, was) in kept.results.iter().enumerate() {
        let place = places.get(&position).copied();
        let found = place.and_then(|place| Some((place, now.results.get(place)?)));
        let found = found.filter(|_| !rests_on_its_file(was));
        let of_it = match found {
            None => Verified::nothing_to_check(was.in_words()),
            Some((place, is)) => {
                let own = from_own.as_ref().and_then(|own| own.results.get(place));
                let by_hand = own.map(|own| again.not_from_own_facts(was, own));
                let written = record.results.get(position);
                let mut of_it = again.verified(was, is, by_hand, written);
                let moved = of_it.state == VerifiedState::Moved;
                // What the model alone moved no datum did.
                let by_data = of_it.moved.as_ref().is_some_and(|moved| moved.by.is_some());
                if !earlier_model || by_data {
                    of_it.because = causes.of_result(was, place, moved);
                }
                of_it
            }
        };
        verified.results.push(VerifiedResult {
            id: was.id.clone(),
            at: was.at.clone(),
            place: was.place.clone(),
            sheet: was.sheet.as_ref().map(|sheet| sheet.id.clone()),
            verified: of_it,
        });
    }
    for (position, was) in kept.together.iter().enumerate() {
        let found = same(&now, was).filter(|_| !rests_on_faults(was, kept));
        let of_it = match found {
            None => Verified::nothing_to_check(was.in_words()),
            Some(is) => {
                let own = from_own.as_ref().and_then(|own| same(own, was));
                let own = own.filter(|_| !earlier_model);
                let by_hand = own.map(|own| differences(was, own, words));
                let mut of_it = again.verified(was, is, by_hand, record.together.get(position));
                if of_it.state == VerifiedState::Moved {
                    of_it.because = causes.of_together(was);
                }
                of_it
            }
        };
        verified.together.push(VerifiedTogether {
            id: was.id.clone(),
            method: was.method.name().to_owned(),
            what: was.what.clone(),
            verified: of_it,
        });
    }
    verified
}

/// Result of readings together, among those worked out again.
fn same<'e>(evaluation: &'e Evaluation, was: &GroupResult) -> Option<&'e GroupResult> {
    let mut all = evaluation.together.iter();
    all.find(|other| other.id == was.id && other.method == was.method)
}

/// True if nothing was said together because of what was wrong in the file of the survey.
fn rests_on_faults(was: &GroupResult, kept: &Evaluation) -> bool {
    let refusal = was.refusal.as_ref();
    refusal.is_some_and(|refusal| refusal.code == Code::ReadingRefused)
        && kept.results.iter().any(rests_on_its_file)
}

/// Fields of a result that no model of the uncertainty changes.
const OF_VALUE: [&str; 3] = ["/concentration/value", "/corrections", "/reading/value"];

/// Comparison of the kept results with those worked out again.
struct Again<'k> {
    kept: &'k Evaluation,
    /// True if every figure of the uncertainty is another one by the model alone.
    earlier_model: bool,
    words: Words,
    survey: &'k str,
}

impl Again<'_> {
    /// Verification of something recorded, but for the data that moved it. `by_hand` is what does not follow from the
    /// record's own facts, `written` the result as it stands in the file.
    fn verified<R: Compared>(
        &self,
        was: &R,
        is: &R,
        by_hand: Option<Vec<Difference>>,
        written: Option<&Value>,
    ) -> Verified {
        let not_from_own_facts = known_then(by_hand.unwrap_or_default(), written);
        let otherwise = if self.earlier_model {
            Vec::new()
        } else {
            known_then(differences(was, is, self.words), written)
        };
        let moved = moved(self.survey, was, is);
        Verified {
            state: if !not_from_own_facts.is_empty() {
                VerifiedState::NotReproducible
            } else if moved.is_some() || !otherwise.is_empty() {
                VerifiedState::Moved
            } else {
                VerifiedState::Holds
            },
            moved,
            otherwise,
            not_from_own_facts,
            ..Verified::nothing_to_check(was.in_words())
        }
    }

    /// Differences that do not follow from the facts: of the facts themselves whether they have the digest that the result
    /// names, then everything that was worked out.
    fn not_from_own_facts(&self, was: &ReadingResult, own: &ReadingResult) -> Vec<Difference> {
        // Without a sheet there are no facts: the reading was refused before they counted.
        let Some(named) = &was.sheet_digest else {
            return Vec::new();
        };
        let facts = self.kept.facts.get(named);
        let digest = facts.and_then(|facts| digest::sha256(facts).ok());
        if digest.as_ref() != Some(named) {
            return vec![Difference {
                pointer: format!("/facts/{named}"),
                recorded: Value::from(named.as_str()),
                computed: digest.map_or(Value::Null, Value::from),
            }];
        }
        let mut found = differences(was, own, self.words);
        if self.earlier_model {
            // The way from a reading to its value is the same in both models.
            let of_value = |pointer: &str| OF_VALUE.iter().any(|of| pointer.starts_with(of));
            let measured = was.status == Status::Measured && own.status == Status::Measured;
            found.retain(|one| measured && of_value(&one.pointer));
        }
        found
    }
}

/// Differences but for keys that the record does not have: the version that made it did not know them.
fn known_then(found: Vec<Difference>, written: Option<&Value>) -> Vec<Difference> {
    let Some(written) = written else {
        return found;
    };
    let known = |difference: &Difference| {
        let pointer = match difference.pointer.as_str() {
            // Of a refusal the code is compared, and there may be none.
            "/refusal/code" => "/refusal",
            pointer => pointer,
        };
        pointer.starts_with("/facts/") || written.pointer(pointer).is_some()
    };
    found.into_iter().filter(known).collect()
}

/// A record is worked out again in the way in which it was made: from faulty sheets if that was wanted, and with the same
/// draws.
fn options_of(kept: &Evaluation) -> Options<'static> {
    let settings = draws::of(kept).and_then(draws::settings);
    Options::default()
        .with_faulty_sheets(faulty_sheets(kept))
        .with_monte_carlo(
            settings.map(|settings| MonteCarloOptions::new(settings, &one_after_another)),
        )
}

/// True if a result was refused for what was wrong in the file of its survey, or its verdicts withheld. The record does not
/// hold that file: what was typed otherwise than it can be read is not among its inputs.
fn rests_on_its_file(was: &ReadingResult) -> bool {
    let flags = was.flags.iter().map(|flag| &flag.code);
    let refusal = was.refusal.as_ref().map(|refusal| &refusal.code);
    flags.chain(refusal).any(|code| {
        matches!(
            code,
            Code::ReadingHasErrors
                | Code::ReadingUnreadable
                | Code::ConditionsHaveErrors
                | Code::ConditionsUnreadable
        )
    })
}

/// True if a record was made of faulty sheets on purpose.
fn faulty_sheets(kept: &Evaluation) -> FaultySheets {
    let flagged = kept
        .results
        .iter()
        .flat_map(|result| &result.flags)
        .any(|flag| flag.code == Code::SheetHasErrors);
    if flagged {
        FaultySheets::FlagOnly
    } else {
        FaultySheets::Refuse
    }
}

/// The sheets in which the checker found errors when the record was made.
fn faulty_then(kept: &Evaluation) -> BTreeSet<&str> {
    let of_errors = |result: &&ReadingResult| {
        let refused = result.refusal.as_ref().map(|refusal| &refusal.code);
        let flags = result.flags.iter().map(|flag| &flag.code);
        flags
            .chain(refused)
            .any(|code| *code == Code::SheetHasErrors)
    };
    kept.results
        .iter()
        .filter(of_errors)
        .filter_map(|result| Some(result.sheet.as_ref()?.id.as_str()))
        .collect()
}
