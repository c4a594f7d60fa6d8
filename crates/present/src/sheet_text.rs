//! A tube's data sheet as text, laid out by the work: the sheet that hangs above the bench.
//!
//! Figures stand as the author typed them. What the sheet does not say is said not to be there, because the reader at
//! the bench cannot tell an empty line from a forgotten one.

use serde::Serialize;
use stainbook_catalog::Book;
use stainbook_catalog::written::tube::{
    AlsoMeasures, Correction, Method, OtherGas, PreTube, PreTubeForm, Range, Scale, Storage,
};
use stainbook_catalog::written::{Num, SubstanceEntry, TubeEntry};

use crate::lines::{columns, push_hanging};
use crate::{Colour, cautions};

/// No line is longer, so that the sheet prints on a page and fits a terminal.
pub const WIDTH: usize = 80;

/// The width of the words at the left of a line.
const NAME: usize = 14;

struct Page {
    out: String,
    colour: Colour,
}

impl Page {
    fn section(&mut self, title: &str) {
        self.out.push('\n');
        self.out.push_str(&self.colour.bold(title));
        self.out.push('\n');
    }

    fn line(&mut self, name: &str, text: &str) {
        let head = format!(
            "  {name:<width$}",
            width = NAME.max(name.chars().count() + 1)
        );
        push_hanging(&mut self.out, &head, text, WIDTH);
    }

    fn some(&mut self, name: &str, text: Option<&str>) {
        if let Some(text) = text {
            self.line(name, text);
        }
    }

    fn table(&mut self, rows: &[Vec<String>]) {
        for row in columns(rows) {
            self.out.push_str("    ");
            self.out.push_str(&row);
            self.out.push('\n');
        }
    }
}

/// The sheet, with the names of substances, pumps and limits looked up in the book.
pub fn render(sheet: &TubeEntry, book: &Book, colour: Colour) -> String {
    let mut page = Page {
        out: String::new(),
        colour,
    };
    head(&mut page, sheet, book);
    before_use(&mut page, sheet, book);
    drawing(&mut page, sheet);
    reading(&mut page, sheet, book);
    correcting(&mut page, sheet);
    doubt(&mut page, sheet, book);
    afterwards(&mut page, sheet);
    limits(&mut page, sheet, book);
    page.out.push('\n');
    page.out.push_str(&cautions::paragraph(WIDTH));
    page.out
}

fn head(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    let id = sheet.tube.as_deref().unwrap_or("(no short name)");
    let title = sheet.name.as_deref().unwrap_or(id);
    let measured = measured(sheet, book);
    page.out
        .push_str(&page.colour.bold(&format!("{title}: {measured}")));
    page.out.push('\n');
    let mut text = format!("sheet {id}");
    if let Some(leaflet) = &sheet.leaflet {
        if let Some(title) = &leaflet.title {
            text.push_str(&format!(", typed from \"{title}\""));
        }
        if let Some(revision) = &leaflet.revision {
            text.push_str(&format!(", revision {revision}"));
        }
        if let Some(date) = &leaflet.date {
            text.push_str(&format!(" of {}", date.text()));
        }
        if let Some(page) = &leaflet.page {
            text.push_str(&format!(", page {}", page.text()));
        }
        match &leaflet.lots {
            Some(lots) => text.push_str(&format!(", for lots {}", lots.text())),
            None => text.push_str(", for any lot"),
        }
    }
    push_hanging(&mut page.out, "", &text, WIDTH);
    let signed = |signed: &Option<stainbook_catalog::written::Signed>| {
        signed.as_ref().map(|signed| {
            let by = signed.by.as_deref().unwrap_or("?");
            format!(
                "{by} on {}",
                signed.date.as_ref().map_or("?", |date| date.text())
            )
        })
    };
    let entered = signed(&sheet.entered).unwrap_or_else(|| "nobody named".to_owned());
    let verified = signed(&sheet.verified).map_or_else(
        || "read against the paper by NOBODY ELSE YET".to_owned(),
        |by| format!("read against the paper by {by}"),
    );
    push_hanging(
        &mut page.out,
        "",
        &format!("typed in by {entered}, {verified}"),
        WIDTH,
    );
    if let Some(withdrawn) = &sheet.withdrawn {
        let since = withdrawn.since.as_ref().map_or("?", |day| day.text());
        let because = withdrawn.because.as_deref().unwrap_or("no reason given");
        let mut text = String::new();
        push_hanging(
            &mut text,
            "WITHDRAWN ",
            &format!("since {since}: {because}"),
            WIDTH,
        );
        page.out.push_str(&page.colour.red(text.trim_end()));
        page.out.push('\n');
    }
    if let Some(replaced) = &sheet.replaces {
        push_hanging(
            &mut page.out,
            "",
            &format!("replaces sheet {replaced}, which stays for its own lots"),
            WIDTH,
        );
    }
    if let Some(remark) = &sheet.remark {
        push_hanging(&mut page.out, "", remark, WIDTH);
    }
}

