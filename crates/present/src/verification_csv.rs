//! Records worked out again, as a table: one row for each recorded result.

use crate::verification::{Datum, Verification};

/// The columns, in order.
pub const COLUMNS: [&str; 13] = [
    "record",
    "id",
    "at",
    "place",
    "sheet",
    "made with revision",
    "state",
    "was",
    "is",
    "moved by [%]",
    "verdicts turned",
    "because",
    "not from own facts",
];

/// The table with its head.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub fn render(verification: &Verification) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for record in &verification.records {
        for result in &record.results {
            let text = |text: &Option<String>| text.clone().unwrap_or_default();
            let moved = result.moved.as_ref();
            let verdicts: Vec<String> = moved
                .iter()
                .flat_map(|moved| &moved.verdicts)
                .map(|verdict| {
                    let word =
                        |verdict: Option<&str>| verdict.unwrap_or("not judged").replace('_', " ");
                    format!(
                        "{}: {} → {}",
                        verdict.limit,
                        word(verdict.old),
                        word(verdict.new)
                    )
                })
                .collect();
            let because: Vec<String> = result.because.iter().map(Datum::words).collect();
            let by_hand: Vec<&str> = result
                .not_from_own_facts
                .iter()
                .map(|one| one.pointer.as_str())
                .collect();
            writer.write_record([
                record.record.clone(),
                result.id.clone(),
                text(&result.at),
                text(&result.place),
                text(&result.sheet),
                text(&record.catalog_revision),
                result.state.words().to_lowercase(),
                result.was.clone(),
                moved.map_or_else(|| result.was.clone(), |moved| moved.new.clone()),
                moved
                    .and_then(|moved| moved.by)
                    .map(|by| stainbook_core::print::number(by * 100.0))
                    .unwrap_or_default(),
                verdicts.join("; "),
                because.join("; "),
                by_hand.join(" "),
            ])?;
        }
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
