//! Files changed by the program: `check --fix` mends what can be mended without a doubt, `tidy` writes the usual form.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use similar::TextDiff;
use stainbook_catalog::Entry;
use stainbook_check::{Options, fix, tidy};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::FileId;
use stainbook_present::counts::counted;

use super::output_format::FindingsFormat;
use super::{CheckPaths, CheckedCatalogs, end};
use crate::catalog_files::{Input, identity, shown};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::replace;

/// Mending one thing may bring another to light; after so many rounds what is left is left.
const ROUNDS: usize = 5;

/// Aim of the changes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Aim {
    /// Nothing left that can be mended without a doubt.
    Mended,
    /// The usual form.
    Tidy,
}

/// Outcome of fixing.
pub(super) enum FixOutcome {
    /// The changes were shown, and none was made.
    Shown(ExitStatus),
    /// The changes were made; this is what is found now.
    Made(Box<CheckedCatalogs>),
}

/// A file that can be mended: as it was when it was read, and as it is to be.
struct FixDraft {
    path: PathBuf,
    original: Vec<u8>,
    fixed: Vec<u8>,
    settled: usize,
    /// Said already that it cannot be mended.
    left: bool,
    /// Reasons for which something of it stays as it is.
    remarks: Vec<String>,
}

impl FixDraft {
    fn is_changed(&self) -> bool {
        self.original != self.fixed
    }
}

/// Mends the files that were asked for, or shows what would be mended.
pub(super) fn mend_files(
    check: &CheckPaths,
    wanted: Vec<Input>,
    options: Options,
    failures: Vec<Failure>,
) -> Result<FixOutcome, Failure> {
    let from_input = wanted.iter().any(|input| matches!(input, Input::Bytes(..)));
    if from_input && !check.dry_run {
        return Err(Failure::usage(
            "standard input cannot be mended, since there is no file to write to",
            "add `--dry-run`, which shows the changes, or name the file",
        ));
    }
    if check.dry_run && check.format != FindingsFormat::Text {
        return Err(Failure::usage(
            "`--dry-run` shows a difference of files, which has no other format",
            "leave out `--format`, or leave out `--fix --dry-run`",
        ));
    }
    let (fixed_inputs, mut drafts) = drafts(&wanted);
    let found = rounds(check, &fixed_inputs, &mut drafts, options, Aim::Mended)?;
    if check.dry_run {
        return Ok(FixOutcome::Shown(show(check, &drafts, &found, failures)));
    }
    let mut failures = failures;
    let mut made: Vec<(String, usize)> = Vec::new();
    for draft in drafts.values().filter(|draft| draft.is_changed()) {
        match write(draft) {
            Ok(()) => made.push((shown(&draft.path), draft.settled)),
            Err(failure) => failures.push(failure),
        }
    }
    for (path, settled) in &made {
        output::message(&format!(
            "mended: {path} ({})",
            counted(*settled, "finding")
        ));
    }
    if made.is_empty() {
        output::message("nothing was mended");
    }
    // What is said is said of the files as they are now, whatever became of the writing.
    check
        .find(wanted, options, failures)
        .map(|found| FixOutcome::Made(Box::new(found)))
}

