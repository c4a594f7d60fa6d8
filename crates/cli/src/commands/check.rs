//! `stainbook check`: what is wrong with a catalog's files.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use stainbook::catalog::place::FileId;
use stainbook::check::{Deny, Options};
use stainbook::check_read;
use stainbook::present::counts::counted;
use stainbook::present::{Counts, Sources, findings_json, findings_short, findings_text};
use stainbook::{EntryKind, Finding};

use crate::catalog_choice::{Choice, choose, nearest};
use crate::catalog_files::{Input, Loaded, identity, load, shown, standard_input, walk};
use crate::end::End;
use crate::failure::Failure;
use crate::output;

/// Check files, or whole catalogs, for what is wrong or does not fit together
///
/// Each file is checked as part of its catalog: the nearest folder upward with a `catalog.yaml`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook check my-lab
  stainbook check my-lab/tubes/quay-co-r1.tube.yaml --format short
  stainbook check my-lab --as-of 2026-12-31 --deny warnings
  stainbook check - --stdin-filename my-lab/tubes/quay-co-r1.tube.yaml < draft.yaml")]
pub(crate) struct CheckPaths {
    /// Files or folders; `-` for standard input. Without any, the catalog that this folder is in
    paths: Vec<PathBuf>,
    /// How to say what is found
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// A folder with a `catalog.yaml`, which the files are checked as part of
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// The day by which dates are judged; without it, today (UTC)
    #[arg(long, value_name = "DATE")]
    as_of: Option<String>,
    /// What makes the exit code 1 besides errors
    #[arg(long, value_enum)]
    deny: Option<DenyName>,
    /// The name that standard input is read under; it tells the kind of file and its catalog
    #[arg(long, value_name = "FILE")]
    stdin_filename: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// With the line and a caret under it
    Text,
    /// One line each
    Short,
    /// For scripts
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum DenyName {
    /// Warnings as well
    Warnings,
}

/// What was found in all catalogs that were looked at.
struct Found {
    groups: Vec<(Loaded, Vec<Finding>)>,
    files: usize,
    failures: Vec<Failure>,
}

impl CheckPaths {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == Format::Json
    }

    pub(crate) fn run(&self) -> Result<End, Failure> {
        let options = Options {
            as_of: Some(as_of(self.as_of.as_deref())?),
        };
        let found = self.find(options)?;
        let json = self.format == Format::Json;
        for failure in &found.failures {
            // Standard output holds one JSON document only; what could not be read is said beside it.
            failure.report(false);
        }
        let all: Vec<&Finding> = found
            .groups
            .iter()
            .flat_map(|(_, findings)| findings)
            .collect();
        let counts = Counts::of(all.iter().copied());
        let words: Vec<&str> = found
            .groups
            .iter()
            .map(|(loaded, _)| loaded.words.as_str())
            .collect();
        if !json {
            output::message(&format!("catalog: {}", words.join("; ")));
        }
        output::data(&self.rendered(&found, &words)?);
        let denied = match self.deny {
            Some(DenyName::Warnings) => Deny::Warnings,
            None => Deny::Errors,
        };
        Ok(end(counts, denied, !found.failures.is_empty()))
    }

    fn rendered(&self, found: &Found, words: &[&str]) -> Result<String, Failure> {
        // Numbers of files are unique within one catalog only, so each catalog is shown by itself, and JSON is joined.
        let colour = output::colour();
        let mut out = String::new();
        let mut counts = Counts::default();
        let mut located = Vec::new();
        for (loaded, findings) in &found.groups {
            let sources = sources(loaded);
            let of = Counts::of(findings);
            counts.errors += of.errors;
            counts.warnings += of.warnings;
            counts.notes += of.notes;
            match self.format {
                Format::Text => out.push_str(&findings_text::each(findings, &sources, colour)),
                Format::Short => out.push_str(&findings_short::render(findings, &sources)),
                Format::Json => located.push((findings.as_slice(), sources)),
            }
        }
        match self.format {
            Format::Text => out.push_str(&findings_text::summary(counts, found.files, colour)),
            Format::Short => output::message(&counts.summary(found.files)),
            Format::Json => {
                out = findings_json::render_groups(&located, found.files, &words.join("; "))
                    .map_err(Failure::ours)?;
            }
        }
        Ok(out)
    }

