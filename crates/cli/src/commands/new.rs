//! `stainbook new`: a file to fill in.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook::plan::survey_of_plan;
use stainbook::template::{survey_workbook, template};
use stainbook_catalog::embedded::{REFERENCE_NAME, Reference};
use stainbook_catalog::schema::Draft;
use stainbook_catalog::search::folded;
use stainbook_catalog::{Book, EntryKind};
use stainbook_survey::table::TableTemplate;

use super::plan::{load_plan, plan_of};
use crate::catalog_choice::{Choice, choose, nearest};
use crate::catalog_files::{load, shown};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::{IfThere, put};

/// Begin a file: every field with what it means and an example
///
/// What has to be given stands empty, and `stainbook check` says where something is still to be filled in.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  stainbook new catalog harbour-lab --in my-lab\n  stainbook new tube quay-carbon-monoxide-r1 --in my-lab/tubes\n  stainbook new survey quay-june --format xlsx --in my-lab/surveys\n  stainbook new survey quay-2026-12-02 --plan plans/quay-2026-12-02.plan.yaml"
)]
pub(crate) struct New {
    /// The kind of file
    #[arg(value_enum)]
    kind: KindName,
    /// The short name: small letters, digits and hyphens. A tube's ends in `-r` and the leaflet's revision
    id: String,
    /// The folder to write it to
    #[arg(long = "in", value_name = "FOLDER", default_value = ".")]
    folder: PathBuf,
    /// Of a survey: the plan whose rows it begins with
    #[arg(long, value_name = "FILE", conflicts_with = "format")]
    plan: Option<PathBuf>,
    /// The form of the file; a survey may be a table to fill in, a row for each reading
    #[arg(long, value_enum, default_value_t = FileForm::Yaml)]
    format: FileForm,
}

/// Forms of a new file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum FileForm {
    /// Every field with what it means and an example
    Yaml,
    /// A table as text
    Csv,
    /// A spreadsheet, with lists of the catalog's tubes, pumps and lots to choose from, and a sheet of explanations
    Xlsx,
}

/// The kinds of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum KindName {
    /// `catalog.yaml`, at the root of a catalog
    Catalog,
    /// A publication that values come from
    Source,
    /// A substance with its formula and limits
    Substance,
    /// A group of substances that a tube answers to together
    Group,
    /// A kind of pump
    PumpKind,
    /// One pump with its checks
    Pump,
    /// A tube's data sheet: one revision of one leaflet
    Tube,
    /// One box of tubes in stock
    Box,
    /// Boxes in stock, in a list
    Boxes,
    /// A round before it is made: places, gases, limits, and the tubes that are chosen
    Plan,
    /// A round of readings
    Survey,
}

impl From<KindName> for EntryKind {
    fn from(name: KindName) -> Self {
        match name {
            KindName::Catalog => Self::Catalog,
            KindName::Source => Self::Source,
            KindName::Substance => Self::Substance,
            KindName::Group => Self::Group,
            KindName::PumpKind => Self::PumpKind,
            KindName::Pump => Self::Pump,
            KindName::Tube => Self::Tube,
            KindName::Box => Self::StockBox,
            KindName::Boxes => Self::BoxList,
            KindName::Plan => Self::Plan,
            KindName::Survey => Self::Survey,
        }
    }
}

impl New {
    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let kind = EntryKind::from(self.kind);
        check_name(&self.id)?;
        if self.format != FileForm::Yaml {
            return self.table(kind);
        }
        let name = match kind {
            EntryKind::Catalog => "catalog.yaml".to_owned(),
            kind => format!("{}.{}.yaml", self.id, kind.name()),
        };
        std::fs::create_dir_all(&self.folder)
            .map_err(|error| Failure::unwritable(&self.folder, &error))?;
        let path = self.folder.join(name);
        let root = nearest(&self.folder)
            .filter(|_| kind != EntryKind::Catalog)
            .unwrap_or_else(|| self.folder.clone());
        let schema_name = format!("{}.{}", kind.name(), Draft::Draft07.suffix());
        let schemas = way_up(&self.folder, &root);
        let schema_path = format!("{schemas}schemas/{schema_name}");
        let text = match &self.plan {
            Some(plan) => self.of_plan(kind, plan, &schema_path)?,
            None => template(kind, &self.id, &schema_path),
        };
        put_new(&path, text.as_bytes())?;
        output::data(&format!("{}\n", shown(&path)));
        if kind == EntryKind::Substance {
            self.say_what_the_reference_has();
        }
        output::message("next: fill in what stands empty, then run");
        output::message(&format!("  stainbook check {}", shown(&path)));
        if !root.join("schemas").join(&schema_name).is_file() {
            output::message("for an editor that completes and explains the fields:");
            output::message(&format!(
                "  stainbook schema --all {}",
                shown(&root.join("schemas"))
            ));
        }
        Ok(ExitStatus::Success)
    }
}

