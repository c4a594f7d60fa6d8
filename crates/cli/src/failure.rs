//! Failures of commands, with their remedies.

use std::fmt::Display;
use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use stainbook_present::conversion_json;

use crate::exit_status::ExitStatus;
use crate::output;

/// Failure of a command.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Failure {
    /// The word for scripts.
    pub(crate) code: &'static str,
    /// The problem, in one sentence without a full stop.
    pub(crate) message: String,
    /// The remedy; may be empty.
    pub(crate) help: String,
    /// The exit code.
    pub(crate) end: ExitStatus,
}

impl Failure {
    pub(crate) fn new(
        code: &'static str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        Self {
            code,
            message: message.into(),
            help: help.into(),
            end: ExitStatus::Usage,
        }
    }

    pub(crate) fn usage(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::new("usage", message, help)
    }

    /// A file or folder that cannot be read.
    pub(crate) fn unreadable(path: &Path, error: &io::Error) -> Self {
        let (why, help) = match error.kind() {
            io::ErrorKind::NotFound => (
                "there is no such file".to_owned(),
                "look at the name and the folder it is looked for in",
            ),
            io::ErrorKind::PermissionDenied => (
                "permission is denied".to_owned(),
                "ask whoever owns the file, or copy it to where you may read it",
            ),
            io::ErrorKind::IsADirectory => ("it is a folder".to_owned(), ""),
            _ => (error.to_string(), ""),
        };
        let message = format!("cannot read `{}`: {why}", path.display());
        Self::new("unreadable", message, help)
    }

    /// A file that cannot be written.
    pub(crate) fn unwritable(path: &Path, error: &io::Error) -> Self {
        let (why, help) = match error.kind() {
            io::ErrorKind::NotFound => (
                "there is no such folder".to_owned(),
                "look at the name, or make the folder first",
            ),
            io::ErrorKind::PermissionDenied => (
                "permission is denied".to_owned(),
                "ask whoever owns it, or write to another place",
            ),
            io::ErrorKind::IsADirectory => ("it is a folder".to_owned(), "name a file in it"),
            io::ErrorKind::AlreadyExists => ("it is there already".to_owned(), ""),
            io::ErrorKind::StorageFull => (
                "the disk is full".to_owned(),
                "make room, or write to another place",
            ),
            io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => (
                "it would be larger than is allowed here".to_owned(),
                "make room, or write to another place",
            ),
            io::ErrorKind::ReadOnlyFilesystem => (
                "the disk can only be read".to_owned(),
                "write to another place",
            ),
            _ => (error.to_string(), ""),
        };
        let message = format!("cannot write `{}`: {why}", path.display());
        Self::new("unwritable", message, help)
    }

    /// Something that cannot go wrong and did.
    pub(crate) fn ours(error: impl Display) -> Self {
        Self {
            code: "our-bug",
            message: format!("stainbook itself is at fault: {error}"),
            help: "please report this with the command and the files it was given".to_owned(),
            end: ExitStatus::Internal,
        }
    }

    /// What is done with one file. If the program breaks off in it, that is this file's failure, and the others are still
    /// done.
    pub(crate) fn of_file<T>(
        path: &str,
        work: impl FnOnce() -> Result<T, Self>,
    ) -> Result<T, Self> {
        catch_unwind(AssertUnwindSafe(work))
            .unwrap_or_else(|_| Err(Self::ours(format!("`{path}` cannot be read"))))
    }

    /// Says it: as JSON on standard output where the command speaks JSON, else in words on standard error.
    pub(crate) fn report(&self, json: bool) {
        if json {
            output::data(&conversion_json::error(
                self.code,
                &self.message,
                &self.help,
            ));
            return;
        }
        output::message(&format!("error: {}", self.message));
        if !self.help.is_empty() {
            output::message(&format!("  help: {}", self.help));
        }
    }
}
