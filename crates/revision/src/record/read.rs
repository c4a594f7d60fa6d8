//! Records from files: JSON, or JSON Lines.

use std::collections::BTreeMap;

use serde_json::Value;
use stainbook_evaluation::{Evaluation, ReadingResult};

use super::{NoRecord, Record, draws};

impl Record {
    /// Reads a record, JSON or JSON Lines. Lines of several surveys, or made with several revisions, are a record each.
    ///
    /// # Errors
    ///
    /// [`NoRecord`]: it is neither; or its uncertainty was drawn, and the feature `monte-carlo` is off.
    pub fn read(name: &str, text: &str) -> Result<Vec<Self>, NoRecord> {
        let records = read(name, text)?;
        let mut drawn = records
            .iter()
            .filter_map(|record| draws::of(&record.evaluation));
        if drawn.any(|drawn| draws::settings(drawn).is_none()) {
            let message = "its uncertainty was drawn, and this program was built without the feature `monte-carlo`: it cannot be worked out again here";
            return Err(NoRecord {
                line: 1,
                message: message.to_owned(),
            });
        }
        Ok(records)
    }
}

fn read(name: &str, text: &str) -> Result<Vec<Record>, NoRecord> {
    let no_record = |line: usize, message: String| NoRecord { line, message };
    let whole = serde_json::from_str::<Value>(text);
    if let Ok(value) = &whole
        && value.get("results").is_some()
    {
        let evaluation = serde_json::from_value(value.clone())
            .map_err(|error| no_record(1, error.to_string()))?;
        let written = |key: &str| {
            let list = value.get(key).and_then(Value::as_array);
            list.cloned().unwrap_or_default()
        };
        return Ok(vec![Record {
            name: name.to_owned(),
            evaluation,
            results: written("results"),
            together: written("together"),
        }]);
    }
    let mut records: Vec<Record> = Vec::new();
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
        let mut head = Evaluation::default();
        let version = value.get("schema_version").and_then(Value::as_u64);
        head.schema_version = version
            .and_then(|it| u32::try_from(it).ok())
            .unwrap_or_default();
        head.software = text("software").unwrap_or_default();
        head.catalog = text("catalog");
        head.catalog_revision.clone_from(&result.catalog_revision);
        let survey = inputs.get("survey").and_then(Value::as_str);
        head.survey = survey.map(str::to_owned);
        head.inputs = inputs;
        let same = |record: &Record| {
            let last = &record.evaluation;
            last.schema_version == head.schema_version
                && last.software == head.software
                && last.catalog == head.catalog
                && last.catalog_revision == head.catalog_revision
                && last.inputs == head.inputs
        };
        if !records.last().is_some_and(same) {
            records.push(Record {
                name: name.to_owned(),
                evaluation: head,
                ..Record::default()
            });
        }
        if let Some(record) = records.last_mut() {
            record.evaluation.results.push(result);
            record.results.push(value);
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
#[cfg(all(test, not(feature = "monte-carlo")))]
mod tests {
    use stainbook_catalog::Book;
    use stainbook_evaluation::{Options, evaluate};

    use super::*;

    #[test]
    fn what_was_drawn_cannot_be_drawn_again() {
        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        let kept = serde_json::to_value(evaluate(&book, survey, &Options::default())).unwrap();
        assert!(Record::read("kept.json", &kept.to_string()).is_ok());
        let mut drawn = kept;
        let results = drawn["results"].as_array_mut().unwrap();
        let mut uncertainties = results
            .iter_mut()
            .filter_map(|result| result.get_mut("uncertainty"));
        uncertainties.next().unwrap()["monte_carlo"] = serde_json::json!({
            "method": "", "generator": "", "seed": 7, "draws": 20_000, "adaptive": false, "settled": null,
            "mean": 25.0, "standard": 1.0, "coverage": 0.95, "interval_symmetric": [23.0, 27.0],
            "interval_shortest": [23.0, 27.0], "held_at_table_end": 0, "held_at_zero": 0, "agrees": true,
            "tolerance": 0.05, "apart": [0.0, 0.0], "text": [["", ""], ["", ""]],
        });
        let refused = Record::read("kept.json", &drawn.to_string()).map(|_| ());
        let message = refused.unwrap_err().message;
        assert!(message.contains("monte-carlo"), "{message}");
    }
}
