//! Two trees walked side by side.

use std::collections::BTreeSet;

use stainbook_catalog::EntryKind;
use stainbook_document::place::{FileId, Path, Place};
use stainbook_document::{Class, Document, Node, NodeKind};

use super::align::{in_order, pair_rows};
use super::figure::ComparedValue;
use super::lists::{ListRule, rule_of};
use super::shape::Shape;
use super::slip::slip;
use super::{Difference, DifferenceKind, DifferenceSide, tables};

/// Position of the walk on both sides: rows of a table lie at different places.
#[derive(Clone, Debug, Default)]
pub(super) struct WalkPosition {
    a: Path,
    b: Path,
    /// The fields that lead here; rows are left out, so that all rows of a list have the same.
    pub(super) keys: Vec<String>,
    /// The same for people, with rows by their names.
    names: Vec<String>,
}

impl WalkPosition {
    pub(super) fn root() -> Self {
        Self::default()
    }

    /// A field, at the same place on both sides.
    pub(super) fn field(&self, key: &str) -> Self {
        let mut at = self.clone();
        at.a = at.a.key(key.to_owned());
        at.b = at.b.key(key.to_owned());
        at.keys.push(key.to_owned());
        at.names.push(key.to_owned());
        at
    }

    /// An entry of a list; a side that has none takes the other's index, which is then not shown.
    pub(super) fn entry(&self, a: Option<usize>, b: Option<usize>) -> Self {
        let mut at = self.clone();
        at.a = at.a.index(a.or(b).unwrap_or_default());
        at.b = at.b.index(b.or(a).unwrap_or_default());
        at
    }

    /// The same place under a name that people know it by.
    pub(super) fn named(mut self, name: impl Into<String>) -> Self {
        self.names.push(name.into());
        self
    }
}

/// A walk over two documents and what it found.
pub(super) struct ComparisonWalk {
    kind: EntryKind,
    file_a: FileId,
    file_b: FileId,
    skipped: Vec<&'static str>,
    pub(super) found: Vec<Difference>,
}

impl ComparisonWalk {
    pub(super) fn new(
        kind: EntryKind,
        file_a: FileId,
        file_b: FileId,
        skipped: Vec<&'static str>,
    ) -> Self {
        Self {
            kind,
            file_a,
            file_b,
            skipped,
            found: Vec::new(),
        }
    }

    /// Compares two values.
    pub(super) fn value(&mut self, a: Node<'_>, b: Node<'_>, shape: Shape, at: &WalkPosition) {
        match (says_nothing(a), says_nothing(b)) {
            (true, true) => {}
            (false, true) => self.only_in_a(a, at),
            (true, false) => self.only_in_b(b, at),
            (false, false) if a.is_mapping() && b.is_mapping() => {
                if !tables::correction(self, a, b, shape, at) {
                    self.fields(a, b, shape, at, &[]);
                }
            }
            (false, false) if a.is_list() && b.is_list() => self.list(a, b, shape, at),
            (false, false) => self.single(a, b, shape, at),
        }
    }

