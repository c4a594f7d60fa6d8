//! A search for tubes as a table: one row for each sheet that can serve, each level and each limit that a reading there is
//! judged against, then one for each sheet that cannot.

use stainbook_evaluation::result::Verdict;
use stainbook_tube_search::{AtLevel, Excluded, JudgedHere, Search, SuitableTube, Weight};

use crate::written_csv::{number, written};

/// Number of columns.
const WIDTH: usize = 26;

/// The columns, in order.
pub const COLUMNS: [&str; WIDTH] = [
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
    "limit",
    "limit value",
    "verdict",
    "probability above",
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
    let mut rows = vec![COLUMNS.map(str::to_owned)];
    for found in &search.serve {
        for level in &found.levels {
            let judged = level.best.iter().flat_map(|way| &way.judged);
            let mut judged: Vec<_> = judged.map(Some).collect();
            // Where nothing is compared the level has its row all the same.
            if judged.is_empty() {
                judged.push(None);
            }
            let of_level = |judged| row(search, found, level, judged);
            rows.extend(judged.into_iter().map(of_level));
        }
    }
    rows.extend(search.cannot.iter().map(left_out));
    written(rows)
}

fn row(
    search: &Search,
    found: &SuitableTube,
    at: &AtLevel,
    judged: Option<&JudgedHere>,
) -> [String; WIDTH] {
    let sought = search.levels.get(at.level);
    let best = at.best.as_ref();
    let verdict = judged.and_then(|judged| judged.verdict);
    let text = |text: Option<&String>| text.cloned().unwrap_or_default();
    let codes = |heavy: bool| {
        let list = if heavy { &found.against } else { &found.pro };
        list.iter()
            .map(|reason| match reason.weight {
                Weight::Heavy => format!("{} (heavy)", reason.code),
                Weight::Light => reason.code.to_string(),
            })
            .collect::<Vec<_>>()
            .join("; ")
    };
    [
        found.rank.to_string(),
        found.sheet.clone(),
        found.name.clone(),
        found.revision.clone(),
        text(found.lots.as_ref()),
        found.by.clone(),
        number(sought.map(|level| level.value)),
        text(sought.map(|level| &level.unit)),
        number(best.map(|way| way.strokes)),
        text(best.and_then(|way| way.scale.as_ref())),
        number(best.map(|way| way.seconds)),
        number(best.map(|way| way.reading)),
        text(best.map(|way| &way.reading_unit)),
        number(best.map(|way| way.lowest)),
        number(best.map(|way| way.highest)),
        number(best.map(|way| way.position)),
        number(best.map(|way| way.expanded)),
        text(judged.map(|judged| &judged.limit)),
        number(judged.and_then(|judged| judged.value)),
        verdict.map_or("", Verdict::name).replace('_', " "),
        number(judged.and_then(|judged| judged.probability_above)),
        number(judged.and_then(|judged| judged.below_up_to)),
        number(judged.and_then(|judged| judged.above_from)),
        codes(false),
        codes(true),
        text(at.why_not.as_ref().map(|why| &why.text)),
    ]
}

fn left_out(excluded: &Excluded) -> [String; WIDTH] {
    let mut row: [String; WIDTH] = std::array::from_fn(|_| String::new());
    let why: Vec<String> = excluded
        .why
        .iter()
        .map(|why| format!("{} (needed: {})", why.text, why.remedy))
        .collect();
    for (place, text) in [
        (1, excluded.sheet.clone()),
        (2, excluded.name.clone()),
        (WIDTH - 1, why.join("; ")),
    ] {
        if let Some(cell) = row.get_mut(place) {
            *cell = text;
        }
    }
    row
}
