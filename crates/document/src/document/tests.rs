use proptest::prelude::*;

use super::*;
use crate::place::{EntryPart, Path};

const OPTIONS: ReadOptions = ReadOptions {
    units: &["mol", "°"],
    ..ReadOptions::DEFAULT
};

fn read(text: &str) -> (Document, Vec<Finding>) {
    Document::read(FileId(0), "t", text.as_bytes(), &OPTIONS)
}

/// Each finding as `rule line:column text-at-the-caret`.
fn rules_of(bytes: &[u8]) -> Vec<String> {
    let (document, findings) = Document::read(FileId(0), "t", bytes, &OPTIONS);
    let lines = findings.iter().map(|finding| {
        let range = document.locate(finding.place());
        let at = document.line_column(range.start);
        format!(
            "{} {}:{} {}",
            finding.rule(),
            at.line,
            at.column,
            &document.text()[range]
        )
    });
    lines.collect()
}

#[test]
fn broken_files_are_told_where_and_why() {
    let cases: &[(&str, &[&str])] = &[
        ("", &["empty-document 1:1 "]),
        ("# only a remark\n", &["empty-document 1:1 "]),
        ("a:\n\tb: 1\n", &["tab-indentation 2:1 \t"]),
        ("a: 1\n\tb: 2\n", &["tab-indentation 2:1 \t"]),
        ("a:1\nb: 2\n", &["yaml-syntax 1:2 :"]),
        ("b: 2\na:1\n", &["yaml-syntax 2:2 :"]),
        ("a: x: y\n", &["yaml-syntax 1:5 :"]),
        ("a: \"xyz\nb: 2\n", &["yaml-syntax 1:4 \""]),
        ("a: 'xyz\nb: 2\n", &["yaml-syntax 1:4 '"]),
        ("a: [1, 2\nb: 3\n", &["yaml-syntax 1:4 ["]),
        ("a: {b: 1\nc: 3\n", &["yaml-syntax 1:4 {"]),
        ("a: {b: 1", &["yaml-syntax 1:4 {"]),
        ("a: 1\n  b: 2\n", &["yaml-syntax 2:3 b: 2"]),
        ("a:\n  b: 1\n c: 2\n", &["yaml-syntax 3:2 c: 2"]),
        ("a: [1, 2}\n", &["yaml-syntax 1:4 ["]),
        ("a: @x\n", &["yaml-syntax 1:4 @"]),
        ("a: % 5\n", &["yaml-syntax 1:4 %"]),
        ("a: \"x\" y\n", &["yaml-syntax 1:8 y"]),
        ("a: \"\\q\"\n", &["yaml-syntax 1:4 \""]),
        ("a\n", &[]),
        ("a: {b: 1 c: 2}\n", &["yaml-syntax 1:11 :"]),
        ("a: b\n- c\n", &["yaml-syntax 2:1 - c"]),
        ("a: - b\n", &["yaml-syntax 1:4 -"]),
        (
            "a: *x\nb: &y 1\n",
            &["yaml-anchor 1:4 *x", "yaml-anchor 2:4 &y"],
        ),
        (
            "a: !!str 5\nb: !t {c: 1}\n",
            &["yaml-tag 1:4 !!str", "yaml-tag 2:4 !t"],
        ),
        ("a: 1\n---\nb: 2\n", &["several-documents 2:1 ---"]),
        ("? [a]\n: 1\n", &["yaml-syntax 1:3 [a]"]),
        ("a: 1\na: 2\n", &["duplicate-key 2:1 a"]),
        (
            "\u{feff}a: NO\n",
            &["byte-order-mark 1:1 \u{feff}", "yaml-1-1-word 1:4 NO"],
        ),
        ("a: b\r\nc: On\r\n", &["yaml-1-1-word 2:4 On"]),
        (
            "y: 1\nno: {off: Yes}\n",
            &[
                "yaml-1-1-word 1:1 y",
                "yaml-1-1-word 2:1 no",
                "yaml-1-1-word 2:6 off",
                "yaml-1-1-word 2:11 Yes",
            ],
        ),
        ("a: 'NO'\nb: \"y\"\n", &[]),
        (
            "a: 0,5 mol\nb: [0,5, 1]\nc: {from: 0,5, to: 3}\n",
            &[
                "decimal-comma 1:4 0,5 mol",
                "decimal-comma 2:5 0,5",
                "decimal-comma 3:11 0,5",
            ],
        ),
        (
            "a: [1,2,3]\nb: [[1,2], [3,4]]\nc: 1,3-butadiene\nd: [a,b, c]\n",
            &[],
        ),
        ("a: [0,5]\n", &["decimal-comma 1:5 0,5"]),
        (
            "a: Hall #3\nb: Hall # by the door\nc: [Hall #3\n  , x]\nd: 5 #first\ne: \"Hall\" #3\n#f: Hall #3\n",
            &[
                "text-cut-short 1:4 Hall #3",
                "text-cut-short 3:5 Hall #3",
                "text-cut-short 5:4 5 #first",
            ],
        ),
        // The bracket is closed in the comment, and so is that of the next line; they are not said to be open.
        (
            "a:\n  - {b: Hall #3, c: x}\n  - {b: Hall #4, c: y #2}\nd: Hall\n",
            &[
                "text-cut-short 2:9 Hall #3",
                "text-cut-short 3:9 Hall #4",
                "text-cut-short 3:21 y #2",
            ],
        ),
        (
            "a: {b: Hall #3, c: x}\nd: Hall #4\n",
            &["text-cut-short 1:8 Hall #3", "text-cut-short 2:4 Hall #4"],
        ),
        ("a: {b: 1 # {c: 2}\nd: 3\n", &["yaml-syntax 1:4 {"]),
        ("µ°: barоmeter\n", &["look-alike-character 1:8 о"]),
        ("a: −5 °C\n", &["look-alike-character 1:4 −"]),
        (
            "a: \"5\u{200b} mol\"\n",
            &["control-character 1:6 \u{200b}"],
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(rules_of(text.as_bytes()), *expected, "{text:?}");
    }
}

#[test]
fn what_follows_a_slip_is_still_read() {
    let (document, findings) = read("a: \"open\nb: 2\nc: [1\nd: {e: 3}\nf:\n\tg: 1\nh: 0,5\n");
    let rules: Vec<_> = findings.iter().map(Finding::rule).collect();
    assert_eq!(
        rules,
        [
            "yaml-syntax",
            "yaml-syntax",
            "tab-indentation",
            "decimal-comma"
        ]
    );
    let root = document.root().unwrap();
    let keys: Vec<_> = root.entries().filter_map(|(key, _)| key.text()).collect();
    assert_eq!(keys, ["b", "c", "d", "h"]);
    assert_eq!(root.get("d").unwrap().get("e").unwrap().number(), Some(3.0));
    assert!(root.is_incomplete() || document.is_broken());
}

#[test]
fn limits_are_findings() {
    let limits = ReadOptions {
        bytes: 60,
        depth: 4,
        nodes: 12,
        syntax_errors: 2,
        units: &[],
        nothing: None,
    };
    let cases = [
        ("a: ".to_owned() + &"x".repeat(60), "document-too-large"),
        ("a: [[[[1]]]]".to_owned(), "too-deep"),
        (
            "a: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]".to_owned(),
            "too-many-nodes",
        ),
    ];
    for (text, rule) in cases {
        let (document, findings) = Document::read(FileId(0), "t", text.as_bytes(), &limits);
        assert_eq!(
            findings.iter().map(Finding::rule).collect::<Vec<_>>(),
            [rule]
        );
        assert!(document.is_broken());
    }
    let deep = "[".repeat(100_000);
    assert_eq!(rules_of(deep.as_bytes()).len(), 1);
    let bomb = "a: &a [x]\nb: &b [*a, *a, *a]\nc: [*b, *b, *b]\n";
    assert_eq!(read(bomb).0.node_count(), 14);
}

#[test]
fn places_lead_to_bytes_and_back() {
    let text = "a: [1, {b: 'two µ'}]\r\n\"c d\":\r\n  - |\r\n   text\r\n";
    let (document, findings) = read(text);
    assert!(findings.is_empty(), "{findings:?}");
    assert_eq!(
        &text[document.root().unwrap().get("a").unwrap().range()],
        "[1, {b: 'two µ'}]"
    );
    assert_eq!(read("a: [1]").0.root().unwrap().range(), 0..6);
    let at = |place: &Place| &document.text()[document.locate(place)];
    let b = Path::root().key("a").index(1).key("b");
    assert_eq!(at(&Place::value(FileId(0), b.clone())), "'two µ'");
    assert_eq!(at(&Place::key(FileId(0), b.clone())), "b");
    assert_eq!(at(&Place::entry(FileId(0), b.clone())), "b: 'two µ'");
    assert_eq!(at(&Place::within(FileId(0), b.clone(), 4..6)), "µ");
    assert_eq!(at(&Place::value(FileId(0), b.clone().key("x"))), "b");
    assert_eq!(
        at(&Place::key(FileId(0), Path::root().key("c d"))),
        "\"c d\""
    );
    assert_eq!(at(&Place::file(FileId(0))), "a: [1, {b: 'two µ'}]");
    let start = text.find("µ").unwrap();
    assert_eq!(
        document.line_column(start),
        LineColumn {
            line: 1,
            column: 17
        }
    );
    assert_eq!(
        document.line_column(start + 3),
        LineColumn {
            line: 1,
            column: 19
        }
    );
    assert_eq!(
        document.line_column(text.find("- |").unwrap()),
        LineColumn { line: 3, column: 3 }
    );
    for row in 0..document.node_count() {
        let id = NodeId(u32::try_from(row).unwrap());
        let (path, part) = document.path_of(id);
        let found = document.find(&path).unwrap();
        match part {
            EntryPart::Key => assert!(found.id() > id),
            _ => assert_eq!(found.id(), id),
        }
    }
}

#[test]
fn numbers_mean_what_they_say() {
    let cases = [
        ("5", 5.0),
        ("+5", 5.0),
        ("05", 5.0),
        ("-0", 0.0),
        ("0x1F", 31.0),
        ("0o17", 15.0),
        ("1e3", 1000.0),
        (".5", 0.5),
        ("5.", 5.0),
        ("-1.5E-2", -0.015),
        ("99999999999999999999", 1e20),
    ];
    for (text, number) in cases {
        let (document, _) = read(&format!("a: {text}"));
        let node = document.root().unwrap().get("a").unwrap();
        assert_eq!(node.number(), Some(number), "{text}");
        assert_eq!(node.text(), Some(text));
    }
    let (document, _) = read("a: '5'\nb: 5 mol\nc: 0,5\nd:\n");
    for key in ["a", "b", "c", "d"] {
        assert_eq!(
            document.root().unwrap().get(key).unwrap().number(),
            None,
            "{key}"
        );
    }
}

/// The same value as another reader gives, by YAML 1.2 core schema.
fn same(node: Node<'_>, other: &serde_yaml::Value) -> bool {
    use serde_yaml::Value;
    match other {
        Value::Null => node.is_null(),
        Value::Bool(truth) => node.boolean() == Some(*truth),
        Value::Number(number) => match node.number() {
            Some(ours) => number.as_f64() == Some(ours),
            None => false,
        },
        Value::String(text) => node.class() == Class::Text && node.text() == Some(text),
        Value::Sequence(items) => {
            node.is_list()
                && node.len() == items.len()
                && node
                    .items()
                    .zip(items)
                    .all(|(node, other)| same(node, other))
        }
        Value::Mapping(fields) => {
            node.is_mapping()
                && node.len() == fields.len()
                && node
                    .entries()
                    .zip(fields)
                    .all(|((key, value), (other_key, other))| {
                        other_key.as_str() == key.text() && same(value, other)
                    })
        }
        Value::Tagged(_) => false,
    }
}

#[test]
fn the_tree_holds_what_another_reader_reads() {
    let cases = [
        "a: 1\nb: [x, 2.5, true, null, ~, '5', \"q\\n\\u00b5\"]\nc:\n  d:\n  - e: f\n    g: h\n  - - 1\n    - 2\n",
        "text: |\n  one\n  two\n\nfolded: >-\n  three\n  four\n\n  five\nplain: a b\n  c d\n",
        "a: {b: , c: {}, d: []}\n'e f': \"g\n  h\"\nit''s: 'it''s'\n",
        "# remark\n- a\n-\n- b: c # remark\n  d: e#f\n- - x\n",
        "a: 20 °C\nb: 10 % RH\nc: 2026-02-11\nd: http://x.y/z\ne: -x\nf: [a b, c: d]\n",
        "{a: [1,2], b: {c: d}}",
        "a: NO\nb: off\n",
    ];
    for text in cases {
        let (document, _) = read(text);
        let other: serde_yaml::Value = serde_yaml::from_str(text).unwrap();
        assert!(same(document.root().unwrap(), &other), "{text}\n{other:?}");
    }
}

/// Text that looks like YAML, and goes wrong in the ways that YAML does.
fn yamlish() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "a: ", "b:", "c d: ", "- ", "\n", "\n  ", "\n    ", "\r\n", "\t", "[", "]", "{", "}", ", ",
        ",", ": ", "\"", "'", "# x", "|\n", ">-\n", "|\n  x", ">\n  ", "x", "1", "0,5", "NO",
        "1:30", "°", "\u{feff}", "µ", "&a ", "*a", "!t ", "---\n", "...\n", "? ", "%", "@", "\\",
        "\u{0}", "хx", "\u{85}", "~",
    ]);
    prop::collection::vec(piece, 0..40).prop_map(|pieces| pieces.concat())
}

