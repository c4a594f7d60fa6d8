//! An entry as a tree that can be changed and written again, each time in another layout.

use stainbook_catalog::EntryKind;
use stainbook_catalog::READ_OPTIONS;
use stainbook_core::{Dimension, unit_of, units};
use stainbook_document::place::FileId;
use stainbook_document::{Document, Node, NodeKind, Style, double_quoted, is_plain_text};
use stainbook_tests::honest::Chance;

/// A value of an entry.
#[derive(Clone, Debug, PartialEq)]
pub enum SheetValue {
    /// Fields.
    Fields(Vec<(String, SheetValue)>),
    /// A list.
    List(Vec<SheetValue>),
    /// A single value; `true` if it is text to every reader, and may be quoted.
    Single(String, bool),
}

impl SheetValue {
    /// The tree of a document.
    pub fn of(node: Node<'_>) -> Self {
        if node.is_mapping() {
            let fields = node.entries();
            return Self::Fields(
                fields
                    .map(|(key, value)| (key.text().unwrap().to_owned(), Self::of(value)))
                    .collect(),
            );
        }
        if node.is_list() {
            return Self::List(node.items().map(Self::of).collect());
        }
        let text = node.text().unwrap().to_owned();
        let is_text = !matches!(node.kind(), NodeKind::Scalar(Style::Plain))
            || node.class() == stainbook_document::Class::Text;
        Self::Single(text, is_text)
    }

    /// The value at a route of places.
    pub fn at_mut(&mut self, route: &[usize]) -> &mut Self {
        let Some((first, rest)) = route.split_first() else {
            return self;
        };
        match self {
            Self::Fields(fields) => fields[*first].1.at_mut(rest),
            Self::List(items) => items[*first].at_mut(rest),
            Self::Single(..) => unreachable!("a route leads into a single value"),
        }
    }

    /// Every value with its route, lists and mappings before what is in them.
    pub fn routes(&self) -> Vec<(Vec<usize>, &Self)> {
        let mut found = vec![(Vec::new(), self)];
        let inside: Vec<&Self> = match self {
            Self::Fields(fields) => fields.iter().map(|(_, value)| value).collect(),
            Self::List(items) => items.iter().collect(),
            Self::Single(..) => Vec::new(),
        };
        for (index, child) in inside.into_iter().enumerate() {
            found.extend(child.routes().into_iter().map(|(mut route, value)| {
                route.insert(0, index);
                (route, value)
            }));
        }
        found
    }
}

/// Reads a text as an entry of a kind.
pub fn read(kind: EntryKind, file: u32, text: &str) -> Document {
    let name = format!("x.{}.yaml", kind.name());
    let (document, findings) = Document::read(FileId(file), &name, text.as_bytes(), &READ_OPTIONS);
    let unfit = stainbook_check::compare::unfit(&findings);
    assert!(unfit.is_none(), "{}\n{text}", unfit.unwrap().message_text());
    document
}

/// Lists whose order means nothing, by the name of their field; the table of the comparison, told once more by hand.
const SETS: [&str; 26] = [
    "pump_kinds",
    "ranges",
    "scales",
    "also_measures",
    "rows",
    "lines",
    "repeatability",
    "accuracy",
    "other_gases",
    "worked",
    "control",
    "accept",
    "also_called",
    "names",
    "vapour_pressure",
    "explosive_limits",
    "limits",
    "members",
    "expressed_as",
    "volume_checks",
    "leak_tests",
    "readings",
    "averages",
    "present",
    "rules",
    "lots",
];

/// Writes a tree in one of many layouts that all mean the same: order of fields, order of rows, columns of a factor table,
/// brackets or blocks, quotation marks, comments, spelling of units.
pub fn reformatted(tree: &SheetValue, chance: &mut Chance) -> String {
    let mut out = String::new();
    let shuffled = shuffled(tree, "", chance);
    block(&mut out, &shuffled, 0, "", chance);
    out
}

