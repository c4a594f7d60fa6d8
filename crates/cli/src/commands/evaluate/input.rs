//! The survey that is evaluated: an entry of a catalog, or a table.

use std::path::Path;

use stainbook::present::{Sources, findings_text};
use stainbook::reading::survey_csv::{self, DecimalMark};
use stainbook::reading::{Evaluation, evaluate};
use stainbook::{EntryKind, Finding};

use super::Evaluate;
use super::checked::Checked;
use crate::catalog_files::identity;
use crate::end::End;
use crate::failure::Failure;
use crate::output;

impl Evaluate {
    /// Evaluates a table.
    pub(super) fn table(
        &self,
        name: &Path,
        bytes: &[u8],
        checked: &Checked,
    ) -> Result<Evaluation, Failure> {
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let good =
                String::from_utf8_lossy(bytes.get(..error.valid_up_to()).unwrap_or_default());
            let line = good.matches('\n').count() + 1;
            Failure::new(
                "not-utf-8",
                format!(
                    "`{}`, line {line}: the table is not saved as UTF-8",
                    name.display()
                ),
                "save it as UTF-8 (in a spreadsheet: CSV UTF-8)",
            )
        })?;
        let mark = if self.decimal_comma {
            DecimalMark::Comma
        } else {
            DecimalMark::Point
        };
        let errors = |id: &str| checked.errors_of(EntryKind::Tube, id);
        survey_csv::evaluate_csv(
            &checked.loaded.book,
            text.trim_start_matches('\u{feff}'),
            mark,
            &self.options(&errors),
        )
        .map_err(|problem| {
            Failure::new(
                "table-unreadable",
                format!(
                    "`{}`, line 1, column {}: {}",
                    name.display(),
                    problem.column,
                    problem.message
                ),
                problem.help,
            )
        })
    }

    /// Evaluates a survey that is an entry of the book.
    pub(super) fn entry(&self, name: &Path, checked: &Checked) -> Result<Evaluation, Failure> {
        let wanted = identity(name);
        let book = &checked.loaded.book;
        let found = book
            .surveys()
            .find(|(entry, _)| identity(Path::new(&entry.path)) == wanted);
        let Some((entry, survey)) = found else {
            return Err(Failure::ours(format!(
                "the survey `{}` was read and is not in the book",
                name.display()
            )));
        };
        let id = entry.id().to_owned();
        if 0 < checked.errors_of(EntryKind::Survey, &id) && !self.despite_findings {
            let sources = Sources::of_book(book);
            let own: Vec<Finding> = checked
                .findings
                .iter()
                .filter(|finding| finding.place().file == entry.file)
                .cloned()
                .collect();
            output::message(
                findings_text::render(&own, &sources, 1, stainbook::present::Colour::Plain)
                    .trim_end(),
            );
            return Err(Failure {
                end: End::Wrong,
                ..Failure::new(
                    "survey-has-errors",
                    format!(
                        "the survey `{}` has errors and is not evaluated",
                        name.display()
                    ),
                    "correct them, or say --despite-findings to evaluate what could be read",
                )
            });
        }
        let errors = |id: &str| checked.errors_of(EntryKind::Tube, id);
        Ok(evaluate(book, survey, &self.options(&errors)))
    }
}