/// Lines as a file has them, put together at random: more often right than what is above.
fn lines() -> impl Strategy<Value = String> {
    let indent = prop::sample::select(vec!["", "", "  ", "  ", "    "]);
    let begin = prop::sample::select(vec![
        "a: ", "b:", "c d: ", "'e': ", "- ", "- - ", "- f: ", "",
    ]);
    let value = prop::sample::select(vec![
        "",
        "1",
        "20 °C",
        "two words",
        "'q'",
        "\"q # \"",
        "[1, 2]",
        "{g: 1, h: [x, {i: }]}",
        "|",
        ">-",
        "|-",
        ">",
        "x:y",
        "a#b",
        "-5",
        "(z",
        "[]",
        "[1,\n   2]",
        "~",
        "it's",
        "[a b , c]",
        "{j}",
    ]);
    let end = prop::sample::select(vec![
        "\n", "\n", "\n", "\r\n", " # x\n", "\n\n", " \n", "\n# y\n",
    ]);
    let line = (indent, begin, value, end).prop_map(|(a, b, c, d)| [a, b, c, d].concat());
    prop::collection::vec(line, 0..8).prop_map(|lines| lines.concat())
}

/// Everything about a tree, as the one source or the other gives it.
fn rows(text: &str, fast: bool) -> Option<Vec<String>> {
    let mut builder = Builder::new(text, &OPTIONS);
    if fast {
        fast_path::feed(text, 0, &mut builder).ok()?;
    } else {
        granit::feed(text, 0, &mut builder).ok()?;
    }
    builder.finish();
    let tree = &builder.tree;
    let mut rows: Vec<String> = (0..tree.len())
        .map(|row| {
            let id = NodeId(u32::try_from(row).unwrap());
            let text = tree
                .own_text(id)
                .unwrap_or_else(|| slice_text(text, tree, id));
            format!(
                "{:?} {:?} {:?} {:?} {} {:?}",
                tree.kind(id),
                tree.class(id),
                tree.range(id),
                tree.after(id),
                tree.count(id),
                matches!(tree.kind(id), NodeKind::Scalar(_)).then_some(text)
            )
        })
        .collect();
    rows.push(format!("{:?}", builder.odd));
    Some(rows)
}

