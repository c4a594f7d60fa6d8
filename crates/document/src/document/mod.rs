//! A file as read: its text, the tree of its fields and values, and where everything stands.
//!
//! Reading never fails and never panics: it gives what it understood, and findings for what it
//! did not. Values mean what the core schema of YAML 1.2 says, so `NO` stays text.
//! Tags, anchors, aliases and repeated keys are refused; the rest of the file is still read.

mod builder;
mod cut_text;
mod decode;
pub mod edit;
mod fast_path;
mod full_path;
mod granit;
mod layout_slip;
mod line_index;
mod locate;
mod node;
mod odd;
mod syntax;
mod table;
mod traps;
mod tree;
mod wide_nodes;
mod worksheet;

use std::ops::Range;
use std::sync::OnceLock;

pub use layout_slip::{LayoutSlip, hiding_slips, layout_slips};
pub use locate::LineColumn;
pub use node::{Entries, Items, Node};
pub use table::Cells;
pub use tree::{Class, NodeId, NodeKind, Style};
pub use worksheet::{Cell, CellRange, Worksheet, column_letters};

use crate::finding::Finding;
use crate::help;
use crate::offer::Offer;
use crate::place::{FileId, Place};
use crate::rules;
use builder::{Builder, Resume};
use cut_text::Closing;
use line_index::LineIndex;
use tree::Tree;
use wide_nodes::{MANY, WideNode, WideNodes};

/// Limits on the size of a file, and the units that its texts may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadOptions {
    /// Size in bytes; 8 MiB by default, some thousand times a long file.
    pub bytes: usize,
    /// Lists and mappings inside one another; 32 by default, about four times what a file needs.
    pub depth: usize,
    /// Keys, values, lists and mappings together; 400,000 by default.
    pub nodes: usize,
    /// Syntax errors that are reported before the rest of a file is given up; 20 by default.
    pub syntax_errors: usize,
    /// Beginnings of units that may stand behind a number, none by default: before one of them a comma in a number is
    /// taken for a decimal comma, where it could otherwise be part of a name.
    pub units: &'static [&'static str],
    /// Word that stands for nothing where a file may say so, none by default: what is offered for a dash alone.
    pub nothing: Option<&'static str>,
}

impl ReadOptions {
    /// The usual ones.
    pub const DEFAULT: Self = Self {
        bytes: 8 << 20,
        depth: 32,
        nodes: 400_000,
        syntax_errors: 20,
        units: &[],
        nothing: None,
    };
}

impl Default for ReadOptions {
    fn default() -> Self {
        Self::DEFAULT
    }
}

/// A file as read.
///
/// # Example
///
/// ```
/// use stainbook_document::{Document, ReadOptions};
/// use stainbook_document::place::FileId;
///
/// let text = b"kettle: blue\nholds: {water: 1.5 L}\n";
/// let (document, findings) = Document::read(FileId(0), "blue.yaml", text, &ReadOptions::default());
/// assert!(findings.is_empty());
/// let water = document.root().and_then(|root| root.get("holds")?.get("water"));
/// assert_eq!(water.and_then(|node| node.text()), Some("1.5 L"));
/// ```
#[derive(Clone, Debug)]
pub struct Document {
    /// The name under which the file was given.
    pub name: String,
    file: FileId,
    text: String,
    /// Built again from the text when it is asked for after it was let go.
    tree: OnceLock<Tree>,
    /// Made of the tree when an entry of a long list is looked up.
    wide: OnceLock<WideNodes>,
    /// Start of the text proper, if the fast path read all of it and nothing was odd.
    plain_from: Option<usize>,
    reported: Vec<NodeId>,
    broken: bool,
    lines: OnceLock<LineIndex>,
    /// The worksheet that the text was made of, if it is not the file's own.
    worksheet: Option<Box<Worksheet>>,
    /// The text is a table's, not YAML.
    of_cells: bool,
}

