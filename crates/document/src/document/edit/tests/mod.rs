//! Edits of small texts by example, and of generated ones by law.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use proptest::prelude::*;

use super::{Beside, EditRefusal, NewValue, applied, insert, insert_beside, remove, rename, set};
use crate::document::tree::NodeKind;
use crate::document::{Cells, Document, Node, NodeId, ReadOptions};
use crate::place::{FileId, Path, PathStep};

mod laws;
mod tidied;

use laws::{Draw, Trial};

fn read(text: &str) -> Document {
    Document::read(FileId(0), "text", text.as_bytes(), &ReadOptions::DEFAULT).0
}

fn path(pointer: &str) -> Path {
    Path::from_pointer(pointer)
}

fn text(text: &str) -> NewValue {
    NewValue::text(text)
}

fn bare(text: &str) -> NewValue {
    NewValue::Bare(text.to_owned())
}

fn fields(fields: &[(&str, NewValue)]) -> NewValue {
    let own = |(key, value): &(&str, NewValue)| ((*key).to_owned(), value.clone());
    NewValue::Mapping(fields.iter().map(own).collect())
}

#[track_caller]
fn made(before: &str, edits: impl Fn(&Document) -> super::Edits, after: &str) {
    let document = read(before);
    match edits(&document) {
        Ok(edits) => assert_eq!(applied(&document, &edits), after, "{before:?}"),
        Err(refusal) => panic!("{before:?}: {refusal}"),
    }
}

#[test]
fn a_value_keeps_its_quotes_and_the_comment_behind_it() {
    let cases = [
        ("a: red  # c\n", "/a", text("blue"), "a: blue  # c\n"),
        ("a: 'red'\n", "/a", text("it's"), "a: 'it''s'\n"),
        (
            "a: \"red\"\r\nb: 1",
            "/a",
            text("blue"),
            "a: \"blue\"\r\nb: 1",
        ),
        ("a: red\n", "/a", text("NO"), "a: \"NO\"\n"),
        ("a: 'x y'\nb: red\n", "/b", text("5"), "a: 'x y'\nb: '5'\n"),
        ("a: red\n", "/a", text("x\u{85}y"), "a: \"x\\u0085y\"\n"),
        ("a: 1\n", "/a", bare("0.50"), "a: 0.50\n"),
        ("a:   # c\nb: 1\n", "/a", text("x"), "a: x   # c\nb: 1\n"),
        ("{a, b: }\n", "/a", text("x"), "{a: x, b: }\n"),
        ("- 1\n-\n", "/1", text("x"), "- 1\n- x\n"),
        (
            "a: |\n  one\n  two\nb: 1\n",
            "/a",
            text("x"),
            "a: x\nb: 1\n",
        ),
        ("a:\n  - 1\n  - 2\nb: 1\n", "/a", bare("5"), "a: 5\nb: 1\n"),
        ("a:  # c\n  b: 1\n", "/a", text("x"), "a: x  # c\n"),
    ];
    for (before, at, value, after) in cases {
        made(before, |document| set(document, &path(at), &value), after);
    }
}

#[test]
fn lists_and_mappings_are_set_in_the_layout_of_the_old_ones() {
    let list = NewValue::List(vec![bare("3"), bare("4")]);
    let row = fields(&[("x", bare("1")), ("z", bare("2"))]);
    let rows = NewValue::List(vec![row.clone(), row]);
    let cases = [
        ("a:\n- 1\nb: 1\n", "/a", &list, "a:\n- 3\n- 4\nb: 1\n"),
        ("a: [ 1 ]\n", "/a", &list, "a: [ 3, 4 ]\n"),
        (
            "a: {\"x\":1,\"z\":2}\n",
            "/a",
            &fields(&[("x", text("u"))]),
            "a: {\"x\":u}\n",
        ),
        ("a: 5  # c\nb: 1\n", "/a", &list, "a: [3, 4]  # c\nb: 1\n"),
        (
            "a:\nb: 1\n",
            "/a",
            &rows,
            "a:\n  - {x: 1, z: 2}\n  - {x: 1, z: 2}\nb: 1\n",
        ),
    ];
    for (before, at, value, after) in cases {
        made(before, |document| set(document, &path(at), value), after);
    }
}

