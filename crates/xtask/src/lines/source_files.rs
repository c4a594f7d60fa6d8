//! The Rust files of the working tree, or of a revision, as git has them.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A file of Rust.
pub(super) struct RustFile {
    /// Its path below the root of the workspace.
    pub(super) path: PathBuf,
    pub(super) text: String,
}

/// Files as they lie there, those that are not committed yet among them.
pub(super) fn in_working_tree(root: &Path) -> Result<Vec<RustFile>, String> {
    let arguments = [
        "ls-files",
        "--cached",
        "--others",
        "--exclude-standard",
        "--",
        "*.rs",
    ];
    let list = git(root, &arguments)?;
    let mut files = Vec::new();
    for path in list.lines() {
        // A file that was removed and not yet staged is listed still.
        if let Ok(text) = fs::read_to_string(root.join(path)) {
            files.push(RustFile {
                path: PathBuf::from(path),
                text,
            });
        }
    }
    Ok(files)
}

/// Files as they were committed.
pub(super) fn at_revision(root: &Path, revision: &str) -> Result<Vec<RustFile>, String> {
    let list = git(
        root,
        &["ls-tree", "-r", "--name-only", "--full-tree", revision],
    )?;
    let rust = |path: &&str| Path::new(path).extension().is_some_and(|end| end == "rs");
    let paths: Vec<&str> = list.lines().filter(rust).collect();
    contents(root, revision, &paths).map_err(|error| format!("git cat-file: {error}"))
}

/// One git for all files: one for each would take a minute.
fn contents(root: &Path, revision: &str, paths: &[&str]) -> std::io::Result<Vec<RustFile>> {
    let mut git = Command::new("git")
        .args(["cat-file", "--batch"])
        .current_dir(root)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()?;
    let ends = git.stdin.take().zip(git.stdout.take());
    let Some((mut asks, answers)) = ends else {
        return Ok(Vec::new());
    };
    let mut answers = BufReader::new(answers);
    let mut files = Vec::new();
    for path in paths {
        writeln!(asks, "{revision}:{path}")?;
        asks.flush()?;
        let mut head = String::new();
        answers.read_line(&mut head)?;
        let size = head
            .split_whitespace()
            .next_back()
            .and_then(|size| size.parse().ok());
        let Some(size) = size else {
            return Err(std::io::Error::other(head));
        };
        let mut bytes = vec![0; size];
        answers.read_exact(&mut bytes)?;
        let mut end_of_line = [0];
        answers.read_exact(&mut end_of_line)?;
        files.push(RustFile {
            path: PathBuf::from(path),
            text: String::from_utf8_lossy(&bytes).into_owned(),
        });
    }
    drop(asks);
    git.wait()?;
    Ok(files)
}

fn git(root: &Path, arguments: &[&str]) -> Result<String, String> {
    let output = Command::new("git")
        .args(arguments)
        .current_dir(root)
        .output()
        .map_err(|error| format!("git: {error}"))?;
    if output.status.success() {
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    } else {
        Err(String::from_utf8_lossy(&output.stderr).trim().to_owned())
    }
}
