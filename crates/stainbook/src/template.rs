//! New files to fill in, made from the schema, so that they can never ask for what the schema does not know.
//!
//! Required fields stand empty, under a comment that says what each is and gives an example; optional ones are
//! commented out, example and all. An empty field is refused by the check with its place, so nothing half filled in is
//! ever computed with.

#[cfg(all(feature = "xlsx", feature = "spreadsheets"))]
mod survey_workbook;

#[cfg(all(feature = "xlsx", feature = "spreadsheets"))]
pub use survey_workbook::survey_workbook;

use serde_json::{Map, Value};
use stainbook_catalog::EntryKind;
use stainbook_catalog::embedded::{REFERENCE_NAME, Reference};
use stainbook_catalog::schema::{Draft, schema};
use stainbook_catalog::written::tube::correction_examples::example;
use stainbook_present::lines::wrap;

/// Field that says that an entry adds to one below, so that little else is required of it.
const ADDS_TO: &str = "adds_to";
/// Comments are wrapped here.
const WIDTH: usize = 100;

/// The text of a new file of this kind with this short name.
///
/// `schema_path` is where an editor finds the draft-07 schema, as seen from the new file.
///
/// # Example
///
/// ```
/// use stainbook::EntryKind;
/// use stainbook::template::template;
///
/// let text = template(EntryKind::PumpKind, "quay", "../schemas/pump-kind.draft-07.schema.json");
/// assert!(text.starts_with("# yaml-language-server: $schema=../schemas/pump-kind.draft-07.schema.json\n"));
/// assert!(text.contains("\npump_kind: quay\n"));
/// assert!(text.contains("\nstroke:\n"));
/// ```
pub fn template(kind: EntryKind, id: &str, schema_path: &str) -> String {
    let root = schema(kind, Draft::Draft2020);
    let mut writer = Writer {
        out: String::new(),
        definitions: root.get("$defs").cloned().unwrap_or_default(),
    };
    writer
        .out
        .push_str(&format!("# yaml-language-server: $schema={schema_path}\n"));
    writer.comment(
        0,
        root.get("description")
            .and_then(Value::as_str)
            .unwrap_or_default(),
    );
    writer.comment(
        0,
        "Fill in what stands empty. Of what stands behind a `#`, take in what you know and leave the rest out. \
         Then run `stainbook check`.",
    );
    writer.fields(0, &root, &given(kind, id));
    writer.out
}

/// Values that are known already.
fn given(kind: EntryKind, id: &str) -> Vec<(String, String)> {
    let mut given = vec![(kind.id_key().to_owned(), id.to_owned())];
    if kind == EntryKind::Catalog {
        given.push(("format".to_owned(), "1".to_owned()));
        given.push(("builds_on".to_owned(), "[stainbook-reference]".to_owned()));
    }
    // Without this line the reference's limits would be gone.
    if kind == EntryKind::Substance && Reference::embedded().knows(kind, id) {
        given.push((ADDS_TO.to_owned(), REFERENCE_NAME.to_owned()));
    }
    given
}

struct Writer {
    out: String,
    definitions: Value,
}

impl Writer {
    fn comment(&mut self, indent: usize, text: &str) {
        self.out.push_str(&comment(indent, text));
    }

    /// A schema with its reference followed; what stands beside the reference wins.
    fn resolved(&self, schema: &Value) -> Map<String, Value> {
        let mut fields = schema.as_object().cloned().unwrap_or_default();
        let name = fields
            .get("$ref")
            .and_then(Value::as_str)
            .and_then(|reference| reference.rsplit('/').next());
        if let Some(Value::Object(definition)) = name.and_then(|name| self.definitions.get(name)) {
            for (key, value) in definition {
                fields.entry(key).or_insert_with(|| value.clone());
            }
        }
        fields
    }

    fn fields(&mut self, indent: usize, of: &Value, given: &[(String, String)]) {
        let of = self.resolved(of);
        let empty = Map::new();
        let properties = of
            .get("properties")
            .and_then(Value::as_object)
            .unwrap_or(&empty);
        // Unless it adds to another a new entry stands alone, so what is required of one that does is asked for.
        let stands_alone = !given.iter().any(|(name, _)| name == ADDS_TO);
        let required: Vec<&str> = [
            of.get("required"),
            of.get("else")
                .filter(|_| stands_alone)
                .and_then(|alone| alone.get("required")),
        ]
        .into_iter()
        .flatten()
        .filter_map(Value::as_array)
        .flatten()
        .filter_map(Value::as_str)
        .collect();
        for (key, schema) in properties {
            if indent == 0 {
                self.out.push('\n');
            }
            let value = given
                .iter()
                .find(|(name, _)| name == key)
                .map(|(_, value)| value.as_str());
            // What leaflets usually print is asked for; whoever does not find it there deletes the line.
            let usual = schema.get("x-usual").is_some();
            let asked_for = usual || required.contains(&key.as_str());
            self.field(indent, key, schema, asked_for, value);
        }
    }

