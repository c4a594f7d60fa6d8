//! `stainbook check`: what is wrong with a catalog's files.

mod baseline;
pub(super) mod fix;
mod output_format;
mod watch;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use stainbook::check_read;
use stainbook_catalog::EntryKind;
use stainbook_check::{Deny, Options};
use stainbook_document::finding::Finding;
use stainbook_document::place::FileId;
use stainbook_present::counts::counted;
use stainbook_present::{Counts, Sources};

use crate::bounded_read;
use crate::catalog_choice::{Choice, choose, nearest};
use crate::catalog_files::{
    Input, Loaded, forget_where_files_lie, identity, load, load_found, shown, walk,
};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::table_arguments::TableArgs;
use baseline::Baselined;
use output_format::FindingsFormat;

/// Check files, or whole catalogs, for what is wrong or does not fit together
///
/// Each file is checked as part of its catalog: the nearest folder upward with a `catalog.yaml`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook check my-lab
  stainbook check my-lab/tubes/quay-co-r1.tube.yaml --format short
  stainbook check my-lab --as-of 2026-12-31 --deny warnings
  stainbook check - --stdin-filename my-lab/tubes/quay-co-r1.tube.yaml < draft.yaml
  stainbook check my-lab --fix --dry-run
  stainbook check my-lab --write-baseline my-lab/baseline.yaml
  stainbook check my-lab --baseline my-lab/baseline.yaml --format sarif > findings.sarif")]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a switch of the command line"
)]
pub(crate) struct CheckPaths {
    /// Files or folders; `-` for standard input. Without any, the catalog that this folder is in
    paths: Vec<PathBuf>,
    /// How to say what is found
    #[arg(long, value_enum, default_value_t = FindingsFormat::Text)]
    format: FindingsFormat,
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
    /// Mend what can be mended without a doubt: quotes, spellings of units; nothing else of a file is touched
    #[arg(long)]
    fix: bool,
    /// Show what `--fix` would change, and change nothing
    #[arg(long, requires = "fix")]
    dry_run: bool,
    /// Pass over the findings that this file lists, so that only what is new is reported
    #[arg(long, value_name = "FILE", conflicts_with = "fix")]
    baseline: Option<PathBuf>,
    /// List today's findings in this file, for `--baseline`
    #[arg(long, value_name = "FILE", conflicts_with_all = ["baseline", "fix", "watch"])]
    write_baseline: Option<PathBuf>,
    #[command(flatten)]
    table: TableArgs,
    /// Check again whenever a file changes, until Ctrl-C
    #[arg(long, conflicts_with = "fix")]
    watch: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum DenyName {
    /// Warnings as well
    Warnings,
}

/// Findings in all catalogs that were looked at.
struct CheckedCatalogs {
    groups: Vec<CheckedCatalog>,
    files: usize,
    failures: Vec<Failure>,
    /// Findings of a baseline that are no longer there.
    baselined: Option<Baselined>,
}

/// Findings in one catalog. Numbers of files are unique within one catalog only.
struct CheckedCatalog {
    loaded: Loaded,
    findings: Vec<Finding>,
    /// The files that were asked for, of all that were read.
    asked: BTreeSet<FileId>,
}

impl CheckPaths {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == FindingsFormat::Json
    }

    /// These paths with nothing else asked for.
    pub(super) fn of(
        paths: Vec<PathBuf>,
        catalog: Option<PathBuf>,
        stdin_filename: Option<PathBuf>,
    ) -> Self {
        Self {
            paths,
            format: FindingsFormat::Text,
            catalog,
            as_of: None,
            deny: None,
            stdin_filename,
            fix: false,
            dry_run: false,
            baseline: None,
            write_baseline: None,
            table: TableArgs::default(),
            watch: false,
        }
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        if self.watch {
            return watch::run(self);
        }
        self.once()
    }

