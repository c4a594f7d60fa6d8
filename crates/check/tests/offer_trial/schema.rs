//! Examples of fields, as the schemas give them, for what an offer leaves open.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path as FilePath;

use serde_json::Value;
use stainbook_document::is_plain_text;
use stainbook_document::place::{Path, PathStep};

fn read(kind: &str) -> Value {
    let folder = FilePath::new(env!("CARGO_MANIFEST_DIR")).join("../../schemas");
    let text = fs::read_to_string(folder.join(format!("{kind}.schema.json")))
        .unwrap_or_else(|error| panic!("the schema of {kind}: {error}"));
    serde_json::from_str(&text).unwrap()
}

/// A schema with all that it refers to or offers as an alternative.
fn spread<'s>(schema: &'s Value, root: &'s Value, all: &mut Vec<&'s Value>) {
    all.push(schema);
    if let Some(name) = schema["$ref"].as_str() {
        let pointer = name.trim_start_matches('#');
        spread(root.pointer(pointer).unwrap(), root, all);
    }
    for way in ["oneOf", "anyOf", "allOf"] {
        for part in schema[way].as_array().into_iter().flatten() {
            spread(part, root, all);
        }
    }
}

fn at<'s>(root: &'s Value, path: &Path) -> Vec<&'s Value> {
    let mut here = Vec::new();
    spread(root, root, &mut here);
    for step in path.steps() {
        let mut next = Vec::new();
        for schema in here {
            let below = match step {
                PathStep::Key(key) => schema["properties"].get(key.as_ref()),
                PathStep::Index(_) => schema.get("items"),
            };
            if let Some(below) = below {
                spread(below, root, &mut next);
            }
        }
        here = next;
    }
    here
}

/// An example of a field, as YAML in one line; nothing if the group has no such field.
pub fn example(kind: &str, group: &Path, name: &str) -> Option<String> {
    let root = read(kind);
    let found = at(&root, &group.clone().key(name.to_owned()));
    let of = |schema: &&Value| {
        let first = |list: &Value| list.as_array()?.first().cloned();
        first(&schema["examples"])
            .or_else(|| schema.get("const").cloned())
            .or_else(|| first(&schema["enum"]))
    };
    if found.is_empty() {
        return None;
    }
    let example = found.iter().find_map(of);
    Some(match example {
        Some(example) => flow(&example),
        None if found.iter().any(|schema| schema["type"] == "boolean") => "true".to_owned(),
        None => panic!("the schema of {kind} has no example of `{name}` under `{group}`"),
    })
}

/// A value in one line, as a person writes it.
fn flow(value: &Value) -> String {
    match value {
        Value::Array(items) => format!(
            "[{}]",
            items.iter().map(flow).collect::<Vec<_>>().join(", ")
        ),
        Value::Object(fields) => {
            let fields = fields
                .iter()
                .map(|(name, value)| format!("{name}: {}", flow(value)));
            format!("{{{}}}", fields.collect::<Vec<_>>().join(", "))
        }
        Value::String(text) if is_plain_text(text) => text.clone(),
        other => other.to_string(),
    }
}

/// A value in which each `…` is filled by the example of its field.
pub fn filled(kind: &str, group: &Path, name: &str, value: &str) -> String {
    let mut value = value.to_owned();
    while let Some(end) = value.find('…') {
        let before = value[..end].trim_end_matches(['[', ' ']);
        let inner = before.trim_end_matches(':').rsplit([' ', '{', '[']).next();
        let inside = if name.is_empty() {
            group.clone()
        } else {
            group.clone().key(name.to_owned())
        };
        let found = match inner.filter(|inner| before.ends_with(':') && !inner.is_empty()) {
            Some(inner) => example(kind, &inside, inner)
                .or_else(|| example(kind, &inside.clone().index(0), inner)),
            None => example(kind, group, name),
        };
        let found = found.unwrap_or_else(|| panic!("nothing fills `{value}`"));
        let found = if value[..end].ends_with('[') {
            found.trim_matches(['[', ']']).to_owned()
        } else {
            found
        };
        value.replace_range(end..end + '…'.len_utf8(), &found);
    }
    value
}

/// Every name of a field, and every word that a field takes, in all schemas.
pub fn vocabulary() -> BTreeSet<String> {
    let folder = FilePath::new(env!("CARGO_MANIFEST_DIR")).join("../../schemas");
    let mut words = BTreeSet::new();
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path
            .extension()
            .is_some_and(|extension| extension == "json")
        {
            let text = fs::read_to_string(&path).unwrap();
            gather(&serde_json::from_str(&text).unwrap(), &mut words);
        }
    }
    words
}

fn gather(schema: &Value, words: &mut BTreeSet<String>) {
    match schema {
        Value::Object(fields) => {
            for (name, value) in fields {
                if name == "properties" {
                    words.extend(value.as_object().unwrap().keys().cloned());
                }
                if name == "const" || name == "enum" {
                    words.extend(value.as_str().map(str::to_owned));
                    let list = value.as_array().into_iter().flatten();
                    words.extend(list.filter_map(Value::as_str).map(str::to_owned));
                }
                gather(value, words);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| gather(item, words)),
        _ => {}
    }
}

/// A table of comma-separated values with another text in the cell of a row under a column, which is added if it is not there.
pub fn with_cell(table: &str, row: usize, column: &str, cell: &str) -> Result<String, String> {
    let mut lines: Vec<String> = table.lines().map(str::to_owned).collect();
    if table.contains('"') {
        return Err("a table with quotes is not put in by this test".into());
    }
    let header = lines
        .iter()
        .position(|line| line.split(',').any(|name| name.trim() == "tube"))
        .ok_or("no header")?;
    let named = |name: &str| name.split(" [").next().unwrap_or_default().trim() == column;
    let index = lines[header].split(',').position(named);
    let index = index.unwrap_or_else(|| {
        let index = lines[header].split(',').count();
        for (number, line) in lines.iter_mut().enumerate().skip(header) {
            line.push(',');
            if number == header {
                line.push_str(column);
            }
        }
        index
    });
    let mut cells: Vec<&str> = lines[row - 1].split(',').collect();
    *cells.get_mut(index).ok_or("no such cell")? = cell;
    lines[row - 1] = cells.join(",");
    Ok(lines.join("\n") + "\n")
}
