//! Turns events into the tree and remembers what is odd about them.

use std::borrow::Cow;
use std::ops::Range;

use super::ReadOptions;
use super::cut_text::{self, Surroundings};
use super::traps::{self, Trap};
use super::tree::{Class, FLOW, INCOMPLETE, NodeId, NodeKind, REPEATED, Style, Tree};

/// A limit was hit; what follows is not read.
#[derive(Debug)]
pub(super) struct Halt;

/// Layout of a list or mapping: on lines of its own, or in brackets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Flow {
    Lines,
    Brackets,
}

/// Something to be said about a node or about bytes, once the whole tree is known.
#[derive(Clone, Debug)]
pub(super) enum Odd {
    Trap(NodeId, Trap),
    /// Bare text that a `#` cuts off, and the end of what was meant.
    CutText(NodeId, usize),
    /// Key given again: this key, and the first.
    Repeated(NodeId, NodeId),
    /// A key that is not plain text.
    KeyShape(NodeId),
    Tag(Range<usize>, NodeId),
    Anchor(usize, NodeId),
    Alias(NodeId),
    SecondDocument(usize),
    TooDeep(usize),
    TooMany(usize),
    /// Two entries of a bracketed list that were one number with a decimal comma.
    SplitNumber {
        list: NodeId,
        first: NodeId,
        second: NodeId,
        sure: bool,
    },
}

struct Open {
    id: NodeId,
    children: u32,
    mapping: bool,
    flow: Flow,
    /// Entries of a bracketed list that follow a comma without a space, and with one.
    tight: Option<(NodeId, NodeId)>,
    spaced: bool,
    last: Option<NodeId>,
}

pub(super) struct Builder<'a> {
    text: &'a str,
    options: &'a ReadOptions,
    pub(super) tree: Tree,
    pub(super) odd: Vec<Odd>,
    open: Vec<Open>,
    documents: usize,
    /// The root mapping is open already and a fresh stream goes on filling it.
    resumed: bool,
    pub(super) halted: bool,
    /// End of the newest scalar or bracket.
    end: u32,
    /// Start of the newest node: up to here the text was understood.
    pub(super) reached: usize,
}

fn offset(at: usize) -> u32 {
    // The options keep every document below this.
    u32::try_from(at).unwrap_or(u32::MAX)
}

impl<'a> Builder<'a> {
    pub(super) fn new(text: &'a str, options: &'a ReadOptions) -> Self {
        Self {
            text,
            options,
            // A file has a node for about seven bytes of text.
            tree: Tree::with_capacity(text.len() / 7 + 4),
            odd: Vec::new(),
            open: Vec::with_capacity(16),
            documents: 0,
            resumed: false,
            halted: false,
            end: 0,
            reached: 0,
        }
    }

    pub(super) fn depth_limit(&self) -> usize {
        self.options.depth
    }

    /// True if the root waits for more fields from a fresh stream.
    pub(super) fn resumed(&self) -> bool {
        self.resumed
    }

    /// End of the key whose value comes next.
    pub(super) fn key_end(&self) -> Option<usize> {
        let open = self
            .open
            .last()
            .filter(|open| open.mapping && open.children % 2 == 1)?;
        let row = self.tree.len().checked_sub(1)?;
        let key = NodeId(offset(row));
        (key > open.id).then(|| self.tree.range(key).end)
    }

    /// Place of the innermost bracket that is still open.
    pub(super) fn open_bracket(&self) -> Option<usize> {
        let open = self
            .open
            .iter()
            .rev()
            .find(|open| open.flow == Flow::Brackets)?;
        Some(self.tree.range(open.id).start)
    }

    pub(super) fn document(&mut self, at: usize) -> Result<(), Halt> {
        if self.resumed {
            return Ok(());
        }
        self.documents += 1;
        if self.documents > 1 {
            self.odd.push(Odd::SecondDocument(at));
            self.halted = true;
            return Err(Halt);
        }
        Ok(())
    }

    /// The node that comes next has a tag.
    pub(super) fn tag(&mut self, range: Range<usize>) {
        let next = NodeId(offset(self.tree.len()));
        self.odd.push(Odd::Tag(range, next));
    }

    /// The node that comes next has an anchor.
    pub(super) fn anchor(&mut self, at: usize) {
        let next = NodeId(offset(self.tree.len()));
        self.odd.push(Odd::Anchor(at, next));
    }

    pub(super) fn alias(&mut self, range: Range<usize>) -> Result<(), Halt> {
        self.room(range.start)?;
        let range = offset(range.start)..offset(range.end);
        self.end = self.end.max(range.end);
        let id = self
            .tree
            .push_scalar(Style::Plain, Class::Text, range, None);
        self.odd.push(Odd::Alias(id));
        self.child(id, None);
        Ok(())
    }