impl Document {
    /// Reads a file.
    pub fn read(
        file: FileId,
        name: &str,
        bytes: &[u8],
        options: &ReadOptions,
    ) -> (Self, Vec<Finding>) {
        let mut findings = Vec::new();
        let size = bytes.len();
        let limit = options.bytes.min(u32::MAX as usize / 4);
        let (text, base) = if size > limit {
            findings.push(
                Finding::new(&rules::DOCUMENT_TOO_LARGE, Place::bytes(file, 0..0))
                    .message(format!(
                        "the file has {size} bytes; at most {limit} are read"
                    ))
                    .help("split it into several files; few entries come near this size"),
            );
            (String::new(), 0)
        } else {
            decode::decode(file, bytes, &mut findings)
        };
        let too_large = size > limit;
        let mut document = Self {
            name: name.to_owned(),
            file,
            text,
            tree: OnceLock::new(),
            wide: OnceLock::new(),
            plain_from: None,
            reported: Vec::new(),
            broken: too_large,
            lines: OnceLock::new(),
            worksheet: None,
            of_cells: false,
        };
        if !too_large {
            document.build(base, options, &mut findings);
        }
        (document, findings)
    }

    /// True if a text can be read as YAML to its end; quick, and without words.
    ///
    /// ```
    /// use stainbook_document::{Document, ReadOptions};
    ///
    /// assert!(Document::reads_to_its_end("kettle: blue\n", &ReadOptions::DEFAULT));
    /// assert!(!Document::reads_to_its_end("kettle: [blue\n", &ReadOptions::DEFAULT));
    /// ```
    pub fn reads_to_its_end(text: &str, options: &ReadOptions) -> bool {
        let mut builder = Builder::new(text, options);
        if fast_path::feed(text, 0, &mut builder).is_ok() {
            return !builder.halted;
        }
        builder = Builder::new(text, options);
        granit::feed(text, 0, &mut builder).is_ok() && !builder.halted
    }

    fn build(&mut self, base: usize, options: &ReadOptions, findings: &mut Vec<Finding>) {
        let text = std::mem::take(&mut self.text);
        let mut builder = Builder::new(&text, options);
        let fast = fast_path::feed(&text, base, &mut builder);
        if let Err(fast_path::Stop::Unsure) = fast {
            builder = Builder::new(&text, options);
            self.parse_full(&text, base, options, &mut builder, findings);
        }
        self.broken |= builder.halted;
        builder.finish();
        let Builder { mut tree, odd, .. } = builder;
        tree.shrink();
        if fast.is_ok() && odd.is_empty() && findings.is_empty() && !self.broken {
            self.plain_from = Some(base);
        }
        self.tree = OnceLock::from(tree);
        self.text = text;
        self.conclude(&odd, findings);
    }

    /// Reads with the general source of events, going on after errors.
    fn parse_full(
        &mut self,
        text: &str,
        base: usize,
        options: &ReadOptions,
        builder: &mut Builder<'_>,
        findings: &mut Vec<Finding>,
    ) {
        let mut from = base;
        let mut errors = 0;
        while let Some(rest) = text.get(from..) {
            let broken = granit::feed(rest, from, builder).err();
            self.broken |= broken.is_some() || builder.halted;
            if builder.halted {
                break;
            }
            let resume = match &broken {
                None if !builder.resumed() => break,
                None => Resume::Possible,
                Some(broken) => {
                    errors += 1;
                    let scene = syntax::Scene {
                        file: self.file,
                        text,
                        at: broken.at,
                        cause: broken.cause,
                        bracket: builder.open_bracket(),
                        nothing: options.nothing,
                    };
                    let (cut, closing) = self.cut_texts(&scene, builder.reached.max(from));
                    // A bracket that is not closed even with the texts as they were meant is a fault of its own.
                    if cut.is_empty() || closing == Closing::Missing {
                        findings.push(syntax::explain(&scene));
                    }
                    findings.extend(cut);
                    builder.interrupt()
                }
            };
            if resume == Resume::No || errors >= options.syntax_errors {
                break;
            }
            match next_field(text, builder.reached.max(from)) {
                Some(next) => from = next,
                None => break,
            }
        }
    }

