//! `check --watch`: it checks, checks again when a file changes, and leaves on Ctrl-C.

#![cfg(unix)]

use std::io::{BufRead as _, BufReader};
use std::process::{Command, Stdio};
use std::sync::mpsc::channel;
use std::time::Duration;

use crate::runner::Folder;

/// Nothing is measured with this: it only keeps a failing test from waiting for ever.
const LONG: Duration = Duration::from_secs(120);

#[test]
fn it_checks_again_and_leaves_with_0() {
    let kind = "pump_kind: quay-piston\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";
    let folder = Folder::new("watch").with("pumps/quay-piston.pump-kind.yaml", kind);
    let mut child = Command::new(env!("CARGO_BIN_EXE_stainbook"))
        .args(["check", "pumps", "--watch", "--as-of", "2026-03-02"])
        .current_dir(folder.path(""))
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (sender, said) = channel();
    let errors = BufReader::new(child.stderr.take().unwrap());
    std::thread::spawn(move || {
        errors
            .lines()
            .map_while(Result::ok)
            .for_each(|line| drop(sender.send(line)));
    });
    let (sender, found) = channel();
    let output = BufReader::new(child.stdout.take().unwrap());
    std::thread::spawn(move || {
        output
            .lines()
            .map_while(Result::ok)
            .for_each(|line| drop(sender.send(line)));
    });
    let wait = |words: &str| {
        while !said
            .recv_timeout(LONG)
            .expect("it says so in the end")
            .contains(words)
        {}
    };
    wait("watching for changes");
    assert_eq!(found.recv_timeout(LONG).unwrap(), "no findings in 1 file");
    let folder = folder.with(
        "pumps/quay-piston.pump-kind.yaml",
        kind.replace("100 mL", "0,1 L"),
    );
    wait("watching for changes");
    assert_eq!(
        found.recv_timeout(LONG).unwrap(),
        "error[decimal-comma]: `0,1 L` has a comma in its number"
    );
    let killed = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(killed.success());
    assert_eq!(child.wait().unwrap().code(), Some(0));
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
