//! Parts of a schema: names, descriptions, examples, alternatives.

use serde_json::{Map, Value};

use crate::place::{Path, PathStep};

/// References followed before a schema counts as circular.
const MOST_REFERENCES: usize = 16;

/// A part of a schema, references resolved.
#[derive(Clone, Copy)]
pub(super) struct Subschema<'s> {
    root: &'s Value,
    /// The part as it stands where it is used: its own description goes before the target's.
    near: &'s Value,
    /// The part that its reference leads to, or the same.
    far: &'s Value,
}

impl<'s> Subschema<'s> {
    pub(super) fn root(root: &'s Value) -> Self {
        Self::of(root, root)
    }

    fn of(root: &'s Value, near: &'s Value) -> Self {
        let mut far = near;
        for _ in 0..MOST_REFERENCES {
            let Some(pointer) = far.get("$ref").and_then(Value::as_str) else {
                break;
            };
            match pointer
                .strip_prefix('#')
                .and_then(|pointer| root.pointer(pointer))
            {
                Some(target) => far = target,
                None => break,
            }
        }
        Self { root, near, far }
    }

    /// The part in which the keyword at this place stands.
    pub(super) fn around(root: &'s Value, keyword: &str) -> Option<Self> {
        let (parent, _) = keyword.rsplit_once('/')?;
        // What is asked for under a condition is described where it is described always.
        let parent = parent.strip_suffix("/else").unwrap_or(parent);
        root.pointer(parent).map(|near| Self::of(root, near))
    }

    /// Word that stands for nothing here, where a file may say that there is nothing.
    pub(super) fn word_for_nothing(self) -> Option<&'s str> {
        self.keyword("x-nothing")?.as_str()
    }

    fn keyword(self, name: &str) -> Option<&'s Value> {
        self.near.get(name).or_else(|| self.far.get(name))
    }

    fn object(self, name: &str) -> Option<&'s Map<String, Value>> {
        self.keyword(name).and_then(Value::as_object)
    }

    /// The fields that can stand here, those of alternatives and of added parts included.
    pub(super) fn fields(self) -> Vec<(&'s str, Subschema<'s>)> {
        let mut fields: Vec<(&'s str, Subschema<'s>)> = self
            .object("properties")
            .into_iter()
            .flatten()
            .map(|(name, part)| (name.as_str(), Self::of(self.root, part)))
            .collect();
        for part in self.list("allOf") {
            fields.extend(part.fields());
        }
        fields
    }

    pub(super) fn field(self, name: &str) -> Option<Subschema<'s>> {
        let own = self
            .object("properties")
            .and_then(|fields| fields.get(name));
        match own {
            Some(part) => Some(Self::of(self.root, part)),
            None => self
                .fields()
                .into_iter()
                .find(|(field, _)| *field == name)
                .map(|(_, part)| part),
        }
    }

    fn list(self, name: &str) -> Vec<Subschema<'s>> {
        let parts = self.keyword(name).and_then(Value::as_array);
        parts
            .into_iter()
            .flatten()
            .map(|part| Self::of(self.root, part))
            .collect()
    }

    /// The alternatives, of which one has to fit.
    pub(super) fn alternatives(self) -> Vec<Subschema<'s>> {
        let mut parts = self.list("oneOf");
        parts.extend(self.list("anyOf"));
        parts
    }

    /// True if the field that this path leads to from here has to be there. A row of a list need not.
    pub(super) fn requires(self, path: &Path) -> bool {
        let mut part = Some(self);
        let mut required = false;
        for step in path.steps() {
            let Some(holder) = part else { return false };
            (required, part) = match step {
                PathStep::Key(key) => {
                    let names = holder.keyword("required").and_then(Value::as_array);
                    let named = names.into_iter().flatten().any(|name| name == key.as_ref());
                    (named, holder.field(key))
                }
                PathStep::Index(_) => (false, holder.entries()),
            };
        }
        required
    }

    /// Schema of the list's entries.
    pub(super) fn entries(self) -> Option<Subschema<'s>> {
        self.keyword("items")
            .filter(|items| items.is_object())
            .map(|items| Self::of(self.root, items))
    }

    /// Schema of the fields that have no name of their own, where there can be such.
    pub(super) fn other_fields(self) -> Option<Subschema<'s>> {
        self.keyword("additionalProperties")
            .filter(|part| part.is_object())
            .map(|part| Self::of(self.root, part))
    }

    /// The first sentence of the description.
    pub(super) fn purpose(self) -> Option<&'s str> {
        let text = self.keyword("description")?.as_str()?;
        let paragraph = text.split("\n\n").next().unwrap_or(text);
        let end = paragraph.find(". ").map_or(paragraph.len(), |dot| dot);
        Some(
            paragraph
                .get(..end)
                .unwrap_or(paragraph)
                .trim_end_matches('.'),
        )
    }

    /// The first example, as it would be written.
    pub(super) fn example(self) -> Option<String> {
        let example = match self.keyword("examples") {
            Some(Value::Array(examples)) => examples.first()?,
            _ => self.keyword("example")?,
        };
        Some(flow(example))
    }

    /// The values that can stand here, if they can be listed.
    pub(super) fn values(self) -> Vec<&'s str> {
        let constant = self.keyword("const").and_then(Value::as_str);
        let listed = self.keyword("enum").and_then(Value::as_array);
        let listed = listed.into_iter().flatten().filter_map(Value::as_str);
        let mut values: Vec<&'s str> = constant.into_iter().chain(listed).collect();
        for part in self.alternatives() {
            values.extend(part.values());
        }
        values
    }

    /// The shapes that can stand here. A number whose digits can stand in quotation marks is a number.
    pub(super) fn shapes(self) -> Vec<&'s str> {
        match self.keyword("type") {
            Some(Value::String(shape)) => vec![shape.as_str()],
            Some(Value::Array(shapes)) => {
                let mut shapes: Vec<_> = shapes.iter().filter_map(Value::as_str).collect();
                if shapes.contains(&"number") {
                    shapes.retain(|shape| *shape != "string");
                }
                shapes
            }
            _ if self.object("properties").is_some() => vec!["object"],
            _ => {
                let mut shapes: Vec<_> = self
                    .alternatives()
                    .into_iter()
                    .flat_map(Subschema::shapes)
                    .collect();
                shapes.sort_unstable();
                shapes.dedup();
                shapes
            }
        }
    }

    /// Fields of an alternative that can have one value only, by which it is known.
    pub(super) fn marks(self) -> Vec<(&'s str, Vec<&'s str>)> {
        let fields = self
            .fields()
            .into_iter()
            .map(|(name, part)| (name, part.values()));
        fields.filter(|(_, values)| !values.is_empty()).collect()
    }
}

