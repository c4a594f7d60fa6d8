//! Results worked out again from what their record holds: the readings as typed, and the facts as they were resolved.
//!
//! [`survey_of`] makes the survey again, [`book_of`] a catalog of nothing but the facts.

use std::collections::BTreeMap;

use serde::Deserialize as _;
use serde::de::DeserializeOwned;
use serde_json::Value;
use stainbook_catalog::written::{
    Assured, CatalogEntry, Reading, ReferenceConditions, SurveyEntry,
};
use stainbook_catalog::{Book, Entry, EntryKind, WrittenEntry};
use stainbook_document::place::FileId;

use stainbook_evaluation::result::ReadingResult;

/// One of the facts: an entry of the catalog as it was resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct RecordedEntry {
    /// Kind of entry.
    pub kind: EntryKind,
    /// Its short name.
    pub id: String,
    /// Contents.
    pub says: Value,
}

/// The entries that facts are made of.
pub fn parts(facts: &Value) -> Vec<RecordedEntry> {
    let lists = [
        ("sheet", EntryKind::Tube),
        ("referred_sheets", EntryKind::Tube),
        ("substances", EntryKind::Substance),
        ("groups", EntryKind::Group),
        ("pump", EntryKind::Pump),
        ("pump_kind", EntryKind::PumpKind),
        ("sources", EntryKind::Source),
        ("boxes", EntryKind::StockBox),
    ];
    let mut parts = Vec::new();
    for (key, kind) in lists {
        let entries: Vec<&Value> = match facts.get(key) {
            Some(Value::Array(entries)) => entries.iter().collect(),
            Some(entry) => vec![entry],
            None => Vec::new(),
        };
        for says in entries {
            let id = says.get(kind.id_key()).and_then(Value::as_str);
            parts.push(RecordedEntry {
                kind,
                id: id.unwrap_or_default().to_owned(),
                says: says.clone(),
            });
        }
    }
    parts
}

/// A catalog that holds these facts and nothing else; where two hold an entry of one name, the one that says more counts.
///
/// # Errors
///
/// [`Unreadable`]: one of the facts cannot be read.
pub fn book_of<'f>(facts: impl IntoIterator<Item = &'f Value>) -> Result<Book, Unreadable> {
    let mut found: BTreeMap<(EntryKind, String), Value> = BTreeMap::new();
    let mut reference_conditions = None;
    for facts in facts {
        if let Some(stated) = facts.get("reference_conditions") {
            reference_conditions = Some(read::<ReferenceConditions>("catalog", stated)?);
        }
        for part in parts(facts) {
            let says = found.entry((part.kind, part.id)).or_default();
            let size = |value: &Value| value.as_object().map_or(0, serde_json::Map::len);
            if size(says) < size(&part.says) {
                *says = part.says;
            }
        }
    }
    // A catalog that names nothing it builds on: the embedded reference stays out of it.
    let catalog = CatalogEntry {
        catalog: Some("record".to_owned()),
        reference_conditions,
        ..CatalogEntry::default()
    };
    let mut entries = vec![Entry::of_written(
        FileId(0),
        EntryKind::Catalog,
        WrittenEntry::Catalog(Box::new(catalog)),
    )];
    for (((kind, id), says), number) in found.iter().zip(1..) {
        let name = format!("{} {id}", kind.name());
        let written = match kind {
            EntryKind::Tube => WrittenEntry::Tube(read(&name, says)?),
            EntryKind::Substance => WrittenEntry::Substance(read(&name, says)?),
            EntryKind::Group => WrittenEntry::Group(read(&name, says)?),
            EntryKind::Pump => WrittenEntry::Pump(read(&name, says)?),
            EntryKind::PumpKind => WrittenEntry::PumpKind(read(&name, says)?),
            EntryKind::Source => WrittenEntry::Source(read(&name, says)?),
            EntryKind::StockBox => WrittenEntry::StockBox(read(&name, says)?),
            EntryKind::Catalog | EntryKind::BoxList | EntryKind::Plan | EntryKind::Survey => {
                continue;
            }
        };
        entries.push(Entry::of_written(FileId(number), *kind, written));
    }
    Ok(Book::assemble(entries))
}

fn read<T: DeserializeOwned>(what: &str, value: &Value) -> Result<T, Unreadable> {
    serde_json::from_value(value.clone()).map_err(|error| Unreadable::new(what, &error))
}

/// A part of a record that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Unreadable {
    /// The part: `survey`, `reading r01`, `tube brinewash-chlorine-a-r2`.
    pub part: String,
    /// Its fault, in words.
    pub fault: String,
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.part, self.fault)
    }
}

impl std::error::Error for Unreadable {}

impl Unreadable {
    fn new(part: impl Into<String>, fault: &impl ToString) -> Self {
        Self {
            part: part.into(),
            fault: fault.to_string(),
        }
    }
}

