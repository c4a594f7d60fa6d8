//! Names that output is not written to, because what lies there, or would be looked for there, was written by hand.

use std::fs;
use std::path::Path;

use same_file::{Handle, is_same_file};
use stainbook_catalog::EntryKind;
use stainbook_survey::document::is_survey;

use super::followed;
use crate::catalog_files::{is_entry, shown};
use crate::failure::Failure;

/// Refuses to write over a file that the command reads, by whatever name.
pub(crate) fn refuse_over_input<P: AsRef<Path>>(
    output: &Path,
    inputs: impl IntoIterator<Item = P>,
) -> Result<(), Failure> {
    // Mostly there is nothing yet, and nothing has to be compared.
    let Some(length) = length_of_file(output) else {
        return Ok(());
    };
    let is_input = |input: P| {
        let input = input.as_ref();
        length_of_file(input) == Some(length) && is_same_file(input, output).unwrap_or(false)
    };
    if inputs.into_iter().any(is_input) {
        return Err(over_input(output));
    }
    Ok(())
}

/// Refuses to write over the file that standard input comes from.
pub(crate) fn refuse_over_standard_input(output: &Path) -> Result<(), Failure> {
    let is_input = length_of_file(output).is_some()
        && Handle::stdin()
            .and_then(|input| Ok(input == Handle::from_path(output)?))
            .unwrap_or(false);
    if is_input {
        return Err(over_input(output));
    }
    Ok(())
}

/// Refuses a name by which a catalog knows its own files: what lies there was written by hand, and output that lay there
/// would be read as an entry.
pub(crate) fn refuse_name_of_entry(output: &Path) -> Result<(), Failure> {
    let is_name = |path: &Path| {
        let name = shown(path);
        is_entry(&name) || EntryKind::name_in_small_letters(&name).is_some() || is_survey(&name)
    };
    if is_name(output) || followed(output).is_ok_and(|target| is_name(&target)) {
        return Err(Failure::new(
            "output-is-entry",
            format!("`{}` is the name of a catalog's file", output.display()),
            "what is written by hand would be lost, or output taken for it: write to another name",
        ));
    }
    Ok(())
}

fn over_input(output: &Path) -> Failure {
    Failure::new(
        "output-is-input",
        format!(
            "`{}` is read by this command, and what is in it would be lost",
            output.display()
        ),
        "write to another name",
    )
}

/// The length of what lies at a name, if that is a file.
fn length_of_file(path: &Path) -> Option<u64> {
    let known = fs::metadata(path).ok()?;
    known.is_file().then_some(known.len())
}