    /// Texts in brackets that a `#` cuts off, up to where reading goes on, if the first of them is why it could not: the
    /// closing bracket is lost with the rest of the line.
    fn cut_texts(&self, scene: &syntax::Scene<'_>, reached: usize) -> (Vec<Finding>, Closing) {
        // The parser looks ahead: the bracket that it never saw closed may not have been told of yet.
        let opened = scene.bracket.map_or(reached, |opened| opened.min(reached));
        let until = next_field(scene.text, reached).unwrap_or(scene.text.len());
        let (cut, closing) = cut_text::in_brackets(scene.text, opened, until);
        // At the end of the file it is the bracket itself that the parser tells of, and the cut text stands in it.
        let told = scene.text.as_bytes().get(scene.at);
        let of_bracket = matches!(told, Some(b'{' | b'['));
        let explains = |read: &Range<usize>| of_bracket || read.start <= scene.at;
        if !cut.first().is_some_and(|(read, _)| explains(read)) {
            return (Vec::new(), closing);
        }
        let slice = |range: &Range<usize>| scene.text.get(range.clone()).unwrap_or_default();
        let found = cut.iter().map(|(read, lost)| {
            let range = read.start..lost.end;
            cut_text::finding(self.file, range, (slice(read), slice(lost)), closing)
        });
        (found.collect(), closing)
    }

    /// Puts into words what was noticed, in the order of the text.
    fn conclude(&mut self, odd: &[builder::Odd], findings: &mut Vec<Finding>) {
        odd::report(self, odd, findings);
        if self.tree().len() == 0 && !self.broken {
            let place = Place::bytes(self.file, 0..0);
            findings.push(
                Finding::new(&rules::EMPTY_DOCUMENT, place)
                    .message("the file holds nothing but blanks and comments")
                    .help(help!(
                        "write an entry with {}, or delete the file",
                        Offer::command("stainbook new")
                    )),
            );
        }
        self.reported.sort_unstable();
        self.reported.dedup();
        if !findings.is_empty() {
            findings.sort_by_key(|finding| {
                let range = self.locate(finding.place());
                (range.start, range.end)
            });
            // Text in a bracket that was never closed is noticed as it is read, and again when reading breaks off.
            findings.dedup_by(|next, finding| {
                finding.rule() == rules::TEXT_CUT_SHORT.name
                    && next.rule() == finding.rule()
                    && next.place() == finding.place()
            });
        }
    }

    /// Forgets the tree of a text that was read without a fault, until somebody asks for a node: ten thousand files
    /// are kept in less memory, and few of them are looked at again. Nodes have the same ids afterwards.
    pub fn release_tree(&mut self) {
        if self.plain_from.is_some() {
            self.tree.take();
            self.wide.take();
        }
    }

    fn tree(&self) -> &Tree {
        self.tree.get_or_init(|| self.build_again())
    }

    /// The children of a list or mapping, if it has so many that walking past them costs more than looking them up.
    fn wide(&self, id: NodeId) -> Option<&WideNode> {
        if self.tree().count(id) < MANY {
            return None;
        }
        self.wide.get_or_init(|| WideNodes::of(self)).get(id)
    }

    /// True if the tree is at hand, and was not let go.
    pub fn has_tree(&self) -> bool {
        self.tree.get().is_some()
    }

    /// The same document with its tree, for a few looks after which both are let go again.
    #[must_use]
    pub fn with_tree(&self) -> Self {
        Self {
            name: String::new(),
            text: self.text.clone(),
            tree: OnceLock::from(self.build_again()),
            wide: OnceLock::new(),
            reported: Vec::new(),
            lines: OnceLock::new(),
            worksheet: None,
            ..*self
        }
    }

