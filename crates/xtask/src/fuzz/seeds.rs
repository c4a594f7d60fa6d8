//! The files that are damaged.

use std::fs;
use std::path::{Path, PathBuf};

use stainbook_catalog::EntryKind;
use stainbook_catalog::embedded::demo_files;
use stainbook_tests::honest;

/// A file before it is damaged.
#[derive(Clone, Debug)]
pub(super) struct Seed {
    /// Its path, which tells its kind.
    pub(super) path: String,
    pub(super) bytes: Vec<u8>,
}

/// The demo with its tables, made-up sheets, the files of the format's tests, and the rules' fixtures: those that are parts
/// of a file under the name of the file that they are put into.
pub(super) fn all() -> Result<Vec<Seed>, String> {
    let mut seeds: Vec<Seed> = demo_files()
        .map(|file| Seed {
            path: file.path,
            bytes: file.bytes.into_owned(),
        })
        .collect();
    seeds.extend(honest::catalog(5, 12).into_iter().map(|file| Seed {
        path: file.path,
        bytes: file.text.into_bytes(),
    }));
    let tests = crate::output::root().join("tests");
    for path in files(&tests.join("format"))? {
        seeds.extend(seed(&path, None)?);
    }
    for folder in entries(&tests.join("rules"))? {
        for path in files(&folder)? {
            let bytes = read(&path)?;
            let kind = kind_of_fixture(&bytes);
            seeds.extend(seed(&path, kind)?);
        }
    }
    for path in files(&crate::output::root().join("catalog/demo/surveys"))? {
        if path.extension().is_some_and(|suffix| suffix == "csv") {
            seeds.push(Seed {
                bytes: read(&path)?,
                path: "damaged.survey.csv".to_owned(),
            });
        }
    }
    Ok(seeds)
}

fn seed(path: &Path, kind: Option<String>) -> Result<Option<Seed>, String> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let path_of_seed = match kind {
        Some(kind) if kind.contains('.') => kind,
        Some(kind) => format!("damaged.{kind}.yaml"),
        None => name.into_owned(),
    };
    let known =
        EntryKind::of_file(&path_of_seed).is_some() || path_of_seed.ends_with(".survey.csv");
    Ok(if known {
        Some(Seed {
            path: path_of_seed,
            bytes: read(path)?,
        })
    } else {
        None
    })
}

/// The kind that a fixture's first line names, or the file.
fn kind_of_fixture(bytes: &[u8]) -> Option<String> {
    let text = String::from_utf8_lossy(bytes);
    let line = text.lines().next()?;
    let of_kind = line
        .strip_prefix("# in: ")
        .and_then(|rest| rest.split_whitespace().next());
    let of_file = || line.strip_prefix("# file: ").map(str::trim);
    of_kind.or_else(of_file).map(str::to_owned)
}

fn entries(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let told = |error: std::io::Error| format!("{}: {error}", folder.display());
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .map_err(told)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()
        .map_err(told)?;
    paths.sort();
    Ok(paths)
}

fn files(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let mut paths = entries(folder)?;
    paths.retain(|path| path.is_file());
    Ok(paths)
}

fn read(path: &Path) -> Result<Vec<u8>, String> {
    fs::read(path).map_err(|error| format!("{}: {error}", path.display()))
}
