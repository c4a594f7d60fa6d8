//! `stainbook plan`: tubes for the rows of a plan that have none.

use std::path::{Path, PathBuf};

use clap::Args;
use stainbook::plan::{ChosenTube, RowDrafted, draft_plan};
use stainbook_catalog::written::PlanEntry;
use stainbook_catalog::{Entry, EntryKind, WrittenEntry};
use stainbook_evaluation::Options;
use stainbook_present::lines::steers;

use super::evaluate::Checked;
use crate::bounded_read;
use crate::catalog_choice::{Choice, choose};
use crate::catalog_files::{Input, Loaded, identity, load, load_demo_with, shown};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::{IfThere, put};

/// Choose tubes for a plan: of those that `find` finds for each row, the first that is in stock on the day
///
/// The plan is put out again with tube, lot, strokes and pump added to every row that names no tube; rows that name one, comments
/// and layout stay as they are. The exit code is 1 if a row is left without a tube.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook new plan quay-2026-12-02 --in plans
  stainbook plan --from plans/quay-2026-12-02.plan.yaml --output plans/quay-2026-12-02-chosen.plan.yaml
  stainbook new survey quay-2026-12-02 --plan plans/quay-2026-12-02-chosen.plan.yaml --in surveys")]
pub(crate) struct PlanFrom {
    /// The plan: places, gases, limits, conditions expected; `-` for standard input
    #[arg(long, value_name = "FILE")]
    from: PathBuf,
    /// A new file to write it to; without it, it is put out
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// A folder with a `catalog.yaml`; without it the nearest one upward, else the embedded demo
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
}

impl PlanFrom {
    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let (loaded, name) = load_plan(&self.from, self.catalog.as_deref())?;
        for failure in &loaded.unreadable {
            failure.report(false);
        }
        output::message(&format!("catalog: {}", loaded.words));
        let checked = Checked::new(loaded);
        let errors = |id: &str| checked.errors_of(id);
        let options = Options::default().with_sheet_errors(&errors);
        let book = &checked.loaded.book;
        let (entry, plan) = plan_of(&checked.loaded, &name)?;
        let draft = draft_plan(book, entry, plan, &options).map_err(|refusal| {
            Failure::new(
                "layout-not-understood",
                format!("`{name}`: nothing can be put into its rows: {refusal}"),
                "write each row as `- {id: p01, place: …}` or with one field on a line",
            )
        })?;
        for (id, row) in &draft.rows {
            output::message(&format!("{id}  {}", words(row)));
        }
        match &self.output {
            None => {
                // Other characters than those that end lines and indent would steer the terminal, and the file is not to be changed.
                let steering = |c: char| !matches!(c, '\n' | '\r' | '\t') && steers(c);
                if draft.text.contains(steering) {
                    return Err(Failure::new(
                        "text-steers",
                        format!("`{name}` holds characters that steer a terminal"),
                        "write the plan to a file with `--output`",
                    ));
                }
                output::data(&draft.text);
            }
            Some(path) => {
                put(path, IfThere::Refuse, draft.text.as_bytes()).map_err(|error| {
                    let mut failure = Failure::unwritable(path, &error);
                    if error.kind() == std::io::ErrorKind::AlreadyExists {
                        failure.code = "exists";
                        "nothing is overwritten: choose another name, or move the file away first"
                            .clone_into(&mut failure.help);
                    }
                    failure
                })?;
                output::data(&format!("{}\n", shown(path)));
            }
        }
        Ok(if !checked.loaded.unreadable.is_empty() {
            ExitStatus::Usage
        } else if draft.is_whole() {
            ExitStatus::Success
        } else {
            ExitStatus::Findings
        })
    }
}

/// A catalog with a plan that need not lie in it, and the name by which that is shown.
pub(super) fn load_plan(file: &Path, catalog: Option<&Path>) -> Result<(Loaded, String), Failure> {
    let input = if file == Path::new("-") {
        Input::Bytes(
            "standard-input.plan.yaml".to_owned(),
            bounded_read::standard_input(bounded_read::ENTRY)?,
        )
    } else {
        let name = shown(file);
        if EntryKind::of_file(&name).is_none_or(|(kind, _)| kind != EntryKind::Plan) {
            return Err(Failure::new(
                "not-a-plan",
                format!("`{name}` is no plan by its name"),
                "a plan's file ends in `.plan.yaml`: begin one with `stainbook new plan`",
            ));
        }
        std::fs::metadata(file).map_err(|error| Failure::unreadable(file, &error))?;
        Input::File(file.to_path_buf())
    };
    let name = input.path();
    let near = Path::new(&name).parent().unwrap_or(Path::new(""));
    let choice = choose(catalog, near)?;
    let extra = vec![input];
    let loaded = match &choice {
        Choice::Folder(_) => load(&choice, extra),
        Choice::Embedded => load_demo_with(extra),
    };
    Ok((loaded, name))
}

/// The plan of a file, which has to be without error: of half a row nothing is chosen.
pub(super) fn plan_of<'l>(
    loaded: &'l Loaded,
    name: &str,
) -> Result<(&'l Entry, &'l PlanEntry), Failure> {
    let wanted = identity(Path::new(name));
    let found = loaded.book.own().find_map(|entry| match &entry.written {
        WrittenEntry::Plan(plan) if identity(Path::new(&entry.path)) == wanted => {
            let plan: &PlanEntry = plan;
            Some((entry, plan))
        }
        _ => None,
    });
    match found {
        Some((entry, plan)) if entry.sound => Ok((entry, plan)),
        Some(_) => Err(Failure::new(
            "plan-has-errors",
            format!("`{name}` cannot be read without errors"),
            format!("`stainbook check {name}` says where"),
        )),
        None => Err(loaded_failure(name)),
    }
}

fn loaded_failure(name: &str) -> Failure {
    Failure::new(
        "unreadable",
        format!("`{name}` could not be read"),
        "look at the name and the folder it is looked for in",
    )
}

/// One row, as it was drafted.
fn words(row: &RowDrafted) -> String {
    match row {
        RowDrafted::Kept => "has its tube already".to_owned(),
        RowDrafted::NoTube(why) => format!("no tube: {why}"),
        RowDrafted::Chosen(chosen) => chosen_words(chosen),
    }
}

fn chosen_words(chosen: &ChosenTube) -> String {
    let mut parts = vec![format!(
        "{} (number {} of the search)",
        chosen.sheet, chosen.rank
    )];
    parts.extend(
        chosen
            .from_box
            .as_ref()
            .map(|(id, lot)| format!("box {id}, lot {lot}")),
    );
    parts.extend(chosen.pump.clone());
    parts.extend(chosen.to_mind.iter().map(|mind| format!("mind: {mind}")));
    parts.join("; ")
}
