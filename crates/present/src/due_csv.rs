//! The list of what is due as a table: one row for each item.

use stainbook_check::due::DueList;

use crate::written_csv::written;

/// The columns, in order.
pub const COLUMNS: [&str; 7] = ["state", "day", "what", "about", "text", "remedy", "file"];

/// The table with its head.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub fn render(list: &DueList) -> Result<String, csv::Error> {
    let mut rows = vec![COLUMNS.map(str::to_owned)];
    rows.extend(list.items.iter().map(|item| {
        [
            item.state.name().to_owned(),
            item.day.clone().unwrap_or_default(),
            item.what.name().to_owned(),
            item.about.clone(),
            item.text.clone(),
            item.remedy.clone(),
            item.file.clone(),
        ]
    }));
    written(rows)
}
