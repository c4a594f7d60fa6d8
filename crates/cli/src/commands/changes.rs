//! `stainbook changes`: what changed between two states of a catalog, and what that does to results.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook_catalog::Entry;
use stainbook_catalog::EntryKind;
use stainbook_check::compare::unfit;
use stainbook_document::finding::Finding;
use stainbook_document::place::FileId;
use stainbook_present::{changes_json, changes_text};
use stainbook_revision::changes::{State, changes};

use crate::catalog_choice::{Choice, nearest, root_file};
use crate::catalog_files::{Input, Loaded, identity, load, walk};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::revision_catalog::load_at_revision;
use crate::two_sides::{alike, exists, nothing_in};

/// Say what changed between two states of a sheet or a catalog, and which results move by how much
///
/// Readings are worked out with both states, over the marks, stroke counts, temperatures, humidities and pressures of both:
/// `at 0 °C: results fall by 3.8 %`. Limits, molar masses and the surveys of the catalog are compared as well.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook changes tubes/quay-co-r1.tube.yaml tubes/quay-co-r2.tube.yaml
  stainbook changes lab-2025 lab-2026               two folders
  stainbook changes --git HEAD~3 HEAD               two revisions of the repository here
  stainbook changes --git v1 v2 -- lab/tubes        only what lies there

Exit codes, as of other tools that tell differences: 0 nothing changed in meaning nor in the
results of surveys, 1 changes, 2 not carried out.")]
pub(crate) struct Changes {
    /// The old state: a file, a folder, or with `--git` a revision
    old: String,
    /// The new state
    new: String,
    /// OLD and NEW are revisions of the git repository that the working directory is in
    #[arg(long)]
    git: bool,
    /// With `--git`: files or folders; without any, the working directory
    #[arg(last = true, requires = "git", value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// How to say what changed
    #[arg(long, value_enum, default_value_t = ChangesFormat::Text)]
    format: ChangesFormat,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ChangesFormat {
    /// Sentences
    Text,
    /// For scripts
    Json,
}

/// One state as read.
struct CatalogSide {
    loaded: Loaded,
    wanted: BTreeSet<FileId>,
}

impl Changes {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == ChangesFormat::Json
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let (old, new) = if self.git {
            (
                CatalogSide::at_revision(&self.old, &self.paths)?,
                CatalogSide::at_revision(&self.new, &self.paths)?,
            )
        } else {
            let (old, new) = (Path::new(&self.old), Path::new(&self.new));
            exists(old)?;
            exists(new)?;
            alike(old, new)?;
            (CatalogSide::at_path(old)?, CatalogSide::at_path(new)?)
        };
        if !self.git && Path::new(&self.old).is_file() {
            one_kind(&old, &new)?;
        }
        let mut complete = true;
        for side in [&old, &new] {
            complete &= side.say_unread();
        }
        let (was, is) = (old.state(), new.state());
        let found = changes(&was, &is);
        let text = match self.format {
            ChangesFormat::Text => changes_text::render(&found, output::colour()),
            ChangesFormat::Json => changes_json::render(&found).map_err(Failure::ours)?,
        };
        output::data(&text);
        Ok(if !complete {
            ExitStatus::Usage
        } else if found.is_empty() && found.surveys.is_empty() {
            ExitStatus::Success
        } else {
            ExitStatus::Findings
        })
    }
}

impl CatalogSide {
    fn at_path(path: &Path) -> Result<Self, Failure> {
        let files = if path.is_dir() {
            walk(path, false).entries
        } else {
            vec![path.to_path_buf()]
        };
        if files.is_empty() {
            return Err(nothing_in(path));
        }
        let inside = if path.is_dir() {
            path
        } else {
            path.parent().unwrap_or(Path::new(""))
        };
        let root = root_file(inside)
            .map(|_| inside.to_path_buf())
            .or_else(|| nearest(inside));
        let wanted: BTreeSet<String> = files.iter().map(|file| identity(file)).collect();
        let choice = root.map_or(Choice::Embedded, Choice::Folder);
        let loaded = load(&choice, files.into_iter().map(Input::File).collect());
        Ok(Self::of(loaded, |path| {
            wanted.contains(&identity(Path::new(path)))
        }))
    }

    fn at_revision(revision: &str, paths: &[PathBuf]) -> Result<Self, Failure> {
        let read = load_at_revision(revision, paths)?;
        Ok(Self::of(read.loaded, |path| read.wanted.contains(path)))
    }

    fn of(loaded: Loaded, is_wanted: impl Fn(&str) -> bool) -> Self {
        let wanted = loaded
            .paths
            .iter()
            .zip(0..)
            .filter(|(path, _)| is_wanted(path))
            .map(|(_, number)| FileId(number))
            .collect();
        Self { loaded, wanted }
    }

    fn state(&self) -> State<'_> {
        State {
            book: &self.loaded.book,
            entries: self.entries().collect(),
        }
    }

    fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.loaded
            .book
            .own()
            .filter(|entry| self.wanted.contains(&entry.file))
    }

    /// Says which of the wanted files could not be read, and whether all could.
    fn say_unread(&self) -> bool {
        for failure in &self.loaded.unreadable {
            failure.report(false);
        }
        let mut complete = self.loaded.unreadable.is_empty();
        for file in &self.wanted {
            let of_file = |finding: &&Finding| finding.place().file == *file;
            let findings: Vec<Finding> = self
                .loaded
                .findings
                .iter()
                .filter(of_file)
                .cloned()
                .collect();
            if let Some(finding) = unfit(&findings) {
                let index = usize::try_from(file.0).unwrap_or(usize::MAX);
                let path = self.loaded.paths.get(index).map_or("", String::as_str);
                output::message(&format!(
                    "error: `{path}` was not read to its end: {}",
                    finding.message_text()
                ));
                output::message("  help: mend it first; `stainbook check` shows the place");
                complete = false;
            }
        }
        complete
    }
}

/// Two files that were named have to be of one kind.
fn one_kind(old: &CatalogSide, new: &CatalogSide) -> Result<(), Failure> {
    let kind = |side: &CatalogSide| side.entries().next().map(|entry| entry.kind);
    match (kind(old), kind(new)) {
        (Some(a), Some(b)) if a == b => Ok(()),
        (Some(a), Some(b)) => Err(Failure::usage(
            format!(
                "the old file is a {} and the new one a {}",
                a.name(),
                b.name()
            ),
            "two files of the same kind can be compared",
        )),
        _ => Err(Failure::new(
            "unknown-file-kind",
            "the name of a file does not say what it holds",
            format!("end it in `.{}.yaml` or the like", EntryKind::Tube.name()),
        )),
    }
}
