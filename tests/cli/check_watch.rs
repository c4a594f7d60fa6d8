//! `check --watch`: it checks, checks again when a file changes, and leaves on Ctrl-C.

#![cfg(unix)]

use std::fs;
use std::io::{BufRead as _, BufReader, Read};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use crate::runner::Folder;

/// Nothing is measured with this: it only keeps a failing test from waiting for ever.
const LONG: Duration = Duration::from_secs(60);

/// A command that watches, and the lines that it says.
struct Watching {
    child: Child,
    said: Receiver<String>,
    found: Receiver<String>,
}

impl Watching {
    fn start(folder: &Folder, path: &str) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_stainbook"))
            .args(["check", path, "--watch", "--as-of", "2026-03-02"])
            .current_dir(folder.root())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let said = lines(child.stderr.take().unwrap());
        let found = lines(child.stdout.take().unwrap());
        Self { child, said, found }
    }

    /// Waits until it says so.
    fn wait_for(&self, words: &str) {
        while !self
            .said
            .recv_timeout(LONG)
            .expect("it says so in the end")
            .contains(words)
        {}
    }

    /// Waits until it finds so; what it found on the way is passed over.
    fn wait_until_found(&self, line: &str) {
        while self
            .found
            .recv_timeout(LONG)
            .expect("it finds so in the end")
            != line
        {}
    }

    /// Leaves by Ctrl-C.
    fn end(mut self) {
        let killed = Command::new("kill")
            .args(["-INT", &self.child.id().to_string()])
            .status()
            .unwrap();
        assert!(killed.success());
        assert_eq!(self.child.wait().unwrap().code(), Some(0));
    }
}

/// Nothing is left running by a test that fails.
impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
    }
}

/// The lines of an output, each as soon as it is there.
fn lines(output: impl Read + Send + 'static) -> Receiver<String> {
    let (sender, lines) = channel();
    std::thread::spawn(move || {
        BufReader::new(output)
            .lines()
            .map_while(Result::ok)
            .for_each(|line| drop(sender.send(line)));
    });
    lines
}

const KIND: &str = "pump_kind: quay-piston\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";
const FAULT: &str = "error[decimal-comma]: `0,1 L` has a comma in its number";

#[test]
fn it_checks_again_and_leaves_with_0() {
    let folder = Folder::new("watch").with("pumps/quay-piston.pump-kind.yaml", KIND);
    let watching = Watching::start(&folder, "pumps");
    watching.wait_for("watching for changes");
    assert_eq!(
        watching.found.recv_timeout(LONG).unwrap(),
        "no findings in 1 file"
    );
    let folder = folder.with(
        "pumps/quay-piston.pump-kind.yaml",
        KIND.replace("100 mL", "0,1 L"),
    );
    watching.wait_for("watching for changes");
    assert_eq!(watching.found.recv_timeout(LONG).unwrap(), FAULT);
    watching.end();
    drop(folder);
}

#[test]
fn a_folder_that_is_made_anew_is_watched_anew() {
    let name = "lab/pumps/quay-piston.pump-kind.yaml";
    let faulty = KIND.replace("100 mL", "0,1 L");
    let mut folder = Folder::new("watch-anew").with(name, KIND);
    let watching = Watching::start(&folder, "lab/pumps");
    watching.wait_until_found("no findings in 1 file");
    watching.wait_for("watching for changes");
    // Removed and made anew, as by a change of branches, with the folder above it and without.
    for removed in ["lab/pumps", "lab"] {
        fs::remove_dir_all(folder.path(removed)).unwrap();
        folder = folder.with(name, &faulty);
        watching.wait_until_found(FAULT);
        folder = folder.with(name, KIND);
        watching.wait_until_found("no findings in 1 file");
    }
    // Gone for a while, so that it is said that there is nothing.
    while watching.said.try_recv().is_ok() {}
    fs::remove_dir_all(folder.path("lab")).unwrap();
    watching.wait_for("there is no such file");
    folder = folder.with(name, &faulty);
    watching.wait_until_found(FAULT);
    folder = folder.with(name, KIND);
    watching.wait_until_found("no findings in 1 file");
    // Moved away, by itself or with the folder above it, and another put in its place.
    for (moved, to) in [("lab/pumps", "lab/old"), ("lab", "old")] {
        fs::rename(folder.path(moved), folder.path(to)).unwrap();
        folder = folder.with(name, &faulty);
        watching.wait_until_found(FAULT);
        folder = folder.with(name, KIND);
        watching.wait_until_found("no findings in 1 file");
    }
    watching.end();
    drop(folder);
}

#[test]
fn standard_input_is_not_watched() {
    let folder = Folder::new("watch-stdin");
    folder
        .run(&["check", "-", "--stdin-filename", "a.pump.yaml", "--watch"])
        .exits(2)
        .says("standard input cannot be watched");
}
