//! The crates may depend on each other in one direction only.

use std::collections::BTreeMap;
use std::process::Command;

/// Each crate with those of ours that it may depend on. `xtask` and the tests may use all.
const ALLOWED: &[(&str, &[&str])] = &[
    ("stainbook-core", &[]),
    ("stainbook-catalog", &["stainbook-core"]),
    ("stainbook-check", &["stainbook-core", "stainbook-catalog"]),
    (
        "stainbook-reading",
        &["stainbook-core", "stainbook-catalog"],
    ),
    (
        "stainbook-present",
        &[
            "stainbook-core",
            "stainbook-catalog",
            "stainbook-check",
            "stainbook-reading",
        ],
    ),
    (
        "stainbook",
        &[
            "stainbook-core",
            "stainbook-catalog",
            "stainbook-check",
            "stainbook-reading",
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
