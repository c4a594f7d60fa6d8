//! The workspace as cargo knows it.

use std::process::Command;

/// Text that cargo puts out for a command, which reaches for nothing over the network.
///
/// # Panics
///
/// If cargo cannot be run, or refuses.
#[must_use]
pub fn cargo(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO"))
        .args(arguments)
        .arg("--offline")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    String::from_utf8(output.stdout).expect("text")
}

/// The packages of the workspace with their dependencies, as JSON.
#[must_use]
pub fn metadata() -> String {
    cargo(&["metadata", "--no-deps", "--format-version", "1"])
}
