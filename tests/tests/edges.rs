//! The crates may depend on each other in one direction only.

use std::collections::BTreeMap;
use std::process::Command;

/// Each crate with those of ours that it may depend on. `xtask` and the tests may use all.
const ALLOWED: &[(&str, &[&str])] = &[
    ("stainbook-core", &[]),
    ("stainbook-catalog", &["stainbook-core"]),
    ("stainbook-check", &["stainbook-core", "stainbook-catalog"]),
    (
        "stainbook-evaluation",
        &["stainbook-core", "stainbook-catalog"],
    ),
    (
        "stainbook-present",
        &[
            "stainbook-core",
            "stainbook-catalog",
            "stainbook-check",
            "stainbook-evaluation",
        ],
    ),
    (
        "stainbook",
        &[
            "stainbook-core",
            "stainbook-catalog",
            "stainbook-check",
            "stainbook-evaluation",
            "stainbook-present",
        ],
    ),
    ("stainbook-cli", &["stainbook"]),
];

#[test]
fn edges_point_one_way() {
    let output = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--no-deps",
            "--format-version",
            "1",
            "--offline",
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    let metadata: serde_json::Value =
        serde_json::from_slice(&output.stdout).expect("metadata is JSON");
    let allowed: BTreeMap<&str, &[&str]> = ALLOWED.iter().copied().collect();
    let mut seen = 0;
    for package in metadata["packages"].as_array().expect("packages") {
        let name = package["name"].as_str().expect("a name");
        let Some(may) = allowed.get(name) else {
            continue;
        };
        seen += 1;
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            let on = dependency["name"].as_str().expect("a name");
            // Tests and examples inside a crate may look anywhere; what is shipped may not.
            let shipped = dependency["kind"].is_null();
            if shipped && on.starts_with("stainbook") {
                assert!(may.contains(&on), "{name} must not depend on {on}");
            }
        }
    }
    assert_eq!(seen, ALLOWED.len(), "a crate was renamed or removed");
}

/// What nothing below the command may touch: files, the environment, the clock, the terminal, processes, the network.
const OUTSIDE: &[&str] = &[
    "std::fs",
    "std::env::",
    "std::process",
    "std::net",
    "SystemTime",
    "Instant::now",
    "Timestamp::now",
    "Zoned::now",
    "std::io::stdin",
    "std::io::stdout",
    "std::io::stderr",
    "println!",
    "print!(",
    "dbg!",
];

/// Everything below the command builds for WebAssembly because it touches nothing outside; where the target cannot be
/// installed, this stands in for building it.
#[test]
fn nothing_below_the_command_touches_the_outside() {
    let crates = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut looked = 0;
    for name in [
        "core",
        "catalog",
        "check",
        "evaluation",
        "present",
        "stainbook",
    ] {
        let mut folders = vec![crates.join(name).join("src")];
        while let Some(folder) = folders.pop() {
            for item in std::fs::read_dir(&folder).expect("a folder") {
                let path = item.expect("an entry").path();
                if path.is_dir() {
                    folders.push(path);
                } else if path.extension().is_some_and(|extension| extension == "rs") {
                    looked += 1;
                    look_at(&path);
                }
            }
        }
    }
    assert!(100 < looked, "only {looked} files were looked at");
}

fn look_at(path: &std::path::Path) {
    let text = std::fs::read_to_string(path).expect("a source file");
    // Tests inside a file may do as they like, and stand at its end.
    let shipped = text.split("#[cfg(test)]\nmod ").next().unwrap_or(&text);
    for (number, line) in shipped.lines().enumerate() {
        if line.trim_start().starts_with("//") {
            continue;
        }
        for outside in OUTSIDE {
            assert!(
                !line.contains(outside),
                "{}:{}: {outside}",
                path.display(),
                number + 1
            );
        }
    }
}
