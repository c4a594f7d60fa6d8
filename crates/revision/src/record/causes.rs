//! Data of the catalog that move recorded results.
//!
//! An entry that says something else now is put in place of its former self among the record's own facts, everything else
//! left as it was, and what then comes out otherwise it moves. That is worked out once for each such entry, not for each
//! result: over the readings that rest on it, or over the whole survey where its readings have to do with each other.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::recorded::{RecordedEntry, book_of};
use crate::results::{Words, differences};
use crate::verification::Datum;
use serde_json::Value;
use stainbook_catalog::Book;
use stainbook_catalog::written::{Reading, SurveyEntry};
use stainbook_evaluation::result::{GroupMethod, GroupResult};
use stainbook_evaluation::{Evaluation, Options, ReadingResult, evaluate};

use super::entries::{ChangedEntry, changed_data, with};

/// The digests of a result's facts, then and now.
type Digests = (Option<String>, Option<String>);

/// Knowledge of the causes for which results move.
pub(super) struct Causes<'v> {
    kept: &'v Evaluation,
    survey: &'v SurveyEntry,
    now: &'v Evaluation,
    /// The catalog of the record's own facts, if one can be made of them.
    own: Option<&'v Book>,
    options: Options<'v>,
    /// True if any reading has to do with another.
    connected: bool,
    /// The entries that say something else now, with the places of the readings that rest on them, by the digests of the facts.
    changed: BTreeMap<Digests, ChangedFacts>,
    /// Results that an entry moves by itself, by its key.
    alone: RefCell<BTreeMap<String, Rc<Moved>>>,
}

/// Changes that readings on the same facts have in common.
#[derive(Default)]
struct ChangedFacts {
    entries: Vec<KeyedDatum>,
    places: Vec<usize>,
}

#[derive(Clone)]
struct KeyedDatum {
    key: String,
    change: ChangedEntry,
}

/// Results that come out otherwise with one entry as it is now.
#[derive(Default)]
struct Moved {
    /// Readings, by their place in the survey.
    readings: BTreeSet<usize>,
    /// Readings together, by method and name.
    together: BTreeSet<(GroupMethod, String)>,
    /// Nothing could be worked out: then the entry is not cleared.
    unknown: bool,
}

impl<'v> Causes<'v> {
    pub(super) fn new(
        kept: &'v Evaluation,
        survey: &'v SurveyEntry,
        now: &'v Evaluation,
        own: Option<&'v Book>,
        options: &Options<'v>,
    ) -> Self {
        let alone = |reading: &Reading| reading.blank != Some(true) && reading.repeat_of.is_none();
        let mut causes = Self {
            kept,
            survey,
            now,
            own,
            // The law of propagation moves with every datum that the draws move with.
            options: (*options).with_monte_carlo(None),
            connected: !survey.together.is_empty() || !survey.readings.iter().all(alone),
            changed: BTreeMap::new(),
            alone: RefCell::default(),
        };
        for (place, (was, is)) in read_again(kept, now).enumerate() {
            // A refusal before any facts is the result's own.
            if was.sheet_digest != is.sheet_digest && is.sheet_digest.is_some() {
                let slot = causes
                    .changed
                    .entry(digests(was, is))
                    .or_insert_with(|| ChangedFacts {
                        entries: keyed(changed_data(kept, was, now, is)),
                        places: Vec::new(),
                    });
                slot.places.push(place);
            }
        }
        causes
    }

    /// Changed data that a result rests on: for one that moved only those that move it, as far as that can
    /// be told apart. `place` is the reading's in the survey.
    pub(super) fn of_result(&self, was: &ReadingResult, place: usize, moved: bool) -> Vec<Datum> {
        let Some(is) = self.now.results.get(place) else {
            return Vec::new();
        };
        let changed = self.changed(was, is);
        if !moved {
            return data(&[], &changed);
        }
        let movers = self.movers(&changed, |moved| moved.readings.contains(&place));
        data(&movers, &changed)
    }

    /// The same for what several readings say together, which moved: of everything that any of them rests on.
    pub(super) fn of_together(&self, was: &GroupResult) -> Vec<Datum> {
        let readings = self.readings_of(was);
        let mut changed: Vec<KeyedDatum> = Vec::new();
        let mut known: BTreeSet<String> = BTreeSet::new();
        for (was, is) in read_again(self.kept, self.now) {
            if readings.contains(was.id.as_str()) {
                let entries = self.changed(was, is);
                changed.extend(
                    entries
                        .iter()
                        .filter(|one| known.insert(one.key.clone()))
                        .cloned(),
                );
            }
        }
        let name = (was.method, was.id.clone());
        let movers = self.movers(&changed, |moved| moved.together.contains(&name));
        data(&movers, &changed)
    }