/// The survey that results were made of, and for each of its readings the position of the result.
///
/// A row that could not be read has left nothing to read again, and is not among them.
///
/// # Errors
///
/// [`Unreadable`]: a reading, or what is said of the survey, cannot be read.
pub fn survey_of(
    inputs: &Value,
    results: &[ReadingResult],
) -> Result<(SurveyEntry, Vec<usize>), Unreadable> {
    let mut survey = if inputs.is_null() {
        SurveyEntry::default()
    } else {
        read("survey", inputs)?
    };
    let mut positions = Vec::new();
    for (position, result) in results.iter().enumerate() {
        let Some(typed) = result.inputs.get("reading") else {
            continue;
        };
        let reading = Reading::deserialize(typed)
            .map_err(|error| Unreadable::new(format!("reading {}", result.id), &error))?;
        survey.readings.push(reading);
        // A line of a long record has no survey above it: what a result rests on stands with it.
        for assured in result
            .inputs
            .get("assured")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            let assured = Assured::deserialize(assured)
                .map_err(|error| Unreadable::new(format!("reading {}", result.id), &error))?;
            if inputs.is_null() && !survey.assured.contains(&assured) {
                survey.assured.push(assured);
            }
        }
        positions.push(position);
    }
    Ok((survey, positions))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::results::{Words, differences};
    use stainbook_catalog::SourceFile;
    use stainbook_catalog::embedded::demo_files;
    use stainbook_evaluation::{Options, evaluate};

    #[test]
    fn every_result_of_the_demo_comes_out_again_from_its_own_facts() {
        let (book, _) = Book::demo();
        let mut compared = 0;
        for (_, survey) in book.surveys() {
            let made = evaluate(&book, survey, &Options::default());
            let text = serde_json::to_string(&made).unwrap();
            let recorded: stainbook_evaluation::Evaluation = serde_json::from_str(&text).unwrap();
            let (again, positions) = survey_of(&recorded.inputs, &recorded.results).unwrap();
            assert_eq!(again, *survey, "the survey is typed again as it was");
            let own = book_of(recorded.facts.values()).unwrap();
            assert!(own.reference().is_none());
            let results = evaluate(&own, &again, &Options::default()).results;
            for (computed, position) in results.iter().zip(positions) {
                let recorded = &recorded.results[position];
                if recorded.sheet_digest.is_some() {
                    compared += 1;
                    assert_eq!(
                        differences(recorded, computed, Words::Compared),
                        Vec::new(),
                        "{}",
                        recorded.id
                    );
                }
            }
        }
        assert!(20 <= compared, "{compared}");
    }

    /// A result whose expiry comes from the stock needs the box again, and nothing that changes of it later.
    #[test]
    fn a_box_in_stock_is_a_fact_of_the_results_that_it_stands_in_for() {
        let book = |of_box: &str| {
            let own = [
                SourceFile::new(
                    "b-1.box.yaml",
                    format!("box: b-1\ntube: brinewash-chlorine-a\nlot: 24-119\n{of_box}\n"),
                ),
                SourceFile::new(
                    "a.survey.yaml",
                    "survey: a\ntitle: A\nby: KL\nconditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}\nreadings:\n  - {id: r1, at: \"2026-06-16T07:15+01:00\", tube: brinewash-chlorine-a, lot: 24-119, pump: pump-02, leak_test: held, strokes: 3, reading: {at: 5 ppm}, other_gases: none known}\n",
                ),
            ];
            Book::read(demo_files().chain(own)).0
        };
        let made = |of_box: &str| {
            let book = book(of_box);
            evaluate(&book, book.survey("a").unwrap(), &Options::default())
        };
        let first = made("expires: 2026-12");
        let said = serde_json::to_string(&first).unwrap();
        assert!(said.contains("expiry-as-in-stock"), "{said}");
        let (survey, _) = survey_of(&first.inputs, &first.results).unwrap();
        let own = book_of(first.facts.values()).unwrap();
        let again = evaluate(&own, &survey, &Options::default()).results;
        assert_eq!(
            differences(&first.results[0], &again[0], Words::Compared),
            Vec::new()
        );
        let digest = |made: &stainbook_evaluation::Evaluation| made.results[0].sheet_digest.clone();
        let used_up = made("expires: 2026-12\nused_up: 2026-08-01\nleft: 0\nplace: bin");
        assert_eq!(digest(&used_up), digest(&first));
        assert_ne!(digest(&made("expires: 2026-11")), digest(&first));
    }

    #[test]
    fn facts_have_the_digest_that_the_result_names() {
        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        let made = evaluate(&book, survey, &Options::default());
        assert!(!made.facts.is_empty());
        for (digest, facts) in &made.facts {
            assert_eq!(stainbook_document::digest::sha256(facts).unwrap(), *digest);
        }
    }
}