    /// One run over the files as they are now.
    fn once(&self) -> Result<ExitStatus, Failure> {
        forget_where_files_lie();
        if let Some(file) = &self.write_baseline {
            baseline::refuse_other(file)?;
        }
        let options = Options::default().with_as_of(as_of(self.as_of.as_deref())?);
        let mut failures = Vec::new();
        let wanted = self.wanted(&mut failures)?;
        let mut found = if self.fix {
            match fix::mend_files(self, wanted, options, failures)? {
                fix::FixOutcome::Shown(end) => return Ok(end),
                fix::FixOutcome::Made(found) => *found,
            }
        } else {
            self.find(wanted, options, failures)?
        };
        if let Some(file) = &self.write_baseline {
            return baseline::write_to(file, &found);
        }
        if let Some(file) = &self.baseline {
            found.baselined = Some(baseline::apply(file, &mut found, self.whole_folders())?);
        }
        let end = self.report(&found);
        if !self.watch {
            // The process ends here, and taking ten thousand sheets apart before it does helps nobody.
            std::mem::forget(found);
        }
        end
    }

    fn report(&self, found: &CheckedCatalogs) -> Result<ExitStatus, Failure> {
        for failure in &found.failures {
            // Standard output holds one document only; what could not be read is said beside it.
            failure.report(false);
        }
        if matches!(self.format, FindingsFormat::Text | FindingsFormat::Short) {
            output::message(&format!("catalog: {}", found.catalogs()));
        }
        output_format::write(self.format, found, self.denied())?;
        let counts = found.counts();
        if !matches!(self.format, FindingsFormat::Text | FindingsFormat::Json) {
            output::message(&counts.summary(found.files));
        }
        let failed = found.failures.iter().map(|failure| failure.end).max();
        Ok(end(counts, self.denied(), failed))
    }

    fn denied(&self) -> Deny {
        match self.deny {
            Some(DenyName::Warnings) => Deny::Warnings,
            None => Deny::Errors,
        }
    }

    /// True if folders were asked for, so that what is not in them is known to be gone.
    fn whole_folders(&self) -> bool {
        self.paths.iter().all(|path| path.is_dir())
    }

    fn find(
        &self,
        wanted: Vec<Input>,
        options: Options,
        mut failures: Vec<Failure>,
    ) -> Result<CheckedCatalogs, Failure> {
        // A catalog is the same by whatever way it was found; it is shown by the shortest.
        let mut by_catalog: BTreeMap<Option<String>, (Option<PathBuf>, Vec<Input>)> =
            BTreeMap::new();
        let mut seen = BTreeSet::new();
        let mut nearest_to: BTreeMap<PathBuf, Option<PathBuf>> = BTreeMap::new();
        let named = match &self.catalog {
            Some(_) => Some(choose(self.catalog.as_deref(), Path::new(""))?),
            None => None,
        };
        for input in wanted {
            let path = PathBuf::from(input.path());
            if !seen.insert(input.identity()) {
                continue;
            }
            let root = match &named {
                Some(Choice::Folder(folder)) => Some(folder.clone()),
                Some(Choice::Embedded) => None,
                None => {
                    let folder = path.parent().unwrap_or(Path::new(""));
                    let known = nearest_to.entry(folder.to_path_buf());
                    known.or_insert_with(|| nearest(folder)).clone()
                }
            };
            let (shortest, inputs) = by_catalog
                .entry(root.as_deref().map(identity))
                .or_insert_with(|| (root.clone(), Vec::new()));
            if let (Some(shortest), Some(root)) = (shortest, root)
                && shown(&root).len() < shown(shortest).len()
            {
                *shortest = root;
            }
            inputs.push(input);
        }
        drop(seen);
        let mut groups = Vec::new();
        let mut files = 0;
        for (root, inputs) in by_catalog.into_values() {
            let names: BTreeSet<String> = inputs
                .iter()
                .map(|input| identity(Path::new(&input.path())))
                .collect();
            let choice = root.map_or(Choice::Embedded, Choice::Folder);
            let mut loaded = if named.is_none() && self.looked_through(&choice) {
                load_found(&choice, Vec::new(), inputs)
            } else {
                load(&choice, inputs)
            };
            failures.append(&mut loaded.unreadable);
            let asked: BTreeSet<FileId> = loaded
                .paths
                .iter()
                .enumerate()
                .filter(|(_, path)| names.contains(&identity(Path::new(path))))
                .filter_map(|(index, _)| u32::try_from(index).ok().map(FileId))
                .collect();
            // Names of ten thousand files are not kept while their entries are looked at.
            drop(names);
            forget_where_files_lie();
            let paths: BTreeSet<&String> = asked
                .intersection(&loaded.read)
                .filter_map(|file| loaded.paths.get(usize::try_from(file.0).ok()?))
                .collect();
            files += paths.len();
            let read = std::mem::take(&mut loaded.findings);
            let mut findings = check_read(&loaded.book, read, &options).findings;
            findings.retain(|finding| asked.contains(&finding.place().file));
            groups.push(CheckedCatalog {
                loaded,
                findings,
                asked,
            });
        }
        Ok(CheckedCatalogs {
            groups,
            files,
            failures,
            baselined: None,
        })
    }

