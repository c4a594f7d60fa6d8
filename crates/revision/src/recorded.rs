//! Results worked out again from what their record holds: the readings as typed, and the facts as they were resolved.
//!
//! [`survey_of`] makes the survey again, [`book_of`] a catalog of nothing but the facts, and [`differences`] says what came
//! out otherwise.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;
use serde::{Deserialize as _, Serialize};
use serde_json::Value;
use stainbook_catalog::written::{CatalogEntry, Reading, ReferenceConditions, SurveyEntry};
use stainbook_catalog::{Book, Entry, EntryKind, WrittenEntry};
use stainbook_document::place::FileId;

use stainbook_evaluation::outcome::{Flag, Refusal};
use stainbook_evaluation::result::{GroupResult, ReadingResult};

/// Figures are the same if they differ by no more than this part of the larger: `exp` and `ln` differ between platforms in
/// the last of 16 digits, and what is made of them in a few more.
pub const TOLERANCE: f64 = 1e-9;

/// One of the facts: an entry of the catalog as it was resolved.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What kind of entry.
    pub kind: EntryKind,
    /// Its short name.
    pub id: String,
    /// What it says.
    pub says: Value,
}

/// The entries that facts are made of.
pub fn parts(facts: &Value) -> Vec<Part> {
    let lists = [
        ("sheet", EntryKind::Tube),
        ("substances", EntryKind::Substance),
        ("groups", EntryKind::Group),
        ("pump", EntryKind::Pump),
        ("pump_kind", EntryKind::PumpKind),
        ("sources", EntryKind::Source),
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
            parts.push(Part {
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
            EntryKind::Catalog | EntryKind::Survey => continue,
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
        positions.push(position);
    }
    Ok((survey, positions))
}

/// Something that came out otherwise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// Where in the result, as a JSON Pointer.
    pub pointer: String,
    /// What the record says.
    pub recorded: Value,
    /// What came out now.
    pub computed: Value,
}

/// What is compared of a result: all that is worked out, nothing that is only told.
const COMPARED: [&str; 9] = [
    "status",
    "concentration",
    "also_as",
    "uncertainty",
    "reading",
    "corrections",
    "against",
    "other_gases",
    "repeat_with",
];

/// What is compared of what several readings say together.
const COMPARED_TOGETHER: [&str; 13] = [
    "status",
    "unit",
    "value",
    "lowest",
    "highest",
    "text",
    "with_uncertainty",
    "uncertainty",
    "period",
    "indicative",
    "against",
    "tests",
    "solved",
];

/// Parts of a result that tell of the catalog as a whole, which its facts do not hold; and what is left over of a system that
/// was solved, which is nothing but rounding.
const NOT_COMPARED: [&str; 4] = ["catalog", "replaces", "chosen", "residual"];

/// Words for people, which another version of the software may put otherwise.
const PROSE: [&str; 7] = [
    "text", "words", "reason", "origin", "basis", "source", "step",
];

/// Whether the words are compared as well.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// Both results were put into words by the same version.
    Compared,
    /// They were not.
    PassedOver,
}

/// Where the draws say which generator they come from.
const GENERATOR: &str = "generator";

/// What differs between a recorded result and the same worked out again, beyond [`TOLERANCE`].
pub fn differences(
    recorded: &ReadingResult,
    computed: &ReadingResult,
    words: Words,
) -> Vec<Difference> {
    let mut found = of_keys(&COMPARED, recorded, computed, words);
    let generator = |of: &ReadingResult| {
        let drawn = of.uncertainty.as_ref()?.monte_carlo.as_ref()?;
        Some(drawn.generator.clone())
    };
    if generator(recorded) != generator(computed) {
        // Their shares above a limit are other figures too; the verdicts are not.
        found.retain(|one| !one.pointer.contains("/probability_"));
    }
    found.extend(of_codes(
        (&recorded.flags, recorded.refusal.as_ref()),
        (&computed.flags, computed.refusal.as_ref()),
    ));
    found
}

/// What differs between what several readings are recorded to say together and the same worked out again, beyond
/// [`TOLERANCE`].
pub fn differences_together(
    recorded: &GroupResult,
    computed: &GroupResult,
    words: Words,
) -> Vec<Difference> {
    let mut found = of_keys(&COMPARED_TOGETHER, recorded, computed, words);
    found.extend(of_codes(
        (&recorded.flags, recorded.refusal.as_ref()),
        (&computed.flags, computed.refusal.as_ref()),
    ));
    found
}

/// What differs in these keys.
fn of_keys<T: Serialize>(
    keys: &[&str],
    recorded: &T,
    computed: &T,
    words: Words,
) -> Vec<Difference> {
    let as_value = |of: &T| serde_json::to_value(of).unwrap_or(Value::Null);
    let (a, b) = (as_value(recorded), as_value(computed));
    let mut found = Vec::new();
    for key in keys {
        let (a, b) = (a.get(key), b.get(key));
        value(
            &format!("/{key}"),
            a.unwrap_or(&Value::Null),
            b.unwrap_or(&Value::Null),
            words,
            &mut found,
        );
    }
    found
}

