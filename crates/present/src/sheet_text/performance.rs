//! Doubt: repeatability, accuracy and other gases.

use stainbook_catalog::Book;
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::tube::paper_words::{UpTo, UpToBound};
use stainbook_catalog::written::tube::{AccuracyBand, AccuracyKind, DeviationOf, Interferent};

use super::{Page, substance_name, word};
use crate::lines::if_stated;
use stainbook_core::print;

pub(super) fn performance(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    page.section("Doubt");
    let Some(performance) = &sheet.performance else {
        page.line("", "not on the sheet");
        return;
    };
    let bands: Vec<String> = performance
        .repeatability
        .iter()
        .enumerate()
        .map(|(index, band)| {
            let rsd = band.rsd.as_ref().map_or("?", |rsd| rsd.text());
            let from = if_stated(band.from_readings.as_ref(), |count| {
                format!(" from {} readings", count.value())
            });
            let least = if_stated(band.at_least.as_ref(), |least| {
                format!(" or {}, whichever is greater,", least.text())
            });
            format!(
                "{}{least}{from} {}",
                counts(rsd),
                up_to(band.up_to.as_ref(), index)
            )
        })
        .collect();
    if bands.is_empty() {
        page.line(
            "repeatability",
            "the leaflet says nothing: results name the default that is used",
        );
    } else {
        page.line(
            "repeatability",
            &format!("{} (relative standard deviation)", bands.join(", ")),
        );
    }
    if performance.accuracy.is_empty() {
        page.line(
            "accuracy",
            "the leaflet says nothing: results name the default that is used",
        );
    }
    for (index, band) in performance.accuracy.iter().enumerate() {
        let within = deviation_words(band);
        let up_to = up_to(band.up_to.as_ref(), index);
        let confidence = if_stated(band.confidence.as_ref(), |c| {
            format!(", for {} of readings", c.text())
        });
        let kind = match band.kind {
            Some(AccuracyKind::NotSaid) => {
                "; the leaflet does not say what this is: it counts as accuracy, for 95 % of readings"
            }
            Some(AccuracyKind::Accuracy) | None => "",
        };
        let relative_uncertainty = if_stated(band.relative_uncertainty.as_ref(), |part| {
            format!("; the figure itself is known to {}", part.text())
        });
        page.line(
            "accuracy",
            &format!("within {within} {up_to}{confidence}{kind}{relative_uncertainty}"),
        );
    }
    for (index, gas) in performance.interferents.iter().enumerate() {
        page.line(
            if index == 0 { "other gases" } else { "" },
            &interferent_words(gas, book),
        );
    }
    if performance.interferents.is_empty() {
        page.line("other gases", "none stated");
    }
}

/// `up to 3 ppm`, `in the first third`, `over the whole scale`, of a band after others `above that`.
fn up_to(bound: Option<&UpTo>, index: usize) -> String {
    match bound.map(|bound| (bound.bound(), bound.text())) {
        Some((UpToBound::Reading(_), text)) => format!("up to {text}"),
        Some((UpToBound::Third(_), text)) => format!(
            "up to the end of the {text} (of the marks or of the concentrations: the larger figure counts between)"
        ),
        Some((UpToBound::LastMark, text)) => format!("up to the {text}"),
        None if 0 < index => "above that".to_owned(),
        None => "over the whole scale".to_owned(),
    }
}

/// A share as printed; of a span with what counts.
fn counts(text: &str) -> String {
    match text.split_once(" to ") {
        Some((_, larger)) => format!("{text} ({larger} counts)"),
        None => text.to_owned(),
    }
}

fn deviation_words(band: &AccuracyBand) -> String {
    let mut parts = Vec::new();
    if let Some(within) = &band.within {
        let of = match band.of {
            Some(DeviationOf::FullScale) => " of full scale",
            Some(DeviationOf::TrueValue) | None => "",
        };
        parts.push(format!("{}{of}", counts(within.text())));
    }
    parts.extend(band.at_least.as_ref().map(|least| least.text().to_owned()));
    let spaces = band.within_spaces.as_ref();
    parts.extend(spaces.map(|part| format!("{} of the space between two marks", part.text())));
    let stain = band.within_mm.as_ref();
    parts
        .extend(stain.map(|mm| format!("{} mm of the stain, with marks evenly spaced", mm.text())));
    match parts.as_slice() {
        [] => "?".to_owned(),
        [only] => only.clone(),
        _ => format!("{}, whichever is greater,", parts.join(" or ")),
    }
}

fn interferent_words(gas: &Interferent, book: &Book) -> String {
    let name = match (&gas.substance, &gas.group) {
        (Some(id), _) => substance_name(id, book),
        (None, Some(id)) => book
            .group(id)
            .and_then(|entry| entry.name.clone())
            .unwrap_or_else(|| id.clone()),
        _ => "?".to_owned(),
    };
    let alone = gas.alone.map_or_else(|| "not stated".to_owned(), word);
    let together = gas.together.map_or_else(|| "not stated".to_owned(), word);
    let mut text = format!("{name}: {together}; alone {alone}");
    if let Some(colour) = &gas.colour {
        text.push_str(&format!(" ({colour})"));
    }
    if let Some(response) = &gas.response {
        text.push_str(&format!("; one part reads as {}", response.text()));
        if response.relative_half_width().is_some() {
            let middle = print::to_significant_at_most(response.value(), 4);
            text.push_str(&format!(" (the middle, {middle}, counts)"));
        }
        if let Some(within) = &gas.response_uncertainty {
            text.push_str(&format!(" (standard uncertainty {})", within.text()));
        }
    }
    if let Some(from) = &gas.matters_from {
        text.push_str(&format!("; matters from {}", from.text()));
    }
    if let Some(times) = &gas.matters_from_times {
        text.push_str(&format!(
            "; matters from {} times the gas measured",
            times.text()
        ));
    }
    if let Some(above) = &gas.only_above_humidity {
        text.push_str(&format!("; only above {}", above.text()));
    }
    if let Some(to) = &gas.tested_to {
        text.push_str(&format!("; tested up to {}", to.text()));
    }
    if let Some(remark) = &gas.remark {
        text.push_str(&format!("; {remark}"));
    }
    text
}