    fn field(
        &mut self,
        indent: usize,
        key: &str,
        schema: &Value,
        required: bool,
        given: Option<&str>,
    ) {
        let field = self.resolved(schema);
        let example = field
            .get("examples")
            .and_then(|examples| examples.get(0))
            .map(flow);
        let mut about = field
            .get("description")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned();
        if field.contains_key("x-usual") {
            about.push_str(" Delete the line if the leaflet does not print it.");
        }
        if let Some(allowed) = listed(&field) {
            let words: Vec<&str> = allowed.iter().filter_map(Value::as_str).collect();
            about.push_str(&format!(" One of: {}.", words.join(", ")));
        }
        let blanks = " ".repeat(indent);
        if let Some(value) = given {
            self.comment(indent, &about);
            self.out.push_str(&format!("{blanks}{key}: {value}\n"));
            return;
        }
        if !required {
            self.comment(indent, &format!("May be left out. {about}"));
            self.out.push_str(&format!(
                "{blanks}# {key}: {}\n",
                example.unwrap_or_default()
            ));
            return;
        }
        if let Some(methods) = field.get("oneOf").and_then(Value::as_array) {
            self.comment(indent, &about);
            for method in methods {
                self.method(indent, key, method);
            }
            self.out
                .push_str(&format!("{blanks}{key}:\n{blanks}  method:\n"));
            return;
        }
        let shape = field
            .get("type")
            .and_then(Value::as_str)
            .unwrap_or_default();
        let items = field
            .get("items")
            .map(|items| self.resolved(items))
            .unwrap_or_default();
        if shape == "object" {
            self.comment(indent, &about);
            self.out.push_str(&format!("{blanks}{key}:\n"));
            self.fields(indent + 2, &Value::Object(field), &[]);
        } else if shape == "array" && items.contains_key("properties") {
            self.comment(indent, &format!("{about} Begin each with `-`."));
            self.out.push_str(&format!("{blanks}{key}:\n"));
            self.item(indent + 2, &Value::Object(items));
        } else {
            let such_as = example
                .map(|example| format!(" Such as: {example}"))
                .unwrap_or_default();
            self.comment(indent, &format!("{about}{such_as}"));
            let empty = if shape == "array" { " []" } else { "" };
            self.out.push_str(&format!("{blanks}{key}:{empty}\n"));
        }
    }

    /// One entry of a list: its fields, the first that is not commented out behind a hyphen.
    fn item(&mut self, indent: usize, schema: &Value) {
        let mut inner = Self {
            out: String::new(),
            definitions: self.definitions.clone(),
        };
        inner.fields(indent + 2, &with_asked_first(schema), &[]);
        let blanks = " ".repeat(indent);
        let mut begun = false;
        for line in inner.out.lines() {
            let content = line.trim_start();
            if !begun && !content.is_empty() && !content.starts_with('#') {
                begun = true;
                self.out.push_str(&format!("{blanks}- {content}\n"));
            } else {
                self.out.push_str(line);
                self.out.push('\n');
            }
        }
    }

    fn method(&mut self, indent: usize, key: &str, method: &Value) {
        let Some(example) = offered(key, method) else {
            return;
        };
        let about = method
            .get("description")
            .and_then(Value::as_str)
            .unwrap_or_default();
        self.comment(indent, about);
        self.out.push_str(&format!(
            "{}#   {key}: {}\n",
            " ".repeat(indent),
            flow(&example)
        ));
    }
}

/// The keys under which a correction stands.
const CORRECTIONS: [&str; 3] = ["temperature", "humidity", "pressure"];

