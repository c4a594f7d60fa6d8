//! `evaluate --verify`: records worked out again, from their own facts and with the catalog as it is now.

use std::path::{Path, PathBuf};

use ignore::WalkBuilder;
use stainbook_evaluation::SheetErrors;
use stainbook_present::{pretty_json, verification_csv, verification_text};
use stainbook_revision::record::{Record, verify};
use stainbook_revision::verification::{Verification, VerifiedRecord};

use super::results_format::{OutputContent, ResultsFormat, put};
use super::{Evaluate, end};
use crate::bounded_read;
use crate::catalog_choice::choose;
use crate::catalog_files::shown;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::refuse_over_input;
use crate::progress::{Progress, Unit};

impl Evaluate {
    /// Works records out again and says what still holds.
    pub(super) fn verify(&self) -> Result<ExitStatus, Failure> {
        let format = self.format();
        if !matches!(
            format,
            ResultsFormat::Text | ResultsFormat::Json | ResultsFormat::Csv
        ) {
            return Err(Failure::usage(
                "records are verified as text, json or csv",
                "say --format text, json or csv",
            ));
        }
        let mut files = Vec::new();
        for named in &self.verify {
            files.extend(record_files(named)?);
        }
        let from = self.verify.first().and_then(|path| path.parent());
        let choice = choose(self.catalog.as_deref(), from.unwrap_or(Path::new("")))?;
        let checked = self.checked(&choice, Vec::new())?;
        // Whoever asks for it wants to know what a sheet would do, whatever the check says of it.
        let errors = |id: &str| {
            if self.despite_findings {
                SheetErrors::default()
            } else {
                checked.errors_of(id)
            }
        };
        let mut progress = Progress::new(
            u64::try_from(files.len()).unwrap_or(0),
            Unit::Records,
            self.talk(),
        );
        let mut records: Vec<VerifiedRecord> = Vec::new();
        let mut frame: Option<Verification> = None;
        let mut complete = true;
        for (file, done) in files.iter().zip(1..) {
            // One file at a time: a folder of ten years need not fit into memory.
            match read(file) {
                Ok(read) => {
                    if let Some(output) = &self.output {
                        refuse_over_input(output, [file])?;
                    }
                    let mut verified = verify(&checked.loaded.book, &read, &errors);
                    records.append(&mut verified.records);
                    frame.get_or_insert(verified);
                }
                // Other JSON files lie in the same folders; one that was named has to be a record.
                Err(failure) => {
                    let named = self.verify.contains(file);
                    if named || failure.code != "no-record" {
                        failure.report(false);
                        complete = false;
                    } else if !self.quiet {
                        output::message(&format!("note: {}; it is passed over", failure.message));
                    }
                }
            }
            progress.at(done);
        }
        progress.end();
        let Some(mut verification) = frame else {
            return Err(Failure::new(
                "no-record",
                "there is no record to verify",
                "keep results with `stainbook evaluate SURVEY --output records/NAME.json`",
            ));
        };
        verification.records = records;
        let text = match format {
            ResultsFormat::Json => pretty_json::written(&verification).map_err(Failure::ours)?,
            ResultsFormat::Csv => {
                self.for_excel(verification_csv::render(&verification).map_err(Failure::ours)?)?
            }
            _ => verification_text::render(&verification, output::colour()),
        };
        put(&OutputContent::Text(text), self.output.as_deref())?;
        let end = end(verification.all_hold(), &checked);
        Ok(if complete {
            end
        } else {
            end.max(ExitStatus::Usage)
        })
    }
}

/// The files that a name stands for: itself, or what lies in the folder and may be a record, in alphabetical order.
fn record_files(path: &Path) -> Result<Vec<PathBuf>, Failure> {
    if path == Path::new("-") || path.is_file() {
        return Ok(vec![path.to_path_buf()]);
    }
    if !path.is_dir() {
        let missing = std::io::Error::from(std::io::ErrorKind::NotFound);
        return Err(Failure::unreadable(path, &missing));
    }
    let is_record = |path: &Path| {
        path.extension()
            .is_some_and(|extension| extension == "json" || extension == "jsonl")
    };
    Ok(WalkBuilder::new(path)
        .standard_filters(false)
        .hidden(true)
        .sort_by_file_name(Ord::cmp)
        .build()
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_some_and(|kind| kind.is_file()))
        .map(ignore::DirEntry::into_path)
        .filter(|path| is_record(path))
        .collect())
}

fn read(path: &Path) -> Result<Vec<Record>, Failure> {
    let bytes = if path == Path::new("-") {
        bounded_read::standard_input(bounded_read::RECORDS)?
    } else {
        bounded_read::file(path, bounded_read::RECORDS)?
    };
    let no_record = |why: String| {
        Failure::new(
            "no-record",
            format!("`{}` is no record: {why}", path.display()),
            "a record is what `stainbook evaluate --format json` or `jsonl` writes",
        )
    };
    let text = String::from_utf8(bytes).map_err(|error| no_record(error.to_string()))?;
    Record::read(&shown(path), &text).map_err(|error| no_record(error.to_string()))
}
