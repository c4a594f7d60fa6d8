//! Reading: the scale, the stain, what else the tube measures.

use stainbook_catalog::Book;
use stainbook_catalog::written::tube::ResponseFactor;
use stainbook_catalog::written::{Num, TubeEntry};

use super::{Page, digits, substance_name, word};

pub(super) fn reading(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    page.section("Reading");
    let Some(read) = &sheet.read else {
        page.line("", "not on the sheet");
        return;
    };
    for scale in &read.scales {
        let name = scale
            .name
            .as_ref()
            .map_or_else(|| "scale".to_owned(), |name| format!("scale {name}"));
        let marks: Vec<&str> = scale.marks.iter().map(|mark| mark.text()).collect();
        let unit = scale.unit.as_deref().unwrap_or("?");
        page.line(&name, &format!("{} {unit}", marks.join(", ")));
        let mut about = format!(
            "printed for {}",
            strokes(&digits(scale.printed_for_strokes.as_ref()))
        );
        if let Some(stated) = scale.mass_stated {
            about.push_str(&format!(", mass {}", word(stated)));
        }
        if let Some(stated) = scale.stated_in {
            about.push_str(&format!(", in {}", word(stated)));
        }
        page.line("", &about);
    }
    if let Some(stain) = &read.stain {
        let from = stain.from.as_deref().unwrap_or("?");
        let to = stain.to.as_deref().unwrap_or("?");
        let front = stain
            .front
            .map(|front| format!("; front {}", word(front)))
            .unwrap_or_default();
        page.line("stain", &format!("{from} turns {to}{front}"));
    }
    page.some("read it", read.when.as_deref());
    if let Some(lowest) = &read.limit_of_detection {
        let with = |count: &Option<Num>| match count {
            Some(count) => format!(" with {}", strokes(count.text())),
            None => String::new(),
        };
        let mut least: Vec<String> = Vec::new();
        if let Some(part) = &lowest.part_of_first_mark {
            let with = with(&lowest.strokes);
            least.push(format!("{} of the first mark{with}", part.text()));
        }
        if let Some(visible) = &lowest.concentration {
            least.push(format!("{}{}", visible.text(), with(&lowest.strokes)));
        }
        least.extend(lowest.by_strokes.iter().map(|row| {
            let visible = row
                .concentration
                .as_ref()
                .map_or("?", |visible| visible.text());
            format!("{visible}{}", with(&row.strokes))
        }));
        page.line("seen from", &least.join(", "));
    }
    page.some("reaction", read.reaction.as_deref());
    for other in &read.response_factors {
        let named = read.scales.iter().find(|scale| scale.name == other.scale);
        let unit = named
            .or(read.scales.first())
            .and_then(|scale| scale.unit.as_deref())
            .unwrap_or("?");
        page.line("also for", &also_words(other, unit, book));
    }
}

/// A stroke count in words: `1 stroke`, `3 strokes`.
fn strokes(count: &str) -> String {
    let one = count.parse().is_ok_and(|number: f64| number <= 1.0);
    format!("{count} {}", if one { "stroke" } else { "strokes" })
}

fn also_words(other: &ResponseFactor, unit: &str, book: &Book) -> String {
    let gas = other
        .substance
        .as_deref()
        .map_or_else(|| "?".to_owned(), |id| substance_name(id, book));
    let target = other.multiply.map_or_else(|| "reading".to_owned(), word);
    let factor = if let Some(by) = &other.by {
        format!("{target} × {}", by.text())
    } else {
        let rows: Vec<String> = other
            .rows
            .iter()
            .filter_map(|row| Some(format!("{} at {}", row.get(1)?.text(), row.first()?.text())))
            .collect();
        format!("{target} × {}", rows.join(", "))
    };
    let (from, to) = (digits(other.from.as_ref()), digits(other.to.as_ref()));
    let mut text = format!(
        "{gas}: {factor}, {from} to {to} {unit} with {}",
        strokes(&digits(other.strokes.as_ref()))
    );
    if let Some(scale) = &other.scale {
        text.push_str(&format!(", on scale {scale}"));
    }
    if let Some(uncertainty) = &other.uncertainty {
        text.push_str(&format!(
            "; standard uncertainty of the factor {}",
            uncertainty.text()
        ));
    }
    if let Some(between) = other.between {
        text.push_str(&format!("; between readings {}", word(between)));
    }
    text
}
