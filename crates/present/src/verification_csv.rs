//! Records worked out again, as a table: one row for each recorded result, and for what several readings
//! say together.

use crate::written_csv::written;
use stainbook_revision::verification::{Datum, Verification, Verified};

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
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let mut rows = vec![COLUMNS.map(str::to_owned).to_vec()];
    for record in &verification.records {
        let revision = text(&record.catalog_revision);
        let row = |names: [String; 4], verified, method: String| {
            let record = std::iter::once(record.record.clone());
            let names = record.chain(names).chain([revision.clone()]);
            names.chain(what_became(verified)).chain([method]).collect()
        };
        rows.extend(record.results.iter().map(|result| {
            let [at, place, sheet] = [&result.at, &result.place, &result.sheet].map(text);
            let names = [result.id.clone(), at, place, sheet];
            row(names, &result.verified, "reading".to_owned())
        }));
        rows.extend(record.together.iter().map(|together| {
            let names = [
                together.id.clone(),
                String::new(),
                String::new(),
                String::new(),
            ];
            row(names, &together.verified, together.method.clone())
        }));
    }
    written(rows)
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
