//! Text of a new value, laid out as its neighbours are.

use crate::document::traps;
use crate::document::tree::{Class, NodeKind, Style};
use crate::document::{Document, Node, NodeId, is_plain_text, syntax};

use super::NewValue;
use super::gaps::column;
use super::new_value::pairs;

/// Columns of indentation where a file has none to go by.
const USUAL_STEP: usize = 2;
/// Characters of a list or mapping beyond which it does not stand in brackets unless its neighbours do.
const LONGEST_IN_BRACKETS: usize = 80;

/// Quotes about text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Quoting {
    /// Only about text that cannot do without.
    Needed,
    /// Always, and which.
    Always(Style),
}

/// Habits of a file as a whole; those of a neighbour come first.
pub(super) struct Habits<'d> {
    document: &'d Document,
    pub(super) line_break: &'static str,
    /// Columns by which a mapping is indented further than the mapping it stands in, and a list.
    step: usize,
    list_step: usize,
    /// The quotes where there have to be some.
    quotes: Style,
    /// Everything stands in brackets, and all text in double quotes, as in JSON.
    pub(super) is_json: bool,
}

/// The line break of a text: that of its first line.
pub(super) fn line_break(text: &str) -> &'static str {
    let first = text.split_inclusive('\n').next().unwrap_or_default();
    if first.ends_with("\r\n") {
        "\r\n"
    } else {
        "\n"
    }
}

impl<'d> Habits<'d> {
    pub(super) fn of(document: &'d Document) -> Self {
        let text = document.text();
        let (mut step, mut list_step, mut quotes) = (None, None, None);
        let nodes = (0..document.node_count()).filter_map(|row| document.node(NodeId::of_row(row)));
        for node in nodes {
            match node.kind() {
                NodeKind::Scalar(style @ (Style::Single | Style::Double)) => {
                    quotes = quotes.or(Some(style));
                }
                NodeKind::Mapping if !node.is_in_brackets() => {
                    for (key, value) in pairs(document, node) {
                        let further = || {
                            let own = column(text, value.range().start);
                            own.checked_sub(column(text, key.range().start))
                        };
                        if value.is_empty() || value.is_in_brackets() {
                            continue;
                        }
                        if value.is_list() && list_step.is_none() {
                            list_step = further();
                        } else if value.is_mapping() && step.is_none() {
                            step = further().filter(|step| 0 < *step);
                        }
                    }
                }
                _ => {}
            }
            if step.is_some() && list_step.is_some() && quotes.is_some() {
                break;
            }
        }
        let step = step
            .or(list_step.filter(|step| 0 < *step))
            .unwrap_or(USUAL_STEP);
        Self {
            document,
            line_break: line_break(text),
            step,
            list_step: list_step.unwrap_or(step),
            quotes: quotes.unwrap_or(Style::Double),
            is_json: is_json(document),
        }
    }

    /// The usual habits, for a single scalar, without a look at the file.
    pub(super) fn usual(document: &'d Document) -> Self {
        Self {
            document,
            line_break: "\n",
            step: USUAL_STEP,
            list_step: USUAL_STEP,
            quotes: Style::Double,
            is_json: false,
        }
    }

    /// Quoting of text like that of a neighbour, which says something only where it could have done without.
    pub(super) fn quoting_like(neighbour: Option<Node<'_>>) -> Quoting {
        match neighbour.map(|node| (node.kind(), node.text())) {
            Some((NodeKind::Scalar(style @ (Style::Single | Style::Double)), Some(text)))
                if is_plain_text(text) =>
            {
                Quoting::Always(style)
            }
            _ => Quoting::Needed,
        }
    }

    /// Text of a scalar.
    pub(super) fn text(&self, text: &str, quoting: Quoting) -> String {
        let style = match quoting {
            Quoting::Needed if self.is_json => Style::Double,
            Quoting::Needed if is_plain_text(text) && !text.starts_with("...") => {
                return text.to_owned();
            }
            Quoting::Needed => self.quotes,
            Quoting::Always(style) => style,
        };
        if style == Style::Single && !text.contains(is_unseen) {
            format!("'{}'", text.replace('\'', "''"))
        } else {
            syntax::double_quoted(text)
        }
    }

    /// A key like the keys beside it.
    pub(super) fn key(&self, text: &str, neighbour: Option<Node<'_>>) -> String {
        // Where keys are numbers, `8` stands beside `7` without quotes.
        let class = traps::plain(text, &[]).0;
        let like = neighbour.is_some_and(|key| {
            matches!(key.kind(), NodeKind::Scalar(Style::Plain)) && key.class() == class
        });
        if !self.is_json && like && class != Class::Text && class != Class::Null {
            return text.to_owned();
        }
        self.text(text, Self::quoting_like(neighbour))
    }