/// The example of a method for a field, put together from those of its fields; of a correction one that goes with what is
/// corrected for, and nothing where the method cannot state that.
fn offered(key: &str, method: &Value) -> Option<Value> {
    if CORRECTIONS.contains(&key) {
        let name = method.pointer("/properties/method/const");
        return example(key, name?.as_str()?);
    }
    let fields = method
        .get("properties")
        .and_then(Value::as_object)
        .cloned()
        .unwrap_or_default();
    let needed: Vec<&Value> = method
        .get("required")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .collect();
    let example: Map<String, Value> = fields
        .iter()
        .filter(|(name, _)| needed.iter().any(|needed| needed.as_str() == Some(name)))
        .filter_map(|(name, field)| {
            let constant = field.get("const").cloned();
            let first = field
                .get("examples")
                .and_then(|examples| examples.get(0))
                .cloned();
            Some((name.clone(), constant.or(first)?))
        })
        .collect();
    Some(Value::Object(example))
}

/// The schema of an entry with a field that is asked for before those that may be left out: the hyphen stands before it, and
/// what is taken in before a hyphen belongs to nothing.
fn with_asked_first(schema: &Value) -> Value {
    let required: Vec<&str> = schema
        .get("required")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    let mut reordered_schema = schema.clone();
    let reordered = schema
        .get("properties")
        .and_then(Value::as_object)
        .map(|properties| {
            let asked = properties
                .iter()
                .find(|(name, _)| required.contains(&name.as_str()));
            let others = properties
                .iter()
                .filter(|(name, _)| asked.is_none_or(|(asked, _)| asked != *name));
            let in_order: Map<String, Value> = asked
                .into_iter()
                .chain(others)
                .map(|(name, field)| (name.clone(), field.clone()))
                .collect();
            in_order
        });
    if let (Some(properties), Some(object)) = (reordered, reordered_schema.as_object_mut()) {
        object.insert("properties".to_owned(), Value::Object(properties));
    }
    reordered_schema
}

/// A text as comments, each on a line of its own.
pub(crate) fn comment(indent: usize, text: &str) -> String {
    let mut out = String::new();
    for line in wrap(text, WIDTH.saturating_sub(indent + 2)) {
        out.push_str(&" ".repeat(indent));
        out.push_str("# ");
        out.push_str(&line);
        out.push('\n');
    }
    out
}

/// A value as YAML on one line.
pub(crate) fn flow(value: &Value) -> String {
    match value {
        Value::String(text) => scalar(text),
        Value::Array(items) => format!(
            "[{}]",
            items.iter().map(flow).collect::<Vec<_>>().join(", ")
        ),
        Value::Object(fields) => {
            let fields: Vec<String> = fields
                .iter()
                .map(|(key, value)| format!("{key}: {}", flow(value)))
                .collect();
            format!("{{{}}}", fields.join(", "))
        }
        other => other.to_string(),
    }
}

/// The values that a field takes, or the usual ones where it is understood in other words, too.
fn listed(field: &Map<String, Value>) -> Option<&Vec<Value>> {
    let alternatives = field.get("anyOf").and_then(Value::as_array);
    let of_alternatives = || {
        let mut lists = alternatives?.iter().filter_map(|part| part.get("enum"));
        lists.next()
    };
    field.get("enum").or_else(of_alternatives)?.as_array()
}