#[test]
fn a_further_entry_is_like_its_neighbour() {
    let row = fields(&[("x", bare("9")), ("of", text("tea"))]);
    let cases: &[(&str, &str, &NewValue, &str)] = &[
        // Dashes under the key, and further in.
        (
            "a:\n- 1\n- 2\nb: 1\n",
            "/a/1",
            &bare("9"),
            "a:\n- 1\n- 9\n- 2\nb: 1\n",
        ),
        (
            "a:\n    - 1  # c\nb: 1\n",
            "/a/1",
            &bare("9"),
            "a:\n    - 1  # c\n    - 9\nb: 1\n",
        ),
        (
            "a:\n    # c\n    - 1\n",
            "/a/0",
            &bare("9"),
            "a:\n    - 9\n    # c\n    - 1\n",
        ),
        // No line break at the end.
        ("a: 1\nb: 2", "/c", &bare("9"), "a: 1\nb: 2\nc: 9"),
        (
            "a: 1\r\nb: 2\r\n",
            "/c",
            &bare("9"),
            "a: 1\r\nb: 2\r\nc: 9\r\n",
        ),
        // Rows in brackets, with the quotes of the neighbour, and on lines.
        (
            "- {x: 1, of: 'mate'}\n- {x: 2, of: 'mate'}\n",
            "/1",
            &row,
            "- {x: 1, of: 'mate'}\n- {x: 9, of: 'tea'}\n- {x: 2, of: 'mate'}\n",
        ),
        (
            "- x: 1\n  of: mate\n",
            "/1",
            &row,
            "- x: 1\n  of: mate\n- x: 9\n  of: tea\n",
        ),
        (
            "- x: 1\n  of: mate\n",
            "/0",
            &row,
            "- x: 9\n  of: tea\n- x: 1\n  of: mate\n",
        ),
        (
            "{ \"x\": 1 }\n",
            "/z",
            &text("z"),
            "{ \"x\": 1, \"z\": \"z\" }\n",
        ),
        (
            "{\"x\":\"1\"}\n",
            "/z",
            &text("z"),
            "{\"x\":\"1\",\"z\":\"z\"}\n",
        ),
        ("a: [1,2]\n", "/a/2", &bare("3"), "a: [1,2,3]\n"),
        ("a: []  # c\n", "/a/0", &bare("3"), "a: [3]  # c\n"),
        ("a: {}\n", "/a/b", &bare("3"), "a: {b: 3}\n"),
        (
            "a: [\n  1, # one\n  2  # two\n]\n",
            "/a/1",
            &bare("9"),
            "a: [\n  1, # one\n  9,\n  2  # two\n]\n",
        ),
        (
            "a: [\n  1, # one\n  2  # two\n]\n",
            "/a/2",
            &bare("9"),
            "a: [\n  1, # one\n  2,  # two\n  9\n]\n",
        ),
        ("7: x\n8: y\n", "/9", &text("z"), "7: x\n8: y\n9: z\n"),
        // A mapping under a key is as far in as another.
        (
            "a:\n    b: 1\n",
            "/c",
            &fields(&[("d", bare("1"))]),
            "a:\n    b: 1\nc:\n    d: 1\n",
        ),
    ];
    for (before, at, value, after) in cases {
        made(before, |document| insert(document, &path(at), value), after);
    }
    let beside = |before: &str, side: Beside<'_>, after: &str| {
        let edits = |document: &Document| insert_beside(document, &path("/m"), &bare("9"), side);
        made(before, edits, after);
    };
    beside(
        "# head\na: 1\nb: 2\n",
        Beside::Before("a"),
        "# head\nm: 9\na: 1\nb: 2\n",
    );
    beside(
        "a: 1\n# of b\nb: 2\n",
        Beside::Before("b"),
        "a: 1\nm: 9\n# of b\nb: 2\n",
    );
    beside(
        "\u{feff}a:\n  - 1\n  # more\nb: 2\n",
        Beside::After("a"),
        "\u{feff}a:\n  - 1\n  # more\nm: 9\nb: 2\n",
    );
}