/// Writes files in their usual form, shows what would be written, or says whether anything would be.
pub(in crate::commands) fn tidy_files(
    check: &CheckPaths,
    dry_run: bool,
    only_ask: bool,
) -> Result<ExitStatus, Failure> {
    let mut failures = Vec::new();
    let wanted = check.wanted(&mut failures)?;
    let from_input = wanted.iter().any(|input| matches!(input, Input::Bytes(..)));
    let (others, mut drafts) = drafts(&wanted);
    let is_table = |input: &&Input| matches!(input, Input::Table(..) | Input::Worksheet(_));
    let asked = |input: &&Input| check.paths.iter().any(|path| shown(path) == input.path());
    for table in others.iter().filter(is_table).filter(asked) {
        failures.push(Failure::usage(
            format!("`{}` is a table, which has no usual form", table.path()),
            "leave it out; it is kept in the program that wrote it",
        ));
    }
    let found = rounds(check, &others, &mut drafts, Options::default(), Aim::Tidy)?;
    failures.extend(found.failures);
    for failure in &failures {
        failure.report(false);
    }
    let failed = failures.iter().map(|failure| failure.end).max();
    let mut end = failed.unwrap_or(ExitStatus::Success);
    let changed: Vec<&FixDraft> = drafts.values().filter(|draft| draft.is_changed()).collect();
    for draft in drafts.values() {
        for remark in &draft.remarks {
            output::message(&format!("note: {}: {remark}", shown(&draft.path)));
        }
        if draft.left {
            end = end.max(ExitStatus::Findings);
        }
    }
    let files = counted(drafts.len(), "file");
    if from_input && !dry_run && !only_ask {
        for draft in drafts.values() {
            output::data(&String::from_utf8_lossy(&draft.fixed));
        }
    } else if dry_run || only_ask {
        for draft in &changed {
            if dry_run {
                output::data(&difference(draft));
            } else {
                output::message(&format!("not in its usual form: {}", shown(&draft.path)));
            }
        }
        output::message(&format!("{} of {files} would be tidied", changed.len()));
    } else {
        for draft in &changed {
            match write(draft) {
                Ok(()) => output::message(&format!("tidied: {}", shown(&draft.path))),
                Err(failure) => {
                    failure.report(false);
                    end = end.max(failure.end);
                }
            }
        }
        output::message(&format!("{} of {files} tidied", changed.len()));
    }
    if only_ask && !changed.is_empty() {
        end = end.max(ExitStatus::Findings);
    }
    Ok(end)
}

/// The files in memory; those that cannot be read stay what they are, and are reported when they are read again.
fn drafts(wanted: &[Input]) -> (Vec<Input>, BTreeMap<String, FixDraft>) {
    let mut drafts = BTreeMap::new();
    let mut others = Vec::new();
    for input in wanted {
        let (path, bytes) = match input {
            // A name that is no text cannot be told from another by what is shown of it.
            Input::File(path) if path.to_str().is_some() => {
                if let Ok(bytes) = std::fs::read(path) {
                    (path.clone(), bytes)
                } else {
                    others.push(input.clone());
                    continue;
                }
            }
            // A table is no YAML; what is wrong in it is for its own program to mend.
            Input::File(_) | Input::Table(..) | Input::Worksheet(_) => {
                others.push(input.clone());
                continue;
            }
            Input::Bytes(path, bytes) => (PathBuf::from(path), bytes.clone()),
        };
        let draft = FixDraft {
            path: path.clone(),
            fixed: bytes.clone(),
            original: bytes,
            settled: 0,
            left: false,
            remarks: Vec::new(),
        };
        drafts.insert(identity(&path), draft);
    }
    (others, drafts)
}

/// Mends until nothing more is to be mended; gives what is found in the files as they were.
fn rounds(
    check: &CheckPaths,
    others: &[Input],
    drafts: &mut BTreeMap<String, FixDraft>,
    options: Options,
    aim: Aim,
) -> Result<CheckedCatalogs, Failure> {
    let mut first = None;
    let mut before: BTreeMap<String, (usize, Vec<u8>, usize)> = BTreeMap::new();
    for _ in 0..=ROUNDS {
        let drafted = drafts
            .values()
            .map(|draft| Input::Bytes(shown(&draft.path), draft.fixed.clone()));
        let inputs = others.iter().cloned().chain(drafted).collect();
        let found = check.find(inputs, options, Vec::new())?;
        let mut changed = false;
        for group in &found.groups {
            for (index, path) in group.loaded.paths.iter().enumerate() {
                let name = identity(Path::new(path));
                let file = u32::try_from(index).map(FileId).unwrap_or_default();
                let Some(draft) = drafts
                    .get_mut(&name)
                    .filter(|_| group.asked.contains(&file))
                else {
                    continue;
                };
                let of_file = || {
                    group
                        .findings
                        .iter()
                        .filter(move |finding| finding.place().file == file)
                };
                let errors = of_file()
                    .filter(|finding| finding.level() == Level::Error)
                    .count();
                if let Some((errors_before, bytes, settled)) = before.get(&name)
                    && *errors_before < errors
                {
                    // A safe edit that makes an error was not safe.
                    draft.fixed.clone_from(bytes);
                    draft.settled = *settled;
                    draft.left = true;
                    output::message(&format!(
                        "note: {path} is left as it is: mending it would make an error, which is a fault of stainbook; please report it with the file"
                    ));
                }
                let Some(entry) = group
                    .loaded
                    .book
                    .entries()
                    .iter()
                    .find(|entry| entry.file == file)
                else {
                    continue;
                };
                if draft.left {
                    continue;
                }
                let step = match aim {
                    Aim::Mended => mended(entry, draft, of_file()),
                    Aim::Tidy => tidier(entry, draft, of_file()),
                };
                match step {
                    Ok(None) => {}
                    Ok(Some((bytes, settled))) => {
                        before.insert(name, (errors, draft.fixed.clone(), draft.settled));
                        draft.fixed = bytes;
                        draft.settled += settled;
                        changed = true;
                    }
                    Err(why) => {
                        draft.left = true;
                        output::message(&format!("note: {path} is left as it is: {why}"));
                    }
                }
            }
        }
        first.get_or_insert(found);
        if !changed {
            break;
        }
    }
    first.ok_or_else(|| Failure::ours("nothing was checked"))
}

