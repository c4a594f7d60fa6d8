//! `stainbook schema`: the JSON Schemas of the files that a hygienist writes.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook_catalog::EntryKind;
use stainbook_catalog::schema::{Draft, schema};

use crate::commands::new::KindName;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::replace;

/// Print the JSON Schema of a kind of file, for editors and other tools
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  stainbook schema tube\n  stainbook schema tube --draft 07\n  stainbook schema --all schemas"
)]
pub(crate) struct SchemaOf {
    /// The kind of file
    #[arg(value_enum, required_unless_present = "all")]
    kind: Option<KindName>,
    /// The draft of JSON Schema: 2020-12 is what files are checked against, 07 is what more editors understand
    #[arg(long, value_enum, default_value_t = DraftName::Draft2020)]
    draft: DraftName,
    /// Write the schemas of all kinds in both drafts into this folder
    #[arg(long, value_name = "FOLDER", conflicts_with = "kind")]
    all: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum DraftName {
    /// Draft 2020-12
    #[value(name = "2020-12")]
    Draft2020,
    /// Draft 7
    #[value(name = "07")]
    Draft07,
}

impl SchemaOf {
    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        if let Some(folder) = &self.all {
            return write_all(folder);
        }
        let Some(kind) = self.kind else {
            return Err(Failure::usage(
                "no kind of file is named",
                "such as `stainbook schema tube`",
            ));
        };
        let draft = match self.draft {
            DraftName::Draft2020 => Draft::Draft2020,
            DraftName::Draft07 => Draft::Draft07,
        };
        output::data(&text(kind.into(), draft)?);
        Ok(ExitStatus::Success)
    }
}

fn write_all(folder: &Path) -> Result<ExitStatus, Failure> {
    std::fs::create_dir_all(folder).map_err(|error| Failure::unwritable(folder, &error))?;
    for kind in EntryKind::ALL {
        for draft in Draft::ALL {
            let path = folder.join(format!("{}.{}", kind.name(), draft.suffix()));
            replace(&path, text(kind, draft)?.as_bytes())?;
            output::data(&format!("{}\n", path.display()));
        }
    }
    Ok(ExitStatus::Success)
}

fn text(kind: EntryKind, draft: Draft) -> Result<String, Failure> {
    let mut text = serde_json::to_string_pretty(&schema(kind, draft)).map_err(Failure::ours)?;
    text.push('\n');
    Ok(text)
}
