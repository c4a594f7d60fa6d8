//! `cargo xtask generate`: schemas, and the lists of embedded files and names.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use stainbook_catalog::schema::{Draft, schema};
use stainbook_catalog::search::folded;
use stainbook_catalog::written::SubstanceEntry;
use stainbook_catalog::{Book, EntryKind, SourceFile};

use crate::output::{Generated, root};

/// Everything that is generated.
pub(crate) fn all() -> Result<Vec<Generated>, String> {
    let mut files = schemas()?;
    files.push(embedded("demo", &demo_files()?, None));
    let reference = yaml_files("catalog/reference")?;
    let names = names(&reference)?;
    files.push(embedded("reference", &reference, Some(&names)));
    Ok(files)
}

fn schemas() -> Result<Vec<Generated>, String> {
    EntryKind::ALL
        .into_iter()
        .flat_map(|kind| Draft::ALL.map(|draft| (kind, draft)))
        .map(|(kind, draft)| {
            let text = serde_json::to_string_pretty(&schema(kind, draft))
                .map_err(|error| error.to_string())?;
            let path = format!("schemas/{}.{}", kind.name(), draft.suffix());
            Ok(Generated {
                path,
                text: text + "\n",
            })
        })
        .collect()
}

fn demo_files() -> Result<Vec<String>, String> {
    let mut files = yaml_files("catalog/demo")?;
    files.extend(files_below("catalog/demo", &|name| {
        name.ends_with(".survey.csv")
    })?);
    files.sort();
    Ok(files)
}

fn yaml_files(folder: &str) -> Result<Vec<String>, String> {
    files_below(folder, &|name| EntryKind::of_file(name).is_some())
}

/// The paths below the root of all files in a folder whose name is wanted, in alphabetical order.
fn files_below(folder: &str, wanted: &dyn Fn(&str) -> bool) -> Result<Vec<String>, String> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        let listing =
            fs::read_dir(root().join(&folder)).map_err(|error| format!("{folder}: {error}"))?;
        for item in listing {
            let item = item.map_err(|error| format!("{folder}: {error}"))?;
            let path = format!("{folder}/{}", item.file_name().to_string_lossy());
            if item.path().is_dir() {
                folders.push(path);
            } else if wanted(&path) {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}

/// The Rust file that lists embedded files, and for the reference the names of its substances.
fn embedded(name: &str, files: &[String], names: Option<&BTreeMap<String, String>>) -> Generated {
    let mut text = String::from(
        "// Made by `cargo xtask generate`.\n\nuse super::EmbeddedFile;\n\npub(super) static FILES: &[EmbeddedFile] = &[\n",
    );
    for file in files {
        let below = file.splitn(3, '/').nth(2).unwrap_or(file);
        let _ = writeln!(
            text,
            "    EmbeddedFile {{ path: {below:?}, text: include_str!(\"../../../../{file}\") }},"
        );
    }
    text.push_str("];\n");
    if let Some(names) = names {
        text.push_str("\n/// CAS numbers and folded names, in order, each with the short name of its substance.\n");
        text.push_str("pub(super) static NAMES: &[(&str, &str)] = &[\n");
        for (name, id) in names {
            let _ = writeln!(text, "    ({name:?}, {id:?}),");
        }
        text.push_str("];\n");
    }
    Generated {
        path: format!("crates/catalog/src/embedded/{name}.rs"),
        text,
    }
}

/// CAS numbers and folded names of all substances. A name that two of them share means neither.
fn names(files: &[String]) -> Result<BTreeMap<String, String>, String> {
    let sources = files
        .iter()
        .map(|file| {
            let text = fs::read_to_string(root().join(Path::new(file)))
                .map_err(|error| format!("{file}: {error}"))?;
            Ok(SourceFile::new(file.as_str(), text))
        })
        .collect::<Result<Vec<_>, String>>()?;
    let (book, _) = Book::read(sources);
    let mut owners: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (entry, substance) in book.substances() {
        for name in names_of(substance) {
            let owners = owners.entry(name).or_default();
            if !owners.iter().any(|id| id == entry.id()) {
                owners.push(entry.id().to_owned());
            }
        }
    }
    Ok(owners
        .into_iter()
        .filter_map(|(name, owners)| match owners.as_slice() {
            [only] => Some((name, only.clone())),
            _ => None,
        })
        .collect())
}

fn names_of(substance: &SubstanceEntry) -> impl Iterator<Item = String> {
    let spoken = [&substance.substance, &substance.name]
        .into_iter()
        .flatten()
        .chain(&substance.also_called)
        .map(|name| folded(name));
    substance.cas.clone().into_iter().chain(spoken)
}
