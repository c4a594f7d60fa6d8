//! The root file of the reference catalog.

use super::source::head;
use super::yaml::{self, YamlNode};

/// The state of the data. Change it with the tables: every result carries it.
const REVISION: &str = "2026-11-25";

const ABOUT: &str = "Gases and vapours with their identity, physical facts and limit values that are free to \
    reproduce, each value with its source. United Kingdom EH40 is not part of it, and \
    nothing was filled in from memory. The limits are those of the editions named in the sources: check what is in \
    force before use.";

/// The text of `catalog.yaml`.
pub(crate) fn catalog() -> String {
    let entries = [
        ("catalog", YamlNode::text("stainbook-reference")),
        (
            "title",
            YamlNode::text("Reference substances, limits and their sources"),
        ),
        ("revision", YamlNode::text(REVISION)),
        ("format", YamlNode::Bare("1")),
        ("about", YamlNode::text(ABOUT)),
    ];
    head("../../", "catalog") + &yaml::document(&entries)
}
