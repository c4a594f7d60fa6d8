//! Drawing: strokes, what they measure, how long to wait.

use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::survey::Instruction;
use stainbook_catalog::written::tube::{MeasuringRange, ReadsIfNotKept, Scale, SecondsFor};

use super::{Page, digits};
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
    let scales: &[Scale] = sheet.printed_scales();
    let two = 1 < scales.len();
    let mut head: Vec<String> = ["strokes", "reading", "measures", "wait each", "wait in all"]
        .map(ToOwned::to_owned)
        .to_vec();
    if two {
        head.push("scale".to_owned());
    }
    let mut rows = vec![head];
    for range in &draw.ranges {
        rows.push(range_row(range, scales));
    }
    page.table(&rows);
    for row in &draw.if_not_kept {
        let instruction = row.instruction.map_or("?", Instruction::name);
        let reads = row.reads.map_or("?", ReadsIfNotKept::name);
        page.line(
            "if not kept",
            &format!("{instruction}: the tube reads {reads}"),
        );
    }
}

fn range_row(range: &MeasuringRange, scales: &[Scale]) -> Vec<String> {
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
        digits(range.strokes.as_ref()),
        format!("× {}", digits(range.multiply_by.as_ref())),
        format!(
            "{} to {} {unit}",
            digits(range.from.as_ref()),
            digits(range.to.as_ref())
        ),
        format!("{} s{whose}", digits(range.seconds_per_stroke.as_ref())),
        range
            .sampling_seconds()
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