    fn room(&mut self, at: usize) -> Result<(), Halt> {
        if self.resumed {
            // What goes on after an error is not a field after all.
            return Err(Halt);
        }
        self.reached = self.reached.max(at);
        if self.tree.len() >= self.options.nodes {
            self.odd.push(Odd::TooMany(at));
            self.halted = true;
            return Err(Halt);
        }
        Ok(())
    }

    pub(super) fn scalar(
        &mut self,
        value: Cow<'_, str>,
        style: Style,
        range: Range<usize>,
    ) -> Result<(), Halt> {
        self.room(range.start)?;
        let (class, trap) = match style {
            Style::Plain => traps::plain(&value, self.options.units),
            _ => (Class::Text, traps::quoted(&value)),
        };
        let (from, to) = (offset(range.start), offset(range.end));
        let end = range.end;
        let slice = match style {
            Style::Plain => self.text.get(range),
            Style::Single | Style::Double => self.text.get(range.start + 1..range.end.max(1) - 1),
            Style::Literal | Style::Folded => None,
        };
        let same = slice.is_some_and(|slice| {
            slice.len() == value.len() && (matches!(value, Cow::Borrowed(_)) || slice == value)
        });
        let own = if same {
            None
        } else {
            Some(value.into_owned().into_boxed_str())
        };
        let id = self.tree.push_scalar(style, class, from..to, own);
        self.end = self.end.max(to);
        if let Some(trap) = trap {
            self.odd.push(Odd::Trap(id, trap));
        }
        if style == Style::Plain
            && from < to
            && let Some(meant) = cut_text::meant_end(self.text, end, self.surroundings())
        {
            self.odd.push(Odd::CutText(id, meant));
        }
        self.child(id, Some(class));
        Ok(())
    }

    fn surroundings(&self) -> Surroundings {
        match self.open.last() {
            Some(open) if open.flow == Flow::Brackets => Surroundings::Brackets,
            _ => Surroundings::Line,
        }
    }

    /// Counts a node under the list or mapping that is open.
    fn child(&mut self, id: NodeId, scalar: Option<Class>) {
        let Some(open) = self.open.last_mut() else {
            return;
        };
        open.children += 1;
        if open.mapping && open.children % 2 == 1 && scalar.is_none_or(|class| class == Class::Null)
        {
            self.odd.push(Odd::KeyShape(id));
        }
        if open.flow == Flow::Brackets {
            let number = matches!(scalar, Some(Class::Integer | Class::Float));
            // In a mapping only a key can follow a comma.
            let follows = !open.mapping || open.children % 2 == 1;
            if let (true, Some(last)) = (follows, open.last) {
                let end = self.tree.range(last).end;
                let start = self.tree.range(id).start;
                let touching = start == end + 1 && self.text.as_bytes().get(end) == Some(&b',');
                if touching
                    && number
                    && self
                        .text
                        .as_bytes()
                        .get(end.wrapping_sub(1))
                        .is_some_and(u8::is_ascii_digit)
                {
                    if open.mapping {
                        self.odd.push(Odd::SplitNumber {
                            list: open.id,
                            first: last,
                            second: id,
                            sure: true,
                        });
                    } else if open.tight.is_none() {
                        open.tight = Some((last, id));
                    }
                } else if start > end + 1 {
                    open.spaced = true;
                }
            }
            // The absent value of `{from: 0,5}` stands where its key ends; keep the key before it.
            open.last = Some(id);
        }
    }

    pub(super) fn open(&mut self, kind: NodeKind, flow: Flow, start: usize) -> Result<(), Halt> {
        if self.resumed && self.open.len() == 1 && kind == NodeKind::Mapping && flow == Flow::Lines
        {
            self.resumed = false;
            return Ok(());
        }
        self.room(start)?;
        if self.open.len() >= self.options.depth {
            self.odd.push(Odd::TooDeep(start));
            self.halted = true;
            return Err(Halt);
        }
        let bits = if flow == Flow::Brackets { FLOW } else { 0 };
        self.end = self.end.max(offset(start));
        let id = self.tree.push_container(kind, bits, offset(start));
        self.child(id, None);
        self.open.push(Open {
            id,
            children: 0,
            mapping: kind == NodeKind::Mapping,
            flow,
            tight: None,
            spaced: false,
            last: None,
        });
        Ok(())
    }

