//! The usual form of files that are in use: the catalogs have it, and get it back however their fields are put.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use stainbook_catalog::{Book, Entry, SourceFile};
use stainbook_check::tidy;
use stainbook_document::edit::{EntryOrder, NewValue, applied, tidied};
use stainbook_document::place::FileId;
use stainbook_document::{Document, NodeId, ReadOptions};

/// Steps that a file takes at most.
const STEPS: usize = 5;

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(name)
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, found);
        } else if stainbook_catalog::EntryKind::of_file(&path.to_string_lossy()).is_some() {
            found.push(path);
        }
    }
    found.sort();
}

fn read(path: &Path, bytes: &[u8]) -> (Entry, Vec<stainbook_document::finding::Finding>) {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let (book, findings) = Book::read([SourceFile::from_bytes(name, bytes.to_vec())]);
    (book.entries()[0].clone(), findings)
}

/// The usual form, and whether everything could be put in order.
fn usual(path: &Path, text: &str) -> (String, bool) {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..STEPS {
        let (entry, findings) = read(path, &bytes);
        let step = tidy(&entry, &bytes, &findings).unwrap();
        match step.bytes {
            Some(after) => bytes = after,
            None => return (String::from_utf8(bytes).unwrap(), step.left.is_empty()),
        }
    }
    panic!("{} is not tidied in {STEPS} steps", path.display());
}

#[test]
fn the_catalogs_are_in_their_usual_form() {
    let mut paths = Vec::new();
    for name in ["catalog/demo", "catalog/reference", "tests/leaflets"] {
        files(&folder(name), &mut paths);
    }
    assert!(400 < paths.len());
    for path in paths {
        let text = std::fs::read_to_string(&path).unwrap();
        let (usual, _) = usual(&path, &text);
        assert_eq!(usual, text, "run `stainbook tidy {}`", path.display());
    }
}

/// The text with the fields of each mapping in an order that a number gives.
fn shuffled(text: &str, seed: u64) -> String {
    let (document, _) = Document::read(FileId(0), "t", text.as_bytes(), &ReadOptions::DEFAULT);
    let rank = |key: &str| {
        key.bytes().fold(seed | 1, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        }) >> 7
    };
    let orders: Vec<EntryOrder> = (0..document.node_count())
        .filter_map(|row| document.node(NodeId::of_row(row)))
        .filter(|node| node.is_mapping())
        .map(|mapping| {
            let keys: Vec<&str> = mapping
                .entries()
                .filter_map(|(key, _)| key.text())
                .collect();
            let mut order: Vec<usize> = (0..keys.len()).collect();
            order.sort_by_key(|index| rank(keys[*index]));
            EntryOrder {
                mapping: mapping.id(),
                order,
            }
        })
        .collect();
    applied(&document, &tidied(&document, &orders).unwrap().edits)
}

fn sorted(value: NewValue) -> NewValue {
    match value {
        NewValue::List(items) => NewValue::List(items.into_iter().map(sorted).collect()),
        NewValue::Mapping(fields) => {
            let fields: BTreeMap<String, NewValue> = fields
                .into_iter()
                .map(|(key, value)| (key, sorted(value)))
                .collect();
            NewValue::Mapping(fields.into_iter().collect())
        }
        other => other,
    }
}

/// Everything but line breaks and blanks, which a field leaves where it was.
fn ink(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn fields_in_whatever_order_come_back_into_theirs() {
    let mut paths = Vec::new();
    files(&folder("catalog/demo"), &mut paths);
    let (mut back, mut all) = (0, 0);
    for path in &paths {
        let text = std::fs::read_to_string(path).unwrap();
        let says = |text: &str| {
            let (document, _) =
                Document::read(FileId(0), "t", text.as_bytes(), &ReadOptions::DEFAULT);
            sorted(NewValue::of(document.root().unwrap()))
        };
        for seed in 0..6 {
            let mixed = shuffled(&text, seed);
            let (usual, whole) = usual(path, &mixed);
            assert_eq!(says(&usual), says(&text), "{}", path.display());
            all += 1;
            if whole {
                back += 1;
                assert_eq!(
                    ink(&usual),
                    ink(&text),
                    "{} {seed}\n{mixed}",
                    path.display()
                );
            }
        }
    }
    println!("{back} of {all} mixed files are as before");
    assert!(0.8 * f64::from(all) < f64::from(back), "{back} of {all}");
}