#[test]
fn an_entry_goes_with_its_lines() {
    let cases = [
        ("a: 1\nb: 2  # c\nc: 3\n", "/b", "a: 1\nc: 3\n"),
        ("a: 1\n# of b\nb: 2\n", "/b", "a: 1\n# of b\n"),
        ("\u{feff}a: 1\r\nb: 2", "/a", "\u{feff}b: 2"),
        ("a:\n  b: 1\nc: 2\n", "/a/b", "a: {}\nc: 2\n"),
        ("a: # c\n- 1\n", "/a/0", "a: [] # c\n"),
        ("a: 1\n", "/a", "{}\n"),
        (
            "- a: 1\n  # of b\n  b: 2\n- 3\n",
            "/0/a",
            "- # of b\n  b: 2\n- 3\n",
        ),
        ("- - 1\n  - 2\n", "/0/0", "- - 2\n"),
        ("- a: 1\n", "/0/a", "- {}\n"),
        ("a: [1, 2, 3]\n", "/a/1", "a: [1, 3]\n"),
        ("a: [1, 2, 3,]\n", "/a/2", "a: [1, 2,]\n"),
        ("a: { x: 1 }\n", "/a/x", "a: {}\n"),
        (
            "a: [\n  1, # one\n  2  # two\n]\n",
            "/a/1",
            "a: [\n  1 # one\n]\n",
        ),
        (
            "a: [\n  1, # one\n  2  # two\n]\n",
            "/a/0",
            "a: [\n  2  # two\n]\n",
        ),
        ("a: |+\n  x\n\n\nb: 1\n", "/a", "b: 1\n"),
    ];
    for (before, at, after) in cases {
        made(before, |document| remove(document, &path(at)), after);
    }
}

#[test]
fn a_key_keeps_its_quotes() {
    let cases = [
        ("a: 1  # c\n", "b", "b: 1  # c\n"),
        ("'a': 1\n", "b", "'b': 1\n"),
        ("{\"a\":1}\n", "b", "{\"b\":1}\n"),
        ("a: 1\n", "on", "\"on\": 1\n"),
        ("a: 1\n", "x: y", "\"x: y\": 1\n"),
    ];
    for (before, name, after) in cases {
        made(
            before,
            |document| rename(document, &path("/a"), name),
            after,
        );
    }
}

#[test]
fn what_cannot_be_told_is_refused_and_why() {
    use EditRefusal::{
        Absent, Comments, NoHolder, NotBare, OtherMeaning, Present, Repeated, Table, Unread,
        Unusual,
    };
    let one = bare("1");
    let refused = |text: &str, edits: &dyn Fn(&Document) -> super::Edits, why: EditRefusal| {
        assert_eq!(edits(&read(text)), Err(why), "{text:?}");
    };
    let a = || path("/a");
    refused("b: 1\n", &|d| set(d, &a(), &one), Absent(a()));
    refused(
        "b: 1\n",
        &|d| remove(d, &path("/b/c")),
        Absent(path("/b/c")),
    );
    refused("", &|d| insert(d, &a(), &one), Absent(Path::root()));
    refused(
        "a: [1]\n",
        &|d| insert(d, &path("/a/2"), &one),
        Absent(path("/a/2")),
    );
    refused("a: 1\n", &|d| insert(d, &a(), &one), Present(a()));
    refused(
        "a: 1\nb: 2\n",
        &|d| rename(d, &a(), "b"),
        Present(Path::root().key("b")),
    );
    refused("a: 1\n", &|d| insert(d, &path("/a/b"), &one), NoHolder(a()));
    refused(
        "a: 1\n",
        &|d| remove(d, &Path::root()),
        NoHolder(Path::root()),
    );
    refused("a: 1\na: 2\n", &|d| set(d, &a(), &one), Repeated(a()));
    refused("a: !t 1\n", &|d| set(d, &a(), &bare("2")), Unusual(a()));
    refused("a: &x 1\n", &|d| remove(d, &a()), Unusual(a()));
    refused("? a\n: 1\n", &|d| rename(d, &a(), "b"), Unusual(a()));
    refused(
        "a:\n  - 1 # c\n  - 2\n",
        &|d| set(d, &a(), &one),
        Comments(a()),
    );
    refused("a: [ # c\n 1]\n", &|d| set(d, &a(), &one), Comments(a()));
    refused("a: 1\n", &|d| set(d, &a(), &bare("x")), NotBare("x".into()));
    // Without what parts them, the remark would go on with the text.
    refused(
        "a: |\n  x\nb:\n  c: 1\n  # d\n",
        &|d| remove(d, &path("/b")),
        OtherMeaning(path("/b")),
    );
    // What could not be read: inside, and at the end, where the rest may hold what seems absent.
    let broken = "a: 1\nb: [1, 2\nc: 3\n";
    refused(
        broken,
        &|d| set(d, &path("/b/0"), &one),
        Unread(path("/b/0")),
    );
    refused(
        broken,
        &|d| insert(d, &path("/d"), &one),
        Unread(path("/d")),
    );
    refused(broken, &|d| set(d, &path("/d"), &one), Unread(path("/d")));
    refused(broken, &|d| remove(d, &a()), Unread(a()));
    made(
        broken,
        |d| set(d, &a(), &bare("2")),
        "a: 2\nb: [1, 2\nc: 3\n",
    );
    let cells = Cells::Fields(vec![("a", Cells::Text("1".into(), 2..3))], 0..4);
    let table = Document::of_table(FileId(0), "t.csv", "a\n1\n".into(), &cells);
    assert_eq!(set(&table, &a(), &one), Err(Table));
    assert_eq!(set(&table.with_tree(), &a(), &one), Err(Table));
    let sentence = Unread(path("/a/b")).to_string();
    assert_eq!(
        sentence,
        "`/a/b` lies in a part of the file that could not be read; mend that first"
    );
}

