//! Drawing: strokes, what they measure, how long to wait.

use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::survey::Instruction;
use stainbook_catalog::written::tube::{
    FollowsFrom, FullRange, MeasuringRange, ReadsIfNotKept, Scale, SecondsFor,
};
use stainbook_core::print;

use super::{Page, digits, strokes_words};
use crate::lines::if_stated;

pub(super) fn drawing(page: &mut Page, sheet: &TubeEntry) {
    page.section("Drawing");
    let Some(draw) = &sheet.draw else {
        page.line("", "not on the sheet");
        return;
    };
    if let Some(stroke) = &draw.stroke {
        let ends = if_stated(draw.stroke_ends.as_ref(), |ends| {
            format!("; done when {ends}")
        });
        page.line("stroke", &format!("{}{ends}", stroke.text()));
    }
    if let Some(flush) = &draw.flush {
        let strokes = digits(flush.strokes.as_ref());
        let because = if_stated(flush.because.as_ref(), |because| format!(" ({because})"));
        page.line(
            "first",
            &format!("draw {strokes} that do not count{because}; their time comes on top"),
        );
    }
    if let Some(pause) = &draw.pause {
        page.line(
            "pause",
            &format!(
                "{} between two strokes, counted into the time in all",
                pause.text()
            ),
        );
    }
    let scales: &[Scale] = sheet.printed_scales();
    let two = 1 < scales.len();
    let mut head: Vec<String> = ["strokes", "reading", "measures", "wait each", "wait in all"]
        .map(ToOwned::to_owned)
        .to_vec();
    if two {
        head.push("scale".to_owned());
    }
    let mut rows = vec![head];
    let pause = draw
        .pause
        .as_ref()
        .map_or(0.0, |pause| pause.value().seconds());
    let full = sheet.ranges_in_full();
    for one in &full.rows {
        rows.push(range_row(one, pause, scales));
    }
    if !full.rows.is_empty() {
        page.table(&rows);
    }
    for one in &full.rows {
        let row = sheet.ranges().get(one.row);
        if let Some(volume) = row.and_then(|row| row.volume.as_ref()) {
            let strokes = strokes_words(one.range.strokes.as_ref());
            page.line("volume", &format!("{} in all: {strokes}", volume.text()));
        }
    }
    for (what, from) in followed(&full.rows) {
        page.line(
            "not printed",
            &format!("{what}: follows from {}", from.words()),
        );
    }
    for lacking in &full.lacking {
        page.line("NOT KNOWN", &lacking.why);
    }
    for one in &full.rows {
        if let Some(usable) = &one.range.usable {
            let strokes = strokes_words(one.range.strokes.as_ref());
            page.line("only there", &format!("{strokes}: {}", usable.text()));
        }
    }
    if let Some(most) = &draw.more_strokes_if_no_stain {
        page.line(
            "no stain",
            &format!(
                "up to {} strokes; without a stain no less follows than with the last count above",
                most.text()
            ),
        );
    }
    for row in &draw.if_not_kept {
        let instruction = row.instruction.map_or("?", Instruction::name);
        let reads = row.reads.map_or("?", ReadsIfNotKept::name);
        page.line(
            "if not kept",
            &format!("{instruction}: the tube reads {reads}"),
        );
    }
}

/// Figures that are not printed, rows together that follow from the same.
fn followed(rows: &[FullRange]) -> Vec<(String, FollowsFrom)> {
    let mut all: Vec<(&str, FollowsFrom, Vec<String>)> = Vec::new();
    for one in rows {
        for figure in &one.followed {
            let name = match figure.key {
                "multiply_by" => "multiplier",
                "from" | "to" => "range",
                _ => "strokes",
            };
            let strokes = digits(one.range.strokes.as_ref());
            let known = all
                .iter_mut()
                .find(|(other, from, _)| *other == name && *from == figure.from);
            match known {
                Some((_, _, of)) if of.contains(&strokes) => {}
                Some((_, _, of)) => of.push(strokes),
                None => all.push((name, figure.from, vec![strokes])),
            }
        }
    }
    all.into_iter()
        .map(|(name, from, of)| (format!("{name} with {} strokes", of.join(", ")), from))
        .collect()
}

/// A figure as printed; in brackets where it follows.
fn figure(one: &FullRange, key: &str, number: Option<&stainbook_catalog::written::Num>) -> String {
    match (one.follows(key), number) {
        (Some(_), Some(number)) => {
            format!("({})", print::to_significant_at_most(number.value(), 4))
        }
        _ => digits(number),
    }
}

fn range_row(one: &FullRange, pause: f64, scales: &[Scale]) -> Vec<String> {
    let range: &MeasuringRange = &one.range;
    let scale = match &range.scale {
        Some(name) => scales
            .iter()
            .find(|scale| scale.name.as_ref() == Some(name)),
        None => scales.first(),
    };
    let unit = scale.and_then(|scale| scale.unit.as_deref()).unwrap_or("?");
    let whose = match range.seconds_for {
        Some(SecondsFor::HalfStroke) => " (half stroke)",
        Some(SecondsFor::WholeStroke) => " (whole stroke)",
        None => "",
    };
    let mut row = vec![
        figure(one, "strokes", range.strokes.as_ref()),
        format!(
            "× {}",
            figure(one, "multiply_by", range.multiply_by.as_ref())
        ),
        format!(
            "{} to {} {unit}",
            figure(one, "from", range.from.as_ref()),
            figure(one, "to", range.to.as_ref())
        ),
        match (&range.seconds_per_stroke, &range.seconds_in_all) {
            (None, Some(_)) => "not said".to_owned(),
            (seconds, _) => format!("{} s{whose}", digits(seconds.as_ref())),
        },
        range
            .sampling_seconds(pause)
            .map_or_else(|| "?".to_owned(), wait),
    ];
    if 1 < scales.len() {
        row.push(range.scale.clone().unwrap_or_else(|| "?".to_owned()));
    }
    row
}

/// Seconds as a watch shows them.
fn wait(seconds: f64) -> String {
    let minutes = (seconds / 60.0).floor();
    let rest = (seconds - minutes * 60.0).round();
    if minutes < 1.0 {
        format!("{rest} s")
    } else if rest < 1.0 {
        format!("{minutes} min")
    } else {
        format!("{minutes} min {rest} s")
    }
}
