//! The page about the columns of a survey that is kept as a table.

use std::fmt::Write as _;

use serde_json::Value;
use stainbook_catalog::EntryKind;
use stainbook_catalog::schema::{Draft, schema};
use stainbook_survey::table::COLUMNS;

use crate::output::Generated;

/// Each column with what the schema of survey files says of its field.
pub(super) fn columns() -> Result<Generated, String> {
    let schema = schema(EntryKind::Survey, Draft::Draft2020);
    let mut text = String::from(
        "# The columns of a survey in a table\n\n\
         A survey may be a table (`.csv`) or a worksheet: one row a reading, the columns in any order. A table has `id`, `tube`\n\
         and `strokes`, and `reading`, `short` or `seen`. A cell may carry its own unit and then counts as it stands; several\n\
         gases in a cell are divided by semicolons. What is said of a field is said for survey files.\n\
         Made by `cargo xtask generate`.\n\n\
         | header | field of a survey file | what it is for | a cell |\n| --- | --- | --- | --- |\n",
    );
    for column in &COLUMNS {
        let field = column
            .in_schema(&schema)
            .ok_or_else(|| format!("column {}: no such field", column.name))?;
        let unit = column.usual_unit();
        let header = unit.map_or_else(
            || column.name.to_owned(),
            |unit| format!("{} [{unit}]", column.name),
        );
        let example = match field.pointer("/examples/0") {
            Some(Value::String(text)) => text.clone(),
            Some(Value::Bool(true)) => "yes".to_owned(),
            other => other.map(ToString::to_string).unwrap_or_default(),
        };
        let _ = writeln!(
            text,
            "| `{header}` | {} | {} | {example} |",
            column.field.join(" › "),
            field
                .get("description")
                .and_then(Value::as_str)
                .unwrap_or_default(),
        );
    }
    Ok(Generated {
        path: "schemas/survey-table.md".to_owned(),
        text,
    })
}