    /// True if a folder was asked for that holds the whole catalog, so that all of its files are asked for.
    fn looked_through(&self, choice: &Choice) -> bool {
        let Choice::Folder(root) = choice else {
            return false;
        };
        let holds = |folder: &PathBuf| folder.is_dir() && root.starts_with(folder);
        // Without a path it is the nearest catalog that is looked through.
        self.paths.is_empty() || self.paths.iter().any(holds)
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
                inputs.push(Input::Bytes(
                    shown(&name),
                    bounded_read::standard_input(bounded_read::TABLE)?,
                ));
            } else if path.is_dir() {
                let below = walk(path, false);
                if below.entries.is_empty() && below.tables.is_empty() && below.capitals.is_empty()
                {
                    failures.push(Failure::new(
                        "nothing-to-check",
                        format!("there is nothing to check in `{}`", path.display()),
                        "files of a catalog end in `.tube.yaml`, `.substance.yaml`, `.pump.yaml` and so on",
                    ));
                }
                left_out(&self.but_baselines(below.others));
                inputs.extend(
                    below
                        .entries
                        .into_iter()
                        .chain(below.tables)
                        .chain(below.capitals)
                        .map(Input::File),
                );
            } else {
                // A file that is not there is reported when it is read, and the others are still checked.
                inputs.push(Input::File(path.clone()));
            }
        }
        let settings = self.table.settings();
        let mut by_worksheets = Vec::with_capacity(inputs.len());
        for input in inputs {
            match input.by_worksheets(settings) {
                Ok(worksheets) => by_worksheets.extend(worksheets),
                Err(failure) => failures.push(failure),
            }
        }
        Ok(by_worksheets)
    }

    /// The baseline lies beside what it is about, and is no entry that was misnamed.
    fn but_baselines(&self, mut others: Vec<PathBuf>) -> Vec<PathBuf> {
        let named = self.baseline.iter().chain(&self.write_baseline);
        let named: Vec<String> = named.map(|path| identity(path)).collect();
        others.retain(|path| !named.contains(&identity(path)));
        others
    }
}

impl CheckedCatalogs {
    fn counts(&self) -> Counts {
        let baselined = self
            .baselined
            .iter()
            .flat_map(|baselined| &baselined.unused);
        Counts::of(
            self.groups
                .iter()
                .flat_map(|group| &group.findings)
                .chain(baselined),
        )
    }

    /// The catalogs, in words.
    fn catalogs(&self) -> String {
        let words: Vec<&str> = self
            .groups
            .iter()
            .map(|group| group.loaded.words.as_str())
            .collect();
        words.join("; ")
    }
}

impl CheckedCatalog {
    fn sources(&self) -> Sources<'_> {
        sources(&self.loaded)
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

fn end(counts: Counts, deny: Deny, failed: Option<ExitStatus>) -> ExitStatus {
    if 0 < counts.ours {
        ExitStatus::Internal
    } else if let Some(failed) = failed {
        failed
    } else if 0 < counts.errors || (deny == Deny::Warnings && 0 < counts.warnings) {
        ExitStatus::Findings
    } else {
        ExitStatus::Success
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
            (counts(0, 0, 0), Deny::Warnings, false, ExitStatus::Success),
            (counts(0, 1, 0), Deny::Errors, false, ExitStatus::Success),
            (counts(0, 1, 0), Deny::Warnings, false, ExitStatus::Findings),
            (counts(2, 0, 0), Deny::Errors, false, ExitStatus::Findings),
            (counts(2, 0, 0), Deny::Errors, true, ExitStatus::Usage),
            (counts(2, 0, 1), Deny::Errors, true, ExitStatus::Internal),
        ] {
            assert_eq!(
                end(counts, deny, unreadable.then_some(ExitStatus::Usage)),
                expected,
                "{counts:?} {unreadable}"
            );
        }
    }
}
