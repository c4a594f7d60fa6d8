//! Choice of the catalog for a command: the one that is named, else the nearest one upward, else the embedded one.

use std::path::{Component, Path, PathBuf};

use crate::failure::Failure;

/// The catalog that a command looks into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Choice {
    /// A folder with a `catalog.yaml`.
    Folder(PathBuf),
    /// The one that is part of the program.
    Embedded,
}

/// The names that a catalog's root file may have.
pub(crate) const ROOT_FILES: [&str; 2] = ["catalog.yaml", "catalog.yml"];

/// The catalog named by `--catalog`, else the nearest one from a folder upward, else the embedded one.
pub(crate) fn choose(named: Option<&Path>, from: &Path) -> Result<Choice, Failure> {
    if let Some(named) = named {
        let folder = if named.is_file() {
            named.parent().unwrap_or(Path::new("."))
        } else {
            named
        };
        if root_file(folder).is_some() {
            return Ok(Choice::Folder(as_shown(folder)));
        }
        let (message, help) = if named.exists() {
            (
                "there is no `catalog.yaml` in it",
                "name the folder that holds it, or begin one with `stainbook new catalog`",
            )
        } else {
            (
                "there is no such folder",
                "look at the name and the folder it is looked for in",
            )
        };
        return Err(Failure::new(
            "no-catalog",
            format!("--catalog `{}`: {message}", named.display()),
            help,
        ));
    }
    Ok(nearest(from).map_or(Choice::Embedded, Choice::Folder))
}

/// The nearest folder from this one upward that holds a `catalog.yaml`.
///
/// It is found under the path that was typed as far as that goes, so that places are shown as people know them, and
/// above that under the full path.
pub(crate) fn nearest(from: &Path) -> Option<PathBuf> {
    // What lies above `..` cannot be told from the path alone.
    let plain = !from.components().any(|part| part == Component::ParentDir);
    if plain
        && let Some(folder) = from
            .ancestors()
            .map(as_shown)
            .find(|folder| root_file(folder).is_some())
    {
        return Some(folder);
    }
    let start = as_shown(from);
    let full = std::fs::canonicalize(&start)
        .or_else(|_| std::path::absolute(&start))
        .ok()?;
    full.ancestors()
        .find(|folder| root_file(folder).is_some())
        .map(Path::to_path_buf)
}

/// The root file of a catalog's folder.
pub(crate) fn root_file(folder: &Path) -> Option<PathBuf> {
    ROOT_FILES
        .iter()
        .map(|name| folder.join(name))
        .find(|file| file.is_file())
}

fn as_shown(folder: &Path) -> PathBuf {
    if folder.as_os_str().is_empty() {
        PathBuf::from(".")
    } else {
        folder.to_path_buf()
    }
}
