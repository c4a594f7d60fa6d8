//! The crates may depend on each other in one direction only.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Each crate with those of ours that it may depend on. `xtask` and the tests may use all.
const ALLOWED: &[(&str, &[&str])] = &[
    ("document", &[]),
    ("core", &[]),
    ("uncertainty", &[]),
    ("catalog", &["document", "core"]),
    ("check", &["document", "core", "catalog"]),
    (
        "evaluation",
        &["document", "core", "uncertainty", "catalog"],
    ),
    ("survey", &["document", "core", "catalog", "evaluation"]),
    (
        "tube-search",
        &["document", "core", "catalog", "evaluation"],
    ),
    (
        "revision",
        &[
            "document",
            "core",
            "uncertainty",
            "catalog",
            "check",
            "evaluation",
        ],
    ),
    (
        "present",
        &[
            "document",
            "core",
            "uncertainty",
            "catalog",
            "check",
            "evaluation",
            "tube-search",
            "revision",
        ],
    ),
    (
        "stainbook",
        &[
            "document",
            "core",
            "uncertainty",
            "catalog",
            "check",
            "evaluation",
            "survey",
            "tube-search",
            "revision",
            "present",
        ],
    ),
    (
        "cli",
        &[
            "document",
            "core",
            "uncertainty",
            "catalog",
            "check",
            "evaluation",
            "survey",
            "tube-search",
            "revision",
            "present",
            "stainbook",
        ],
    ),
];

/// Crates that know nothing of what the others are about: not even their tests use one of ours, and none of the trade's words
/// stands in their sources.
const OF_NO_TRADE: &[&str] = &["document", "uncertainty"];

/// The name of a package of ours without the first part that all have.
fn short(package: &str) -> &str {
    package.strip_prefix("stainbook-").unwrap_or(package)
}

#[test]
fn edges_point_one_way() {
    let metadata: serde_json::Value =
        serde_json::from_str(&stainbook_tests::workspace::metadata()).expect("metadata is JSON");
    let allowed: BTreeMap<&str, &[&str]> = ALLOWED.iter().copied().collect();
    let mut seen = 0;
    for package in metadata["packages"].as_array().expect("packages") {
        let name = short(package["name"].as_str().expect("a name"));
        let Some(may) = allowed.get(name) else {
            continue;
        };
        seen += 1;
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            let on = dependency["name"].as_str().expect("a name");
            // Tests and examples inside a crate may look anywhere; what is shipped may not.
            let shipped = dependency["kind"].is_null();
            if (shipped || OF_NO_TRADE.contains(&name)) && on.starts_with("stainbook") {
                assert!(may.contains(&short(on)), "{name} must not depend on {on}");
            }
        }
    }
    assert_eq!(seen, ALLOWED.len(), "a crate was renamed or removed");
}

/// The outside, which nothing below the command may touch: files, the environment, the clock, the terminal, processes,
/// the network.
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
    let mut looked = 0;
    for (name, _) in ALLOWED.iter().filter(|(name, _)| *name != "cli") {
        for path in sources(name) {
            looked += 1;
            look_at(&path, OUTSIDE);
        }
    }
    assert!(100 < looked, "only {looked} files were looked at");
}

/// What makes or changes a file.
const WRITING: &[&str] = &[
    "fs::write",
    "fs::copy",
    "fs::rename",
    "File::create",
    "File::options",
    "OpenOptions",
    "tempfile",
];

/// What a file is to be kept from stands in one place.
#[test]
fn the_command_writes_files_in_one_way() {
    let (writing, others): (Vec<PathBuf>, Vec<PathBuf>) = sources("cli")
        .into_iter()
        .partition(|path| path.to_string_lossy().contains("output_file"));
    assert_eq!(writing.len(), 2, "{writing:?}");
    for path in &others {
        look_at(path, WRITING);
    }
}

/// The façade promises to keep what it names, and so it names each item: neither a whole crate of ours nor everything in one.
#[test]
fn the_facade_names_its_items() {
    let mut named = 0;
    for path in sources("stainbook") {
        let text = std::fs::read_to_string(&path).expect("a source file");
        for line in text.lines().map(str::trim_start) {
            let Some(of_ours) = line.strip_prefix("pub use stainbook_") else {
                continue;
            };
            named += 1;
            let items = of_ours.split_once("::").map(|(_, items)| items);
            let whole = items.is_none_or(|items| items.contains('*'));
            assert!(!whole, "{}: {line}", path.display());
        }
    }
    assert!(20 < named, "only {named} lines name something");
}

/// The source files of a crate.
fn sources(name: &str) -> Vec<PathBuf> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut folders = vec![crates.join(name).join("src")];
    let mut files = Vec::new();
    while let Some(folder) = folders.pop() {
        for item in std::fs::read_dir(&folder).expect("a folder") {
            let path = item.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                files.push(path);
            }
        }
    }
    files
}

fn look_at(path: &Path, kept_out: &[&str]) {
    let text = std::fs::read_to_string(path).expect("a source file");
    // Tests inside a file may do as they like, and stand at its end.
    let shipped = text.split("#[cfg(test)]\nmod ").next().unwrap_or(&text);
    for (number, line) in shipped.lines().enumerate() {
        if line.trim_start().starts_with("//") {
            continue;
        }
        for word in kept_out {
            assert!(
                !line.contains(word),
                "{}:{}: {word}",
                path.display(),
                number + 1
            );
        }
    }
}

/// Words of the trade in the singular; a plural counts as well.
const TRADE: &[&str] = &[
    "tube",
    "stroke",
    "stain",
    "pump",
    "leaflet",
    "sheet",
    "survey",
    "catalog",
    "substance",
    "gas",
    "vapour",
    "vapor",
    "concentration",
    "ppm",
    "ppb",
    "interferent",
    "interference",
    "hygienist",
    "hygiene",
    "humidity",
    "exposure",
    "workplace",
    "chlorine",
    "ammonia",
    "nitric",
    "detector",
    "sampling",
    "reagent",
    "leak",
    "brinewash",
    "smokehouse",
    "lot",
];

#[test]
fn what_is_of_no_trade_has_none_of_its_words() {
    for name in OF_NO_TRADE {
        let files = sources(name);
        assert!(!files.is_empty(), "{name}");
        for path in files {
            let text = std::fs::read_to_string(&path).expect("a source file");
            for (number, line) in text.lines().enumerate() {
                for word in words(line) {
                    let singular = word.strip_suffix('s').unwrap_or(&word);
                    assert!(
                        !TRADE.contains(&word.as_str()) && !TRADE.contains(&singular),
                        "{}:{}: {word}",
                        path.display(),
                        number + 1
                    );
                }
            }
        }
    }
}

/// The words of a line in lower case, those inside the names of code each for itself.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    for letter in line.chars() {
        let begins = letter.is_uppercase() && word.ends_with(char::is_lowercase);
        if begins || !letter.is_alphabetic() {
            words.push(std::mem::take(&mut word).to_lowercase());
        }
        if letter.is_alphabetic() {
            word.push(letter);
        }
    }
    words.push(word.to_lowercase());
    words.retain(|word| !word.is_empty());
    words
}

#[test]
fn words_are_found_inside_names() {
    assert_eq!(
        words("fn read_typed(SheetSchema, 25ppm)"),
        ["fn", "read", "typed", "sheet", "schema", "ppm"]
    );
}
