//! A search for tubes as a table: one row for each sheet that can serve and each level, then one for each that cannot.

use stainbook_core::print::number;
use stainbook_reading::finding::{AtLevel, Excluded, Found, Search, Weight};

/// The columns, in order.
pub const COLUMNS: [&str; 22] = [
    "rank",
    "sheet",
    "name",
    "revision",
    "lots",
    "by",
    "level",
    "unit",
    "strokes",
    "scale",
    "time [s]",
    "reading",
    "reading unit",
    "lowest",
    "highest",
    "position",
    "expanded uncertainty",
    "below up to",
    "above from",
    "for",
    "against",
    "why not",
];

/// The table with its head.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub fn render(search: &Search) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for found in &search.serve {
        for level in &found.levels {
            writer.write_record(row(search, found, level))?;
        }
    }
    for excluded in &search.cannot {
        writer.write_record(left_out(excluded))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn row(search: &Search, found: &Found, at: &AtLevel) -> [String; 22] {
    let sought = search.levels.get(at.level);
    let best = at.best.as_ref();
    let figure = |value: Option<f64>| value.map(number).unwrap_or_default();
    // What is said against the first limit; the JSON has them all.
    let judged = best.and_then(|way| way.judged.first());
    let codes = |heavy: bool| {
        let list = if heavy { &found.against } else { &found.pro };
        list.iter()
            .map(|reason| match reason.weight {
                Weight::Heavy => format!("{} (heavy)", reason.code),
                Weight::Light => reason.code.clone(),
            })
            .collect::<Vec<_>>()
            .join("; ")
    };
    [
        found.rank.to_string(),
        found.sheet.clone(),
        found.name.clone(),
        found.revision.clone(),
        found.lots.clone().unwrap_or_default(),
        found.by.clone(),
        figure(sought.map(|level| level.value)),
        sought.map(|level| level.unit.clone()).unwrap_or_default(),
        figure(best.map(|way| way.strokes)),
        best.and_then(|way| way.scale.clone()).unwrap_or_default(),
        figure(best.map(|way| way.seconds)),
        figure(best.map(|way| way.reading)),
        best.map(|way| way.reading_unit.clone()).unwrap_or_default(),
        figure(best.map(|way| way.lowest)),
        figure(best.map(|way| way.highest)),
        figure(best.map(|way| way.position)),
        figure(best.map(|way| way.expanded)),
        figure(judged.and_then(|judged| judged.below_up_to)),
        figure(judged.and_then(|judged| judged.above_from)),
        codes(false),
        codes(true),
        at.why_not
            .as_ref()
            .map(|why| why.text.clone())
            .unwrap_or_default(),
    ]
}

fn left_out(excluded: &Excluded) -> [String; 22] {
    let mut row: [String; 22] = std::array::from_fn(|_| String::new());
    let why: Vec<String> = excluded
        .why
        .iter()
        .map(|why| format!("{} (needed: {})", why.text, why.instead))
        .collect();
    for (place, text) in [
        (1, excluded.sheet.clone()),
        (2, excluded.name.clone()),
        (21, why.join("; ")),
    ] {
        if let Some(cell) = row.get_mut(place) {
            *cell = text;
        }
    }
    row
}