/// Writes a tree as it is: one field of the sheet on each line.
pub fn plain(tree: &SheetValue) -> String {
    let SheetValue::Fields(fields) = tree else {
        panic!("an entry has fields");
    };
    let mut out = String::new();
    for (key, value) in fields {
        out.push_str(key);
        out.push_str(": ");
        flow(&mut out, value, &mut None);
        out.push('\n');
    }
    out
}

fn shuffled(tree: &SheetValue, name: &str, chance: &mut Chance) -> SheetValue {
    match tree {
        SheetValue::Fields(fields) => {
            let mut fields: Vec<(String, SheetValue)> = fields
                .iter()
                .map(|(key, value)| (key.clone(), shuffled(value, key, chance)))
                .collect();
            if chance.in_percent(50) {
                swap_columns(&mut fields);
            }
            shuffle(&mut fields, chance);
            SheetValue::Fields(fields)
        }
        SheetValue::List(items) => {
            let mut items: Vec<SheetValue> = items
                .iter()
                .map(|item| shuffled(item, "", chance))
                .collect();
            if SETS.contains(&name) {
                shuffle(&mut items, chance);
            }
            SheetValue::List(items)
        }
        SheetValue::Single(text, is_text) => SheetValue::Single(respelled(text, chance), *is_text),
    }
}

fn shuffle<T>(items: &mut [T], chance: &mut Chance) {
    for last in (1..items.len()).rev() {
        items.swap(last, chance.below(0, last + 1));
    }
}

/// `[°C, factor]` with its rows as `[factor, °C]`; the columns of a two-dimensional table from right to left.
fn swap_columns(fields: &mut [(String, SheetValue)]) {
    let has = |name: &str| fields.iter().any(|(key, _)| key == name);
    if !has("columns") {
        return;
    }
    for (key, value) in fields {
        let SheetValue::List(items) = value else {
            continue;
        };
        match key.as_str() {
            "columns" => items.reverse(),
            "rows" => items.iter_mut().for_each(|row| {
                if let SheetValue::List(cells) = row {
                    cells.reverse();
                }
            }),
            "lines" => items.iter_mut().for_each(|line| {
                if let SheetValue::Fields(fields) = line {
                    for (key, value) in fields {
                        if let ("becomes", SheetValue::List(cells)) = (key.as_str(), value) {
                            cells.reverse();
                        }
                    }
                }
            }),
            _ => {}
        }
    }
}

/// The same quantity with another spelling of its unit.
fn respelled(text: &str, chance: &mut Chance) -> String {
    let Some((number, unit)) = quantity(text) else {
        return text.to_owned();
    };
    let spelling = *chance.one_of(&spellings(unit));
    let gap = if number.ends_with("to") || chance.in_percent(70) {
        " "
    } else {
        ""
    };
    if number.is_empty() {
        return spelling.to_owned();
    }
    format!("{}{gap}{spelling}", number.trim_end())
}

/// Number and unit of a text that ends in a unit after a number; a lone unit has no number.
pub fn quantity(text: &str) -> Option<(&str, &str)> {
    let known = |unit: &str| units().iter().any(|row| row.spellings().contains(&unit));
    if known(text)
        && !text.is_empty()
        && text != "a"
        && text != "m"
        && text != "h"
        && text != "seconds"
    {
        return Some(("", text));
    }
    let digits = text.rfind(|c: char| c.is_ascii_digit())? + 1;
    // `mg/m3` ends in a digit that is none of the number's.
    let (number, unit) = match text.get(digits..)?.trim() {
        "" => {
            let blank = text.rfind(' ')?;
            (text.get(..blank)?, text.get(blank + 1..)?)
        }
        unit => (text.get(..digits)?, unit),
    };
    let starts = number.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '−');
    (starts && known(unit)).then_some((number, unit))
}

