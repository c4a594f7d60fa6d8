//! How results are said.

use clap::ValueEnum;
use stainbook::present::results_text::{self, Detail};
use stainbook::present::{results_csv, results_json, together_csv};
use stainbook::reading::Evaluation;

use crate::failure::Failure;
use crate::output;

/// How results are said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For people
    Text,
    /// For scripts
    Json,
    /// For a spreadsheet, a row for each reading
    Csv,
    /// For a spreadsheet, a row for each figure that several readings make together
    TogetherCsv,
}

impl Format {
    /// The whole evaluation as it is said.
    pub(super) fn rendered(
        self,
        evaluation: &Evaluation,
        detail: Detail,
    ) -> Result<String, Failure> {
        match self {
            Self::Text => Ok(results_text::render(evaluation, detail, output::colour())),
            Self::Json => results_json::render(evaluation).map_err(Failure::ours),
            Self::Csv => results_csv::render(evaluation).map_err(Failure::ours),
            Self::TogetherCsv => together_csv::render(evaluation).map_err(Failure::ours),
        }
    }
}