/// Whatever the fast path accepts, the general one reads the same.
fn sources_agree(text: &str) -> Result<bool, TestCaseError> {
    // Decoding has removed control characters before either source sees the text.
    let (text, base) = decode::decode(FileId(0), text.as_bytes(), &mut Vec::new());
    let text = &text[base..];
    let Some(fast) = rows(text, true) else {
        return Ok(false);
    };
    let general = rows(text, false);
    prop_assert_eq!(Some(fast), general, "{:?}", text);
    Ok(true)
}

/// The general reader ends a file at what is no character of YAML, so that the fast one must not go past it in silence.
#[test]
fn characters_that_are_none_are_read_alike_in_comments() {
    for c in [
        '\u{80}', '\u{8d}', '\u{9f}', '\u{7f}', '\u{fffe}', '\u{ffff}', '\u{1}',
    ] {
        for text in [
            format!("#{c}"),
            format!("a: 1 # x{c} y\nb: 2\n"),
            format!("# {c}\na: [1, # {c}\n 2]\n"),
        ] {
            sources_agree(&text).unwrap();
            let (_, found) = read(&text);
            assert!(!found.is_empty(), "{text:?}");
        }
    }
    for text in ["# 5 µg/m³, § 3, 20 °C\ta: b\n", "# ￼ �\na: 1\n"] {
        assert!(sources_agree(text).unwrap(), "{text:?}");
    }
}

