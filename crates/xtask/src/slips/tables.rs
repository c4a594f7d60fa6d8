//! The counts as tables for people.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use super::SlipClass;
use super::tally::{SheetPart, SlipCounts, Tally};
use super::why::WHY;

/// So many of so many in percent with one decimal, rounded down, so that 100 means all.
fn percent(part: usize, all: usize) -> String {
    if all == 0 {
        return "–".to_owned();
    }
    let tenths = part * 1000 / all;
    if tenths == 1000 {
        "100 %".to_owned()
    } else {
        format!("{}.{} %", tenths / 10, tenths % 10)
    }
}

fn line(text: &mut String, name: &str, counts: SlipCounts) {
    let of = |part| percent(part, counts.all);
    let _ = writeln!(
        text,
        "| {name} | {} | {} | {} | {} | {} |",
        thousands(counts.all),
        of(counts.schema),
        of(counts.rules),
        of(counts.control),
        of(counts.compared)
    );
}

const NOT_IN_THE_SUM: [(SheetPart, &str); 3] = [
    (
        SheetPart::Paperwork,
        "*not in the sum:* the leaflet's date, revision, page, lots",
    ),
    (
        SheetPart::People,
        "*not in the sum:* when it was typed in and verified",
    ),
    (
        SheetPart::OnTop,
        "*not in the sum:* the control figures and examples themselves",
    ),
];

/// The figures as the README shows them.
pub(super) fn readme(tally: &Tally) -> String {
    let mut text = String::new();
    let all = tally.of(|part, _| part == SheetPart::Leaflet);
    let sheets: Vec<String> = tally
        .sheets
        .iter()
        .map(|(shelf, sheets)| format!("{sheets} {shelf}"))
        .collect();
    let _ = writeln!(
        text,
        "`cargo xtask slips` made {} slips, one at a time, in {} sheets:\n",
        thousands(all.all),
        sheets.join(" and ")
    );
    text.push_str("| slip | made | schema alone | rules | rules, with control figures and examples | `compare` |\n| --- | ---: | ---: | ---: | ---: | ---: |\n");
    for (class, _) in SlipClass::ALL {
        line(
            &mut text,
            class.name(),
            tally.of(|part, of| part == SheetPart::Leaflet && of == class),
        );
    }
    line(
        &mut text,
        "**all rows and columns**",
        tally.of(|part, class| part == SheetPart::Leaflet && class.is_row_or_column()),
    );
    line(&mut text, "**all**", all);
    for (part, name) in NOT_IN_THE_SUM {
        let counts = tally.of(|of, _| of == part);
        let of = |seen| percent(seen, counts.all);
        // Control figures are not on a sheet without them, and two people's comparison is about what the leaflet says.
        let on_the_leaflet = part == SheetPart::Paperwork;
        let _ = writeln!(
            text,
            "| {name} | {} | {} | {} | {} | {} |",
            thousands(counts.all),
            of(counts.schema),
            if part == SheetPart::OnTop {
                "–".to_owned()
            } else {
                of(counts.rules)
            },
            of(counts.control),
            if on_the_leaflet {
                of(counts.compared)
            } else {
                "–".to_owned()
            },
        );
    }
    text
}

/// Every field, and what passes in it and why.
pub(super) fn fields(tally: &Tally) -> String {
    let mut text = String::from(
        "# Slips by field\n\nWritten by `cargo xtask slips --write` from `counts.csv`; which slips are made, and in what, is said in\n`crates/xtask/src/slips.rs`.\n\n",
    );
    text.push_str("| field | made | schema alone | rules | rules, with control figures and examples | `compare` |\n| --- | ---: | ---: | ---: | ---: | ---: |\n");
    let mut by_field: BTreeMap<&str, SlipCounts> = BTreeMap::new();
    for ((part, _, field), counts) in &tally.counts {
        if *part == SheetPart::Leaflet {
            by_field.entry(field).or_default().add(*counts);
        }
    }
    for (field, counts) in &by_field {
        line(&mut text, &format!("`{field}`"), *counts);
    }
    text.push_str("\n## What passes, and why\n\nWith control figures and examples given. `compare` sees these too.\n\n| field | slip | pass | of | why |\n| --- | --- | ---: | ---: | --- |\n");
    for ((_, class, field), counts) in passing(tally) {
        let _ = writeln!(
            text,
            "| `{field}` | {} | {} | {} | {} |",
            class.name(),
            counts.passed(),
            counts.all,
            why(*class, field).unwrap_or("")
        );
    }
    text
}

type TallyRow<'a> = (&'a (SheetPart, SlipClass, String), &'a SlipCounts);

fn passing(tally: &Tally) -> impl Iterator<Item = TallyRow<'_>> {
    tally
        .counts
        .iter()
        .filter(|((part, ..), counts)| *part == SheetPart::Leaflet && 0 < counts.passed())
}

fn why(class: SlipClass, field: &str) -> Option<&'static str> {
    WHY.iter()
        .find(|why| why.explains(class, field))
        .map(|why| why.because)
}

/// Slips that pass without a reason, and reasons for slips that do not pass.
pub(super) fn unexplained(tally: &Tally) -> Vec<String> {
    let mut used = BTreeSet::new();
    let mut said = Vec::new();
    for ((_, class, field), _) in passing(tally) {
        match WHY.iter().position(|why| why.explains(*class, field)) {
            Some(index) => {
                used.insert(index);
            }
            None => said.push(format!(
                "{} in `{field}` passes, and why.rs does not say why",
                class.name()
            )),
        }
    }
    for (index, why) in WHY.iter().enumerate() {
        if !used.contains(&index) {
            said.push(format!(
                "why.rs: nothing passes in `{}` any more",
                why.field
            ));
        }
    }
    said
}

fn thousands(number: usize) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if 0 < index && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
