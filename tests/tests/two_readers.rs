//! Our own reader, which keeps places and digits, and an ordinary serde YAML reader agree in value on every file.

use std::fs;
use std::path::{Path, PathBuf};

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use stainbook_catalog::written::{
    BoxListEntry, CatalogEntry, GroupEntry, PlanEntry, PumpEntry, PumpKindEntry, SourceEntry,
    StockBoxEntry, SubstanceEntry, SurveyEntry, TubeEntry,
};
use stainbook_catalog::{Book, EntryKind, SourceFile, WrittenEntry};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the workspace")
        .to_path_buf()
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for item in fs::read_dir(folder).expect("a folder") {
        let path = item.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else if EntryKind::of_file(&path.to_string_lossy()).is_some() {
            found.push(path);
        }
    }
}

/// True if two values are the same. A number whose digits only our own reader keeps is text there (`"1.10"`), and has to
/// have the value of the other's number.
fn agree(ours: &Value, theirs: &Value) -> bool {
    match (ours, theirs) {
        (Value::Object(ours), Value::Object(theirs)) => {
            ours.len() == theirs.len()
                && ours
                    .iter()
                    .all(|(key, value)| theirs.get(key).is_some_and(|other| agree(value, other)))
        }
        (Value::Array(ours), Value::Array(theirs)) => {
            ours.len() == theirs.len() && ours.iter().zip(theirs).all(|(a, b)| agree(a, b))
        }
        (Value::String(digits), Value::Number(number)) => {
            digits.parse::<f64>().ok() == number.as_f64()
        }
        _ => ours == theirs,
    }
}

fn same<T: DeserializeOwned + Serialize>(ours: &T, text: &str) -> Result<(), String> {
    let theirs: T = serde_yaml::from_str(text).map_err(|error| error.to_string())?;
    let (ours, theirs) = (
        serde_json::to_value(ours).unwrap(),
        serde_json::to_value(&theirs).unwrap(),
    );
    if agree(&ours, &theirs) {
        Ok(())
    } else {
        Err(format!("ours {ours}\ntheirs {theirs}"))
    }
}

#[test]
fn both_readers_agree() {
    let mut paths = Vec::new();
    files(&root().join("catalog"), &mut paths);
    assert!(paths.len() > 150, "the catalogs are missing");
    for path in paths {
        let text = fs::read_to_string(&path).expect("text");
        let name = path
            .strip_prefix(root())
            .expect("below the root")
            .to_string_lossy()
            .into_owned();
        let (book, findings) = Book::read([SourceFile::new(name.as_str(), text.as_str())]);
        assert!(findings.is_empty(), "{name}: {findings:?}");
        let entry = book.entries().first().expect("one entry");
        let agreed = match &entry.written {
            WrittenEntry::Catalog(ours) => same::<CatalogEntry>(ours, &text),
            WrittenEntry::Source(ours) => same::<SourceEntry>(ours, &text),
            WrittenEntry::Substance(ours) => same::<SubstanceEntry>(ours, &text),
            WrittenEntry::Group(ours) => same::<GroupEntry>(ours, &text),
            WrittenEntry::PumpKind(ours) => same::<PumpKindEntry>(ours, &text),
            WrittenEntry::Pump(ours) => same::<PumpEntry>(ours, &text),
            WrittenEntry::Tube(ours) => same::<TubeEntry>(ours, &text),
            WrittenEntry::StockBox(ours) => same::<StockBoxEntry>(ours, &text),
            WrittenEntry::BoxList(ours) => same::<BoxListEntry>(ours, &text),
            WrittenEntry::Plan(ours) => same::<PlanEntry>(ours, &text),
            WrittenEntry::Survey(ours) => same::<SurveyEntry>(ours, &text),
        };
        assert!(agreed.is_ok(), "{name}: {agreed:?}");
    }
}
