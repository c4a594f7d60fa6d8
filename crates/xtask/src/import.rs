//! `cargo xtask import`: the entries of `catalog/reference`, made from the tables in `catalog/reference/tables`.
//!
//! Same tables, same files, byte for byte. What is changed by hand stands in `amendments.csv` with its reason, what
//! could not be taken over is listed in `catalog/reference/IMPORT.md`.

mod amendments;
mod catalog;
mod disagreements;
mod entry;
mod explosive_limits;
mod limits;
mod names;
mod order;
mod pair;
mod printed_limit;
mod report;
mod source;
mod substance;
mod tables;
mod vapour_pressure;
mod yaml;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::output::root;
use amendments::Amendments;
use report::ImportReport;
use tables::Tables;

/// Errors that stop an import.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ImportError {
    /// A table or an entry cannot be read or written.
    #[error("`{path}`: {error}")]
    File {
        /// The file.
        path: PathBuf,
        /// The system's error.
        error: std::io::Error,
    },
    /// A table is not the table it should be.
    #[error("`{table}`: {error}")]
    Table {
        /// The table's file name.
        table: &'static str,
        /// The reader's error.
        error: csv::Error,
    },
    /// An amendment says something that does not fit the tables.
    #[error("`amendments.csv`, {cas}: {problem}")]
    Amendment {
        /// The substance's CAS number.
        cas: String,
        /// The problem.
        problem: String,
    },
    /// A row of a table contradicts itself.
    #[error("`substances.csv`, {cas}: {problem}")]
    Row {
        /// The substance's CAS number.
        cas: String,
        /// The problem.
        problem: String,
    },
}

/// Every generated file by its path under `catalog/reference`.
type Files = BTreeMap<String, String>;

/// Makes all files in memory.
fn generate(reference: &Path) -> Result<Files, ImportError> {
    let tables = Tables::read(&reference.join("tables"))?;
    let amendments = Amendments::new(&tables)?;
    let mut report = ImportReport::default();
    let mut files = Files::new();
    files.insert("catalog.yaml".to_owned(), catalog::catalog());
    for source in &tables.sources {
        files.insert(
            format!("sources/{}.source.yaml", source.source),
            source::source(source),
        );
    }
    for row in &tables.substances {
        let (id, text) = substance::substance(row, &tables, &amendments, &mut report)?;
        if files
            .insert(format!("substances/{id}.substance.yaml"), text)
            .is_some()
        {
            let problem = format!("the id `{id}` is taken by another substance");
            return Err(ImportError::Row {
                cas: row.cas.clone(),
                problem,
            });
        }
    }
    files.insert("IMPORT.md".to_owned(), report.text(&tables, &amendments));
    files.insert(
        "DISAGREEMENTS.md".to_owned(),
        disagreements::disagreements(reference, &tables, &amendments)?,
    );
    Ok(files)
}

/// The generated files that lie in the catalog at the moment; the tables are not among them.
fn present(reference: &Path) -> Result<Files, ImportError> {
    let mut files = Files::new();
    for name in ["catalog.yaml", "IMPORT.md", "DISAGREEMENTS.md"] {
        if reference.join(name).exists() {
            files.insert(name.to_owned(), read(&reference.join(name))?);
        }
    }
    for directory in ["sources", "substances"] {
        let path = reference.join(directory);
        if !path.exists() {
            continue;
        }
        let failed = |error| ImportError::File {
            path: path.clone(),
            error,
        };
        for entry in fs::read_dir(&path).map_err(failed)? {
            let entry = entry.map_err(failed)?;
            let name = format!("{directory}/{}", entry.file_name().to_string_lossy());
            files.insert(name, read(&entry.path())?);
        }
    }
    Ok(files)
}

fn read(path: &Path) -> Result<String, ImportError> {
    fs::read_to_string(path).map_err(|error| ImportError::File {
        path: path.to_owned(),
        error,
    })
}

/// Differences between the files made and the files present, one line each.
fn drift(made: &Files, present: &Files) -> Vec<String> {
    let missing_or_changed = made
        .iter()
        .filter_map(|(name, text)| match present.get(name) {
            None => Some(format!("{name} is missing")),
            Some(old) if old != text => Some(format!("{name} differs from what the tables give")),
            Some(_) => None,
        });
    let extra = present.keys().filter(|name| !made.contains_key(*name));
    missing_or_changed
        .chain(extra.map(|name| format!("{name} is not made from the tables")))
        .collect()
}

/// Writes every file that differs and removes those that the tables no longer give.
pub(crate) fn write() -> Result<String, String> {
    let reference = reference();
    let made = generate(&reference).map_err(|error| error.to_string())?;
    let old = present(&reference).map_err(|error| error.to_string())?;
    for (name, text) in made
        .iter()
        .filter(|(name, text)| old.get(*name) != Some(text))
    {
        let path = reference.join(name);
        if let Some(directory) = path.parent() {
            fs::create_dir_all(directory).map_err(|error| format!("{name}: {error}"))?;
        }
        fs::write(&path, text).map_err(|error| format!("{name}: {error}"))?;
    }
    for name in old.keys().filter(|name| !made.contains_key(*name)) {
        fs::remove_file(reference.join(name)).map_err(|error| format!("{name}: {error}"))?;
    }
    Ok(format!(
        "{} files, {} of them changed",
        made.len(),
        drift(&made, &old).len()
    ))
}

/// Says which committed files differ from what would be written.
pub(crate) fn compare() -> Result<String, String> {
    let reference = reference();
    let made = generate(&reference).map_err(|error| error.to_string())?;
    let drift = drift(
        &made,
        &present(&reference).map_err(|error| error.to_string())?,
    );
    if drift.is_empty() {
        Ok(format!("{} files, all as the tables give them", made.len()))
    } else {
        Err(format!(
            "amend catalog/reference/tables and run `cargo xtask import`:\n  {}",
            drift.join("\n  ")
        ))
    }
}

fn reference() -> PathBuf {
    root().join("catalog/reference")
}

#[cfg(test)]
mod tests;
