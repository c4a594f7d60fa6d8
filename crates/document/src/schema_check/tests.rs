use serde_json::json;

use super::*;
use crate::document::ReadOptions;
use crate::place::FileId;

fn schema() -> DocumentSchema {
    DocumentSchema::new(json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "type": "object",
        "required": ["lamp", "draw"],
        "additionalProperties": false,
        "properties": {
            "lamp": {"type": "string", "minLength": 1, "examples": ["copper-lantern-7"]},
            "booklet": {
                "type": "object",
                "additionalProperties": false,
                "properties": {
                    "dark": {"type": "boolean"},
                    "revision": {"type": "string", "examples": ["2"]},
                    "date": {"type": "string", "pattern": "^[0-9]{4}(-[0-9]{2}){0,2}$",
                             "description": "When the booklet was printed. As on its cover.",
                             "examples": ["2024-03"]}
                }
            },
            "draw": {"$ref": "#/$defs/Draw"},
            "correct": {
                "type": "object",
                "additionalProperties": false,
                "properties": {
                    "temperature": {"$ref": "#/$defs/Temperature"},
                    "front": {"$ref": "#/$defs/Front"}
                }
            }
        },
        "$defs": {
            "Draw": {
                "type": "object",
                "required": ["handle", "ranges"],
                "additionalProperties": false,
                "properties": {
                    "handle": {"type": "string", "examples": ["100 mL"],
                               "description": "How long the handle is. Printed on the box."},
                    "ranges": {"type": "array", "minItems": 1, "items": {
                        "type": "object",
                        "required": ["handles", "from"],
                        "additionalProperties": false,
                        "properties": {
                            "handles": {"type": "integer", "minimum": 1, "examples": [3]},
                            "from": {"type": "number"},
                            "uses": {"type": "string", "enum": ["whole scale", "extension"]}
                        }
                    }},
                    "marks": {"type": "array", "items": {"type": "number"}, "uniqueItems": true}
                }
            },
            "Front": {"oneOf": [
                {"type": "string", "const": "sharp", "description": "A clear line."},
                {"type": "string", "enum": ["oblique", "diffuse"]}
            ]},
            "Factors": {
                "type": "object",
                "required": ["method", "rows"],
                "additionalProperties": false,
                "properties": {
                    "method": {"type": "string", "const": "factor table"},
                    "rows": {"type": "array", "items": {"type": "array", "items": {"type": "number"},
                             "minItems": 2, "maxItems": 2}}
                }
            },
            "Temperature": {"oneOf": [
                {"type": "object", "required": ["method"], "additionalProperties": false,
                 "properties": {"method": {"type": "string", "const": "none needed"}}},
                {"$ref": "#/$defs/Factors"}
            ]}
        }
    }))
    .unwrap()
}

/// Each finding as `rule line:column text-at-the-caret | message | help`.
fn check(text: &str) -> Vec<String> {
    let (document, mut findings) =
        Document::read(FileId(0), "t", text.as_bytes(), &ReadOptions::default());
    let mut reported = ReportedNodes::by_reading(&document);
    schema().validate(&document, &mut reported, &mut findings);
    findings
        .iter()
        .map(|finding| {
            let range = document.locate(finding.place());
            let at = document.line_column(range.start);
            format!(
                "{} {}:{} {} | {} | {}",
                finding.rule(),
                at.line,
                at.column,
                &text[range],
                finding.message_text(),
                finding.help_text().unwrap_or("-")
            )
        })
        .collect()
}

const DRAW: &str = "draw: {handle: 100 mL, ranges: [{handles: 1, from: 2}]}\n";