/// What differs in flags and refusal, which are told apart by their codes.
fn of_codes(
    recorded: (&[Flag], Option<&Refusal>),
    computed: (&[Flag], Option<&Refusal>),
) -> Vec<Difference> {
    let flags = |flags: &[Flag]| -> Value { flags.iter().map(|f| f.code.as_str()).collect() };
    let code = |refusal: Option<&Refusal>| refusal.map_or(Value::Null, |r| r.code.as_str().into());
    let mut found = Vec::new();
    for (pointer, a, b) in [
        ("/flags", flags(recorded.0), flags(computed.0)),
        ("/refusal/code", code(recorded.1), code(computed.1)),
    ] {
        value(pointer, &a, &b, Words::Compared, &mut found);
    }
    found
}

fn value(pointer: &str, a: &Value, b: &Value, words: Words, found: &mut Vec<Difference>) {
    let same = match (a, b) {
        (Value::Number(x), Value::Number(y)) => match (x.as_f64(), y.as_f64()) {
            (Some(x), Some(y)) => (x - y).abs() <= TOLERANCE * x.abs().max(y.abs()),
            _ => x == y,
        },
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => {
            for (index, (x, y)) in x.iter().zip(y).enumerate() {
                value(&format!("{pointer}/{index}"), x, y, words, found);
            }
            true
        }
        // Draws of another generator are other figures about the same result: that it is another one is all there is to say.
        (Value::Object(x), Value::Object(y)) if x.get(GENERATOR) != y.get(GENERATOR) => {
            let generator = |of: &serde_json::Map<String, Value>| {
                of.get(GENERATOR).cloned().unwrap_or(Value::Null)
            };
            found.push(Difference {
                pointer: format!("{pointer}/{GENERATOR}"),
                recorded: generator(x),
                computed: generator(y),
            });
            true
        }
        (Value::Object(x), Value::Object(y)) => {
            let keys: std::collections::BTreeSet<&String> = x.keys().chain(y.keys()).collect();
            for key in keys {
                let prose = PROSE.contains(&key.as_str()) && words == Words::PassedOver;
                if prose || NOT_COMPARED.contains(&key.as_str()) {
                    continue;
                }
                // A key that one version has and the other has not says nothing about the result.
                if let (Some(x), Some(y)) = (x.get(key), y.get(key)) {
                    value(&format!("{pointer}/{key}"), x, y, words, found);
                }
            }
            true
        }
        (a, b) => a == b,
    };
    if !same {
        found.push(Difference {
            pointer: pointer.to_owned(),
            recorded: a.clone(),
            computed: b.clone(),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
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

    #[test]
    fn a_figure_changed_by_hand_is_found() {
        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        let made = evaluate(&book, survey, &Options::default());
        let result = made
            .results
            .iter()
            .find(|result| result.uncertainty.is_some())
            .unwrap();
        let mut edited = result.clone();
        let amount = edited.concentration.as_mut().unwrap();
        amount.value *= 1.0 + 5e-10;
        assert_eq!(differences(result, &edited, Words::Compared), Vec::new());
        edited.concentration.as_mut().unwrap().value *= 0.9;
        "1.2".clone_into(&mut edited.concentration.as_mut().unwrap().text);
        let found = differences(result, &edited, Words::Compared);
        let pointers: Vec<&str> = found.iter().map(|one| one.pointer.as_str()).collect();
        assert_eq!(pointers, ["/concentration/text", "/concentration/value"]);
        assert_eq!(differences(result, &edited, Words::PassedOver).len(), 1);
    }
    /// What another generator draws differs in every figure, and none of them says anything about the result.
    #[cfg(feature = "monte-carlo")]
    #[test]
    fn draws_of_another_generator_are_not_compared_with_ours() {
        use stainbook_evaluation::MonteCarloOptions;
        use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another};

        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        let with_seed = |seed| {
            let options = Options {
                monte_carlo: Some(MonteCarloOptions {
                    settings: Settings {
                        draws: Draws::Exactly(20_000),
                        seed,
                    },
                    in_blocks: &one_after_another,
                }),
                ..Options::default()
            };
            let made = evaluate(&book, survey, &options);
            let drawn = made.results.into_iter().find(|result| {
                result
                    .uncertainty
                    .as_ref()
                    .is_some_and(|uncertainty| uncertainty.monte_carlo.is_some())
            });
            drawn.unwrap()
        };
        let (recorded, mut computed) = (with_seed(1), with_seed(2));
        assert!(10 < differences(&recorded, &computed, Words::Compared).len());
        let drawn = computed.uncertainty.as_mut().unwrap();
        "another one".clone_into(&mut drawn.monte_carlo.as_mut().unwrap().generator);
        let found = differences(&recorded, &computed, Words::Compared);
        let pointers: Vec<&str> = found.iter().map(|one| one.pointer.as_str()).collect();
        assert_eq!(pointers, ["/uncertainty/monte_carlo/generator"]);
    }
}