/// Writes a file where there is none.
fn put_new(path: &Path, content: &[u8]) -> Result<(), Failure> {
    put(path, IfThere::Refuse, content).map_err(|error| {
        let mut failure = Failure::unwritable(path, &error);
        if error.kind() == std::io::ErrorKind::AlreadyExists {
            failure.code = "exists";
            "nothing is overwritten: choose another name, or move the file away first"
                .clone_into(&mut failure.help);
        }
        failure
    })
}

impl New {
    /// A survey with the rows of a plan.
    fn of_plan(&self, kind: EntryKind, plan: &Path, schema_path: &str) -> Result<String, Failure> {
        if kind != EntryKind::Survey {
            return Err(Failure::usage(
                "--plan: only a survey begins with the rows of a plan",
                "write `stainbook new survey NAME --plan FILE`",
            ));
        }
        let (loaded, name) = load_plan(plan, None)?;
        let (_, plan) = plan_of(&loaded, &name)?;
        Ok(survey_of_plan(&loaded.book, plan, &self.id, schema_path))
    }

    /// A survey's table to fill in, for the tubes, pumps and lots of the nearest catalog.
    fn table(&self, kind: EntryKind) -> Result<ExitStatus, Failure> {
        if kind != EntryKind::Survey {
            return Err(Failure::usage(
                "only a survey may be a table",
                "leave --format out, or say `new survey`",
            ));
        }
        std::fs::create_dir_all(&self.folder)
            .map_err(|error| Failure::unwritable(&self.folder, &error))?;
        let choice = choose(None, &self.folder)?;
        let (extension, content) = {
            // Outside of a catalog the demo's tubes would be taken for one's own.
            let book = match choice {
                Choice::Folder(_) => load(&choice, Vec::new()).book,
                Choice::Embedded => Book::default(),
            };
            let template = TableTemplate::for_book(&book);
            if template.sheets.is_empty() {
                output::message(
                    "note: there is no catalog with sheets here, so there are no lists of tubes, pumps and lots",
                );
            }
            match self.format {
                FileForm::Xlsx => {
                    let xlsx = survey_workbook(&template, &self.id, &[]).map_err(Failure::ours)?;
                    ("xlsx", xlsx)
                }
                FileForm::Csv | FileForm::Yaml => {
                    let csv = template.csv(&[]).map_err(Failure::ours)?;
                    ("csv", csv.into_bytes())
                }
            }
        };
        let path = self.folder.join(format!("{}.survey.{extension}", self.id));
        put_new(&path, &content)?;
        output::data(&format!("{}\n", shown(&path)));
        output::message(
            "next: write a row for each reading below the example, which is passed over, then run",
        );
        output::message(&format!("  stainbook check {}", shown(&path)));
        output::message(&format!("  stainbook evaluate {}", shown(&path)));
        Ok(ExitStatus::Success)
    }

    /// Tells that the reference has the substance already, under this short name or another.
    fn say_what_the_reference_has(&self) {
        let reference = Reference::embedded();
        if reference.knows(EntryKind::Substance, &self.id) {
            output::message(&format!(
                "`{REFERENCE_NAME}` has `{0}` with its limits: the new file adds to it",
                self.id
            ));
        } else if let Some(known) = reference.by_name(&folded(&self.id)) {
            output::message(&format!(
                "`{REFERENCE_NAME}` has this substance as `{known}`: to keep its limits, begin `stainbook new substance {known}` instead"
            ));
        }
    }
}

/// Short names are file names, and are compared between systems that do and do not tell capital letters apart.
fn check_name(id: &str) -> Result<(), Failure> {
    let good = !id.is_empty()
        && id
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && !id.starts_with('-')
        && !id.ends_with('-')
        && !id.contains("--");
    if good {
        return Ok(());
    }
    let mut proposed: String = id
        .to_lowercase()
        .chars()
        .map(|c| {
            if c.is_ascii_lowercase() || c.is_ascii_digit() {
                c
            } else {
                '-'
            }
        })
        .collect();
    while proposed.contains("--") {
        proposed = proposed.replace("--", "-");
    }
    let proposed = proposed.trim_matches('-');
    let help = if proposed.is_empty() {
        "such as `quay-carbon-monoxide-r1`".to_owned()
    } else {
        format!("write `{proposed}`")
    };
    Err(Failure::new(
        "name-not-usable",
        format!("`{id}` is no short name: small letters, digits and single hyphens only"),
        help,
    ))
}

/// `../` for each folder between the new file and the catalog's root.
fn way_up(folder: &Path, root: &Path) -> String {
    let absolute = |path: &Path| std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let (folder, root) = (absolute(folder), absolute(root));
    let depth = folder
        .strip_prefix(&root)
        .map_or(0, |below| below.components().count());
    "../".repeat(depth)
}

#[cfg(test)]
mod tests {
    use super::check_name;

    #[test]
    fn names() {
        assert!(check_name("quay-co-r1").is_ok());
        for (name, help) in [
            ("Quay CO r1", "write `quay-co-r1`"),
            ("a--b", "write `a-b`"),
            ("../x", "write `x`"),
            ("ö", "such as `quay-carbon-monoxide-r1`"),
        ] {
            assert_eq!(check_name(name).unwrap_err().help, help, "{name}");
        }
    }
}
