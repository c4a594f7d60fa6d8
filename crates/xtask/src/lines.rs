//! `cargo xtask lines`: lines of code by crate, now or at a revision, as they stand formatted.
//!
//! A line counts if a token of the program stands on it: blanks, comments and documentation do not, nor do tests, examples,
//! benchmarks and what is generated. The list of outcomes is counted apart: it grows where other code shrinks.

mod code_lines;
mod source_files;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use source_files::RustFile;

/// Lines of code by crate; the list of outcomes is a row of its own.
type LinesByCrate = BTreeMap<String, usize>;

/// The row of the registry of flags, statements and refusals.
const OUTCOMES: &str = "(outcomes)";

/// Beginning of a file that another command writes.
const GENERATED: &str = "Made by `cargo xtask";

/// A table of lines by crate: a column for each revision, and one for the working tree.
///
/// # Errors
///
/// A revision that git does not know, or a file that is not Rust.
pub(crate) fn run(revisions: &[String]) -> Result<String, String> {
    let mut columns = Vec::new();
    for revision in revisions {
        let files = source_files::at_revision(&crate::output::root(), revision)?;
        columns.push((revision.clone(), count(&files)?));
    }
    let files = source_files::in_working_tree(&crate::output::root())?;
    columns.push(("now".to_owned(), count(&files)?));
    Ok(table(&columns))
}

fn count(files: &[RustFile]) -> Result<LinesByCrate, String> {
    let mut tests: BTreeSet<PathBuf> = BTreeSet::new();
    let mut counted = Vec::new();
    for file in files {
        let Some(owner) = owner(&file.path) else {
            continue;
        };
        let generated = file.text.lines().next();
        if generated.is_some_and(|line| line.contains(GENERATED)) {
            continue;
        }
        let code = code_lines::of(&file.text)
            .map_err(|error| format!("{}: {error}", file.path.display()))?;
        let below = modules_of(&file.path);
        tests.extend(code.test_modules.iter().map(|module| below.join(module)));
        counted.push((file.path.as_path(), owner, code.lines));
    }
    let mut count = LinesByCrate::new();
    for (path, owner, lines) in counted {
        let module = path.with_extension("");
        if !module.ancestors().any(|module| tests.contains(module)) {
            *count.entry(owner).or_default() += lines;
        }
    }
    Ok(count)
}

/// The crate that a file's code belongs to, or the list of outcomes; nothing for tests and examples.
fn owner(path: &Path) -> Option<String> {
    let mut parts = path.iter().map(|part| part.to_string_lossy());
    if parts.next()? != "crates" {
        return None;
    }
    let name = parts.next()?.into_owned();
    if parts.next()? != "src" {
        return None;
    }
    let module = parts.next()?;
    let registry = name == "evaluation" && module.starts_with("outcome");
    Some(if registry { OUTCOMES.to_owned() } else { name })
}

/// The folder in which the modules of a file lie.
fn modules_of(path: &Path) -> PathBuf {
    let named_for_its_folder = ["mod.rs", "lib.rs", "main.rs"];
    match path.file_name() {
        Some(name) if named_for_its_folder.iter().any(|own| name == *own) => {
            path.with_file_name("")
        }
        _ => path.with_extension(""),
    }
}

fn table(columns: &[(String, LinesByCrate)]) -> String {
    let names: BTreeSet<&str> = columns
        .iter()
        .flat_map(|(_, count)| count.keys().map(String::as_str))
        .collect();
    let mut text = row("crate", columns.iter().map(|(title, _)| title.clone()));
    for name in names {
        let lines = |(_, count): &(String, LinesByCrate)| {
            count.get(name).map_or(String::new(), usize::to_string)
        };
        text.push_str(&row(name, columns.iter().map(lines)));
    }
    let all = |(_, count): &(String, LinesByCrate)| {
        let all = count.iter().filter(|(name, _)| *name != OUTCOMES);
        all.map(|(_, lines)| lines).sum::<usize>().to_string()
    };
    let total = row("all but outcomes", columns.iter().map(all));
    text.push_str(total.trim_end());
    text
}

fn row(name: &str, cells: impl Iterator<Item = String>) -> String {
    let mut row = format!("{name:<18}");
    for cell in cells {
        let _ = write!(row, " {cell:>12}");
    }
    row + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(path: &str, text: &str) -> RustFile {
        RustFile {
            path: PathBuf::from(path),
            text: text.to_owned(),
        }
    }

    #[test]
    fn tests_and_what_is_generated_do_not_count() {
        let files = [
            file("crates/a/src/lib.rs", "mod b;\n#[cfg(test)]\nmod tests;\n"),
            file("crates/a/src/tests.rs", "fn t() {}\n"),
            file("crates/a/src/tests/more.rs", "fn t() {}\n"),
            file(
                "crates/a/src/b.rs",
                "fn b() {}\n\n#[cfg(test)]\nmod laws;\n",
            ),
            file("crates/a/src/b/laws.rs", "fn t() {}\n"),
            file(
                "crates/a/src/made.rs",
                "//! Made by `cargo xtask generate`.\nfn m() {}\n",
            ),
            file("crates/a/tests/b.rs", "fn t() {}\n"),
            file("tests/src/lib.rs", "fn t() {}\n"),
            file("crates/evaluation/src/outcome.rs", "fn o() {}\n"),
            file("crates/evaluation/src/outcome/rows.rs", "fn o() {}\n"),
            file("crates/evaluation/src/lib.rs", "mod outcome;\n"),
        ];
        let count = count(&files).unwrap();
        let expected = [("(outcomes)", 2), ("a", 2), ("evaluation", 1)];
        let expected: LinesByCrate = expected
            .map(|(name, lines)| (name.to_owned(), lines))
            .into();
        assert_eq!(count, expected);
        assert!(table(&[("now".to_owned(), count)]).ends_with("all but outcomes              3"));
    }
}
