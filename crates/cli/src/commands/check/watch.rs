//! `--watch`: checking again whenever a file changes.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

use notify::{Event, EventKind, RecursiveMode};
use same_file::Handle;
use stainbook_survey::document::{is_spreadsheet, is_table};

use super::CheckPaths;
use crate::catalog_choice::nearest;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;

/// Editors write a file in several steps; after so long without a further one the file is taken to be whole.
const QUIET: Duration = Duration::from_millis(200);

/// After so long the folders are looked at again: that one of them has been put in the place of another is no event where the
/// folder above was moved, or where nothing was there meanwhile.
const LOOK_AGAIN: Duration = Duration::from_secs(1);

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
    let watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
        if event.is_ok_and(|event| concerns(&event)) {
            let _ = sender.send(Signal::Changed);
        }
    })
    .map_err(|error| cannot(&error))?;
    let mut watched = WatchedFolders {
        watcher,
        named: named_folders(check),
        folders: BTreeMap::new(),
    };
    loop {
        // Before the files are read, so that no change falls between.
        watched.renew()?;
        if let Err(failure) = check.once() {
            failure.report(check.speaks_json());
        }
        output::message("watching for changes; Ctrl-C ends");
        while !watched.renew()? {
            match next(&signals, LOOK_AGAIN, QUIET) {
                Some(Signal::Changed) => break,
                Some(Signal::Stop) => return Ok(ExitStatus::Success),
                None => {}
            }
        }
    }
}

/// The folders that are watched. What the system watches is a folder itself and not its name: of one that is removed or moved
/// away nothing more is heard, whatever is put in its place, as a change of branches does.
struct WatchedFolders<W> {
    watcher: W,
    /// The folders by the names that were given.
    named: BTreeSet<PathBuf>,
    /// Folders that those names lead to, each held open. One that is open is never taken for another.
    folders: BTreeMap<PathBuf, Handle>,
}

impl<W: notify::Watcher> WatchedFolders<W> {
    /// Sees to it that it is the folders that now have these names which are watched; true if others were.
    fn renew(&mut self) -> Result<bool, Failure> {
        let now = outermost(&self.named);
        let before = self.folders.len();
        let watcher = &mut self.watcher;
        self.folders.retain(|folder, known| {
            let same = now.contains(folder)
                && Handle::from_path(folder).is_ok_and(|found| found == *known);
            if !same {
                // Of one that is gone nothing is watched any more.
                let _ = watcher.unwatch(folder);
            }
            same
        });
        let mut changed = self.folders.len() < before;
        for folder in now {
            if self.folders.contains_key(&folder) {
                continue;
            }
            let Ok(handle) = Handle::from_path(&folder) else {
                continue;
            };
            match self.watcher.watch(&folder, RecursiveMode::Recursive) {
                Ok(()) => {
                    self.folders.insert(folder, handle);
                    changed = true;
                }
                // Gone again.
                Err(_) if !folder.exists() => {}
                Err(error) => return Err(cannot(&error)),
            }
        }
        Ok(changed)
    }
}

fn cannot(error: &impl std::fmt::Display) -> Failure {
    Failure::new(
        "unwatchable",
        format!("files cannot be watched here: {error}"),
        "check without `--watch`",
    )
}

/// Waits for a change and then until nothing more has come for a while; gives nothing where none came in the time.
fn next(signals: &Receiver<Signal>, patience: Duration, quiet: Duration) -> Option<Signal> {
    match signals.recv_timeout(patience) {
        Ok(Signal::Changed) => {}
        Ok(Signal::Stop) | Err(RecvTimeoutError::Disconnected) => return Some(Signal::Stop),
        Err(RecvTimeoutError::Timeout) => return None,
    }
    loop {
        match signals.recv_timeout(quiet) {
            Ok(Signal::Changed) => {}
            Ok(Signal::Stop) | Err(RecvTimeoutError::Disconnected) => return Some(Signal::Stop),
            Err(RecvTimeoutError::Timeout) => return Some(Signal::Changed),
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
            let entry = path.extension().is_none_or(|suffix| {
                suffix.eq_ignore_ascii_case("yaml") || suffix.eq_ignore_ascii_case("yml")
            });
            (entry || is_table(&name) || is_spreadsheet(&name)) && !hidden
        })
}

/// The folders of what is asked for, by the names that were given.
fn named_folders(check: &CheckPaths) -> BTreeSet<PathBuf> {
    let here = [PathBuf::from(".")];
    let paths = if check.paths.is_empty() {
        &here[..]
    } else {
        &check.paths[..]
    };
    let folder = |path: &PathBuf| {
        let folder = if path.is_dir() {
            path
        } else {
            path.parent().unwrap_or(Path::new(""))
        };
        if folder.as_os_str().is_empty() {
            PathBuf::from(".")
        } else {
            folder.to_path_buf()
        }
    };
    paths.iter().chain(&check.catalog).map(folder).collect()
}

/// The folders that what is asked for depends on: its own, and those of the catalogs. Folders within others are left out.
fn outermost(named: &BTreeSet<PathBuf>) -> Vec<PathBuf> {
    let of_catalogs = named.iter().filter_map(|folder| nearest(folder));
    let whole: BTreeSet<PathBuf> = of_catalogs
        .chain(named.iter().cloned())
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
            (changed, "lab/X.PUMP.YAML", true),
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
        let next = || next(&signals, Duration::ZERO, Duration::ZERO);
        assert_eq!(next(), None);
        for _ in 0..5 {
            sender.send(Signal::Changed).unwrap();
        }
        assert_eq!(next(), Some(Signal::Changed));
        assert_eq!(next(), None, "all of them were taken");
        sender.send(Signal::Changed).unwrap();
        sender.send(Signal::Stop).unwrap();
        assert_eq!(next(), Some(Signal::Stop));
        drop(sender);
        assert_eq!(next(), Some(Signal::Stop));
    }
}