    /// Compares the fields of two mappings, but for those named.
    pub(super) fn fields(
        &mut self,
        a: Node<'_>,
        b: Node<'_>,
        shape: Shape,
        at: &WalkPosition,
        but_for: &[&str],
    ) {
        let top = at.keys.is_empty();
        let skipped = self.skipped.clone();
        let wanted = |key: &str| !(but_for.contains(&key) || top && skipped.contains(&key));
        let names = |node: Node<'_>| -> BTreeSet<String> {
            node.entries()
                .filter_map(|(key, _)| key.text().map(str::to_owned))
                .collect()
        };
        for (key, value) in a.entries() {
            let Some(key) = key.text().filter(|key| wanted(key)) else {
                continue;
            };
            let at = at.field(key);
            match b.get(key) {
                Some(other) => self.value(value, other, shape.field(key), &at),
                None if says_nothing(value) => {}
                None => self.only_in_a(value, &at),
            }
        }
        let in_a = names(a);
        for (key, value) in b.entries() {
            let Some(key) = key.text().filter(|key| wanted(key)) else {
                continue;
            };
            if !in_a.contains(key) && !says_nothing(value) {
                self.only_in_b(value, &at.field(key));
            }
        }
    }

    fn list(&mut self, a: Node<'_>, b: Node<'_>, shape: Shape, at: &WalkPosition) {
        let (a, b): (Vec<Node<'_>>, Vec<Node<'_>>) = (a.items().collect(), b.items().collect());
        let shape = shape.item();
        let rule = rule_of(self.kind, &at.keys);
        let key = |row: &Node<'_>| identity(*row, rule, shape, &at.keys);
        let same = |i: usize, j: usize| match (a.get(i), b.get(j)) {
            (Some(a), Some(b)) => self.same(*a, *b, shape, at),
            _ => false,
        };
        let pairs = if rule == ListRule::Ordered {
            in_order(a.len(), b.len(), same)
        } else {
            let keys = |rows: &[Node<'_>]| rows.iter().map(key).collect::<Vec<_>>();
            let like = |i: usize, j: usize| match (a.get(i), b.get(j)) {
                (Some(a), Some(b)) => self.likeness(*a, *b, shape, at),
                _ => 0.0,
            };
            let mut pairs = pair_rows(&keys(&a), &keys(&b), same, like);
            if rule == ListRule::Set {
                join_lone(&mut pairs);
            }
            pairs
        };
        for (i, j) in pairs {
            let (row_a, row_b) = (i.and_then(|i| a.get(i)), j.and_then(|j| b.get(j)));
            let name = row_a
                .or(row_b)
                .map(|row| row_name(*row, rule, i.or(j).unwrap_or_default()));
            let at = at.entry(i, j).named(name.unwrap_or_default());
            match (row_a, row_b) {
                (Some(a), Some(b)) => self.value(*a, *b, shape, &at),
                (Some(a), None) => self.only_in_a(*a, &at),
                (None, Some(b)) => self.only_in_b(*b, &at),
                (None, None) => {}
            }
        }
    }

    fn single(&mut self, a: Node<'_>, b: Node<'_>, shape: Shape, at: &WalkPosition) {
        let scalar = |node: Node<'_>| matches!(node.kind(), NodeKind::Scalar(_));
        if !(scalar(a) && scalar(b)) {
            self.push(DifferenceKind::Shape, Some(a), Some(b), at, None);
            return;
        }
        let (left, right) = (figure(a, shape, &at.keys), figure(b, shape, &at.keys));
        if let Some(kind) = left.difference(&right) {
            let slip = match (kind, left.digits(), right.digits()) {
                (DifferenceKind::Number, Some(a), Some(b)) => slip(a, b),
                _ => None,
            };
            self.push(kind, Some(a), Some(b), at, slip);
        }
    }

    /// True if two values mean the same.
    pub(super) fn same(&self, a: Node<'_>, b: Node<'_>, shape: Shape, at: &WalkPosition) -> bool {
        let mut walk = Self::new(self.kind, self.file_a, self.file_b, self.skipped.clone());
        // Not at the root, whose skipped fields are none of a row's.
        walk.value(a, b, shape, at);
        walk.found.is_empty()
    }

    /// Likeness of two rows, from 0 to 1.
    fn likeness(&self, a: Node<'_>, b: Node<'_>, shape: Shape, at: &WalkPosition) -> f64 {
        let share = |equal: usize, all: usize| {
            let number = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
            if all == 0 {
                0.0
            } else {
                number(equal) / number(all)
            }
        };
        if a.is_mapping() && b.is_mapping() {
            let equal = a
                .entries()
                .filter(|(key, value)| {
                    key.text().is_some_and(|key| {
                        b.get(key).is_some_and(|other| {
                            self.same(*value, other, shape.field(key), &at.field(key))
                        })
                    })
                })
                .count();
            return share(equal, a.len() + b.len() - equal.min(b.len()));
        }
        if a.is_list() && b.is_list() {
            let equal = a
                .items()
                .zip(b.items())
                .filter(|(a, b)| self.same(*a, *b, shape.item(), at))
                .count();
            return share(equal, a.len().max(b.len()));
        }
        0.0
    }

    pub(super) fn only_in_a(&mut self, a: Node<'_>, at: &WalkPosition) {
        self.push(DifferenceKind::OnlyInA, Some(a), None, at, None);
    }

    pub(super) fn only_in_b(&mut self, b: Node<'_>, at: &WalkPosition) {
        self.push(DifferenceKind::OnlyInB, None, Some(b), at, None);
    }

    fn push(
        &mut self,
        kind: DifferenceKind,
        a: Option<Node<'_>>,
        b: Option<Node<'_>>,
        at: &WalkPosition,
        slip: Option<super::LikelySlip>,
    ) {
        let side = |node: Node<'_>, file: FileId, path: &Path| DifferenceSide {
            place: if a.is_some() && b.is_some() {
                Place::value(file, path.clone())
            } else {
                Place::entry(file, path.clone())
            },
            text: on_one_line(node),
        };
        self.found.push(Difference {
            field: at.names.join(", "),
            names: at.names.clone(),
            kind,
            a: a.map(|node| side(node, self.file_a, &at.a)),
            b: b.map(|node| side(node, self.file_b, &at.b)),
            slip,
        });
    }
}

