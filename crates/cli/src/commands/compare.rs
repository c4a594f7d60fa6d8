//! `stainbook compare`: two transcriptions of one leaflet, side by side.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook_catalog::{Entry, read_entry};
use stainbook_catalog::{EntryKind, SourceFile};
use stainbook_check::compare::{Pairs, Scope, compare, pair, unfit};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::FileId;
use stainbook_present::comparison::{ComparedPair, FileComparison};
use stainbook_present::{comparison_json, comparison_text};

use crate::bounded_read;
use crate::catalog_files::{shown, walk};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::two_sides::{alike, exists, nothing_in};

/// Compare two people's transcriptions of one leaflet: every difference in meaning, side by side
///
/// Layout, order of fields and of rows, quoting, comments and the spelling of a unit do not count; another number, another
/// unit, another number of printed digits (5 and 5.0), another word, a field or row more or less do. Who typed it in and
/// verified it, and the entry's own short name, are left out unless `--everything` is given.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook compare kl/quay-co-r1.tube.yaml mt/quay-co-r1.tube.yaml
  stainbook compare kl mt                        two folders, file by file
  stainbook compare - mt/quay-co-r1.tube.yaml < draft.yaml

Exit codes: 0 no difference in meaning, 1 differences, 2 not carried out.")]
pub(crate) struct Compare {
    /// The first transcription: a file, a folder, or `-` for standard input
    a: PathBuf,
    /// The second transcription
    b: PathBuf,
    /// Compare also who typed it in and verified it, and the entries' short names
    #[arg(long)]
    everything: bool,
    /// How to say what differs
    #[arg(long, value_enum, default_value_t = ComparisonFormat::Text)]
    format: ComparisonFormat,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ComparisonFormat {
    /// Side by side
    Text,
    /// For scripts
    Json,
}

impl Compare {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == ComparisonFormat::Json
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let stdin = |path: &Path| path == Path::new("-");
        if stdin(&self.a) && stdin(&self.b) {
            return Err(Failure::usage(
                "standard input can be one of the two only",
                "name a file for the other",
            ));
        }
        for path in [&self.a, &self.b].into_iter().filter(|path| !stdin(path)) {
            exists(path)?;
        }
        alike(&self.a, &self.b)?;
        let folders = self.a.is_dir();
        let (mut a, mut b) = if folders {
            (
                ReadSide::folder(&self.a, 0)?,
                ReadSide::folder(&self.b, 1 << 31)?,
            )
        } else {
            (
                ReadSide::file(&self.a, &self.b, 0)?,
                ReadSide::file(&self.b, &self.a, 1)?,
            )
        };
        let pairs = if folders {
            pair(&a.entries, &b.entries)
        } else {
            one_pair(&a, &b)?
        };
        let mut failures = std::mem::take(&mut a.failures);
        failures.append(&mut b.failures);
        for failure in &failures {
            // Standard output holds one JSON document only.
            failure.report(false);
        }
        if !folders && !failures.is_empty() {
            return Ok(ExitStatus::Usage);
        }
        for side in [&a, &b] {
            side.say_errors();
        }
        let comparison = self.compared(&a.entries, &b.entries, &pairs);
        let text = match self.format {
            ComparisonFormat::Text => comparison_text::render(&comparison, output::colour()),
            ComparisonFormat::Json => {
                comparison_json::render(&comparison).map_err(Failure::ours)?
            }
        };
        output::data(&text);
        Ok(if !failures.is_empty() {
            ExitStatus::Usage
        } else if 0 < comparison.count() {
            ExitStatus::Findings
        } else {
            ExitStatus::Success
        })
    }

    fn compared<'e>(&self, a: &'e [Entry], b: &'e [Entry], pairs: &Pairs) -> FileComparison<'e> {
        let scope = if self.everything {
            Scope::Everything
        } else {
            Scope::Leaflet
        };
        let names = |of: &'e [Entry], indices: &[usize]| {
            indices
                .iter()
                .filter_map(|index| of.get(*index).map(|entry| entry.path.as_str()))
                .collect()
        };
        FileComparison {
            pairs: pairs
                .both
                .iter()
                .filter_map(|(i, j)| Some((a.get(*i)?, b.get(*j)?)))
                .map(|(a, b)| ComparedPair {
                    name_a: &a.path,
                    name_b: &b.path,
                    a: &a.document,
                    b: &b.document,
                    differences: compare(a.kind, &a.document, &b.document, scope),
                })
                .collect(),
            only_a: names(a, &pairs.only_a),
            only_b: names(b, &pairs.only_b),
        }
    }
}

