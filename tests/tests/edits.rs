//! Changes at random of every file of the demo: each says what was asked for, and all else stays.

use std::path::Path as FilePath;

use stainbook_document::edit::{
    Beside, EditRefusal, NewValue, applied, insert, insert_beside, remove, rename, set,
};
use stainbook_document::place::{FileId, Path, PathStep};
use stainbook_document::{Document, Node, NodeId, NodeKind, ReadOptions};

#[path = "../../crates/document/src/document/edit/tests/laws.rs"]
mod laws;

use laws::{Draw, Trial};

/// Changes of each file.
const TRIALS: usize = 90;

fn files(folder: &FilePath, found: &mut Vec<std::path::PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|name| name == "yaml") {
            found.push(path);
        }
    }
}

#[test]
fn an_edit_of_the_demo_says_what_was_asked_for_and_nothing_else() {
    let root = FilePath::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = Vec::new();
    files(&root.join("../catalog/demo"), &mut paths);
    paths.sort();
    assert!(25 < paths.len(), "{} files", paths.len());
    let (mut made, mut refused) = (0, 0);
    for (number, path) in paths.iter().enumerate() {
        let text = std::fs::read_to_string(path).expect("a text");
        // The same file as people save it on other systems.
        let crlf = format!("\u{feff}{}", text.replace('\n', "\r\n"));
        let cut = text.trim_end().to_owned();
        let mut draw = Draw::new(number as u64);
        for trial in 0..TRIALS {
            let text = [&text, &crlf, &cut][trial % 3];
            match laws::trial(text.as_bytes(), &mut draw) {
                Trial::Made(_) => made += 1,
                // Comments inside a list that is set anew would be lost.
                Trial::Refused("set", EditRefusal::Comments(_)) => refused += 1,
                Trial::Refused(name, refusal) => {
                    panic!("{}: {name}: {refusal}", path.display())
                }
                Trial::Nothing => {}
            }
        }
    }
    println!(
        "{made} edits made in {} files, {refused} refused",
        paths.len()
    );
    assert!(45 * paths.len() < made, "{made} of {} files", paths.len());
    assert!(20 * refused < made, "{refused} refused, {made} made");
}