    /// The readings that something is made of, those of the averages in it among them.
    fn readings_of<'t>(&'t self, what: &'t GroupResult) -> BTreeSet<&'t str> {
        let mut readings = BTreeSet::new();
        let mut seen = BTreeSet::new();
        let members = |of: &'t GroupResult| of.of.iter().map(|member| member.id.as_str());
        let mut names: Vec<&str> = members(what).collect();
        if what.method == GroupMethod::Blank {
            names.push(&what.id);
        }
        while let Some(name) = names.pop() {
            let averages = || {
                self.kept
                    .together
                    .iter()
                    .filter(|other| other.method == GroupMethod::Average)
            };
            if !seen.insert(name) {
                continue;
            }
            match averages().find(|other| other.id == name) {
                Some(average) => names.extend(members(average)),
                None => {
                    readings.insert(name);
                }
            }
        }
        readings
    }

    /// The entries that a result rests on and that say something else now.
    fn changed(&self, was: &ReadingResult, is: &ReadingResult) -> Cow<'_, [KeyedDatum]> {
        if was.sheet_digest != is.sheet_digest && is.sheet_digest.is_none() {
            return Cow::Owned(keyed(changed_data(self.kept, was, self.now, is)));
        }
        let changed = self.changed.get(&digests(was, is));
        Cow::Borrowed(changed.map_or(&[], |changed| &changed.entries))
    }

    /// Those of the entries that by themselves move something.
    fn movers(&self, changed: &[KeyedDatum], what: impl Fn(&Moved) -> bool) -> Vec<KeyedDatum> {
        let moves = |one: &&KeyedDatum| {
            let Some(now) = &one.change.now else {
                return true;
            };
            let known = self.alone.borrow().get(&one.key).cloned();
            let alone = known.unwrap_or_else(|| {
                let alone = Rc::new(self.alone(now, &one.key));
                self.alone
                    .borrow_mut()
                    .insert(one.key.clone(), Rc::clone(&alone));
                alone
            });
            alone.unknown || what(&alone)
        };
        changed.iter().filter(moves).cloned().collect()
    }

    /// Results that one entry as it is now moves by itself.
    fn alone(&self, now: &RecordedEntry, key: &str) -> Moved {
        let swapped: Vec<Value> = self
            .kept
            .facts
            .values()
            .map(|facts| with(facts, now))
            .collect();
        let (Some(own), Ok(other)) = (self.own, book_of(&swapped)) else {
            return Moved {
                unknown: true,
                ..Moved::default()
            };
        };
        let places: Vec<usize> = if self.connected {
            (0..self.survey.readings.len()).collect()
        } else {
            let rest_on_it =
                |changed: &&ChangedFacts| changed.entries.iter().any(|one| one.key == key);
            let changed = self.changed.values().filter(rest_on_it);
            changed
                .flat_map(|changed| &changed.places)
                .copied()
                .collect()
        };
        let readings = places
            .iter()
            .filter_map(|place| self.survey.readings.get(*place).cloned());
        let survey = SurveyEntry {
            readings: readings.collect(),
            ..self.survey.clone()
        };
        let was = evaluate(own, &survey, &self.options);
        let is = evaluate(&other, &survey, &self.options);
        let results = was.results.iter().zip(&is.results);
        let together = was.together.iter().zip(&is.together);
        Moved {
            readings: places
                .into_iter()
                .zip(results)
                .filter(|(_, (was, is))| !differences(*was, *is, Words::Compared).is_empty())
                .map(|(place, _)| place)
                .collect(),
            together: together
                .filter(|(was, is)| !differences(*was, *is, Words::Compared).is_empty())
                .map(|(was, _)| (was.method, was.id.clone()))
                .collect(),
            unknown: false,
        }
    }
}

/// Recorded results that were worked out again, in the order of the survey.
fn read_again<'e>(
    kept: &'e Evaluation,
    now: &'e Evaluation,
) -> impl Iterator<Item = (&'e ReadingResult, &'e ReadingResult)> {
    // As `survey_of` does: a row that could not be read has left nothing to read again.
    let readable = kept
        .results
        .iter()
        .filter(|result| result.inputs.get("reading").is_some());
    readable.zip(&now.results)
}

fn keyed(changed: Vec<ChangedEntry>) -> Vec<KeyedDatum> {
    let keyed = |change: ChangedEntry| KeyedDatum {
        key: change.key(),
        change,
    };
    changed.into_iter().map(keyed).collect()
}

fn digests(was: &ReadingResult, is: &ReadingResult) -> Digests {
    (was.sheet_digest.clone(), is.sheet_digest.clone())
}

/// Changed data of the movers, or all, if none of them moves anything by itself.
fn data(movers: &[KeyedDatum], all: &[KeyedDatum]) -> Vec<Datum> {
    let chosen = if movers.is_empty() { all } else { movers };
    chosen
        .iter()
        .flat_map(|one| one.change.data.clone())
        .collect()
}
