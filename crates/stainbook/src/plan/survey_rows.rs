//! The survey that a plan is the beginning of: a row for each tube, with what only the day can say left empty.

use serde_json::{Map, Value, json};
use stainbook_catalog::Book;
use stainbook_catalog::written::tube::PreTubeForm;
use stainbook_catalog::written::{Count, LimitChoice, PlanEntry, PlannedReading, TubeEntry};
use stainbook_check::plans::conditions_of;

use crate::template::{comment, flow};

/// The text of a survey's file, with a row for each tube of a plan.
///
/// Fields that stand empty have to be written on the day, and the check says where; nothing that was only expected is put in as if it had
/// been measured. `schema_path` is where an editor finds the draft-07 schema, as seen from the new file.
///
/// # Example
///
/// ```
/// use stainbook::plan::survey_of_plan;
/// use stainbook::catalog::demo_files;
/// use stainbook::Book;
///
/// let (book, _) = Book::read(demo_files());
/// let (_, plan) = book.plans().next().unwrap();
/// let survey = survey_of_plan(&book, plan, "winter-round", "survey.draft-07.schema.json");
/// assert!(survey.contains("\nsurvey: winter-round\n"));
/// assert!(survey.contains("id: w01\n"));
/// assert!(survey.contains("repeat_of: w01\n"));
/// ```
pub fn survey_of_plan(book: &Book, plan: &PlanEntry, id: &str, schema_path: &str) -> String {
    let mut out = format!("# yaml-language-server: $schema={schema_path}\n");
    out.push_str(&comment(
        0,
        &format!(
            "The rows of the plan `{}`. Fill in what stands empty, and change what was done otherwise than it was planned: \
             another box has another lot and expiry. Then run `stainbook check`.",
            plan.plan.as_deref().unwrap_or_default()
        ),
    ));
    let text = |value: Option<&str>| {
        value.map_or_else(String::new, |text| format!(" {}", flow(&json!(text))))
    };
    out.push_str(&format!("survey: {id}\n"));
    out.push_str(&format!("title:{}\n", text(plan.title.as_deref())));
    out.push_str(&format!("by:{}\n", text(plan.by.as_deref())));
    out.push_str(&comment(
        0,
        "The conditions as they are measured on the day, in the row or here for all.",
    ));
    out.push_str("# conditions:\n");
    if let Some(limits) = limits(plan) {
        out.push_str(&format!("judge: {}\n", flow(&json!({ "limits": limits }))));
    }
    out.push_str("readings:\n");
    for planned in &plan.places {
        let count = planned
            .tubes
            .as_ref()
            .map_or(1, Count::value)
            .min(MOST_REPEATS);
        for nth in 1..=count.max(1) {
            row(book, plan, planned, nth, &mut out);
        }
    }
    out
}

/// The most tubes of one row that rows are made for.
const MOST_REPEATS: u32 = 99;

/// The limits of all rows, each once; nothing if one of them names none, and every limit of its gas counts.
fn limits(plan: &PlanEntry) -> Option<Vec<Value>> {
    let mut all: Vec<&LimitChoice> = Vec::new();
    for planned in &plan.places {
        if planned.limits.is_empty() {
            return None;
        }
        for choice in &planned.limits {
            if !all.contains(&choice) {
                all.push(choice);
            }
        }
    }
    let values = all.into_iter().map(serde_json::to_value);
    values.collect::<Result<Vec<_>, _>>().ok()
}

fn row(book: &Book, plan: &PlanEntry, planned: &PlannedReading, nth: u32, out: &mut String) {
    let first = planned.id.as_deref().unwrap_or_default();
    let id = if nth == 1 {
        first.to_owned()
    } else {
        format!("{first}-{nth}")
    };
    let typed = serde_json::to_value(planned).unwrap_or_default();
    let of_plan = |key: &str| typed.get(key).map(flow);
    let mut fields: Vec<(&str, Option<String>)> = vec![
        ("at", None),
        ("place", of_plan("place")),
        ("tube", of_plan("tube")),
        ("lot", of_plan("lot")),
        ("expires", None),
        ("pump", of_plan("pump")),
        ("leak_test", None),
        ("strokes", of_plan("strokes")),
        ("reading", None),
    ];
    let sheet = sheet_of(book, planned);
    let pre_tube = sheet.and_then(TubeEntry::pre_tube);
    if pre_tube.is_some_and(|pre_tube| pre_tube.form == Some(PreTubeForm::SeparateTube)) {
        fields.push(("pre_tube", None));
    }
    let storage = sheet.and_then(TubeEntry::storage);
    if storage.and_then(|storage| storage.bring_to_ambient) == Some(true) {
        fields.push(("brought_to_ambient", None));
    }
    if storage.is_some_and(|storage| storage.opened_keeps.is_some()) {
        fields.push(("opened", None));
    }
    let leaflet = sheet.and_then(|sheet| sheet.leaflet.as_ref());
    if leaflet.is_some_and(|leaflet| leaflet.manufactured.is_some()) {
        fields.push(("manufactured", None));
    }
    let optional = [
        (8, "scale", of_plan("scale")),
        (
            9,
            "substance",
            another_gas(book, planned).map(|gas| flow(&json!(gas))),
        ),
    ];
    for (at, key, value) in optional {
        if value.is_some() {
            fields.insert(at.min(fields.len() - 1), (key, value));
        }
    }
    if nth != 1 {
        fields.insert(1, ("repeat_of", Some(flow(&json!(first)))));
    }
    for key in ["other_gases", "present"] {
        if let Some(said) = of_plan(key) {
            fields.push((key, Some(said)));
        }
    }
    if let Some(gas) = of_plan("substance") {
        let about = format!("Planned for {gas}{}.", expected(plan, planned));
        out.push_str(&comment(2, &about));
    }
    out.push_str(&format!("  - id: {}\n", flow(&json!(id))));
    for (key, value) in fields {
        let value = value.map_or_else(String::new, |value| format!(" {value}"));
        out.push_str(&format!("    {key}:{value}\n"));
    }
}

/// The sheet of a row, or the first of the series that it names.
fn sheet_of<'b>(book: &'b Book, planned: &PlannedReading) -> Option<&'b TubeEntry> {
    let tube = planned.tube.as_deref()?;
    let of_series = || book.sheets_of_series(tube).next().map(|(_, sheet)| sheet);
    book.tube(tube).or_else(of_series)
}

/// The gas of a row, if its tube is printed for another one: the reading has to say so.
fn another_gas<'p>(book: &Book, planned: &'p PlannedReading) -> Option<&'p str> {
    let gas = planned.substance.as_deref()?;
    let measures = sheet_of(book, planned)?.measures.as_ref()?;
    let own = [&measures.substance, &measures.group, &measures.expressed_as];
    let is_own = own.into_iter().flatten().any(|own| own == gas);
    (!is_own).then_some(gas)
}

/// `, expected 6 °C, 80 %RH`.
fn expected(plan: &PlanEntry, planned: &PlannedReading) -> String {
    let conditions = serde_json::to_value(conditions_of(plan, planned)).unwrap_or_default();
    let empty = Map::new();
    let texts: Vec<String> = conditions
        .as_object()
        .unwrap_or(&empty)
        .values()
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect();
    if texts.is_empty() {
        return String::new();
    }
    format!(", expected {}", texts.join(", "))
}
