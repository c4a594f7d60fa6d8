//! Faults that reading and checking found in a survey file, reading by reading: one bad row never stops the others, and what
//! could not be read is never filled in from elsewhere.
//!
//! A reading whose own temperature cannot be read must not fall back on the survey's: it is refused, whatever was asked
//! for. A rule that calls a reading wrong refuses it unless results were asked for despite findings.

use std::collections::{BTreeMap, BTreeSet};

use stainbook_catalog::Entry;
use stainbook_catalog::rules::{self, reader_rules};
use stainbook_catalog::written::{Conditions, Reading};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::{Path, PathStep};

use crate::evaluate::FaultySheets;
use crate::evaluated::{Evaluated, Record};
use crate::outcome::{Code, Flag, Refusal};
use crate::refused_at;

/// Faults of a survey file.
#[derive(Clone, Debug, Default)]
pub struct SurveyFaults {
    /// By the index of a reading: a field of it that cannot be read.
    unreadable: BTreeMap<usize, Refusal>,
    /// By the name of a condition of the whole survey: it cannot be read.
    shared: BTreeMap<String, Refusal>,
    /// By the index of a reading: a rule calls it wrong.
    doubted: BTreeMap<usize, Refusal>,
    /// By the name of a condition of the whole survey: a rule calls it wrong.
    shared_doubted: BTreeMap<String, Refusal>,
    /// By the index of what several readings say together: a field of it that cannot be read, and what a rule calls wrong.
    together: BTreeMap<usize, TogetherFault>,
    /// Errors that lie in none of these.
    elsewhere: usize,
    /// True if the text breaks off, so that what follows may be missing anywhere.
    broken: bool,
}

/// Fault of a row of readings together.
#[derive(Clone, Debug)]
pub(crate) struct TogetherFault {
    /// Refusal to work it out.
    pub(crate) refusal: Refusal,
    /// True if something that was written is not known.
    pub(crate) unreadable: bool,
}