/// A value as it would be written in brackets.
pub(super) fn flow(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => bare_or_quoted(text),
        Value::Array(entries) => {
            format!(
                "[{}]",
                entries.iter().map(flow).collect::<Vec<_>>().join(", ")
            )
        }
        Value::Object(fields) => {
            let fields: Vec<_> = fields
                .iter()
                .map(|(name, value)| format!("{name}: {}", flow(value)))
                .collect();
            format!("{{{}}}", fields.join(", "))
        }
        other => other.to_string(),
    }
}

fn bare_or_quoted(text: &str) -> String {
    if crate::document::is_plain_text(text) {
        text.to_owned()
    } else {
        crate::document::double_quoted(text)
    }
}

/// Every field name of a schema with the names of the fields in which it can stand.
pub(super) fn homes(root: &Value) -> Vec<(String, String)> {
    let mut found = Vec::new();
    walk(Subschema::root(root), "", &mut found, 0);
    found.sort();
    found.dedup();
    found
}

/// Fields inside one another before the walk stops, for schemas that refer to themselves.
const DEEPEST_HOME: usize = 8;

fn walk(part: Subschema<'_>, home: &str, found: &mut Vec<(String, String)>, depth: usize) {
    if depth > DEEPEST_HOME {
        return;
    }
    for (name, field) in part.fields() {
        found.push((name.to_owned(), home.to_owned()));
        walk(field, name, found, depth + 1);
    }
    for alternative in part.alternatives() {
        walk(alternative, home, found, depth + 1);
    }
    if let Some(entries) = part.entries() {
        walk(entries, home, found, depth + 1);
    }
}
