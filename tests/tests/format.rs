//! Broken files of every kind: each gives a clear message with its place and what to write instead, and whatever else
//! can be understood is still read. The messages are kept beside the files, to be read as a hygienist would.

use std::fs;
use std::path::{Path, PathBuf};

use stainbook_catalog::{Book, SourceFile};
use stainbook_document::finding::Level;
use stainbook_present::{Colour, Sources, findings_text};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("format")
}

#[test]
fn broken_files_are_explained() {
    let mut names: Vec<String> = fs::read_dir(folder())
        .expect("the folder")
        .map(|item| {
            item.expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| stainbook_catalog::EntryKind::of_file(name).is_some())
        .collect();
    names.sort();
    assert!(names.len() >= 20, "the broken files are missing");
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("../format/messages");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    for name in names {
        let bytes = fs::read(folder().join(&name)).expect("the file");
        let (book, findings) = Book::read([SourceFile::from_bytes(name.as_str(), bytes)]);
        let worst = findings
            .iter()
            .map(stainbook_document::finding::Finding::level)
            .max();
        assert!(worst >= Some(Level::Warning), "{name}: nothing was found");
        for finding in &findings {
            let located = Sources::of_book(&book).locate(finding.place());
            assert!(
                located.bytes.end <= located.text.len(),
                "{name}: {} is outside the file",
                finding.rule()
            );
            assert!(
                !finding.message_text().is_empty(),
                "{name}: {} says nothing",
                finding.rule()
            );
        }
        let text = findings_text::render(&findings, &Sources::of_book(&book), 1, Colour::Plain);
        settings.bind(|| insta::assert_snapshot!(name.trim_end_matches(".yaml"), text));
    }
}

/// One broken file costs nothing of the others.
#[test]
fn the_other_files_are_still_read() {
    let broken = fs::read(folder().join("not-yaml.pump.yaml")).expect("the file");
    let sound = "pump_kind: quay\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";
    let (book, findings) = Book::read([
        SourceFile::from_bytes("a/not-yaml.pump.yaml", broken),
        SourceFile::new("b/quay.pump-kind.yaml", sound),
    ]);
    assert!(
        findings
            .iter()
            .any(|finding| finding.level() == Level::Error)
    );
    assert!(book.pump_kind("quay").is_some());
}
