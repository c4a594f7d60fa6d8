//! A catalog as it was at a revision of the repository that holds it, with the catalogs that it builds on.

use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

use stainbook_catalog::Entry;

use crate::catalog_choice::root_file;
use crate::catalog_files::{
    Content, Input, Loaded, builds_on, entry_paths, identity, no_base, read_all, shown,
};
use crate::failure::Failure;
use crate::git::{GitRevision, working_copy};
use crate::output;

/// The state of a catalog at a revision.
#[derive(Debug)]
pub(crate) struct AtRevision {
    pub(crate) loaded: Loaded,
    /// The files that were asked for, of all that were read, as they are shown.
    pub(crate) wanted: BTreeSet<String>,
}

/// Reads the entries that are asked for, the others of their catalogs, and the catalogs that those build on.
///
/// Files of the repository are read as they were at the revision. A catalog that is built on and lies outside of it has no
/// revision there: it is read as it is now, and that is said.
pub(crate) fn load_at_revision(name: &str, paths: &[PathBuf]) -> Result<AtRevision, Failure> {
    let revision = GitRevision::open(name)?;
    let top = working_copy()?;
    let top = top.as_deref();
    let wanted: BTreeSet<String> = revision.wanted(paths)?.into_iter().collect();
    let mut catalogs: BTreeSet<&str> = wanted
        .iter()
        .filter_map(|path| revision.catalog_of(path))
        .collect();
    let inputs = revision.inputs(|path| {
        wanted.contains(path)
            || revision
                .catalog_of(path)
                .is_some_and(|catalog| catalogs.contains(catalog))
    })?;
    let of_catalogs = |path: &str| {
        let catalog = revision.catalog_of(path);
        catalog.is_some_and(|catalog| catalogs.contains(catalog))
    };
    for (path, instead) in revision.left_out(of_catalogs) {
        output::message(&format!(
            "note: `{path}` is a link to {instead}, and is left out"
        ));
    }
    let mut content = read_all(&inputs, 0);
    let mut waiting = bases(&revision, top, &content, &content.entries);
    let mut outside = BTreeSet::new();
    while let Some(base) = waiting.pop() {
        match base {
            Base::Inside(folder) => {
                let Some(catalog) = revision.catalog_of(&folder).filter(|of| *of == folder) else {
                    let folder = revision.shown(folder.trim_end_matches('/'));
                    content.unreadable.push(no_base(&folder));
                    continue;
                };
                if !catalogs.insert(catalog) {
                    continue;
                }
                let inputs = revision.inputs(|path| {
                    !wanted.contains(path) && revision.catalog_of(path) == Some(catalog)
                })?;
                waiting.extend(add(&revision, top, &mut content, &inputs));
            }
            Base::Outside(folder) => {
                if !outside.insert(identity(&folder)) {
                    continue;
                }
                if root_file(&folder).is_none() {
                    content.unreadable.push(no_base(&shown(&folder)));
                    continue;
                }
                output::message(&format!(
                    "note: the catalog at `{name}` builds on `{}`, which lies outside the repository: that is read as it is now",
                    shown(&folder)
                ));
                let inputs: Vec<Input> =
                    entry_paths(&folder).into_iter().map(Input::File).collect();
                waiting.extend(add(&revision, top, &mut content, &inputs));
            }
        }
    }
    Ok(AtRevision {
        loaded: content.assemble(|_| format!("the catalog at `{name}`")),
        wanted: wanted.iter().map(|path| revision.shown(path)).collect(),
    })
}

/// A catalog that another one builds on.
#[derive(Debug, PartialEq, Eq)]
enum Base {
    /// In the repository: the folder from its top, with `/` at its end.
    Inside(String),
    /// Anywhere else on the disk.
    Outside(PathBuf),
}

/// Adds the files of a catalog that is built on, and gives those that it builds on itself.
fn add(
    revision: &GitRevision,
    top: Option<&Path>,
    content: &mut Content,
    inputs: &[Input],
) -> Vec<Base> {
    let base = read_all(inputs, content.paths.len());
    let first = content.entries.len();
    content.add_base(base);
    let added = content.entries.get(first..).unwrap_or_default();
    bases(revision, top, content, added)
}

/// The catalogs that these build on.
fn bases(
    revision: &GitRevision,
    top: Option<&Path>,
    content: &Content,
    entries: &[Entry],
) -> Vec<Base> {
    let mut found = Vec::new();
    for entry in entries {
        let path = usize::try_from(entry.file.0)
            .ok()
            .and_then(|file| content.paths.get(file));
        let Some(path) = path else { continue };
        for name in builds_on(entry) {
            found.push(match revision.path_of(path) {
                Some(inside) => base_of(Path::new(inside), name, top),
                None => base_of(&std::path::absolute(path).unwrap_or_default(), name, top),
            });
        }
    }
    found
}

/// The folder that a catalog's file names, as seen from that file: a path from the top of the repository, or an absolute one.
fn base_of(catalog: &Path, name: &str, top: Option<&Path>) -> Base {
    let folder = plain(&catalog.parent().unwrap_or(Path::new("")).join(name));
    let leaves = folder.is_absolute() || folder.starts_with("..");
    let (inside, full) = match top {
        _ if !leaves => (Some(folder.as_path()), PathBuf::new()),
        Some(top) => (None, plain(&top.join(&folder))),
        None => (None, folder.clone()),
    };
    // A way out of the repository and back into it is a way inside.
    match inside.or_else(|| full.strip_prefix(top?).ok()) {
        Some(inside) if inside.as_os_str().is_empty() => Base::Inside(String::new()),
        Some(inside) => Base::Inside(format!("{}/", shown(inside))),
        None => Base::Outside(full),
    }
}

/// A path without `.`, and without `..` but at its beginning.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if plain.file_name().is_some() => {
                plain.pop();
            }
            part => plain.push(part),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_a_base_lies() {
        let inside = |folder: &str| Base::Inside(folder.to_owned());
        let outside = |folder: &str| Base::Outside(PathBuf::from(folder));
        let top = Some(Path::new("/home/kl/repository"));
        for (catalog, name, top, expected) in [
            ("lab/catalog.yaml", "../common", top, inside("common/")),
            ("lab/catalog.yaml", "common", top, inside("lab/common/")),
            ("lab/catalog.yaml", "..", top, inside("")),
            ("catalog.yaml", "./common/", top, inside("common/")),
            ("catalog.yaml", "..", top, outside("/home/kl")),
            (
                "lab/catalog.yaml",
                "../../shared",
                top,
                outside("/home/kl/shared"),
            ),
            (
                "lab/catalog.yaml",
                "../../repository/common",
                top,
                inside("common/"),
            ),
            (
                "lab/catalog.yaml",
                "/srv/shared",
                top,
                outside("/srv/shared"),
            ),
            (
                "lab/catalog.yaml",
                "/home/kl/repository/common",
                top,
                inside("common/"),
            ),
            (
                "/home/kl/shared/catalog.yaml",
                "../repository/common",
                top,
                inside("common/"),
            ),
            (
                "/home/kl/shared/catalog.yaml",
                "../other",
                top,
                outside("/home/kl/other"),
            ),
            // A repository without a working copy.
            ("lab/catalog.yaml", "../common", None, inside("common/")),
            (
                "lab/catalog.yaml",
                "../../shared",
                None,
                outside("../shared"),
            ),
        ] {
            assert_eq!(
                base_of(Path::new(catalog), name, top),
                expected,
                "{catalog} {name}"
            );
        }
    }
}