/// Spellings that mean this unit wherever this spelling does.
fn spellings(unit: &str) -> Vec<&'static str> {
    let dimensions: Vec<Dimension> = Dimension::WITH_UNITS
        .into_iter()
        .filter(|d| unit_of(*d, unit).is_ok())
        .collect();
    units()
        .iter()
        .filter(|row| row.spellings().contains(&unit))
        .flat_map(stainbook_core::Unit::spellings)
        .copied()
        .filter(|other| {
            !other.is_empty()
                && dimensions.iter().all(|d| {
                    unit_of(*d, other)
                        .is_ok_and(|same| unit_of(*d, unit).is_ok_and(|this| this == same))
                })
        })
        .collect()
}

/// Other units of a dimension that this spelling has.
pub fn siblings(unit: &str) -> Vec<&'static str> {
    let rows = units().iter().filter(|row| row.spellings().contains(&unit));
    let mut found: Vec<&'static str> = rows
        .flat_map(|row| {
            units()
                .iter()
                .filter(move |other| other.dimension() == row.dimension() && *other != row)
        })
        .map(stainbook_core::Unit::canonical)
        .filter(|other| !other.is_empty())
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

fn block(out: &mut String, tree: &SheetValue, indent: usize, lead: &str, chance: &mut Chance) {
    let blanks = " ".repeat(indent);
    match tree {
        SheetValue::Fields(fields) if !fields.is_empty() => {
            for (index, (key, value)) in fields.iter().enumerate() {
                if chance.in_percent(10) {
                    // A comment between a dash and its first field would need care; elsewhere it may stand.
                    if index > 0 || lead.is_empty() {
                        out.push_str(&[&blanks, "# a remark on ", key, "\n"].concat());
                    }
                }
                let before = if index == 0 { lead } else { &blanks };
                let key = if chance.in_percent(10) {
                    double_quoted(key)
                } else {
                    key.clone()
                };
                out.push_str(before);
                out.push_str(&key);
                out.push(':');
                below(out, value, indent, chance);
            }
        }
        SheetValue::List(items) if !items.is_empty() => {
            for (index, item) in items.iter().enumerate() {
                out.push_str(if index == 0 { lead } else { &blanks });
                out.push('-');
                match item {
                    SheetValue::Fields(fields) if !fields.is_empty() && chance.in_percent(50) => {
                        block(out, item, indent + 2, " ", chance);
                    }
                    _ => {
                        out.push(' ');
                        flow(out, item, &mut Some(chance));
                        out.push('\n');
                    }
                }
            }
        }
        _ => {
            out.push_str(lead);
            flow(out, tree, &mut Some(chance));
            out.push('\n');
        }
    }
}

fn below(out: &mut String, value: &SheetValue, indent: usize, chance: &mut Chance) {
    let in_block = match value {
        SheetValue::Fields(fields) => !fields.is_empty() && chance.in_percent(50),
        SheetValue::List(items) => !items.is_empty() && chance.in_percent(50),
        SheetValue::Single(..) => false,
    };
    if in_block {
        out.push('\n');
        block(out, value, indent + 2, &" ".repeat(indent + 2), chance);
        return;
    }
    out.push(' ');
    flow(out, value, &mut Some(chance));
    if chance.in_percent(10) {
        out.push_str(" # as printed");
    }
    out.push('\n');
}

/// In brackets; with chance, texts that need no quotation marks get them now and then.
fn flow(out: &mut String, tree: &SheetValue, chance: &mut Option<&mut Chance>) {
    match tree {
        SheetValue::Fields(fields) => {
            out.push('{');
            for (index, (key, value)) in fields.iter().enumerate() {
                out.push_str(if index == 0 { "" } else { ", " });
                out.push_str(key);
                out.push_str(": ");
                flow(out, value, chance);
            }
            out.push('}');
        }
        SheetValue::List(items) => {
            out.push('[');
            for (index, item) in items.iter().enumerate() {
                out.push_str(if index == 0 { "" } else { ", " });
                flow(out, item, chance);
            }
            out.push(']');
        }
        SheetValue::Single(text, is_text) => {
            let quoted = *is_text
                && (!is_plain_text(text)
                    || chance.as_mut().is_some_and(|chance| chance.in_percent(30)));
            if quoted {
                out.push_str(&double_quoted(text));
            } else {
                out.push_str(text);
            }
        }
    }
}
