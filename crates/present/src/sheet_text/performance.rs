//! Doubt: repeatability, accuracy and other gases.

use stainbook_catalog::Book;
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::tube::Interferent;

use super::{Page, substance_name, word};
use crate::lines::if_stated;

pub(super) fn performance(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    page.section("Doubt");
    let Some(performance) = &sheet.performance else {
        page.line("", "not on the sheet");
        return;
    };
    let bands: Vec<String> = performance
        .repeatability
        .iter()
        .map(|band| {
            let rsd = band.rsd.as_ref().map_or("?", |rsd| rsd.text());
            let from = if_stated(band.from_readings.as_ref(), |count| {
                format!(" from {} readings", count.value())
            });
            format!(
                "{rsd}{from} up to {}",
                band.up_to.as_ref().map_or("?", |up_to| up_to.text())
            )
        })
        .collect();
    if bands.is_empty() {
        page.line("repeatability", "not on the sheet");
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
    for band in &performance.accuracy {
        let within = band.within.as_ref().map_or("?", |within| within.text());
        let up_to = band.up_to.as_ref().map_or("?", |up_to| up_to.text());
        let confidence = if_stated(band.confidence.as_ref(), |c| {
            format!(", for {} of readings", c.text())
        });
        let relative_uncertainty = if_stated(band.relative_uncertainty.as_ref(), |part| {
            format!("; the figure itself is known to {}", part.text())
        });
        page.line(
            "accuracy",
            &format!("within {within} up to {up_to}{confidence}{relative_uncertainty}"),
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
    if let Some(to) = &gas.tested_to {
        text.push_str(&format!("; tested up to {}", to.text()));
    }
    if let Some(remark) = &gas.remark {
        text.push_str(&format!("; {remark}"));
    }
    text
}