/// A text drawn at random in all the layouts that people use.
struct Written {
    text: String,
    line_break: &'static str,
    names: usize,
    /// Blocks after `|`, whose lines may take in what follows.
    blocks: bool,
}

impl Written {
    fn draw(draw: &mut Draw) -> Self {
        let mut written = Self {
            text: String::new(),
            line_break: draw.pick(&["\n", "\n", "\r\n"]),
            names: 0,
            blocks: draw.one_in(3),
        };
        if draw.one_in(5) {
            written.text.push('\u{feff}');
        }
        if draw.one_in(3) {
            written.comment_line(draw, 0);
        }
        match draw.below(8) {
            0 => written.list(draw, 3, 0),
            1 => {
                written.brackets(draw, 3, 0);
                written.end(draw);
            }
            _ => written.mapping(draw, 3, 0),
        }
        if draw.one_in(3) {
            let length = written.text.trim_end_matches(['\n', '\r']).len();
            written.text.truncate(length);
        }
        written
    }

    fn name(&mut self) -> usize {
        self.names += 1;
        self.names
    }

    fn end(&mut self, draw: &mut Draw) {
        if draw.one_in(4) {
            let name = self.name();
            let blanks = " ".repeat(1 + draw.below(3));
            write!(self.text, "{blanks}# behind {name}").unwrap();
        }
        self.text.push_str(self.line_break);
    }

    fn comment_line(&mut self, draw: &mut Draw, at: usize) {
        if draw.one_in(5) {
            self.text.push_str(self.line_break);
        }
        if draw.one_in(5) {
            let name = self.name();
            let blanks = " ".repeat(at);
            write!(
                self.text,
                "{blanks}# above {name}, it's [so]: 1{}",
                self.line_break
            )
            .unwrap();
        }
    }

    fn scalar(&mut self, draw: &mut Draw) {
        let name = self.name();
        let text = match draw.below(9) {
            0 | 1 => format!("{name}"),
            2 => format!("{name}.50"),
            3 => format!("'it''s {name} #3'"),
            4 => format!("\"say \\\"{name}\\\": x\""),
            5 => format!("\"plain{name}\""),
            6 => "true".to_owned(),
            7 => format!("word {name}"),
            _ => format!("word{name}"),
        };
        self.text.push_str(&text);
    }

    fn key(&mut self, draw: &mut Draw) {
        let name = self.name();
        let key = match draw.below(6) {
            0 => format!("\"key {name}\""),
            1 => format!("'key{name}'"),
            2 => format!("{name}"),
            _ => format!("key{name}"),
        };
        self.text.push_str(&key);
    }

    /// A value after a colon or a dash in this column.
    fn value(&mut self, draw: &mut Draw, depth: usize, at: usize, in_list: bool) {
        match draw.below(12) {
            0 => self.end(draw),
            1 | 2 if 0 < depth => {
                self.text.push(' ');
                self.brackets(draw, depth - 1, at + 1);
                self.end(draw);
            }
            3..=5 if 0 < depth => {
                if in_list && draw.one_in(2) {
                    self.text.push(' ');
                    if draw.one_in(3) {
                        self.list(draw, depth - 1, at + 2);
                    } else {
                        self.mapping(draw, depth - 1, at + 2);
                    }
                    return;
                }
                self.end(draw);
                if draw.one_in(2) {
                    let by = draw.pick(if in_list { &[2, 4] } else { &[0, 2, 4] });
                    self.list_lines(draw, depth - 1, at + by);
                } else {
                    let by = draw.pick(&[1, 2, 4]);
                    self.mapping_lines(draw, depth - 1, at + by);
                }
            }
            6 => {
                let empty = draw.pick(&[" {}", " []", " { }"]);
                self.text.push_str(empty);
                self.end(draw);
            }
            7 if self.blocks => {
                let name = self.name();
                let (lines, blanks) = (self.line_break, " ".repeat(at + 2));
                let sign = draw.pick(&["|", ">", "|-", "|+"]);
                write!(
                    self.text,
                    " {sign}{lines}{blanks}one {name}{lines}{lines}{blanks}two # x{lines}"
                )
                .unwrap();
            }
            _ => {
                self.text.push(' ');
                self.scalar(draw);
                self.end(draw);
            }
        }
    }