    pub(super) fn close(&mut self, end: usize) {
        let Some(open) = self.open.pop() else { return };
        if open.flow == Flow::Brackets {
            self.end = self.end.max(offset(end));
        }
        if let Some((first, second)) = open.tight
            && (open.spaced
                || (open.children == 2 && self.slice(first) == "0" && !self.in_brackets()))
        {
            let sure = open.spaced;
            self.odd.push(Odd::SplitNumber {
                list: open.id,
                first,
                second,
                sure,
            });
        }
        let children = if open.mapping {
            open.children / 2
        } else {
            open.children
        };
        self.tree.close(open.id, self.end, children);
        if open.mapping {
            self.repeated_keys(open.id, children);
        }
        if let Some(parent) = self.open.last_mut()
            && parent.flow == Flow::Brackets
        {
            parent.last = Some(open.id);
        }
    }

    /// True if the whole file stands in brackets, as JSON does: programs write no space after a comma, nor a decimal comma.
    fn in_brackets(&self) -> bool {
        self.open
            .first()
            .is_some_and(|root| root.flow == Flow::Brackets)
    }

    fn slice(&self, id: NodeId) -> &str {
        self.text.get(self.tree.range(id)).unwrap_or_default()
    }

    fn key_text(&self, id: NodeId) -> &str {
        match self.tree.own_text(id) {
            Some(text) => text,
            None => super::slice_text(self.text, &self.tree, id),
        }
    }

    fn repeated_keys(&mut self, mapping: NodeId, children: u32) {
        let mut found: Vec<(NodeId, NodeId)> = Vec::new();
        if children <= 12 {
            // Few keys: comparing each with those before costs less than sorting them.
            let mut keys: [(&str, NodeId); 12] = [("", mapping); 12];
            let mut count = 0;
            for key in self.tree.children(mapping).step_by(2) {
                if !matches!(self.tree.kind(key), NodeKind::Scalar(_)) {
                    continue;
                }
                let text = self.key_text(key);
                let before = keys.get(..count).unwrap_or_default();
                if let Some((_, first)) = before.iter().find(|(other, _)| *other == text) {
                    found.push((key, *first));
                } else if let Some(place) = keys.get_mut(count) {
                    *place = (text, key);
                    count += 1;
                }
            }
        } else {
            let mut keys: Vec<(&str, NodeId)> = self
                .tree
                .children(mapping)
                .step_by(2)
                .filter(|key| matches!(self.tree.kind(*key), NodeKind::Scalar(_)))
                .map(|key| (self.key_text(key), key))
                .collect();
            keys.sort_unstable();
            let mut first: Option<(&str, NodeId)> = None;
            for (text, key) in keys {
                match first {
                    Some((other, id)) if other == text => found.push((key, id)),
                    _ => first = Some((text, key)),
                }
            }
        }
        for (key, first) in found {
            self.tree.set(key, REPEATED);
            self.odd.push(Odd::Repeated(key, first));
        }
    }

    /// Ends what is open after the text could not be read on, and says whether the root is a
    /// mapping on lines of its own, whose further fields can still be read.
    pub(super) fn interrupt(&mut self) -> Resume {
        while self.open.len() > 1 {
            self.finish_incomplete();
        }
        match self.open.last_mut() {
            Some(root) if root.mapping && root.flow == Flow::Lines && !self.halted => {
                if root.children % 2 == 1 {
                    // The value never came: what was taken for a key may be anything.
                    let key = last_key(&self.tree, root.id);
                    root.children -= 1;
                    if let Some(key) = key {
                        self.drop_from(key);
                    }
                }
                self.resumed = true;
                Resume::Possible
            }
            _ => Resume::No,
        }
    }

    fn drop_from(&mut self, id: NodeId) {
        self.tree.truncate(id);
        self.odd.retain(|odd| match odd {
            Odd::Trap(node, _)
            | Odd::CutText(node, _)
            | Odd::KeyShape(node)
            | Odd::Repeated(node, _)
            | Odd::Alias(node)
            | Odd::SplitNumber { second: node, .. } => *node < id,
            _ => true,
        });
    }

    fn finish_incomplete(&mut self) {
        let Some(open) = self.open.last_mut() else {
            return;
        };
        if open.mapping && open.children % 2 == 1 {
            let id = open.id;
            open.children -= 1;
            if let Some(key) = last_key(&self.tree, id) {
                self.drop_from(key);
            }
        }
        let Some(open) = self.open.last() else { return };
        self.tree.set(open.id, INCOMPLETE);
        self.close(0);
    }

    /// Ends everything that is still open.
    pub(super) fn finish(&mut self) {
        self.resumed = false;
        while !self.open.is_empty() {
            self.finish_incomplete();
        }
    }
}

/// Continuation of reading after an error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Resume {
    Possible,
    No,
}

/// The last node directly under a mapping that is not closed yet.
fn last_key(tree: &Tree, mapping: NodeId) -> Option<NodeId> {
    let mut next = NodeId(mapping.0 + 1);
    let mut last = None;
    while next.row() < tree.len() {
        last = Some(next);
        next = tree.after(next);
    }
    last
}