fn measured(sheet: &TubeEntry, book: &Book) -> String {
    let Some(measures) = &sheet.measures else {
        return "substance not on the sheet".to_owned();
    };
    match (&measures.substance, &measures.group, &measures.expressed_as) {
        (Some(substance), _, _) => substance_name(substance, book),
        (None, Some(group), expressed_as) => {
            let name = book
                .group(group)
                .and_then(|entry| entry.name.clone())
                .unwrap_or_else(|| group.clone());
            match expressed_as {
                Some(substance) => format!("{name}, as {}", substance_name(substance, book)),
                None => name,
            }
        }
        _ => "substance not on the sheet".to_owned(),
    }
}

fn substance_name(id: &str, book: &Book) -> String {
    book.substance(id)
        .and_then(|entry| entry.name.clone())
        .unwrap_or_else(|| id.to_owned())
}

fn before_use(page: &mut Page, sheet: &TubeEntry, book: &Book) {
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
            let both: Vec<String> = [temperature, humidity].into_iter().flatten().collect();
            page.line("works at", &both.join(", "));
        }
        None => page.line("works at", "not on the sheet"),
    }
    page.some("box", before.storage.as_ref().map(storage_words).as_deref());
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
    if storage.bring_to_ambient == Some(true) {
        parts
            .push("let it come to the temperature of the place before a tube is opened".to_owned());
    }
    parts.join(", ")
}

fn drawing(page: &mut Page, sheet: &TubeEntry) {
    page.section("Drawing");
    let Some(draw) = &sheet.draw else {
        page.line("", "not on the sheet");
        return;
    };
    if let Some(stroke) = &draw.stroke {
        let ends = draw
            .stroke_ends
            .as_ref()
            .map(|ends| format!("; done when {ends}"))
            .unwrap_or_default();
        page.line("stroke", &format!("{}{ends}", stroke.text()));
    }
    let scales: &[Scale] = sheet.read.as_ref().map_or(&[], |read| &read.scales);
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
}