/// Entries read of one side.
#[derive(Default)]
struct ReadSide {
    entries: Vec<Entry>,
    /// Number of errors in each file that do not keep it from being compared.
    errors: Vec<(String, usize)>,
    failures: Vec<Failure>,
}

impl ReadSide {
    fn folder(folder: &Path, first: u32) -> Result<Self, Failure> {
        let mut read = Self::default();
        let paths = walk(folder, false).entries;
        if paths.is_empty() {
            return Err(nothing_in(folder));
        }
        for (path, number) in paths.iter().zip(first..) {
            match bounded_read::file(path, bounded_read::ENTRY) {
                Ok(bytes) => read.add(shown(path), bytes, FileId(number)),
                Err(failure) => read.failures.push(failure),
            }
        }
        Ok(read)
    }

    /// Reads one file, or standard input as a file of the other's kind.
    fn file(path: &Path, other: &Path, number: u32) -> Result<Self, Failure> {
        let mut read = Self::default();
        if path == Path::new("-") {
            let kind = EntryKind::of_file(&shown(other)).map(|(kind, _)| kind);
            let name = match kind {
                Some(EntryKind::Catalog) => "<standard input>/catalog.yaml".to_owned(),
                Some(kind) => format!("<standard input>.{}.yaml", kind.name()),
                None => "<standard input>".to_owned(),
            };
            read.add(
                name,
                bounded_read::standard_input(bounded_read::ENTRY)?,
                FileId(number),
            );
        } else {
            let bytes = bounded_read::file(path, bounded_read::ENTRY)?;
            read.add(shown(path), bytes, FileId(number));
        }
        Ok(read)
    }

    fn add(&mut self, name: String, bytes: Vec<u8>, file: FileId) {
        let (entry, findings) = read_entry(file, &SourceFile::from_bytes(name.clone(), bytes));
        if let Some(finding) = unfit(&findings) {
            self.failures
                .push(cannot_compare(&name, entry.as_ref(), finding));
            return;
        }
        let errors = findings
            .iter()
            .filter(|f| f.level() == Level::Error)
            .count();
        if 0 < errors {
            self.errors.push((name, errors));
        }
        self.entries.extend(entry);
    }

    fn say_errors(&self) {
        for (name, count) in &self.errors {
            let (errors, they) = if *count == 1 {
                ("an error".to_owned(), "it")
            } else {
                (format!("{count} errors"), "them")
            };
            output::message(&format!(
                "note: `{name}` has {errors} of its own; `stainbook check` shows {they}"
            ));
        }
    }
}

fn cannot_compare(name: &str, entry: Option<&Entry>, finding: &Finding) -> Failure {
    let line = entry.map_or(1, |entry| {
        let start = entry.document.locate(finding.place()).start;
        entry.document.line_column(start).line
    });
    Failure::new(
        "cannot-compare",
        format!(
            "`{name}` cannot be compared: line {line}: {}",
            finding.message_text()
        ),
        finding
            .help_text()
            .unwrap_or("mend the file first; `stainbook check` shows the place"),
    )
}

/// Two files that were named are compared whatever they are called, if they are of one kind.
fn one_pair(a: &ReadSide, b: &ReadSide) -> Result<Pairs, Failure> {
    match (a.entries.first(), b.entries.first()) {
        (Some(a), Some(b)) if a.kind != b.kind => Err(Failure::usage(
            format!(
                "`{}` is a {} and `{}` a {}",
                a.path,
                a.kind.name(),
                b.path,
                b.kind.name()
            ),
            "two files of the same kind can be compared",
        )),
        (Some(_), Some(_)) => Ok(Pairs {
            both: vec![(0, 0)],
            ..Pairs::default()
        }),
        // One of them could not be read, which is said elsewhere.
        _ => Ok(Pairs::default()),
    }
}
