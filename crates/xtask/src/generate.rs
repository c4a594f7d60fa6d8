//! `cargo xtask generate`: schemas, and the lists of embedded files and names.

mod embedded_reference;
mod fingerprint;
mod reference_index;
mod survey_table;

use std::fmt::Write as _;
use std::fs;

use stainbook_catalog::schema::{Draft, IMPORT_MAP, import_map, schema};
use stainbook_catalog::{Book, EntryKind, SourceFile};

use crate::output::{Generated, root};

/// Everything that is generated.
pub(crate) fn all() -> Result<Vec<Generated>, String> {
    let mut files = schemas()?;
    files.push(results_schema()?);
    files.push(survey_table::columns()?);
    files.extend(embedded_demo(&demo_files()?)?);
    let reference = yaml_files("catalog/reference")?;
    files.extend(embedded_reference::embedded_reference(&reference)?);
    let book = book(&reference)?;
    files.push(reference_index::index(&book)?);
    files.push(fingerprint::fingerprint(&book)?);
    Ok(files)
}

/// The book of the files of a catalog, whose paths are below the root.
fn book(files: &[String]) -> Result<Book, String> {
    let sources = files
        .iter()
        .map(|file| {
            let text = fs::read_to_string(root().join(file))
                .map_err(|error| format!("{file}: {error}"))?;
            Ok(SourceFile::new(file.as_str(), text))
        })
        .collect::<Result<Vec<_>, String>>()?;
    Ok(Book::read(sources).0)
}

fn schemas() -> Result<Vec<Generated>, String> {
    let of_kinds = EntryKind::ALL
        .into_iter()
        .flat_map(|kind| Draft::ALL.map(|draft| (kind.name(), draft, schema(kind, draft))));
    let of_maps = Draft::ALL.map(|draft| (IMPORT_MAP, draft, import_map(draft)));
    of_kinds
        .chain(of_maps)
        .map(|(name, draft, schema)| {
            let text = serde_json::to_string_pretty(&schema).map_err(|error| error.to_string())?;
            let path = format!("schemas/{name}.{}", draft.suffix());
            Ok(Generated {
                path,
                text: text + "\n",
            })
        })
        .collect()
}

/// The schema of the record that a lab keeps.
fn results_schema() -> Result<Generated, String> {
    let schema = stainbook_evaluation::result::schema();
    let text = serde_json::to_string_pretty(&schema).map_err(|error| error.to_string())?;
    Ok(Generated {
        path: "schemas/results.schema.json".to_owned(),
        text: text + "\n",
    })
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

/// The files of the demo one behind the other, and the Rust file that says which is where.
fn embedded_demo(files: &[String]) -> Result<[Generated; 2], String> {
    let texts = texts(files.iter().map(String::as_str))?;
    let mut text = format!(
        "//! Made by `cargo xtask generate` from catalog/demo.\n\nuse super::{{EmbeddedFile, cut}};\n\n/// Paths below the catalog, each with the length of its text.\n#[rustfmt::skip]\npub(super) static FILES: [EmbeddedFile; {}] = cut([\n",
        files.len()
    );
    for (file, own) in files.iter().zip(&texts) {
        let _ = writeln!(text, "    ({:?}, {}),", below_catalog(file), own.len());
    }
    text.push_str("], include_str!(\"demo.txt\"));\n");
    Ok([
        Generated {
            path: "crates/catalog/src/embedded/demo.rs".to_owned(),
            text,
        },
        Generated {
            path: "crates/catalog/src/embedded/demo.txt".to_owned(),
            text: texts.concat(),
        },
    ])
}

/// The texts of files below the root: what a crate carries has to lie inside it.
fn texts<'a>(files: impl Iterator<Item = &'a str>) -> Result<Vec<String>, String> {
    files
        .map(|file| {
            fs::read_to_string(root().join(file)).map_err(|error| format!("{file}: {error}"))
        })
        .collect()
}

/// The path of a file below its catalog.
fn below_catalog(file: &str) -> &str {
    file.splitn(3, '/').nth(2).unwrap_or(file)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_committed_files_are_as_generated() {
        let files = all().unwrap();
        for path in [
            "catalog/reference/INDEX.md",
            "catalog/reference/fingerprint.csv",
            "crates/catalog/src/embedded/demo.txt",
            "crates/catalog/src/embedded/reference.rs",
            "crates/catalog/src/embedded/reference.txt",
            "schemas/results.schema.json",
            "schemas/substance.schema.json",
        ] {
            assert!(files.iter().any(|file| file.path == path), "{path}");
        }
        let said = crate::output::compare(&files);
        assert!(said.is_ok(), "{said:?}");
    }
}