    fn build_again(&self) -> Tree {
        let Some(from) = self.plain_from else {
            return Tree::default();
        };
        // It was within its limits when it was read first.
        let options = ReadOptions {
            bytes: usize::MAX / 2,
            depth: usize::MAX / 2,
            nodes: usize::MAX / 2,
            syntax_errors: 0,
            units: &[],
            nothing: None,
        };
        let mut builder = Builder::new(&self.text, &options);
        let again = fast_path::feed(&self.text, from, &mut builder);
        debug_assert!(again.is_ok(), "a text is read the same way each time");
        builder.finish();
        builder.tree.shrink();
        builder.tree
    }

    /// Number of the file among those given to the run.
    pub fn file(&self) -> FileId {
        self.file
    }

    /// The text, as far as it could be decoded.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The topmost node; nothing in an empty or unreadable file.
    pub fn root(&self) -> Option<Node<'_>> {
        (self.tree().len() > 0).then_some(Node::new(self, NodeId(0)))
    }

    /// The node with this id.
    pub fn node(&self, id: NodeId) -> Option<Node<'_>> {
        (id.row() < self.tree().len()).then_some(Node::new(self, id))
    }

    /// Number of nodes: keys, values, lists and mappings.
    pub fn node_count(&self) -> usize {
        self.tree().len()
    }

    /// True if part of the text could not be read, so that what seems absent may be there.
    pub fn is_broken(&self) -> bool {
        self.broken
    }

    /// True if the text is a table's or made of a worksheet, not YAML.
    pub fn is_of_cells(&self) -> bool {
        self.of_cells
    }

    /// Nodes that reading already found fault with, in the order of the text.
    pub fn reported(&self) -> &[NodeId] {
        &self.reported
    }

    /// Bytes of memory that text and tree take.
    pub fn memory(&self) -> usize {
        self.text.capacity() + self.tree.get().map_or(0, Tree::memory)
    }
}

/// The text in double quotes, as YAML wants it.
pub fn double_quoted(text: &str) -> String {
    syntax::double_quoted(text)
}

/// True if a text can stand bare, in brackets too, and means itself to every YAML reader.
pub fn is_plain_text(text: &str) -> bool {
    const LEADING: &[char] = &[
        '-', '?', ':', '#', '&', '*', '!', '|', '>', '\'', '"', '%', '@', '`', ' ', '=', '<',
    ];
    !text.is_empty()
        && !text.starts_with(LEADING)
        && !text.ends_with([' ', ':'])
        && !text.contains([',', '[', ']', '{', '}'])
        && !text.contains(char::is_control)
        && !text.contains(": ")
        && !text.contains(" #")
        && traps::plain(text, &[]) == (Class::Text, None)
}

/// The next line after the place that begins in the first column with `name:`.
fn next_field(text: &str, after: usize) -> Option<usize> {
    let mut from = after;
    loop {
        let newline = text.get(from..)?.find('\n')?;
        from += newline + 1;
        let rest = text.get(from..)?;
        let name = rest
            .bytes()
            .take_while(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'))
            .count();
        let begins = rest.as_bytes().first().is_some_and(u8::is_ascii_alphabetic);
        let after = rest.as_bytes().get(name..)?;
        if begins && matches!(after, [b':', b' ' | b'\n' | b'\r', ..] | [b':']) {
            return Some(from);
        }
    }
}

/// The text of a scalar that is a slice of the document.
fn slice_text<'a>(text: &'a str, tree: &Tree, id: NodeId) -> &'a str {
    let range = tree.range(id);
    let range = match tree.kind(id) {
        NodeKind::Scalar(Style::Single | Style::Double) => {
            range.start + 1..range.end.saturating_sub(1).max(range.start + 1)
        }
        _ => range,
    };
    text.get(range).unwrap_or_default()
}

#[cfg(test)]
mod tests;