/// Differences where one of two documents holds nothing at all.
pub(super) fn one_is_empty(a: &Document, b: &Document) -> Vec<Difference> {
    let side = |document: &Document| {
        document.root().map(|root| DifferenceSide {
            place: Place::file(document.file()),
            text: on_one_line(root),
        })
    };
    let (a, b) = (side(a), side(b));
    let kind = match (&a, &b) {
        (None, None) => return Vec::new(),
        (Some(_), _) => DifferenceKind::OnlyInA,
        (None, Some(_)) => DifferenceKind::OnlyInB,
    };
    vec![Difference {
        field: "the whole file".to_owned(),
        names: vec!["the whole file".to_owned()],
        kind,
        a,
        b,
        slip: None,
    }]
}

/// An empty field, list or mapping says as much as one that is left out.
fn says_nothing(node: Node<'_>) -> bool {
    node.is_null() || ((node.is_list() || node.is_mapping()) && node.is_empty())
}

/// A single value as it means in this field.
pub(super) fn figure(node: Node<'_>, shape: Shape, keys: &[String]) -> ComparedValue {
    let text = node.text().unwrap_or_default();
    if let Some(truth) = node.boolean() {
        return ComparedValue::read(if truth { "true" } else { "false" }, shape.meaning());
    }
    match keys.last().map(String::as_str) {
        Some("unit" | "units" | "columns") => ComparedValue::unit_or_condition(text),
        // `of` is the unit of a polynomial's variable; in `control` it names a table.
        Some("of") if keys.first().is_some_and(|key| key == "correct") => {
            ComparedValue::unit_or_condition(text)
        }
        _ => ComparedValue::read(text, shape.meaning()),
    }
}

/// Identity of a row.
fn identity(row: Node<'_>, rule: ListRule, shape: Shape, keys: &[String]) -> String {
    match rule {
        ListRule::Ordered => String::new(),
        ListRule::Set => figure(row, shape, keys).key(),
        ListRule::RowsByFirst => row
            .item(0)
            .map(|first| figure(first, shape.item(), keys).key())
            .unwrap_or_default(),
        ListRule::RowsBy(fields) => fields
            .iter()
            .map(|field| match row.get(field) {
                Some(value) if value.text().is_some() => {
                    let keys = [keys, &[(*field).to_owned()]].concat();
                    figure(value, shape.field(field), &keys).key()
                }
                _ => String::new(),
            })
            .collect::<Vec<_>>()
            .join("\n"),
    }
}

/// Fields whose value names a row without the field's own name before it.
const SPEAK_FOR_THEMSELVES: [&str; 9] = [
    "substance",
    "group",
    "id",
    "source",
    "rule",
    "name",
    "of",
    "kind",
    "scale",
];

/// The name of a row for people.
fn row_name(row: Node<'_>, rule: ListRule, index: usize) -> String {
    let by_place = || format!("entry {}", index + 1);
    match rule {
        ListRule::Ordered => by_place(),
        ListRule::Set => row.text().map_or_else(by_place, str::to_owned),
        ListRule::RowsByFirst => row
            .item(0)
            .and_then(Node::text)
            .map_or_else(by_place, |first| format!("at {first}")),
        ListRule::RowsBy(fields) => {
            let parts: Vec<String> = fields
                .iter()
                .filter_map(|field| {
                    let text = row.get(field)?.text()?;
                    Some(if SPEAK_FOR_THEMSELVES.contains(field) {
                        text.to_owned()
                    } else {
                        format!("{field} {text}")
                    })
                })
                .collect();
            if parts.is_empty() {
                by_place()
            } else {
                parts.join(" ")
            }
        }
    }
}

/// One value more on either side: they are shown as one that differs.
fn join_lone(pairs: &mut Vec<(Option<usize>, Option<usize>)>) {
    let alone = |side: fn(&(Option<usize>, Option<usize>)) -> bool| {
        pairs.iter().filter(|pair| side(pair)).count()
    };
    if alone(|pair| pair.1.is_none()) != 1 || alone(|pair| pair.0.is_none()) != 1 {
        return;
    }
    let lone_b = pairs
        .iter()
        .find_map(|pair| if pair.0.is_none() { pair.1 } else { None });
    pairs.retain(|pair| pair.0.is_some());
    if let Some(pair) = pairs.iter_mut().find(|pair| pair.1.is_none()) {
        pair.1 = lone_b;
    }
}

/// A value on one line, as it would be written in brackets; a single value as it was written.
fn on_one_line(node: Node<'_>) -> String {
    if node.is_mapping() {
        let fields: Vec<String> = node
            .entries()
            .map(|(key, value)| {
                format!("{}: {}", key.text().unwrap_or_default(), on_one_line(value))
            })
            .collect();
        return format!("{{{}}}", fields.join(", "));
    }
    if node.is_list() {
        let items: Vec<String> = node.items().map(on_one_line).collect();
        return format!("[{}]", items.join(", "));
    }
    if node.class() == Class::Null {
        return "nothing".to_owned();
    }
    let text = node.text().unwrap_or_default();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