    /// Another name for a key, in its quotes.
    pub(super) fn key_in_place_of(&self, key: Node<'_>, name: &str) -> String {
        match key.kind() {
            NodeKind::Scalar(style @ (Style::Single | Style::Double)) => {
                self.text(name, Quoting::Always(style))
            }
            _ => self.key(name, Some(key)),
        }
    }

    /// A scalar in the quotes of the text that it takes the place of, else in those of the text beside it.
    pub(super) fn scalar_in_place_of(
        &self,
        old: Node<'_>,
        beside: Option<Node<'_>>,
        value: &NewValue,
    ) -> String {
        match (value, old.kind()) {
            (NewValue::Text(text), NodeKind::Scalar(style @ (Style::Single | Style::Double))) => {
                self.text(text, Quoting::Always(style))
            }
            (NewValue::Text(text), _) if old.class() == Class::Text => {
                self.text(text, Quoting::Needed)
            }
            _ => self.in_brackets(value, beside),
        }
    }

    /// True if a list or mapping is to stand on lines of its own where it may.
    pub(super) fn is_on_lines(&self, value: &NewValue, model: Option<Node<'_>>) -> bool {
        if !value.is_filled() {
            return false;
        }
        match model.filter(|model| value.is_same_kind(*model) && !model.is_empty()) {
            Some(model) => !model.is_in_brackets(),
            None => value.is_nested() || LONGEST_IN_BRACKETS < self.in_brackets(value, None).len(),
        }
    }

    /// The value on one line, lists and mappings in brackets.
    pub(super) fn in_brackets(&self, value: &NewValue, model: Option<Node<'_>>) -> String {
        let model = model.filter(|model| value.is_same_kind(*model));
        match value {
            NewValue::Text(text) => self.text(text, Self::quoting_like(model)),
            NewValue::Bare(text) if text.is_empty() => "null".to_owned(),
            NewValue::Bare(text) => text.clone(),
            NewValue::List(items) => {
                let like = model.and_then(|model| model.items().last());
                let items: Vec<String> = items
                    .iter()
                    .map(|item| self.in_brackets(item, like))
                    .collect();
                let spacing = Spacing::of(self.document, model);
                spacing.enclose('[', &items, ']')
            }
            NewValue::Mapping(fields) => {
                let spacing = Spacing::of(self.document, model);
                let fields: Vec<String> = fields
                    .iter()
                    .map(|(key, value)| self.field_in_brackets(key, value, model, spacing))
                    .collect();
                spacing.enclose('{', &fields, '}')
            }
        }
    }

    /// `name: value`, like the fields of a mapping in brackets.
    pub(super) fn field_in_brackets(
        &self,
        key: &str,
        value: &NewValue,
        mapping: Option<Node<'_>>,
        spacing: Spacing,
    ) -> String {
        let like = mapping.and_then(|mapping| model_in(mapping, Some(key), value));
        let beside = mapping.and_then(|mapping| mapping.entries().last());
        let key = self.key(key, beside.map(|(key, _)| key));
        let value = self.in_brackets(value, like);
        let tight = spacing.tight_colon && key.ends_with(['"', '\'']);
        let blank = if tight { "" } else { " " };
        format!("{key}:{blank}{value}")
    }

    /// Text after the colon of a field that begins in this column.
    pub(super) fn after_colon(
        &self,
        value: &NewValue,
        model: Option<Node<'_>>,
        at: usize,
    ) -> String {
        if self.is_on_lines(value, model) {
            let step = if matches!(value, NewValue::List(_)) {
                self.list_step
            } else {
                self.step
            };
            let indent = " ".repeat(at + step);
            let lines = self.on_lines(value, model, at + step);
            return format!("{}{indent}{lines}", self.line_break);
        }
        if value.is_nothing() {
            return String::new();
        }
        format!(" {}", self.in_brackets(value, model))
    }

    /// `- ` and an entry of a list whose dashes stand in this column.
    pub(super) fn item(&self, value: &NewValue, model: Option<Node<'_>>, at: usize) -> String {
        if self.is_on_lines(value, model) {
            format!("- {}", self.on_lines(value, model, at + 2))
        } else if value.is_nothing() {
            "-".to_owned()
        } else {
            format!("- {}", self.in_brackets(value, model))
        }
    }

