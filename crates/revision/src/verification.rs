//! Records worked out again: whether their results hold, and what moved.

use crate::results::{Difference, SurveyMove, TOLERANCE};
use serde::Serialize;

/// Records that were worked out again with a catalog as it is now.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct Verification {
    /// The version of these keys.
    pub schema_version: u32,
    /// Figures that differ by no more than this part of themselves are the same.
    pub tolerance: f64,
    /// The catalog that it was done with.
    pub catalog: Option<String>,
    /// Its revision.
    pub catalog_revision: Option<String>,
    /// The software that did it.
    pub software: String,
    /// The records, in the order in which they were named.
    pub records: Vec<VerifiedRecord>,
}

/// One record.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct VerifiedRecord {
    /// The file.
    pub record: String,
    /// The survey's short name.
    pub survey: Option<String>,
    /// The software that made it.
    pub software: Option<String>,
    /// The revision of the catalog that it was made with.
    pub catalog_revision: Option<String>,
    /// True if it was worked out with the earlier model, in which deviations were parts of the reading: of its results only value
    /// and verdicts are compared, and that they do not follow from its facts says nothing of it.
    pub earlier_model: bool,
    /// Reason for which its results cannot be worked out from the facts in it, if they cannot.
    pub no_facts: Option<String>,
    /// The results, in the order of the record.
    pub results: Vec<VerifiedResult>,
    /// Readings together, in the order of the record.
    pub together: Vec<VerifiedTogether>,
    /// Number of rows judged together in the survey that the record does not hold, since lines of JSON have no room for them.
    pub together_not_kept: usize,
}

/// Readings together: an average, a mixture, a test, gases solved together, repeats or a blank.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct VerifiedTogether {
    /// Its name.
    pub id: String,
    /// `average`, `mixture`, `exposure group`, `mutual interference`, `repeats` or `blank`.
    pub method: String,
    /// Name, in words.
    pub what: String,
    /// Verification.
    #[serde(flatten)]
    pub verified: Verified,
}

/// One result.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct VerifiedResult {
    /// The reading's name.
    pub id: String,
    /// Time of the reading.
    pub at: Option<String>,
    /// Place of the reading.
    pub place: Option<String>,
    /// The sheet it was made with.
    pub sheet: Option<String>,
    /// Verification.
    #[serde(flatten)]
    pub verified: Verified,
}

/// Verification of something recorded, be it the result of one reading or of readings together.
#[derive(Clone, Debug, Serialize)]
#[non_exhaustive]
pub struct Verified {
    /// State of the verification.
    pub state: VerifiedState,
    /// The recorded result: `6.3 ppm`, `< 0.7 ppm`, `compliance`, `refused (tube-unknown)`.
    pub was: String,
    /// Change of figure, verdicts and tests with the catalog as it is now; null if there is none.
    pub moved: Option<SurveyMove>,
    /// Further differences with the catalog as it is now.
    pub otherwise: Vec<Difference>,
    /// Changed data of all that it rests on: for what moved only those that move it, as far as that can
    /// be told apart.
    pub because: Vec<Datum>,
    /// Differences that do not follow from the record's own facts: it, or a result that it is made of, was changed after it
    /// was made.
    pub not_from_own_facts: Vec<Difference>,
}

/// A verdict of a record that no longer stands.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FallenVerdict<'v> {
    /// The file.
    pub record: &'v str,
    /// The reading, or the name of a figure that several readings make.
    pub of: &'v str,
    /// Place and time of the reading.
    pub place: [Option<&'v str>; 2],
    /// The limit: authority and kind.
    pub limit: &'v str,
    /// The verdict then: `below`, `above`.
    pub old: &'static str,
    /// The verdict now; nothing if there is none.
    pub new: Option<&'static str>,
}

