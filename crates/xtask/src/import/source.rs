//! A source entry.

use super::tables::SourceRow;
use super::yaml::{self, YamlNode};

/// The comments at the top of a generated file, `up` being the way to the workspace root.
pub(crate) fn head(up: &str, kind: &str) -> String {
    format!(
        "# yaml-language-server: $schema={up}schemas/{kind}.draft-07.schema.json\n\
         # Made by `cargo xtask import` from catalog/reference/tables; amend there, not here.\n\n"
    )
}

/// The text of a source entry.
pub(crate) fn source(row: &SourceRow) -> String {
    let mut entries = Vec::new();
    let mut push = |key, value: &str| {
        if !value.is_empty() {
            entries.push((key, YamlNode::text(value)));
        }
    };
    push("source", &row.source);
    push("title", &row.title);
    push("publisher", &row.publisher);
    push("edition", &row.edition);
    push("date", &row.date);
    push("authority", &row.authority);
    push("jurisdiction", &row.jurisdiction);
    if !row.temperature.is_empty() {
        let conditions = vec![
            ("temperature", YamlNode::text(&row.temperature)),
            ("pressure", YamlNode::text(&row.pressure)),
        ];
        entries.push(("mass_stated_at", YamlNode::Row(conditions)));
    }
    let mut push = |key, value: &str| {
        if !value.is_empty() {
            entries.push((key, YamlNode::text(value)));
        }
    };
    push("licence", &row.licence);
    push("obtained", &row.obtained);
    push("remark", &row.remark);
    head("../../../", "source") + &yaml::document(&entries)
}
