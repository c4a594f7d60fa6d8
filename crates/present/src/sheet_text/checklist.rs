//! Before use: pump, pre-tube, conditions, storage, the first steps.

use stainbook_catalog::Book;
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::tube::{PreTube, PreTubeForm, Storage};

use super::{Page, word};

pub(super) fn checklist(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    page.section("Before use");
    let Some(before) = &sheet.before_use else {
        page.line("", "not on the sheet");
        return;
    };
    for kind in &before.pump_kinds {
        let Some(entry) = book.pump_kind(kind) else {
            page.line("pump", kind);
            continue;
        };
        let mut text = entry.name.clone().unwrap_or_else(|| kind.clone());
        if let Some(stroke) = &entry.stroke {
            text.push_str(&format!(", {} a stroke", stroke.text()));
        }
        text.push_str("; no other kind");
        page.line("pump", &text);
        page.some("leak test", entry.leak_test.as_deref());
    }
    if let Some(pre_tube) = &before.pre_tube {
        page.line("pre-tube", &pre_tube_words(pre_tube));
    }
    match &before.usable {
        Some(usable) => {
            let temperature = usable
                .temperature
                .as_ref()
                .map(|range| range.text().to_owned());
            let humidity = usable
                .humidity
                .as_ref()
                .map(|range| range.text().to_owned());
            let air = usable.air.map(word);
            let both: Vec<String> = [temperature, humidity, air].into_iter().flatten().collect();
            page.line("works at", &both.join(", "));
        }
        None => page.line("works at", "not on the sheet"),
    }
    page.some(
        "box",
        before.storage.as_deref().map(storage_words).as_deref(),
    );
    if !before.joined.is_empty() {
        page.line(
            "joined",
            &format!("from the inlet on: {}", before.joined.join(", then ")),
        );
    }
    if let Some(arrow) = &before.arrow {
        page.line("arrow", arrow);
    }
    if let Some(when) = before.break_ampoule {
        page.line("ampoule", &format!("break it {}", word(when)));
    }
    for (index, step) in before.steps.iter().enumerate() {
        page.line(
            if index == 0 { "then" } else { "" },
            &format!("{}. {step}", index + 1),
        );
    }
}

fn pre_tube_words(pre_tube: &PreTube) -> String {
    let mut text = pre_tube
        .name
        .clone()
        .unwrap_or_else(|| "pre-tube".to_owned());
    text.push_str(match pre_tube.form {
        Some(PreTubeForm::SeparateTube) => ", a tube of its own, joined before this one",
        Some(PreTubeForm::LayerInside) => ", a layer in this tube",
        None => "",
    });
    if let Some(does) = &pre_tube.does {
        text.push_str(&format!(": {does}"));
    }
    if pre_tube.has_own_expiry == Some(true) {
        text.push_str("; look at its own expiry, too");
    }
    if let Some(strokes) = &pre_tube.spent_after {
        text.push_str(&format!(
            "; spent after {} strokes, earlier ones counted",
            strokes.text()
        ));
    }
    if let Some(damp) = &pre_tube.spent_after_in_damp {
        let strokes = damp.strokes.as_ref().map_or("?", |n| n.text());
        let above = damp.above.as_ref().map_or("?", |above| above.text());
        text.push_str(&format!("; above {above} after {strokes}"));
    }
    text
}

fn storage_words(storage: &Storage) -> String {
    let mut parts = Vec::new();
    match (&storage.above, &storage.below) {
        (Some(above), Some(below)) => parts.push(format!(
            "kept between {} and {}",
            above.text(),
            below.text()
        )),
        (None, Some(below)) => parts.push(format!("kept below {}", below.text())),
        (Some(above), None) => parts.push(format!("kept above {}", above.text())),
        (None, None) => {}
    }
    if storage.dark == Some(true) {
        parts.push("in the dark".to_owned());
    }
    if let Some(life) = &storage.shelf_life {
        parts.push(format!("keeps {}", life.text()));
    }
    if storage.upright == Some(true) {
        parts.push("upright".to_owned());
    }
    if storage.until_date_on_box == Some(true) {
        parts.push("keeps until the date on the box".to_owned());
    }
    if let Some(keeps) = &storage.opened_keeps {
        parts.push(format!("once opened {}", keeps.text()));
    }
    if storage.reuse_if_no_stain == Some(true) {
        parts.push("a tube without a stain may be used again".to_owned());
    }
    if storage.bring_to_ambient == Some(true) {
        parts
            .push("let it come to the temperature of the place before a tube is opened".to_owned());
    }
    parts.join(", ")
}