/// Bytes of a file after a step, and how many findings it settles; nothing if there is none to take, and why not if it cannot.
type Step = Result<Option<(Vec<u8>, usize)>, String>;

fn mended<'f>(
    entry: &Entry,
    draft: &FixDraft,
    findings: impl IntoIterator<Item = &'f Finding>,
) -> Step {
    match fix(&entry.document, &draft.fixed, findings) {
        Ok(fixed) => Ok(fixed.map(|fixed| (fixed.bytes, fixed.settled))),
        Err(_) => Err("it is not saved as UTF-8".to_owned()),
    }
}

fn tidier<'f>(
    entry: &Entry,
    draft: &mut FixDraft,
    findings: impl IntoIterator<Item = &'f Finding>,
) -> Step {
    let step = tidy(entry, &draft.fixed, findings).map_err(|why| why.to_string())?;
    draft.remarks = step.left.iter().map(ToString::to_string).collect();
    Ok(step.bytes.map(|bytes| (bytes, 0)))
}

/// Puts a mended file in the place of the one that was read, if that is still there.
fn write(draft: &FixDraft) -> Result<(), Failure> {
    let now =
        std::fs::read(&draft.path).map_err(|error| Failure::unreadable(&draft.path, &error))?;
    if now != draft.original {
        return Err(Failure::new(
            "changed-meanwhile",
            format!(
                "`{}` was changed by somebody else meanwhile, and is left as it is",
                shown(&draft.path)
            ),
            "check again",
        ));
    }
    replace(&draft.path, &draft.fixed)
}

/// The changes as a unified difference on standard output; what is found in the files as they are decides the end.
fn show(
    check: &CheckPaths,
    drafts: &BTreeMap<String, FixDraft>,
    found: &CheckedCatalogs,
    failures: Vec<Failure>,
) -> ExitStatus {
    let mut failures = failures;
    failures.extend(found.failures.iter().cloned());
    for failure in &failures {
        failure.report(false);
    }
    let changed: Vec<&FixDraft> = drafts.values().filter(|draft| draft.is_changed()).collect();
    for draft in &changed {
        output::data(&difference(draft));
    }
    let settled = changed.iter().map(|draft| draft.settled).sum();
    output::message(&format!(
        "{} would be mended in {}",
        counted(settled, "finding"),
        counted(changed.len(), "file")
    ));
    let failed = failures.iter().map(|failure| failure.end).max();
    end(found.counts(), check.denied(), failed)
}

fn difference(draft: &FixDraft) -> String {
    // Only files that are UTF-8 are mended.
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (old, new) = (text(&draft.original), text(&draft.fixed));
    let path = shown(&draft.path);
    let (before, after) = if draft.path.is_absolute() {
        (path.clone(), path)
    } else {
        (format!("a/{path}"), format!("b/{path}"))
    };
    TextDiff::from_lines(&old, &new)
        .unified_diff()
        .header(&before, &after)
        .to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_somebody_saved_meanwhile_is_left_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("quay.pump-kind.yaml");
        let draft = |original: &str| FixDraft {
            path: path.clone(),
            original: original.as_bytes().to_vec(),
            fixed: b"mended\n".to_vec(),
            settled: 1,
            left: false,
            remarks: Vec::new(),
        };
        std::fs::write(&path, "saved meanwhile\n").unwrap();
        assert!(write(&draft("as read\n")).is_err());
        assert_eq!(std::fs::read(&path).unwrap(), b"saved meanwhile\n");
        assert!(write(&draft("saved meanwhile\n")).is_ok());
        assert_eq!(std::fs::read(&path).unwrap(), b"mended\n");
    }
}
