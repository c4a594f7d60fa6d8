//! Every crate that is published has what belongs into its package, and takes nothing from outside of it.
//!
//! `.ci/run package` makes the packages and builds them; what can be seen without that is seen here.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use stainbook_tests::workspace::metadata;

/// The packages of the workspace that are published.
fn published() -> Vec<Value> {
    let metadata: Value = serde_json::from_str(&metadata()).expect("metadata is JSON");
    let all = metadata["packages"].as_array().expect("packages");
    // `publish = false` is an empty list of registries.
    let published: Vec<Value> = all
        .iter()
        .filter(|package| package["publish"].is_null())
        .cloned()
        .collect();
    assert!(7 <= published.len() && published.len() < all.len());
    published
}

fn name(package: &Value) -> &str {
    package["name"].as_str().expect("a name")
}

fn folder(package: &Value) -> PathBuf {
    let manifest = package["manifest_path"].as_str().expect("a manifest");
    Path::new(manifest)
        .parent()
        .expect("a folder")
        .to_path_buf()
}

#[test]
fn each_says_what_it_is_and_under_which_terms() {
    for package in published() {
        let name = name(&package);
        let folder = folder(&package);
        for file in ["README.md", "LICENSE-APACHE", "LICENSE-MIT"] {
            let text = fs::read_to_string(folder.join(file));
            assert!(
                text.is_ok_and(|text| 100 < text.len()),
                "{name}: {file} is missing or short"
            );
        }
        assert_eq!(package["readme"], "README.md", "{name}");
        assert_eq!(package["license"], "MIT OR Apache-2.0", "{name}");
        let words = |key: &str| package[key].as_array().map_or(0, Vec::len);
        assert!((1..=5).contains(&words("keywords")), "{name}: keywords");
        assert!((1..=5).contains(&words("categories")), "{name}: categories");
        assert!(package["description"].is_string(), "{name}: description");
        assert!(
            package["metadata"]["docs"]["rs"].is_object(),
            "{name}: settings of the documentation"
        );
        // There is none yet, and a link that leads nowhere is worse than none.
        assert!(package["repository"].is_null(), "{name}: repository");
    }
}

#[test]
fn each_says_which_version_of_the_others_it_needs() {
    for package in published() {
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            let ours = !dependency["path"].is_null() && dependency["kind"] != "dev";
            assert!(
                !ours || dependency["req"] != "*",
                "{}: {} without a version",
                name(&package),
                dependency["name"]
            );
        }
    }
}

/// The Rust files below a folder.
fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for item in fs::read_dir(folder).expect("a folder") {
        let path = item.expect("an item").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|suffix| suffix == "rs") {
            found.push(path);
        }
    }
}

#[test]
fn what_is_included_lies_inside_the_package() {
    let mut seen = 0;
    for package in published() {
        let folder = folder(&package).canonicalize().expect("the crate is there");
        let mut files = Vec::new();
        sources(&folder.join("src"), &mut files);
        for file in files {
            let text = fs::read_to_string(&file).expect("source is text");
            for opening in ["include_str!(\"", "include_bytes!(\"", "include!(\""] {
                for rest in text.split(opening).skip(1) {
                    let path = rest.split('"').next().unwrap_or_default();
                    let included = file.parent().expect("a folder").join(path);
                    let included = included.canonicalize();
                    assert!(
                        included.is_ok_and(|path| path.starts_with(&folder)),
                        "{}: `{path}` lies outside the package",
                        file.display()
                    );
                    seen += 1;
                }
            }
        }
    }
    // The pages of the rules at least.
    assert!(100 < seen, "{seen}");
}
