//! `stainbook tidy`: files in their usual form.

use std::path::PathBuf;

use clap::Args;

use super::check::CheckPaths;
use super::check::fix::tidy_files;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;

/// Write files in their usual form: fields in the usual order, usual spellings, no needless quotes
///
/// What a file says stays as it is, and so do its numbers, rows, brackets and blank lines; a comment stays beside its field or row.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook tidy my-lab
  stainbook tidy my-lab/tubes/quay-co-r1.tube.yaml --dry-run
  stainbook tidy my-lab --check
  stainbook tidy - --stdin-filename my-lab/tubes/quay-co-r1.tube.yaml < draft.yaml")]
pub(crate) struct TidyPaths {
    /// Files or folders; `-` for standard input, which is written to standard output. Without any, the catalog that this folder is in
    paths: Vec<PathBuf>,
    /// Show what would change, and change nothing
    #[arg(long)]
    dry_run: bool,
    /// Change nothing, and end with exit code 1 if anything would change
    #[arg(long, conflicts_with = "dry_run")]
    check: bool,
    /// A folder with a `catalog.yaml`, which the files are read as part of
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// The name that standard input is read under; it tells the kind of file and its catalog
    #[arg(long, value_name = "FILE")]
    stdin_filename: Option<PathBuf>,
}

impl TidyPaths {
    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let paths = CheckPaths::of(
            self.paths.clone(),
            self.catalog.clone(),
            self.stdin_filename.clone(),
        );
        tidy_files(&paths, self.dry_run, self.check)
    }
}