#[test]
fn usual_files_take_the_fast_path() {
    let cases = [
        "a: 1\nb: [x, 2.5, {c: d, e}]\nf:\n  g:\n  - h: i\n    j: k\n  - - 1\n    - 2\nl:\n",
        "# remark\na: \"b c\" # remark\r\n\r\nd: 'e'\r\n",
        "- {a: 1, b: [1, 2],\n   c: 20 °C} # remark\n-\n- x\n",
        "a: http://x.y\nb: -5 °C\nc: 5 µg/m³\nd: {e: , f}\n",
        "a: >-\n  one two\n  three # four\n\n\n  five\n\nb:\n- |\n    six\n      seven\n\n    eight\n- >\n  x",
        "a: one two\n  three\n  four\nb:\n- five\n  six\n- seven: eight\n   nine\n",
        "{a: 1}",
        "text",
        "",
        "a:\n  # remark\n  b: 1\n# remark\nc: 2",
    ];
    for text in cases {
        assert!(sources_agree(text).unwrap(), "{text}");
    }
}

fn sound(bytes: &[u8]) -> Result<(), TestCaseError> {
    let (document, findings) = Document::read(FileId(0), "t", bytes, &OPTIONS);
    for finding in &findings {
        let related = finding.related_places().iter().map(|(place, _)| place);
        let edits = finding.edits().iter().map(|edit| &edit.place);
        for place in related.chain(edits).chain([finding.place()]) {
            let range = document.locate(place);
            prop_assert!(document.text().get(range.clone()).is_some());
            let at = document.line_column(range.start);
            prop_assert!(at.line >= 1 && at.column >= 1);
        }
        prop_assert!(!finding.message_text().is_empty());
    }
    for row in 0..document.node_count() {
        let node = document.node(NodeId(u32::try_from(row).unwrap())).unwrap();
        prop_assert!(
            document.text().get(node.range()).is_some(),
            "{:?}",
            node.range()
        );
        let _ = (document.path_of(node.id()), node.number(), node.text());
        let children: usize = document.tree().children(node.id()).count();
        let expected = if node.is_mapping() {
            node.len() * 2
        } else {
            node.len()
        };
        prop_assert_eq!(children, expected);
        for child in document.tree().children(node.id()) {
            let child = document.tree().range(child);
            prop_assert!(node.range().start <= child.start && child.end <= node.range().end);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn any_bytes_are_read_without_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        sound(&bytes)?;
    }

    #[test]
    fn any_text_like_yaml_is_read_without_a_panic(text in yamlish()) {
        sound(text.as_bytes())?;
        sources_agree(&text)?;
    }

    #[test]
    fn any_lines_are_read_alike_by_both_sources(text in lines()) {
        sound(text.as_bytes())?;
        sources_agree(&text)?;
    }

    #[test]
    fn what_serde_writes_is_read_as_the_same(value in tree_of_values()) {
        let text = serde_yaml::to_string(&value).unwrap();
        let (document, _) = read(&text);
        sources_agree(&text)?;
        // The other reader decides which texts it quotes; both have to read them alike.
        let other: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
        prop_assert!(same(document.root().unwrap(), &other), "{}", text);
    }
}

fn tree_of_values() -> impl Strategy<Value = serde_json::Value> {
    use serde_json::Value;
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i32>().prop_map(Value::from),
        (-1e6..1e6_f64).prop_map(Value::from),
        "[a-zA-Z0-9 °µ%:,#'\"\\[\\]{}&*!|>_.\n-]{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 40, 6, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::vec(("[a-z ]{1,8}", inner), 0..6)
                .prop_map(|fields| Value::Object(fields.into_iter().collect())),
        ]
    })
}
