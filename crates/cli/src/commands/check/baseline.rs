//! `--baseline` and `--write-baseline`: an old catalog starts clean.

use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

use stainbook_catalog::SourceFile;
use stainbook_check::baseline::{Baseline, Key, write};
use stainbook_document::Document;
use stainbook_document::finding::Fault;
use stainbook_document::finding::Finding;
use stainbook_document::place::FileId;
use stainbook_present::Sources;
use stainbook_present::counts::counted;

use super::{CheckedCatalog, CheckedCatalogs};
use crate::bounded_read;
use crate::catalog_files::{identity, shown};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::{refuse_name_of_entry, replace, takes_a_place};

/// Findings of a baseline that are no longer there.
pub(super) struct Baselined {
    pub(super) unused: Vec<Finding>,
    document: Document,
    path: String,
}

impl Baselined {
    pub(super) fn sources(&self) -> Sources<'_> {
        let mut sources = Sources::default();
        sources.add(FileId(0), &self.path, &self.document);
        sources
    }
}

/// Takes out of the findings what the baseline lists.
pub(super) fn apply(
    path: &Path,
    found: &mut CheckedCatalogs,
    whole_folders: bool,
) -> Result<Baselined, Failure> {
    let bytes = bounded_read::file(path, bounded_read::ENTRY)?;
    let source = SourceFile::from_bytes(shown(path), bytes);
    let (mut baseline, document) =
        Baseline::read(FileId(0), &source.path, &source.bytes).map_err(|error| {
            Failure::new(
                "no-baseline",
                format!("`{}` cannot be used as a baseline: {error}", source.path),
                "take it away and write it again with `--write-baseline`",
            )
        })?;
    let folder = folder_of(path);
    let mut passed = 0;
    let mut unused = Vec::new();
    let mut judged = BTreeSet::new();
    for group in &mut found.groups {
        let before = group.findings.len();
        let findings = std::mem::take(&mut group.findings);
        let sources = group.sources();
        let kept = baseline.apply(findings, |finding| key(finding, &sources, &folder));
        drop(sources);
        passed += before - kept.len();
        group.findings = kept;
    }
    for group in &found.groups {
        let files: BTreeSet<String> = asked_paths(group)
            .map(|path| seen_from(&folder, path))
            .collect();
        let looked_at = |file: &str| {
            let gone = whole_folders && !folder.join(file).exists();
            (files.contains(file) || gone) && !judged.contains(file)
        };
        unused.extend(baseline.unused(&group.loaded.book, looked_at));
        // A file that is gone belongs to no catalog; the first one speaks of it.
        let gone = baseline
            .known()
            .iter()
            .map(|known| known.file.clone())
            .filter(|file| !folder.join(file).exists());
        judged.extend(gone);
        judged.extend(files);
    }
    if 0 < passed {
        output::message(&format!(
            "baseline: {} passed over",
            counted(passed, "known finding")
        ));
    }
    Ok(Baselined {
        unused,
        document,
        path: source.path,
    })
}

/// Refuses to write a baseline over anything else: a name that the shell completed is soon a sheet's.
pub(super) fn refuse_other(path: &Path) -> Result<(), Failure> {
    refuse_name_of_entry(path)?;
    if !takes_a_place(path) {
        return Ok(());
    }
    let bytes = std::fs::read(path).map_err(|error| Failure::unreadable(path, &error))?;
    Baseline::read(FileId(0), &shown(path), &bytes)
        .map(drop)
        .map_err(|error| {
            Failure::new(
                "no-baseline",
                format!("`{}` is there and is no baseline: {error}", shown(path)),
                "write to another name, or take the file away first",
            )
        })
}

/// Lists what was found, and says so.
pub(super) fn write_to(path: &Path, found: &CheckedCatalogs) -> Result<ExitStatus, Failure> {
    for failure in &found.failures {
        failure.report(false);
    }
    if !found.failures.is_empty() {
        return Err(Failure::new(
            "baseline-not-written",
            "no baseline was written, since not every file could be read",
            "see to the files named above, or name those that are to be checked",
        ));
    }
    let folder = folder_of(path);
    let mut keys = Vec::new();
    for group in &found.groups {
        let sources = group.sources();
        let author = group
            .findings
            .iter()
            .filter(|finding| finding.fault() == Fault::Author);
        keys.extend(author.map(|finding| key(finding, &sources, &folder)));
    }
    let count = keys.len();
    replace(path, write(keys).as_bytes())?;
    let path = shown(path);
    output::message(&format!(
        "{} listed in `{path}`; `stainbook check --baseline {path}` passes over them",
        counted(count, "finding")
    ));
    let ours = found.counts().ours;
    Ok(if ours == 0 {
        ExitStatus::Success
    } else {
        ExitStatus::Internal
    })
}

fn asked_paths(group: &CheckedCatalog) -> impl Iterator<Item = &str> {
    let indices = group
        .asked
        .iter()
        .filter_map(|file| usize::try_from(file.0).ok());
    indices.filter_map(|index| group.loaded.paths.get(index).map(String::as_str))
}

fn key(finding: &Finding, sources: &Sources<'_>, folder: &Path) -> Key {
    let at = sources.locate(finding.place());
    Key {
        file: seen_from(folder, at.path),
        at: sources.known_by(finding.place()),
        rule: finding.rule().to_owned(),
    }
}

/// The folder that a baseline lies in.
fn folder_of(path: &Path) -> PathBuf {
    let parent = path
        .parent()
        .filter(|parent| !parent.as_os_str().is_empty());
    PathBuf::from(identity(parent.unwrap_or(Path::new("."))))
}

/// A path as seen from a folder, with `/` between folders, so that a baseline means the same wherever the command is run
/// and wherever the whole is moved to.
fn seen_from(folder: &Path, path: &str) -> String {
    let file = PathBuf::from(identity(Path::new(path)));
    let (from, to): (Vec<_>, Vec<_>) = (folder.components().collect(), file.components().collect());
    let common = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let up = from.iter().skip(common).map(|_| "..".to_owned());
    let down = to.iter().skip(common).map(|component| match component {
        Component::Normal(name) => name.to_string_lossy().into_owned(),
        other => other.as_os_str().to_string_lossy().into_owned(),
    });
    up.chain(down).collect::<Vec<_>>().join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_seen_from_the_baseline() {
        let folder = Path::new("/none/lab");
        for (path, expected) in [
            ("/none/lab/tubes/a.tube.yaml", "tubes/a.tube.yaml"),
            ("/none/other/a.tube.yaml", "../other/a.tube.yaml"),
            ("/none/lab-2/a.tube.yaml", "../lab-2/a.tube.yaml"),
            ("/none/lab/a.yaml", "a.yaml"),
        ] {
            assert_eq!(seen_from(folder, path), expected);
        }
    }
}