fn range_row(range: &Range, scales: &[Scale]) -> Vec<String> {
    let scale = match &range.scale {
        Some(name) => scales
            .iter()
            .find(|scale| scale.name.as_ref() == Some(name)),
        None => scales.first(),
    };
    let unit = scale.and_then(|scale| scale.unit.as_deref()).unwrap_or("?");
    let seconds = match (&range.strokes, &range.seconds_per_stroke) {
        (Some(strokes), Some(seconds)) => wait(strokes.value() * seconds.value()),
        _ => "?".to_owned(),
    };
    let mut row = vec![
        digits(range.strokes.as_ref()),
        format!("× {}", digits(range.multiply_by.as_ref())),
        format!(
            "{} to {} {unit}",
            digits(range.from.as_ref()),
            digits(range.to.as_ref())
        ),
        format!("{} s", digits(range.seconds_per_stroke.as_ref())),
        seconds,
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

fn digits(number: Option<&Num>) -> String {
    number.map_or_else(|| "?".to_owned(), |number| number.text().to_owned())
}

fn reading(page: &mut Page, sheet: &TubeEntry, book: &Book) {
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
            "printed for {} strokes",
            digits(scale.printed_for_strokes.as_ref())
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
    if let Some(lowest) = &read.lowest_visible {
        let least = lowest.concentration.as_ref().map_or("?", |c| c.text());
        page.line(
            "seen from",
            &format!("{least} with {} strokes", digits(lowest.strokes.as_ref())),
        );
    }
    page.some("reaction", read.reaction.as_deref());
    for other in &read.also_measures {
        let unit = read
            .scales
            .first()
            .and_then(|scale| scale.unit.as_deref())
            .unwrap_or("?");
        page.line("also for", &also_words(other, unit, book));
    }
}

fn also_words(other: &AlsoMeasures, unit: &str, book: &Book) -> String {
    let gas = other
        .substance
        .as_deref()
        .map_or_else(|| "?".to_owned(), |id| substance_name(id, book));
    let target = other.multiply.map_or_else(|| "reading".to_owned(), word);
    let factor = match &other.by {
        Some(by) => format!("{target} × {}", by.text()),
        None => {
            let rows: Vec<String> = other
                .rows
                .iter()
                .filter_map(|row| {
                    Some(format!("{} at {}", row.get(1)?.text(), row.first()?.text()))
                })
                .collect();
            format!("{target} × {}", rows.join(", "))
        }
    };
    let (from, to) = (digits(other.from.as_ref()), digits(other.to.as_ref()));
    format!(
        "{gas}: {factor}, {from} to {to} {unit} with {} strokes",
        digits(other.strokes.as_ref())
    )
}

fn correcting(page: &mut Page, sheet: &TubeEntry) {
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
            let origin = if method == Method::CurvePoints {
                ", read off a graph"
            } else {
                ""
            };
            page.line(
                name,
                &with_between(format!("{multiplied} × the factor{origin}")),
            );
            let heads: Vec<String> = correction.columns.clone();
            let mut lines: Vec<Vec<String>> = heads.into_iter().map(|head| vec![head]).collect();
            for row in &correction.rows {
                for (line, cell) in lines.iter_mut().zip(row) {
                    line.push(cell.text().to_owned());
                }
            }
            page.table(&lines);
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

fn doubt(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    page.section("Doubt");
    let Some(doubt) = &sheet.doubt else {
        page.line("", "not on the sheet");
        return;
    };
    let bands: Vec<String> = doubt
        .repeatability
        .iter()
        .map(|band| {
            let rsd = band.rsd.as_ref().map_or("?", |rsd| rsd.text());
            format!(
                "{rsd} up to {}",
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
    if doubt.accuracy.is_empty() {
        page.line(
            "accuracy",
            "the leaflet says nothing: results name the default that is used",
        );
    }
    for band in &doubt.accuracy {
        let within = band.within.as_ref().map_or("?", |within| within.text());
        let up_to = band.up_to.as_ref().map_or("?", |up_to| up_to.text());
        let confidence = band
            .confidence
            .as_ref()
            .map(|c| format!(", for {} of readings", c.text()))
            .unwrap_or_default();
        page.line(
            "accuracy",
            &format!("within {within} up to {up_to}{confidence}"),
        );
    }
    for (index, gas) in doubt.other_gases.iter().enumerate() {
        page.line(
            if index == 0 { "other gases" } else { "" },
            &other_gas_words(gas, book),
        );
    }
    if doubt.other_gases.is_empty() {
        page.line("other gases", "none stated");
    }
}

fn other_gas_words(gas: &OtherGas, book: &Book) -> String {
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

fn afterwards(page: &mut Page, sheet: &TubeEntry) {
    page.section("Afterwards");
    let Some(afterwards) = &sheet.afterwards else {
        page.line("", "not on the sheet");
        return;
    };
    page.some("hazard", afterwards.hazard.as_deref());
    page.some("dispose", afterwards.dispose.as_deref());
    page.some("the stain", afterwards.stain_keeps.as_deref());
}

fn limits(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    let measures = sheet.measures.as_ref();
    let id = measures.and_then(|measures| {
        measures
            .substance
            .as_deref()
            .or(measures.expressed_as.as_deref())
    });
    let Some(substance) = id.and_then(|id| book.substance(id)) else {
        return;
    };
    if substance.limits.is_empty() {
        return;
    }
    let name = substance.name.as_deref().unwrap_or_default();
    page.section(&format!("Limits of {name}"));
    page.table(&limit_rows(substance, book));
}

fn limit_rows(substance: &SubstanceEntry, book: &Book) -> Vec<Vec<String>> {
    substance
        .limits
        .iter()
        .map(|limit| {
            let source = limit.source.as_deref().unwrap_or("?");
            let authority = book
                .source(source)
                .and_then(|entry| entry.authority.clone());
            let value = limit.at_most.as_ref().map_or("?", |value| value.text());
            let also = limit
                .also_printed
                .as_ref()
                .map(|also| format!(" ({})", also.text()))
                .unwrap_or_default();
            let over = limit
                .averaged_over
                .as_ref()
                .map(|over| format!(" over {}", over.text()))
                .unwrap_or_default();
            vec![
                authority.unwrap_or_else(|| source.to_owned()),
                limit.kind.map_or_else(|| "?".to_owned(), word) + &over,
                format!("{value}{also}"),
            ]
        })
        .collect()
}

/// A word of the written form, as it stands in the file.
fn word(word: impl Serialize) -> String {
    match serde_json::to_value(word) {
        Ok(serde_json::Value::String(word)) => word,
        _ => "?".to_owned(),
    }
}
