//! Readings that were changed after they were first written down: the change is told with the result.

use serde_json::Value;
use stainbook_catalog::written::{Amendment, Reading};

use crate::facts::present;
use crate::outcome::{Code, Flag};

/// A flag for each change, and one where it is not said who changed it, when or why.
pub(crate) fn flags(reading: &Reading, flags: &mut Vec<Flag>) {
    for amendment in &reading.amended {
        flags.push(Flag::new(Code::Amended, words(amendment)));
        let missing: Vec<&str> = [
            (amendment.by.is_none(), "who changed it"),
            (amendment.at.is_none(), "when"),
            (amendment.because.is_none(), "why"),
        ]
        .into_iter()
        .filter_map(|(missing, what)| missing.then_some(what))
        .collect();
        if !missing.is_empty() {
            flags.push(Flag::new(
                Code::AmendmentUnsigned,
                format!(
                    "the reading was changed, and it is not recorded {}",
                    missing.join(", ")
                ),
            ));
        }
        // A reading cannot be put right before it was taken.
        if let (Some(changed), Some(read)) = (&amendment.at, &reading.at)
            && changed.instant() < read.instant()
        {
            flags.push(Flag::new(
                Code::AmendedBeforeRead,
                format!(
                    "the change is dated {}, before the reading itself ({})",
                    changed.text(),
                    read.text()
                ),
            ));
        }
    }
}

fn words(amendment: &Amendment) -> String {
    let was = present(serde_json::to_value(&amendment.was).unwrap_or(Value::Null));
    let mut fields = Vec::new();
    said("", &was, &mut fields);
    // In the same order whatever the map keeps.
    fields.sort();
    let by = amendment.by.as_ref().map(|by| format!("; by {by}"));
    let at = amendment.at.as_ref().map(|at| format!(" on {}", at.text()));
    let because = amendment
        .because
        .as_ref()
        .map(|because| format!(", because {because}"));
    format!(
        "changed afterwards: before, {}{}{}{}",
        fields.join(", "),
        by.unwrap_or_default(),
        at.unwrap_or_default(),
        because.unwrap_or_default()
    )
}

/// `strokes 2`, `reading at 3 ppm`.
fn said(name: &str, value: &Value, fields: &mut Vec<String>) {
    match value {
        Value::Object(inner) => {
            for (key, value) in inner {
                let key = key.replace('_', " ");
                let name = if name.is_empty() {
                    key
                } else {
                    format!("{name} {key}")
                };
                said(&name, value, fields);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| said(name, item, fields)),
        Value::String(text) => fields.push(format!("{name} {text}")),
        Value::Number(number) => fields.push(format!(
            "{name} {}",
            stainbook_core::print::number(number.as_f64().unwrap_or(f64::NAN))
        )),
        Value::Bool(yes) => fields.push(format!("{name} {}", if *yes { "yes" } else { "no" })),
        Value::Null => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_told_with_what_was_there_before() {
        let reading: Reading = serde_yaml::from_str(
            "{id: r1, at: \"2026-03-02T07:40+00:00\", strokes: 3, amended: [{by: MT, at: \"2026-03-03T09:10+00:00\", because: miscounted, was: {strokes: 2, reading: {at: 3 ppm}}}]}",
        )
        .unwrap();
        let mut told = Vec::new();
        flags(&reading, &mut told);
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(
            told[0].text,
            "changed afterwards: before, reading at 3 ppm, strokes 2; by MT on 2026-03-03T09:10+00:00, because miscounted"
        );
    }

    #[test]
    fn a_change_without_a_name_or_before_the_reading_is_flagged() {
        let reading: Reading = serde_yaml::from_str(
            "{id: r1, at: \"2026-03-02T07:40+00:00\", amended: [{at: \"2026-03-01T09:10+00:00\", was: {strokes: 2}}]}",
        )
        .unwrap();
        let mut told = Vec::new();
        flags(&reading, &mut told);
        let codes: Vec<&str> = told.iter().map(|flag| flag.code.as_str()).collect();
        assert_eq!(
            codes,
            ["amended", "amendment-unsigned", "amended-before-read"]
        );
        assert!(told[1].text.ends_with("who changed it, why"));
    }
}