    fn find(&self, options: Options) -> Result<Found, Failure> {
        let mut failures = Vec::new();
        let wanted = self.wanted(&mut failures)?;
        // One catalog may be reached under several names; it is read once.
        let mut by_catalog: BTreeMap<Option<String>, (Option<PathBuf>, Vec<Input>)> =
            BTreeMap::new();
        let mut seen = BTreeSet::new();
        let named = match &self.catalog {
            Some(_) => Some(choose(self.catalog.as_deref(), Path::new(""))?),
            None => None,
        };
        for input in wanted {
            let path = PathBuf::from(input.path());
            if !seen.insert(identity(&path)) {
                continue;
            }
            let root = match &named {
                Some(Choice::Folder(folder)) => Some(folder.clone()),
                Some(Choice::Embedded) => None,
                None => nearest(path.parent().unwrap_or(Path::new(""))),
            };
            let key = root.as_deref().map(identity);
            by_catalog
                .entry(key)
                .or_insert_with(|| (root, Vec::new()))
                .1
                .push(input);
        }
        let mut groups = Vec::new();
        let mut files = 0;
        for (root, inputs) in by_catalog.into_values() {
            let asked: BTreeSet<String> = inputs
                .iter()
                .map(|input| identity(Path::new(&input.path())))
                .collect();
            let choice = root.map_or(Choice::Embedded, Choice::Folder);
            let mut loaded = load(&choice, inputs);
            failures.append(&mut loaded.unreadable);
            let is_asked: BTreeSet<FileId> = loaded
                .paths
                .iter()
                .enumerate()
                .filter(|(_, path)| asked.contains(&identity(Path::new(path))))
                .filter_map(|(index, _)| u32::try_from(index).ok().map(FileId))
                .collect();
            files += is_asked.intersection(&loaded.read).count();
            let read = std::mem::take(&mut loaded.findings);
            let mut findings = check_read(&loaded.book, read, &options).findings;
            findings.retain(|finding| is_asked.contains(&finding.place().file));
            groups.push((loaded, findings));
        }
        Ok(Found {
            groups,
            files,
            failures,
        })
    }

    /// The files that were asked for, folders looked into.
    fn wanted(&self, failures: &mut Vec<Failure>) -> Result<Vec<Input>, Failure> {
        let here = [nearest(Path::new("")).unwrap_or_else(|| PathBuf::from("."))];
        let paths = if self.paths.is_empty() {
            &here[..]
        } else {
            &self.paths[..]
        };
        let mut inputs = Vec::new();
        for path in paths {
            if path == Path::new("-") {
                let name = self.stdin_filename.clone().ok_or_else(|| {
                    Failure::usage(
                        "standard input needs a name, which tells its kind",
                        "add `--stdin-filename quay-co-r1.tube.yaml`",
                    )
                })?;
                inputs.push(Input::Bytes(shown(&name), standard_input()?));
            } else if path.is_dir() {
                let (entries, others) = walk(path, false);
                if entries.is_empty() {
                    failures.push(Failure::new(
                        "nothing-to-check",
                        format!("there is nothing to check in `{}`", path.display()),
                        "files of a catalog end in `.tube.yaml`, `.substance.yaml`, `.pump.yaml` and so on",
                    ));
                }
                left_out(&others);
                inputs.extend(entries.into_iter().map(Input::File));
            } else {
                // A file that is not there is reported when it is read, and the others are still checked.
                inputs.push(Input::File(path.clone()));
            }
        }
        Ok(inputs)
    }
}

/// YAML files whose names tell no kind are not checked, and that is said: `x.tubes.yaml` may be a slip.
fn left_out(others: &[PathBuf]) {
    if others.is_empty() {
        return;
    }
    let names: Vec<String> = others.iter().take(3).map(|path| shown(path)).collect();
    let more = others.len().saturating_sub(names.len());
    let more = if more == 0 {
        String::new()
    } else {
        format!(" and {more} more")
    };
    let kinds: Vec<String> = EntryKind::ALL
        .into_iter()
        .skip(1)
        .map(|kind| format!(".{}.yaml", kind.name()))
        .collect();
    output::message(&format!(
        "note: {} left out, their names do not end in {}: {}{more}",
        counted(others.len(), "file"),
        kinds.join(", "),
        names.join(", ")
    ));
}

fn sources(loaded: &Loaded) -> Sources<'_> {
    let mut sources = Sources::of_book(&loaded.book);
    for (index, path) in loaded.paths.iter().enumerate() {
        if let Ok(index) = u32::try_from(index) {
            sources.add_unread(FileId(index), path);
        }
    }
    sources
}

fn end(counts: Counts, deny: Deny, unreadable: bool) -> End {
    if 0 < counts.ours {
        End::OurBug
    } else if unreadable {
        End::NotCarriedOut
    } else if 0 < counts.errors || (deny == Deny::Warnings && 0 < counts.warnings) {
        End::Wrong
    } else {
        End::Well
    }
}

/// The day that is named, else today at Greenwich, so that two laboratories that check at one time agree.
pub(crate) fn as_of(text: Option<&str>) -> Result<Date, Failure> {
    match text {
        Some(text) => text.parse().map_err(|_| {
            Failure::usage(
                format!("--as-of: `{text}` is not a date"),
                "write year, month and day as in `2026-03-02`",
            )
        }),
        None => Ok(Timestamp::now().to_zoned_datetime(TimeZone::UTC).date()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_decides_how_it_ends() {
        let counts = |errors, warnings, ours| Counts {
            errors,
            warnings,
            notes: 1,
            ours,
        };
        for (counts, deny, unreadable, expected) in [
            (counts(0, 0, 0), Deny::Warnings, false, End::Well),
            (counts(0, 1, 0), Deny::Errors, false, End::Well),
            (counts(0, 1, 0), Deny::Warnings, false, End::Wrong),
            (counts(2, 0, 0), Deny::Errors, false, End::Wrong),
            (counts(2, 0, 0), Deny::Errors, true, End::NotCarriedOut),
            (counts(2, 0, 1), Deny::Errors, true, End::OurBug),
        ] {
            assert_eq!(
                end(counts, deny, unreadable),
                expected,
                "{counts:?} {unreadable}"
            );
        }
    }
}
