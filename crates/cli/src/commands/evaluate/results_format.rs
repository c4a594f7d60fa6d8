//! Formats of results, and their target.

use std::io::{self, Write as _};
use std::path::Path;

use clap::ValueEnum;
use stainbook_evaluation::Evaluation;
use stainbook_present::results_text::{self, Detail};
use stainbook_present::{
    results_csv, results_html, results_json, results_jsonl, results_xlsx, together_csv,
};

use crate::bounded_read;
use crate::failure::Failure;
use crate::output;
use crate::output_file::{self, IfThere, OutputFile};

/// Formats of results.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ResultsFormat {
    /// For people
    Text,
    /// For scripts, and the record to keep: `--verify` reads it
    Json,
    /// The same, one result a line, written as the readings come in
    Jsonl,
    /// For a spreadsheet, a row for each reading, written as the readings come in
    Csv,
    /// For a spreadsheet, a row for each figure that several readings make together
    TogetherCsv,
    /// A spreadsheet, with factors and provenance; needs --output
    Xlsx,
    /// A field record to print, A4 or Letter
    Html,
}

/// Contents of the output.
pub(super) enum OutputContent {
    Text(String),
    Bytes(Vec<u8>),
}

impl ResultsFormat {
    /// The format that a file's name asks for.
    pub(super) fn of_file(path: &Path) -> Option<Self> {
        let extension = path.extension()?.to_str()?.to_ascii_lowercase();
        Some(match extension.as_str() {
            "txt" => Self::Text,
            "json" => Self::Json,
            "jsonl" | "ndjson" => Self::Jsonl,
            "csv" => Self::Csv,
            "xlsx" => Self::Xlsx,
            "html" | "htm" => Self::Html,
            _ => return None,
        })
    }

    /// True if each result is written as soon as it is there.
    pub(super) fn streams(self) -> bool {
        matches!(self, Self::Jsonl | Self::Csv)
    }

    /// The whole evaluation as it is said.
    pub(super) fn rendered(
        self,
        evaluation: &Evaluation,
        detail: Detail,
        template: Option<&Path>,
    ) -> Result<OutputContent, Failure> {
        Ok(match self {
            Self::Text => {
                OutputContent::Text(results_text::render(evaluation, detail, output::colour()))
            }
            Self::Json => {
                OutputContent::Text(results_json::render(evaluation).map_err(Failure::ours)?)
            }
            Self::Jsonl => {
                OutputContent::Text(results_jsonl::render(evaluation).map_err(Failure::ours)?)
            }
            Self::Csv => {
                OutputContent::Text(results_csv::render(evaluation).map_err(Failure::ours)?)
            }
            Self::TogetherCsv => {
                OutputContent::Text(together_csv::render(evaluation).map_err(Failure::ours)?)
            }
            Self::Xlsx => {
                OutputContent::Bytes(results_xlsx::render(evaluation).map_err(Failure::ours)?)
            }
            Self::Html => OutputContent::Text(html(evaluation, template)?),
        })
    }
}

fn html(evaluation: &Evaluation, template: Option<&Path>) -> Result<String, Failure> {
    let Some(path) = template else {
        return results_html::render(evaluation).map_err(Failure::ours);
    };
    let bytes = bounded_read::file(path, bounded_read::ENTRY)?;
    let text = String::from_utf8(bytes).map_err(|_| {
        Failure::new(
            "template-unusable",
            format!("`{}` is not UTF-8", path.display()),
            "save the template as UTF-8",
        )
    })?;
    // A template's expressions may be as deep as it is long.
    let rendered = std::thread::scope(|scope| {
        let render = || results_html::render_with(&text, evaluation);
        let thread = std::thread::Builder::new().stack_size(results_html::STACK);
        let thread = thread.spawn_scoped(scope, render).map_err(Failure::ours)?;
        thread
            .join()
            .map_err(|_| Failure::ours("the template was not filled in to its end"))
    })?;
    rendered.map_err(|error| {
        Failure::new(
            "template-unusable",
            format!("`{}`: {error}", path.display()),
            "mend the template; `stainbook evaluate --help` says what it is given",
        )
    })
}

/// Target of the results: standard output, or a file that takes its place when all is written.
pub(super) enum OutputTarget {
    Stdout { waiting: String },
    File(OutputFile),
}

/// Standard output is written to in pieces of this size, as a call for each line of a million takes its time.
const PIECE: usize = 64 * 1024;

impl OutputTarget {
    pub(super) fn open(path: Option<&Path>) -> Result<Self, Failure> {
        let Some(path) = path else {
            return Ok(Self::Stdout {
                waiting: String::new(),
            });
        };
        OutputFile::open(path, IfThere::Replace)
            .map(Self::File)
            .map_err(|error| Failure::unwritable(path, &error))
    }

    /// Writes text; false if nobody reads on.
    pub(super) fn write(&mut self, text: &str) -> Result<bool, Failure> {
        match self {
            Self::Stdout { waiting } => {
                waiting.push_str(text);
                if waiting.len() < PIECE {
                    return Ok(true);
                }
                let more = output::piece(waiting);
                waiting.clear();
                Ok(more)
            }
            Self::File(file) => match file.write_all(text.as_bytes()) {
                Ok(()) => Ok(true),
                Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(false),
                Err(error) => Err(Failure::unwritable(file.path(), &error)),
            },
        }
    }

    pub(super) fn end(self) -> Result<(), Failure> {
        match self {
            Self::Stdout { waiting } => {
                output::data(&waiting);
                Ok(())
            }
            Self::File(file) => {
                let path = file.path().to_path_buf();
                match file.finish() {
                    // A reader of a FIFO that has had enough.
                    Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
                    end => end.map_err(|error| Failure::unwritable(&path, &error)),
                }
            }
        }
    }
}

/// Writes what was rendered as a whole.
pub(super) fn put(content: &OutputContent, path: Option<&Path>) -> Result<(), Failure> {
    match (content, path) {
        (OutputContent::Text(text), None) => {
            output::data(text);
            Ok(())
        }
        (OutputContent::Text(text), Some(path)) => output_file::replace(path, text.as_bytes()),
        (OutputContent::Bytes(bytes), Some(path)) => output_file::replace(path, bytes),
        (OutputContent::Bytes(_), None) => Err(Failure::usage(
            "a spreadsheet is not written to a terminal",
            "say where to with --output FILE.xlsx",
        )),
    }
}