/// A text, in quotation marks where YAML would take it for something else.
fn scalar(text: &str) -> String {
    let plain = !text.is_empty()
        && !text.starts_with(|c: char| "-?:,[]{}#&*!|>'\"%@` /".contains(c))
        && !text.contains([',', '[', ']', '{', '}', '#', '"', '\n'])
        && !text.contains(": ")
        && !text.ends_with(':')
        && text.parse::<f64>().is_err()
        && !text.contains('T');
    if plain {
        text.to_owned()
    } else {
        format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
    }
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::{SourceFile, read_entry};
    use stainbook_document::finding::Fault;
    use stainbook_document::place::FileId;

    use super::*;

    fn file_name(kind: EntryKind) -> String {
        match kind {
            EntryKind::Catalog => "catalog.yaml".to_owned(),
            kind => format!("quay.{}.yaml", kind.name()),
        }
    }

    #[test]
    fn an_unfilled_file_is_refused_only_for_what_stands_empty() {
        for kind in EntryKind::ALL {
            let text = template(kind, "quay", "s.json");
            let (entry, findings) =
                read_entry(FileId(0), &SourceFile::new(file_name(kind), text.clone()));
            let entry = entry.unwrap();
            assert_eq!(entry.written.id(), Some("quay"), "{kind:?}");
            assert!(!findings.is_empty(), "{kind:?}");
            for finding in &findings {
                assert_eq!(finding.fault(), Fault::Author, "{kind:?}: {finding:?}");
                let at = entry.document.locate(finding.place());
                let line = entry.document.line_column(at.start).line;
                let line = text.lines().nth(line - 1).unwrap();
                assert!(
                    line.trim_end().ends_with([':', ']']),
                    "{kind:?}: `{line}` {finding:?}"
                );
            }
        }
    }

    const SHEET: &str = "\
tube: quay-r1
name: Quay tube
leaflet: {title: Sheet 3, revision: '1', date: 2024-03}
entered: {by: KL, date: 2026-01-11}
verified: {by: MT, date: 2026-01-12}
measures: {substance: chlorine}
before_use:
  pump_kinds: [quay]
  usable: {temperature: 0 to 40 °C, humidity: 10 to 85 %RH}
draw:
  stroke: 100 mL
  ranges:
    - {strokes: 3, multiply_by: 1, from: 5, to: 50, seconds_per_stroke: 40, uses: whole scale}
    - {strokes: 8, multiply_by: 0.4, from: 2, to: 5, seconds_per_stroke: 45, uses: extension}
read:
  scales: [{unit: ppm, marks: [5, 10, 20, 50], printed_for_strokes: 3}]
correct:
  calibrated_at: {temperature: 20 °C, pressure: 1013 hPa, humidity: 50 %RH}
  temperature: {method: none needed}
  humidity: {method: none needed}
  pressure: {method: none needed}
doubt:
  repeatability: [{rsd: 5 %}]
  accuracy: [{within: 20 %, confidence: 95 %}]
";

    /// Whoever takes a correction from the template into a sheet has a sheet with which nothing is wrong there.
    #[test]
    fn every_correction_that_is_offered_is_accepted() {
        let kind = "pump_kind: quay\nname: Quay pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\nvolume_check_every: 1 year\n";
        let offered = template(EntryKind::Tube, "quay-r1", "s.json");
        for key in CORRECTIONS {
            let begin = format!("#   {key}: {{method: ");
            let offers: Vec<&str> = offered
                .lines()
                .filter(|line| line.trim_start().starts_with(&begin))
                .map(|line| line.trim_start().trim_start_matches("#   "))
                .collect();
            assert!(9 <= offers.len(), "{key}: {offers:#?}");
            for offer in offers {
                let mut sheet = SHEET.replace(&format!("{key}: {{method: none needed}}"), offer);
                for (one, other) in [("humidity", "temperature"), ("temperature", "humidity")] {
                    if offer == format!("{one}: {{method: with {other}}}")
                        || offer.starts_with(&format!("{one}: {{method: with {other},"))
                    {
                        let example = offered
                            .lines()
                            .map(|line| line.trim_start().trim_start_matches("#   "))
                            .find(|line| {
                                line.starts_with(&format!("{other}: {{method: with {one}"))
                            });
                        sheet = sheet.replace(
                            &format!("{other}: {{method: none needed}}"),
                            example.unwrap(),
                        );
                    }
                }
                let another = SHEET.replace("quay-r1", "brinewash-chlorine-a-r1");
                let (book, found) = stainbook_catalog::Book::read([
                    SourceFile::new(
                        "catalog.yaml",
                        "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n",
                    ),
                    SourceFile::new("quay-r1.tube.yaml", sheet.clone()),
                    SourceFile::new("brinewash-chlorine-a-r1.tube.yaml", another),
                    SourceFile::new("quay.pump-kind.yaml", kind),
                ]);
                let report = crate::check_read(&book, found, &stainbook_check::Options::default());
                let of_sheet = book.find(EntryKind::Tube, "quay-r1").unwrap().file;
                let found: Vec<String> = report
                    .findings
                    .iter()
                    .filter(|one| one.place().file == of_sheet)
                    .map(|one| format!("{}: {}", one.rule(), one.message_text()))
                    .collect();
                assert!(found.is_empty(), "{offer}: {found:#?}");
            }
        }
    }

    #[test]
    fn with_every_example_taken_in_it_passes_the_schema() {
        for kind in EntryKind::ALL {
            let root = schema(kind, Draft::Draft2020);
            let mut text = String::new();
            for (key, field) in root["properties"].as_object().unwrap() {
                text.push_str(&format!("{key}: {}\n", flow(&field["examples"][0])));
            }
            let (_, findings) =
                read_entry(FileId(0), &SourceFile::new(file_name(kind), text.clone()));
            assert!(findings.is_empty(), "{kind:?}: {findings:#?}\n{text}");
        }
    }
}