impl Verification {
    /// Every `below` or `above` that does not come out again, in the order of the records.
    pub fn fallen_verdicts(&self) -> Vec<FallenVerdict<'_>> {
        fn of_record(record: &VerifiedRecord) -> Vec<FallenVerdict<'_>> {
            let readings = record.results.iter().map(|result| {
                let place = [result.place.as_deref(), result.at.as_deref()];
                (result.id.as_str(), place, &result.verified)
            });
            let together = record
                .together
                .iter()
                .map(|together| (together.id.as_str(), [None, None], &together.verified));
            let mut fallen = Vec::new();
            for (of, place, verified) in readings.chain(together) {
                let verdicts = verified.moved.iter().flat_map(|moved| &moved.verdicts);
                fallen.extend(verdicts.filter_map(|verdict| {
                    let old = verdict
                        .old
                        .filter(|old| matches!(*old, "below" | "above"))?;
                    Some(FallenVerdict {
                        record: &record.record,
                        of,
                        place,
                        limit: &verdict.limit,
                        old,
                        new: verdict.new,
                    })
                }));
            }
            fallen
        }
        self.records.iter().flat_map(of_record).collect()
    }
}

impl Verified {
    /// Something recorded that there is nothing to work out for.
    pub fn nothing_to_check(was: String) -> Self {
        Self {
            state: VerifiedState::NothingToCheck,
            was,
            moved: None,
            otherwise: Vec::new(),
            because: Vec::new(),
            not_from_own_facts: Vec::new(),
        }
    }

    /// True if it holds, or if there was nothing to check.
    fn is_well(&self) -> bool {
        matches!(
            self.state,
            VerifiedState::Holds | VerifiedState::NothingToCheck
        )
    }
}

/// States of a recorded result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum VerifiedState {
    /// It comes out the same.
    Holds,
    /// With the catalog as it is now it comes out otherwise.
    Moved,
    /// It does not follow from what the record itself says it was made of.
    NotReproducible,
    /// There is nothing to work out: the row could not be read when the record was made.
    NothingToCheck,
}

impl VerifiedState {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Moved => "moved",
            Self::NotReproducible => "NOT REPRODUCIBLE",
            Self::NothingToCheck => "nothing to check",
        }
    }
}

/// Something that the catalog says otherwise now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Datum {
    /// The kind of entry: `tube`, `substance`, `pump` …
    pub kind: &'static str,
    /// The entry's short name.
    pub entry: String,
    /// The field, in the words of the entry; with neither `was` nor `is`, what is the matter with the entry.
    pub field: String,
    /// Version that the record was made with.
    pub was: Option<String>,
    /// Version now.
    pub is: Option<String>,
}

impl Datum {
    /// `sheet brinewash-chlorine-a-r2: draw, ranges, strokes 8, multiply_by: 0.4 → 0.35`.
    pub fn words(&self) -> String {
        if self.was.is_none() && self.is.is_none() {
            return format!("{} {}: {}", self.kind, self.entry, self.field);
        }
        let side = |text: &Option<String>| text.clone().unwrap_or_else(|| "nothing".to_owned());
        let field = if self.field.is_empty() {
            String::new()
        } else {
            format!("{}: ", self.field)
        };
        format!(
            "{} {}: {field}{} → {}",
            self.kind,
            self.entry,
            side(&self.was),
            side(&self.is)
        )
    }
}

impl VerifiedRecord {
    /// Verification of each result, then of readings together.
    pub fn verified(&self) -> impl Iterator<Item = &Verified> {
        let of_results = self.results.iter().map(|result| &result.verified);
        of_results.chain(self.together.iter().map(|together| &together.verified))
    }
}

impl Verification {
    /// With what stands once for all records.
    pub fn new(records: Vec<VerifiedRecord>) -> Self {
        Self {
            schema_version: 1,
            tolerance: TOLERANCE,
            catalog: None,
            catalog_revision: None,
            software: stainbook_evaluation::result::SOFTWARE.to_owned(),
            records,
        }
    }

    /// True if every result holds, and everything that several readings say together.
    pub fn all_hold(&self) -> bool {
        self.records
            .iter()
            .all(|record| record.no_facts.is_none() && record.verified().all(Verified::is_well))
    }
}
