//! Correcting: temperature, humidity and pressure, as the leaflet states them.

use stainbook_catalog::written::tube::{BandSays, Correction, FactorBand, Method};
use stainbook_catalog::written::{Num, TubeEntry};

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
            Some(correction) => {
                correction_lines(page, name, correction);
                for table in &correction.tables {
                    let counts = listed(&table.for_strokes);
                    correction_lines(page, &format!("{name}, {counts}"), table);
                }
            }
            None => page.line(name, "not on the sheet"),
        }
    }
}

/// `3 and 5 strokes`.
fn listed(strokes: &[Num]) -> String {
    let counts: Vec<&str> = strokes.iter().map(|count| count.text()).collect();
    match counts.as_slice() {
        ["1"] => "1 stroke".to_owned(),
        [.., _] => format!("{} strokes", counts.join(" and ")),
        [] => "any strokes".to_owned(),
    }
}

/// For what alone the leaflet states a correction.
fn holds_for(correction: &Correction) -> String {
    let mut text = String::new();
    if !correction.for_strokes.is_empty() {
        text.push_str(&format!("; for {}", listed(&correction.for_strokes)));
    }
    if !correction.not_for_strokes.is_empty() {
        text.push_str(&format!(
            "; NOT for {}",
            listed(&correction.not_for_strokes)
        ));
    }
    if let Some(humidity) = &correction.at_humidity {
        text.push_str(&format!("; stated for {} only", humidity.text()));
    }
    text
}

fn in_band(band: &FactorBand) -> String {
    let within = band.within.as_deref().unwrap_or("?");
    let says = if let Some(factor) = &band.factor {
        format!("× {}", factor.text())
    } else if let Some(part) = &band.per_unit {
        format!("{} for each unit", part.text())
    } else {
        band.says.map_or_else(|| "?".to_owned(), band_says)
    };
    format!("{within}: {says}")
}

fn band_says(says: BandSays) -> String {
    match says {
        BandSays::DoNotUse => "DO NOT USE".to_owned(),
        BandSays::Proportional => "× calibration pressure / station pressure".to_owned(),
        says => word(says),
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
    let holds_for = holds_for(correction);
    let with_between = |text: String| match &between {
        Some(between) => format!("{text}; {between}{holds_for}"),
        None => format!("{text}{holds_for}"),
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
                let times = if line.cells_key() == "factors" {
                    "× "
                } else {
                    ""
                };
                let values = line.cells().iter().map(|value| match value.number() {
                    Some(_) => format!("{times}{}", value.text()),
                    None => value.text().to_owned(),
                });
                rows.push(std::iter::once(reading.to_owned()).chain(values).collect());
            }
            page.table(&rows);
        }
        Some(Method::FactorBands) => {
            page.line(name, &with_between(format!("{multiplied}, by bands")));
            let mut rows: Vec<Vec<String>> = correction
                .bands
                .iter()
                .map(|band| vec![in_band(band)])
                .collect();
            rows.extend(
                correction
                    .elsewhere
                    .map(|says| vec![format!("elsewhere: {}", band_says(says))]),
            );
            page.table(&rows);
        }
        Some(Method::WithHumidity) => {
            page.line(
                name,
                &with_between(format!("{multiplied} × the factor, with humidity")),
            );
            let mut rows = vec![
                std::iter::once("humidity".to_owned())
                    .chain(correction.columns.iter().map(|head| format!("at {head}")))
                    .collect::<Vec<_>>(),
            ];
            for line in &correction.humidities {
                let humidity = line
                    .humidity
                    .as_ref()
                    .map_or("?", |humidity| humidity.text());
                let factors = line.factors.iter().map(|cell| cell.text().to_owned());
                rows.push(
                    std::iter::once(humidity.to_owned())
                        .chain(factors)
                        .collect(),
                );
            }
            page.table(&rows);
        }
        Some(Method::WithTemperature) => page.line(name, "in the table of the temperature"),
        Some(Method::ByStrokes) => page.line(name, "a table for each stroke count"),
        Some(Method::AsOnAnotherSheet) => page.line(
            name,
            &with_between(format!(
                "as on sheet {}",
                correction.sheet.as_deref().unwrap_or("?")
            )),
        ),
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
                    "{multiplied} × ({}), x in {of}{holds_for}",
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
