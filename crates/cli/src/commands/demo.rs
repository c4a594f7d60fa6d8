//! `stainbook demo`: the main job on the embedded demo.

use clap::Args;
use stainbook_catalog::embedded::demo_tables;
use stainbook_document::finding::{Finding, Level};
use stainbook_evaluation::{Evaluation, Options, evaluate};
use stainbook_present::counts::counted;
use stainbook_present::results_text::{self, Detail};
use stainbook_present::{Colour, Counts, Sources, findings_text};
use stainbook_survey::table::{self, DecimalMark};

use crate::catalog_choice::Choice;
use crate::catalog_files::load;
use crate::commands::evaluate::Checked;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;

/// Check the embedded demo catalog and evaluate its surveys
///
/// The harbour fish works, its tubes, its pumps and its people are all invented; the substances and limits are real.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  stainbook demo")]
pub(crate) struct Demo {
    /// Show every reading of every survey in full
    #[arg(long)]
    all: bool,
}

impl Demo {
    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let colour = output::colour();
        let checked = Checked::new(load(&Choice::Embedded, Vec::new()));
        let book = &checked.loaded.book;
        let counts = Counts::of(&checked.findings);
        let mut out = format!("$ stainbook check    # {}\n", checked.loaded.words);
        // What is worth a look is told by number here: a wall of notes is no welcome.
        let (notes, found): (Vec<Finding>, Vec<Finding>) = checked
            .findings
            .iter()
            .cloned()
            .partition(|finding| finding.level() == Level::Note);
        if found.is_empty() {
            out.push_str(&format!(
                "no error and no warning in {}; {} to look at, which `stainbook check` shows in full\n",
                counted(checked.files, "file"),
                counted(notes.len(), "note")
            ));
        } else {
            out.push_str(&findings_text::render(
                &found,
                &Sources::of_book(book),
                checked.files,
                colour,
            ));
        }
        let mut evaluations: Vec<(String, Evaluation)> = book
            .surveys()
            .map(|(entry, survey)| {
                (
                    entry.path.clone(),
                    evaluate(book, survey, &Options::default()),
                )
            })
            .collect();
        for table in demo_tables() {
            let evaluation =
                table::evaluate_csv(book, table.text, DecimalMark::Point, &Options::default())
                    .map_err(Failure::ours)?;
            evaluations.push((table.path.to_owned(), evaluation));
        }
        let shown = if self.all { evaluations.len() } else { 1 };
        for (path, evaluation) in evaluations.iter().take(shown) {
            out.push_str(&format!("\n$ stainbook evaluate {path}\n"));
            out.push_str(&if self.all {
                results_text::render(evaluation, Detail::Compact, colour)
            } else {
                results_text::example(evaluation, colour)
            });
        }
        for (path, evaluation) in evaluations.iter().skip(shown) {
            out.push_str(&format!(
                "\n$ stainbook evaluate {path}    # in full with `stainbook demo --all`\n"
            ));
            out.push_str(&format!("{}\n", results_text::summary(evaluation)));
        }
        out.push_str(&next(colour));
        output::data(&out);
        // Refused results are part of the show; errors in the demo catalog would be ours.
        Ok(if counts.ours == 0 && counts.errors == 0 {
            ExitStatus::Success
        } else {
            ExitStatus::Internal
        })
    }
}

fn next(colour: Colour) -> String {
    format!(
        "\n{}\n  \
         stainbook convert 25 ppm --substance CO --to mg/m3 --temperature 8C --altitude 1600m\n  \
         stainbook sheet brinewash-chlorine-a      a data sheet, laid out by the work\n  \
         stainbook explain                         what the check looks for\n  \
         stainbook new catalog my-lab --in my-lab  a catalog of your own\n",
        colour.bold("What to try next")
    )
}
