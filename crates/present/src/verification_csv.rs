//! Records worked out again, as a table: one row for each recorded result, and for what several readings
//! say together.

use crate::verification::{Datum, Verification, Verified};

/// The columns, in order.
pub const COLUMNS: [&str; 14] = [
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
    "method",
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
            writer.write_record(
                [
                    record.record.clone(),
                    result.id.clone(),
                    text(&result.at),
                    text(&result.place),
                    text(&result.sheet),
                    text(&record.catalog_revision),
                ]
                .into_iter()
                .chain(what_became(&result.verified))
                .chain(["reading".to_owned()]),
            )?;
        }
        for together in &record.together {
            writer.write_record(
                [
                    record.record.clone(),
                    together.id.clone(),
                    String::new(),
                    String::new(),
                    String::new(),
                    record.catalog_revision.clone().unwrap_or_default(),
                ]
                .into_iter()
                .chain(what_became(&together.verified))
                .chain([together.method.clone()]),
            )?;
        }
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The columns from `state` to `not from own facts`.
fn what_became(verified: &Verified) -> [String; 7] {
    let moved = verified.moved.as_ref();
    let verdicts: Vec<String> = moved
        .iter()
        .flat_map(|moved| &moved.verdicts)
        .map(|verdict| {
            let word = |verdict: Option<&str>| verdict.unwrap_or("not judged").replace('_', " ");
            format!(
                "{}: {} → {}",
                verdict.limit,
                word(verdict.old),
                word(verdict.new)
            )
        })
        .collect();
    let because: Vec<String> = verified.because.iter().map(Datum::words).collect();
    let by_hand: Vec<&str> = verified
        .not_from_own_facts
        .iter()
        .map(|one| one.pointer.as_str())
        .collect();
    [
        verified.state.words().to_lowercase(),
        verified.was.clone(),
        moved.map_or_else(|| verified.was.clone(), |moved| moved.new.clone()),
        moved
            .and_then(|moved| moved.by)
            .map(|by| stainbook_core::print::number(by * 100.0))
            .unwrap_or_default(),
        verdicts.join("; "),
        because.join("; "),
        by_hand.join(" "),
    ]
}