    /// `name: value` of a mapping whose keys stand in this column.
    pub(super) fn field(
        &self,
        key: &str,
        value: &NewValue,
        mapping: Option<Node<'_>>,
        at: usize,
    ) -> String {
        let like = mapping.and_then(|mapping| model_in(mapping, Some(key), value));
        let beside = mapping.and_then(|mapping| mapping.entries().last());
        let key = self.key(key, beside.map(|(key, _)| key));
        format!("{key}:{}", self.after_colon(value, like, at))
    }

    /// A list or mapping on lines of its own, of which the first is already indented.
    pub(super) fn on_lines(&self, value: &NewValue, model: Option<Node<'_>>, at: usize) -> String {
        let model = model.filter(|model| value.is_same_kind(*model));
        let between = format!("{}{}", self.line_break, " ".repeat(at));
        let lines: Vec<String> = match value {
            NewValue::List(items) => {
                let like = |item: &NewValue| model.and_then(|model| model_in(model, None, item));
                let lines = items.iter().map(|item| self.item(item, like(item), at));
                lines.collect()
            }
            NewValue::Mapping(fields) => {
                let lines = fields
                    .iter()
                    .map(|(key, value)| self.field(key, value, model, at));
                lines.collect()
            }
            NewValue::Text(_) | NewValue::Bare(_) => vec![self.in_brackets(value, model)],
        };
        lines.join(&between)
    }
}

/// The entry of a list or mapping that a new one of it is to be like: the one of this name, else the last of its kind.
pub(super) fn model_in<'d>(
    holder: Node<'d>,
    key: Option<&str>,
    value: &NewValue,
) -> Option<Node<'d>> {
    let named = key.and_then(|key| holder.get(key));
    let fits = |node: &Node<'_>| {
        value.is_same_kind(*node)
            && match value {
                NewValue::Text(_) => node.class() == Class::Text,
                NewValue::Bare(_) => true,
                NewValue::List(_) | NewValue::Mapping(_) => !node.is_empty(),
            }
    };
    named.filter(fits).or_else(|| {
        let values = holder.entries().map(|(_, value)| value);
        values.chain(holder.items()).filter(fits).last()
    })
}

/// Blanks inside brackets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spacing {
    /// `{ a }` and not `{a}`.
    padded: bool,
    /// `"a":1`.
    tight_colon: bool,
    /// `a,b`.
    tight_comma: bool,
}

impl Spacing {
    /// The blanks of a list or mapping in brackets; the usual ones without it.
    pub(super) fn of(document: &Document, model: Option<Node<'_>>) -> Self {
        let usual = Self {
            padded: false,
            tight_colon: false,
            tight_comma: false,
        };
        let Some(model) = model.filter(|model| model.is_in_brackets() && !model.is_empty()) else {
            return usual;
        };
        let bytes = document.text().as_bytes();
        let byte = |at: usize| bytes.get(at).copied();
        let colon = model.entries().next().is_some_and(|(key, value)| {
            let end = key.range().end;
            byte(end) == Some(b':') && value.range().start == end + 1
        });
        let children: Vec<_> = document.tree().children(model.id()).collect();
        let step = if model.is_mapping() { 2 } else { 1 };
        let second = children.get(step).copied();
        let comma = second.map_or(colon, |second| {
            let start = document.tree().range(second).start;
            start.checked_sub(1).and_then(byte) == Some(b',')
        });
        Self {
            padded: byte(model.range().start + 1) == Some(b' '),
            tight_colon: colon,
            tight_comma: comma,
        }
    }

    /// Comma and blank between two entries on one line.
    pub(super) fn comma(self) -> &'static str {
        if self.tight_comma { "," } else { ", " }
    }

    fn enclose(self, open: char, entries: &[String], close: char) -> String {
        let blank = if self.padded && !entries.is_empty() {
            " "
        } else {
            ""
        };
        let entries = entries.join(self.comma());
        format!("{open}{blank}{entries}{blank}{close}")
    }
}

fn is_json(document: &Document) -> bool {
    let is_bare_text = |node: Node<'_>| match node.kind() {
        NodeKind::Scalar(Style::Plain) => node.class() == Class::Text,
        NodeKind::Scalar(style) => style != Style::Double,
        NodeKind::Sequence | NodeKind::Mapping => false,
    };
    let mut nodes = (0..document.node_count()).filter_map(|row| document.node(NodeId::of_row(row)));
    document.root().is_some_and(Node::is_in_brackets) && !nodes.any(is_bare_text)
}

/// Characters that single quotes cannot hold so that they are read again.
fn is_unseen(character: char) -> bool {
    character.is_control() || matches!(character, '\u{2028}' | '\u{2029}' | '\u{feff}')
}
