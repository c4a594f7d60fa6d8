//! Correcting: temperature, humidity and pressure, as the leaflet states them.

use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::tube::{Correction, Method};

use super::{Page, WIDTH, word};
use crate::lines::columns;

pub(super) fn correcting(page: &mut Page, sheet: &TubeEntry) {
    page.section("Correcting");
    let Some(correct) = &sheet.correct else {
        page.line("", "not on the sheet");
        return;
    };
    if let Some(at) = &correct.calibrated_at {
        let parts = [
            at.temperature.as_ref().map(|q| q.text()),
            at.pressure.as_ref().map(|q| q.text()),
            at.humidity.as_ref().map(|q| q.text()),
        ];
        let parts: Vec<&str> = parts.into_iter().flatten().collect();
        page.line("right at", &parts.join(", "));
    }
    if !correct.order.is_empty() {
        let order: Vec<String> = correct.order.iter().map(word).collect();
        page.line("in this order", &order.join(", then "));
    }
    let all = [
        ("temperature", &correct.temperature),
        ("humidity", &correct.humidity),
        ("pressure", &correct.pressure),
    ];
    for (name, correction) in all {
        match correction {
            Some(correction) => correction_lines(page, name, correction),
            None => page.line(name, "not on the sheet"),
        }
    }
}

fn correction_lines(page: &mut Page, name: &str, correction: &Correction) {
    let multiplied = correction
        .multiply
        .map_or_else(|| "reading".to_owned(), word);
    let between = correction
        .between
        .map(|between| match word(between).as_str() {
            "linear" => "between rows in a straight line".to_owned(),
            "not allowed" => "only the printed rows".to_owned(),
            other => format!("between rows {other}"),
        });
    let with_between = |text: String| match &between {
        Some(between) => format!("{text}; {between}"),
        None => text,
    };
    match correction.method {
        None => page.line(name, "not understood"),
        Some(Method::NoneNeeded) => page.line(name, "none needed"),
        Some(Method::NotStated) => page.line(name, "the leaflet says nothing: results are marked"),
        Some(Method::Proportional) => page.line(name, "× calibration pressure / station pressure"),
        Some(method @ (Method::FactorTable | Method::CurvePoints)) => {
            let mut text = format!("{multiplied} × the factor");
            if method == Method::CurvePoints {
                text.push_str(", read off a graph");
            }
            if let Some(within) = &correction.read_off_half_width {
                text.push_str(&format!(" to within {}", within.text()));
            }
            page.line(name, &with_between(text));
            factor_table(page, correction);
        }
        Some(Method::Table) => {
            let replaced = correction
                .replace
                .map_or_else(|| "reading".to_owned(), word);
            page.line(name, &with_between(format!("{replaced} becomes")));
            let mut rows = vec![
                std::iter::once(replaced)
                    .chain(correction.columns.iter().map(|head| format!("at {head}")))
                    .collect::<Vec<_>>(),
            ];
            for line in &correction.lines {
                let reading = line.reading.as_ref().map_or("?", |reading| reading.text());
                let values = line.becomes.iter().map(|value| value.text().to_owned());
                rows.push(std::iter::once(reading.to_owned()).chain(values).collect());
            }
            page.table(&rows);
        }
        Some(Method::Polynomial) => {
            let of = correction.of.as_deref().unwrap_or("?");
            let terms: Vec<String> = correction
                .coefficients
                .iter()
                .enumerate()
                .map(|(power, c)| match power {
                    0 => c.text().to_owned(),
                    1 => format!("{}·x", c.text()),
                    _ => format!("{}·x^{power}", c.text()),
                })
                .collect();
            page.line(
                name,
                &format!(
                    "{multiplied} × ({}), x in {of}",
                    terms.join(" + ").replace("+ -", "− ")
                ),
            );
        }
    }
}

/// Conditions above their factors, as most leaflets print them; below each other where they are too many for a line.
fn factor_table(page: &mut Page, correction: &Correction) {
    let rows = correction
        .rows
        .iter()
        .map(|row| row.iter().map(|cell| cell.text().to_owned()).collect());
    let upright: Vec<Vec<String>> = std::iter::once(correction.columns.clone())
        .chain(rows)
        .collect();
    let width = correction.columns.len();
    let lying: Vec<Vec<String>> = (0..width)
        .map(|index| {
            upright
                .iter()
                .filter_map(|row| row.get(index).cloned())
                .collect()
        })
        .collect();
    let fits = columns(&lying)
        .iter()
        .all(|line| line.chars().count() + 4 <= WIDTH);
    page.table(if fits { &lying } else { &upright });
}