#[test]
fn findings_for_each_kind_of_flaw() {
    let cases: &[(&str, &[&str])] = &[
        ("lamp: a\n", &[]),
        (
            "lam: a\n",
            &["unknown-key 1:1 lam | `lam` is not a field of the file | did you mean `lamp`?"],
        ),
        (
            "lamp: a\nhandle: 5\n",
            &[
                "unknown-key 2:1 handle | `handle` is not a field of the file | `handle` belongs in `draw`",
            ],
        ),
        (
            "lamp: a\nbooklet:\n  lamp: b\n",
            &[
                "unknown-key 3:3 lamp | `lamp` is not a field of `booklet` | `lamp` stands at the top of the file, not indented",
            ],
        ),
        (
            "lamp: a\nbooklet: {colour: red}\n",
            &[
                "unknown-key 2:11 colour | `colour` is not a field of `booklet` | fields that can stand here are `dark`, `revision`, `date`; a remark can be written after `#`",
            ],
        ),
        (
            "booklet: {revision: 2}\n",
            &[
                "missing-key 1:1 booklet: {revision: 2} | `lamp` is missing in the file | write for example `lamp: copper-lantern-7`",
                "wrong-shape 1:21 2 | `revision` is the bare number 2, and has to be text | put it in quotes: `revision: \"2\"`",
            ],
        ),
        (
            "lamp: a\nbooklet: {date: March}\n",
            &[
                "wrong-form 2:17 March | `March` is not what `date` takes | write for example `date: 2024-03`",
            ],
        ),
        (
            "lamp:\nbooklet: [1]\n",
            &[
                "wrong-shape 1:1 lamp | `lamp` is empty, and has to be text | write for example `lamp: copper-lantern-7`",
                "wrong-shape 2:1 booklet | `booklet` is a list, and has to be a group of fields | write its fields below it, two spaces further in: `dark`, `revision`, `date`",
            ],
        ),
        (
            "lamp: a\nbooklet:\n",
            &[
                "wrong-shape 2:1 booklet | `booklet` is empty, and has to be a group of fields | write its fields below it, two spaces further in, or delete the line if there is nothing to say: `dark`, `revision`, `date`",
            ],
        ),
        (
            "lamp: ''\n",
            &["wrong-length 1:7 '' | `lamp` is empty | write for example `lamp: copper-lantern-7`"],
        ),
        (
            "lamp: a\ncorrect: {front: shrap}\n",
            &["not-allowed-value 2:18 shrap | `front` cannot be `shrap` | did you mean `sharp`?"],
        ),
        (
            "lamp: a\ncorrect: {front: round}\n",
            &[
                "not-allowed-value 2:18 round | `front` cannot be `round` | it can be one of `sharp`, `oblique`, `diffuse`",
            ],
        ),
        // Only the alternative that is meant is spoken of.
        (
            "lamp: a\ncorrect: {temperature: {method: factor table, rows: [[0, x]], more: 1}}\n",
            &[
                "wrong-shape 2:58 x | entry 2 of `rows` is the text `x`, and has to be a number | -",
                "unknown-key 2:63 more | `more` is not a field of `temperature` | delete it; a remark can be written after `#`",
            ],
        ),
        (
            "lamp: a\ncorrect: {temperature: {method: factor-tables}}\n",
            &[
                "not-allowed-value 2:33 factor-tables | `method` cannot be `factor-tables` | did you mean `factor table`?",
            ],
        ),
        (
            "lamp: a\ncorrect: {temperature: {ethod: none needed}}\n",
            &[
                "unknown-key 2:25 ethod | `ethod` is not a field of `temperature` | did you mean `method`?",
            ],
        ),
        (
            "lamp: a\ncorrect: {temperature: {rows: []}}\n",
            &[
                "missing-key 2:11 temperature | `method` is missing in `temperature` | write `method: factor table`",
            ],
        ),
        (
            "lamp: a\ncorrect: {temperature: none needed}\n",
            &[
                "wrong-shape 2:24 none needed | `temperature` is the text `none needed`, and has to be a group of fields | name the way in its field: `temperature: {method: none needed}`",
            ],
        ),
        (
            "lamp: a\ncorrect: {temperature: by table}\n",
            &[
                "wrong-shape 2:24 by table | `temperature` is the text `by table`, and has to be a group of fields | write its fields below it, two spaces further in: `method` (one of `none needed`, `factor table`) and what belongs to it",
            ],
        ),
        (
            "lamp: a\ncorrect: {temperature: {method: factor table, rows: [[0 1]]}}\n",
            &[
                "wrong-length 2:54 [0 1] | entry 1 of `rows` has 1 entry, and has to have at least 2 | -",
                "wrong-shape 2:55 0 1 | entry 1 of `rows` is the text `0 1`, and has to be a number | put commas between numbers: `0, 1`",
            ],
        ),
        (
            "lamp: a\nbooklet: {revision: one, two, date: 2024}\n",
            &[
                "unknown-key 2:26 two | `two` is not a field of `booklet` | put the whole text in quotes: \"one, two\"",
                "wrong-shape 2:37 2024 | `date` is the bare number 2024, and has to be text | write for example `date: 2024-03`",
            ],
        ),
        (
            "lamp: a\nbooklet: {dark: NO}\n",
            &[
                "wrong-shape 2:17 NO | `dark` is the text `NO`, and has to be `true` or `false` | write: `dark: false`",
            ],
        ),
        (
            "lamp: a\ncorrect: {temperature: {method: factor table, rows: [[0, 1, 2]]}}\n",
            &[
                "wrong-length 2:54 [0, 1, 2] | entry 1 of `rows` has 3 entries, and has to have at most 2 | -",
            ],
        ),
    ];
    for (text, expected) in cases {
        let found = check(&format!("{text}{DRAW}"));
        assert_eq!(found, *expected, "{text}");
    }
}

