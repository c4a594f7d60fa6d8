//! `--watch`: checking again whenever a file changes.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

use notify::{Event, EventKind, RecursiveMode, Watcher as _};
use stainbook_survey::document::{is_spreadsheet, is_table};

use super::CheckPaths;
use crate::catalog_choice::nearest;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;

/// Editors write a file in several steps; after so long without a further one the file is taken to be whole.
const QUIET: Duration = Duration::from_millis(200);

/// Events that wake the watcher.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Signal {
    /// A file was changed.
    Changed,
    /// Ctrl-C.
    Stop,
}

/// Checks, waits for a change, checks again, until Ctrl-C.
pub(super) fn run(check: &CheckPaths) -> Result<ExitStatus, Failure> {
    if check.paths.iter().any(|path| path == Path::new("-")) {
        return Err(Failure::usage(
            "standard input cannot be watched",
            "name the file, or leave out `--watch`",
        ));
    }
    let (sender, signals) = channel();
    let stop = sender.clone();
    let leave = move || {
        // A receiver that is gone has left already.
        let _ = stop.send(Signal::Stop);
    };
    ctrlc::set_handler(leave).map_err(|error| cannot(&error))?;
    let mut watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
        if event.is_ok_and(|event| concerns(&event)) {
            let _ = sender.send(Signal::Changed);
        }
    })
    .map_err(|error| cannot(&error))?;
    for folder in folders(check) {
        watcher
            .watch(&folder, RecursiveMode::Recursive)
            .map_err(|error| cannot(&error))?;
    }
    loop {
        if let Err(failure) = check.once() {
            failure.report(check.speaks_json());
        }
        output::message("watching for changes; Ctrl-C ends");
        if next(&signals, QUIET) == Signal::Stop {
            return Ok(ExitStatus::Success);
        }
    }
}

fn cannot(error: &impl std::fmt::Display) -> Failure {
    Failure::new(
        "unwatchable",
        format!("files cannot be watched here: {error}"),
        "check without `--watch`",
    )
}

/// Waits for a change and then until nothing more has come for a while.
fn next(signals: &Receiver<Signal>, quiet: Duration) -> Signal {
    if signals.recv() != Ok(Signal::Changed) {
        return Signal::Stop;
    }
    loop {
        match signals.recv_timeout(quiet) {
            Ok(Signal::Changed) => {}
            Ok(Signal::Stop) | Err(RecvTimeoutError::Disconnected) => return Signal::Stop,
            Err(RecvTimeoutError::Timeout) => return Signal::Changed,
        }
    }
}

/// True if an event can have changed what is found: an entry or a folder, and not the reading of one.
fn concerns(event: &Event) -> bool {
    !matches!(event.kind, EventKind::Access(_) | EventKind::Other)
        && event.paths.iter().any(|path| {
            let hidden = path
                .file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with('.'));
            let name = path.to_string_lossy();
            let entry = path
                .extension()
                .is_none_or(|suffix| suffix == "yaml" || suffix == "yml");
            (entry || is_table(&name) || is_spreadsheet(&name)) && !hidden
        })
}

/// The folders that what is asked for depends on: its own, and those of the catalogs. Folders within others are left out.
fn folders(check: &CheckPaths) -> Vec<PathBuf> {
    let here = [PathBuf::from(".")];
    let paths = if check.paths.is_empty() {
        &here[..]
    } else {
        &check.paths[..]
    };
    let mut all = BTreeSet::new();
    for path in paths.iter().chain(&check.catalog) {
        let folder = if path.is_dir() {
            path
        } else {
            path.parent().unwrap_or(Path::new(""))
        };
        let folder = if folder.as_os_str().is_empty() {
            Path::new(".")
        } else {
            folder
        };
        all.extend(nearest(folder));
        all.insert(folder.to_path_buf());
    }
    let whole: BTreeSet<PathBuf> = all
        .iter()
        .filter_map(|folder| std::fs::canonicalize(folder).ok())
        .collect();
    let within = |folder: &PathBuf| {
        whole
            .iter()
            .any(|other| other != folder && folder.starts_with(other))
    };
    whole
        .iter()
        .filter(|folder| !within(folder))
        .cloned()
        .collect()
}

#[cfg(test)]
mod tests {
    use notify::event::{AccessKind, CreateKind, ModifyKind};

    use super::*;

    #[test]
    fn events_that_concern_the_catalog() {
        let changed = EventKind::Modify(ModifyKind::Any);
        for (kind, path, expected) in [
            (changed, "lab/tubes/a.tube.yaml", true),
            (changed, "lab/catalog.yml", true),
            (EventKind::Create(CreateKind::Folder), "lab/tubes", true),
            (changed, "lab/tubes/.stainbook-1.tmp", false),
            (changed, "lab/tubes/.a.tube.yaml", false),
            (changed, "lab/notes.txt", false),
            (
                EventKind::Access(AccessKind::Any),
                "lab/tubes/a.tube.yaml",
                false,
            ),
        ] {
            assert_eq!(
                concerns(&Event::new(kind).add_path(path.into())),
                expected,
                "{path}"
            );
        }
    }

    #[test]
    fn many_changes_are_one() {
        let (sender, signals) = channel();
        for _ in 0..5 {
            sender.send(Signal::Changed).unwrap();
        }
        assert_eq!(next(&signals, Duration::ZERO), Signal::Changed);
        assert!(signals.try_recv().is_err(), "all of them were taken");
        sender.send(Signal::Changed).unwrap();
        sender.send(Signal::Stop).unwrap();
        assert_eq!(next(&signals, Duration::ZERO), Signal::Stop);
        drop(sender);
        assert_eq!(next(&signals, Duration::ZERO), Signal::Stop);
    }
}