impl SurveyFaults {
    /// Sorts the findings about a survey's file. Findings about other files, and those that are not errors, do not count.
    pub fn of<'f>(entry: &Entry, findings: impl IntoIterator<Item = &'f Finding>) -> Self {
        let mut faults = Self::default();
        let mut seen = BTreeSet::new();
        for finding in findings {
            if finding.place().file != entry.file {
                continue;
            }
            let unreadable = hides_what_was_written(finding.rule());
            if !unreadable && finding.level() < Level::Error {
                continue;
            }
            let byte = entry.document.locate(finding.place()).start;
            // The same finding may come from reading and from checking.
            if seen.insert((byte, finding.rule())) {
                faults.add(entry, finding, byte, unreadable);
            }
        }
        if !entry.sound && faults.is_empty() {
            // What was wrong is no longer known, so nothing can be said of any reading.
            faults.broken = true;
        }
        faults
    }

    fn add(&mut self, entry: &Entry, finding: &Finding, byte: usize, unreadable: bool) {
        let way = entry.document.path_at(finding.place());
        let refusal = |code: Code| {
            Refusal::new(
                code,
                format!(
                    "{}: {}",
                    refused_at::at(&entry.path, &entry.document, byte),
                    finding.message_text()
                ),
                finding
                    .help_text()
                    .unwrap_or("correct the field; the other readings are not affected"),
            )
        };
        if finding.rule() == rules::YAML_SYNTAX.name {
            self.broken = true;
            return;
        }
        match way.steps() {
            [PathStep::Key(list), PathStep::Index(index), rest @ ..] if list == "readings" => {
                let (kept, code) = if unreadable {
                    (&mut self.unreadable, Code::ReadingUnreadable)
                } else {
                    (&mut self.doubted, Code::ReadingHasErrors)
                };
                kept.entry(*index)
                    .or_insert_with(|| refusal(code).at(&field(rest)));
            }
            [PathStep::Key(conditions), PathStep::Key(name), ..] if conditions == "conditions" => {
                let (kept, code) = if unreadable {
                    (&mut self.shared, Code::ConditionsUnreadable)
                } else {
                    (&mut self.shared_doubted, Code::ConditionsHaveErrors)
                };
                kept.entry(name.to_string())
                    .or_insert_with(|| refusal(code).at(&format!("/conditions/{name}")));
            }
            [PathStep::Key(list), PathStep::Index(index), ..] if list == "together" => {
                let code = if unreadable {
                    Code::TogetherUnreadable
                } else {
                    Code::TogetherHasErrors
                };
                // What cannot be read counts before what a rule calls wrong.
                let known = self.together.get(index);
                if known.is_none_or(|known| unreadable && !known.unreadable) {
                    let refusal = refusal(code);
                    self.together.insert(
                        *index,
                        TogetherFault {
                            refusal,
                            unreadable,
                        },
                    );
                }
            }
            _ => self.elsewhere += 1,
        }
    }

    fn is_empty(&self) -> bool {
        self.unreadable.is_empty()
            && self.shared.is_empty()
            && self.doubted.is_empty()
            && self.shared_doubted.is_empty()
            && self.together.is_empty()
            && self.elsewhere == 0
            && !self.broken
    }

    /// True if the survey as a whole is to be corrected first: its text breaks off, or something is wrong that lies in no
    /// single reading and findings are not to be passed over.
    pub fn stop_all(&self, faulty: FaultySheets) -> bool {
        self.broken || (0 < self.elsewhere && faulty == FaultySheets::Refuse)
    }

    /// The reading's result as far as these faults go: refused if something of it could not be read, or if a rule calls it
    /// wrong and that is not to be passed over.
    pub(crate) fn judge<'b>(
        &self,
        index: usize,
        reading: &Reading,
        faulty: FaultySheets,
        mut evaluated: Evaluated<'b>,
    ) -> Evaluated<'b> {
        if let Some(refusal) = self.unreadable(index, reading) {
            // What was typed is not known, so it cannot be worked out again from what is.
            let Evaluated { id, record, .. } = evaluated;
            return Evaluated {
                record: Record {
                    at: record.at,
                    place: record.place,
                    catalog_revision: record.catalog_revision,
                    ..Record::default()
                },
                ..Evaluated::refused(id, refusal.clone())
            };
        }
        let shared = || resting_on(&self.shared_doubted, reading);
        let doubted = self.doubted.get(&index).or_else(shared);
        let Some(refusal) = doubted.filter(|_| evaluated.refused.is_none()) else {
            return evaluated;
        };
        if faulty == FaultySheets::FlagOnly {
            evaluated.doubt(Flag::new(
                refusal.code.clone(),
                format!(
                    "the checker calls this reading wrong, and the result was asked for nevertheless: {}",
                    refusal.text
                ),
            ));
        } else {
            evaluated.refuse(refusal.clone());
        }
        evaluated
    }

    /// Refusal to work out a row of readings together. The findings of a rule do not count where
    /// results are asked for despite findings.
    pub(crate) fn of_together(&self, index: usize, faulty: FaultySheets) -> Option<&TogetherFault> {
        let fault = self.together.get(&index)?;
        (fault.unreadable || faulty == FaultySheets::Refuse).then_some(fault)
    }

    fn unreadable(&self, index: usize, reading: &Reading) -> Option<&Refusal> {
        let shared = || resting_on(&self.shared, reading);
        self.unreadable.get(&index).or_else(shared)
    }
}

/// Refusal for a faulty condition of the survey that the reading does not state itself.
fn resting_on<'f>(shared: &'f BTreeMap<String, Refusal>, reading: &Reading) -> Option<&'f Refusal> {
    shared
        .iter()
        .find(|(name, _)| !has_its_own(name, &reading.conditions))
        .map(|(_, refusal)| refusal)
}

/// True if a finding of this rule means that something which was written did not reach the result.
fn hides_what_was_written(rule: &str) -> bool {
    rule != rules::MISSING_KEY.name
        && reader_rules().any(|reader| reader.name == rule && reader.level == Level::Error)
}

/// The field of a reading as a pointer into the result's inputs, see [`Refusal::field`].
fn field(rest: &[PathStep]) -> String {
    let rest: Path = rest.iter().cloned().collect();
    match rest.steps() {
        [PathStep::Key(first), ..] if first == "conditions" => rest.pointer(),
        _ => format!("/reading{}", rest.pointer()),
    }
}

/// True if a reading states a condition itself, so that the survey's does not count.
fn has_its_own(name: &str, conditions: &Conditions) -> bool {
    let elsewhere = conditions.altitude.is_some() || conditions.sea_level_pressure.is_some();
    match name {
        "air_temperature" => conditions.air_temperature.is_some(),
        "tube_temperature" => conditions.tube_temperature.is_some(),
        "humidity" => conditions.humidity.is_some(),
        "pressure" => conditions.pressure.is_some() || elsewhere,
        "altitude" => conditions.altitude.is_some(),
        "sea_level_pressure" => conditions.sea_level_pressure.is_some(),
        // A name that is not known may be any of them, misspelt.
        _ => false,
    }
}