#[test]
fn findings_inside_draw() {
    let cases: &[(&str, &[&str])] = &[
        (
            "draw: {handle: 100, ranges: []}",
            &[
                "wrong-shape 2:16 100 | `handle` is the bare number 100 without a unit | write for example `handle: 100 mL`",
                "wrong-length 2:21 ranges | `ranges` is an empty list | -",
            ],
        ),
        (
            "draw: {handles: 100 mL, ranges: [{handles: 0, from: 1}]}",
            &[
                "unknown-key 2:8 handles | `handles` is not a field of `draw` | did you mean `handle`?",
                "number-out-of-bounds 2:44 0 | `handles` is 0, and has to be at least 1 | -",
            ],
        ),
        (
            "draw:\n  handle: 100 mL\n  ranges:\n  - handles: 1\n    uses: extention\n",
            &[
                "missing-key 5:5 handles: 1 | `from` is missing in entry 1 of `ranges` | -",
                "not-allowed-value 6:11 extention | `uses` cannot be `extention` | did you mean `extension`?",
            ],
        ),
        (
            "draw: {handle: 100 mL, ranges: [{handles: 1, from: 1}], marks: [1, 2, 1.0]}",
            &[
                "repeated-entry 2:57 marks | `marks` holds the same entry twice | look at the paper: write the other one, or delete one of the two",
            ],
        ),
        (
            "draw: {ranges: [{handles: 1, from: 1}]}",
            &[
                "missing-key 2:1 draw | `handle` is missing in `draw` | write for example `handle: 100 mL`",
            ],
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(check(&format!("lamp: a\n{text}")), *expected, "{text}");
    }
}

#[test]
fn silent_about_what_was_found_before_or_could_not_be_read() {
    // The reader blames the comma; the schema says nothing more about it.
    let found = check("lamp: a\ndraw: {handle: 100 mL, ranges: [{handles: 1, from: 0,5}]}\n");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].starts_with("decimal-comma 2:52 0,5 |"),
        "{found:?}"
    );
    // What seems missing may stand in the part that was not read.
    let found = check("lamp: a\ndraw:\n  handle: \"100 mL\n");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("yaml-syntax 3:11"), "{found:?}");
}

#[test]
fn a_valid_document_is_silent_and_refers_to_nothing_outside() {
    assert!(check(&format!("lamp: a\n{DRAW}")).is_empty());
    assert!(DocumentSchema::new(json!({"$ref": "https://example.invalid/other.json"})).is_err());
    assert!(DocumentSchema::new(json!({"type": "nonsense"})).is_err());
}

#[test]
fn what_is_proposed_keeps_quotes_and_comments() {
    let cases = [
        // The quotes are the author's.
        ("'handel': 2 mL", "'handle': 2 mL"),
        ("\"handel\": 2 mL", "\"handle\": 2 mL"),
        ("handel: 2 mL  # c", "handle: 2 mL  # c"),
        (
            "ranges: [{uses: 'whole scal'}]",
            "ranges: [{uses: 'whole scale'}]",
        ),
        (
            "ranges: [{uses: whole scal}]",
            "ranges: [{uses: whole scale}]",
        ),
    ];
    for (before, after) in cases {
        let text = format!("draw:\n  {before}\n");
        let read = Document::read(FileId(0), "d", text.as_bytes(), &ReadOptions::default());
        let document = read.0;
        let mut findings = Vec::new();
        let mut reported = ReportedNodes::by_reading(&document);
        schema().validate(&document, &mut reported, &mut findings);
        let edits: Vec<_> = findings.iter().flat_map(Finding::edits).cloned().collect();
        let made = crate::edit::applied(&document, &edits);
        assert_eq!(made, format!("draw:\n  {after}\n"), "{findings:?}");
    }
}