    fn mapping(&mut self, draw: &mut Draw, depth: usize, at: usize) {
        self.key(draw);
        self.text.push(':');
        self.value(draw, depth, at, false);
        for _ in 0..draw.below(4) {
            self.comment_line(draw, at);
            self.text.push_str(&" ".repeat(at));
            self.key(draw);
            self.text.push(':');
            self.value(draw, depth, at, false);
        }
    }

    fn mapping_lines(&mut self, draw: &mut Draw, depth: usize, at: usize) {
        self.comment_line(draw, at);
        self.text.push_str(&" ".repeat(at));
        self.mapping(draw, depth, at);
        self.comment_line(draw, at);
    }

    fn list(&mut self, draw: &mut Draw, depth: usize, at: usize) {
        self.text.push('-');
        self.value(draw, depth, at, true);
        for _ in 0..draw.below(4) {
            self.comment_line(draw, at);
            self.text.push_str(&" ".repeat(at));
            self.text.push('-');
            self.value(draw, depth, at, true);
        }
    }

    fn list_lines(&mut self, draw: &mut Draw, depth: usize, at: usize) {
        self.comment_line(draw, at);
        self.text.push_str(&" ".repeat(at));
        self.list(draw, depth, at);
    }

    fn brackets(&mut self, draw: &mut Draw, depth: usize, at: usize) {
        let mapping = draw.one_in(2);
        let on_lines = draw.one_in(3);
        let padded = draw.one_in(3) && !on_lines;
        let count = draw.below(4);
        self.text.push(if mapping { '{' } else { '[' });
        for index in 0..count {
            if on_lines {
                self.end(draw);
                self.text.push_str(&" ".repeat(at + 4));
            } else if padded || 0 < index {
                self.text.push(' ');
            }
            if mapping {
                self.key(draw);
                self.text.push_str(": ");
            }
            if 0 < depth && draw.one_in(4) {
                self.brackets(draw, depth - 1, at + 4);
            } else {
                self.scalar(draw);
            }
            if index + 1 < count || draw.one_in(6) {
                self.text.push(',');
            }
        }
        if on_lines {
            self.end(draw);
            self.text.push_str(&" ".repeat(at + 2));
        } else if padded && 0 < count {
            self.text.push(' ');
        }
        self.text.push(if mapping { '}' } else { ']' });
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn an_edit_says_what_was_asked_for_and_nothing_else(seed: u64) {
        let mut draw = Draw::new(seed);
        let written = Written::draw(&mut draw);
        let (document, _) = Document::read(FileId(0), "t", written.text.as_bytes(), &ReadOptions::DEFAULT);
        prop_assert!(!document.is_broken(), "{}", written.text);
        for _ in 0..5 {
            let trial = laws::trial(written.text.as_bytes(), &mut draw);
            match &trial {
                Trial::Made(_) | Trial::Nothing | Trial::Refused("set", EditRefusal::Comments(_)) => {}
                // A remark below a block would go on with it.
                Trial::Refused("remove" | "set", EditRefusal::OtherMeaning(_)) if written.blocks => {}
                Trial::Refused(..) => prop_assert!(false, "{trial:?}\n{}", written.text),
            }
        }
    }
}

#[test]
fn most_edits_are_made() {
    let mut counts: BTreeMap<(&str, bool), usize> = BTreeMap::new();
    for seed in 0..2000 {
        let mut draw = Draw::new(seed);
        let written = Written::draw(&mut draw);
        match laws::trial(written.text.as_bytes(), &mut draw) {
            Trial::Made(name) => *counts.entry((name, true)).or_default() += 1,
            Trial::Refused(name, _) => *counts.entry((name, false)).or_default() += 1,
            Trial::Nothing => {}
        }
    }
    for name in ["set", "insert", "remove", "rename"] {
        let made = counts[&(name, true)];
        let refused = counts.get(&(name, false)).copied().unwrap_or_default();
        assert!(100 < made && refused * 4 < made, "{name}: {counts:?}");
    }
}
