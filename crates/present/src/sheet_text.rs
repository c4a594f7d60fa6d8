//! A tube's data sheet as text, laid out by the work: the sheet that hangs above the bench.
//!
//! Figures stand as the author typed them. What the sheet does not say is said not to be there, because the reader at
//! the bench cannot tell an empty line from a forgotten one.

mod checklist;
mod correcting;
mod drawing;
mod limits;
mod performance;
mod reading;

use serde::Serialize;
use stainbook_catalog::Book;
use stainbook_catalog::written::{Num, TubeEntry};

use crate::lines::{columns, printable, push_hanging};
use crate::{Colour, cautions, measurement_model};

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
            self.out.push_str(&printable(&row));
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
    checklist::checklist(&mut page, sheet, book);
    drawing::drawing(&mut page, sheet);
    reading::reading(&mut page, sheet, book);
    correcting::correcting(&mut page, sheet);
    conversion(&mut page, sheet);
    worked(&mut page, sheet);
    performance::performance(&mut page, sheet, book);
    afterwards(&mut page, sheet);
    limits::limits(&mut page, sheet, book);
    page.out.push('\n');
    page.out.push_str(&measurement_model::paragraph(WIDTH));
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
        if let Some(designation) = &leaflet.designation {
            text.push_str(&format!(", for tubes marked \"{designation}\""));
        }
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
            None if leaflet.manufactured.is_some() => {}
            None => text.push_str(", for any lot"),
        }
        if let Some(made) = &leaflet.manufactured {
            text.push_str(&format!(", for tubes made {}", made.text()));
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
        for line in text.lines() {
            page.out.push_str(&page.colour.red(line));
            page.out.push('\n');
        }
    }
    for erratum in sheet.leaflet.iter().flat_map(|leaflet| &leaflet.errata) {
        let lots = erratum.lots.as_ref().map_or("?", |lots| lots.text());
        let says = erratum.says.as_deref().unwrap_or("?");
        push_hanging(
            &mut page.out,
            "ERRATUM ",
            &format!("for lots {lots}: {says}"),
            WIDTH,
        );
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

/// A factor as the leaflet prints it.
fn conversion(page: &mut Page, sheet: &TubeEntry) {
    for printed in &sheet.conversion {
        let ppm = printed.ppm.as_ref().map_or("?", |ppm| ppm.text());
        let is = printed.is.as_ref().map_or("?", |is| is.text());
        let at = [
            printed.at.as_ref().map(|at| at.text()),
            printed.pressure.as_ref().map(|at| at.text()),
        ];
        let at: Vec<&str> = at.into_iter().flatten().collect();
        let at = if at.is_empty() {
            String::new()
        } else {
            format!(" at {}", at.join(" and "))
        };
        page.line("printed", &format!("{ppm} ppm is {is}{at}"));
    }
}

/// Examples worked out, which the checker works out again.
fn worked(page: &mut Page, sheet: &TubeEntry) {
    for worked in &sheet.worked {
        let reading = worked
            .reading
            .as_ref()
            .map_or("?", |reading| reading.text());
        let gives = worked.gives.as_ref().map_or("?", |gives| gives.text());
        let at = [
            worked.temperature.as_ref().map(|at| at.text()),
            worked.humidity.as_ref().map(|at| at.text()),
            worked.pressure.as_ref().map(|at| at.text()),
        ];
        let at: Vec<&str> = at.into_iter().flatten().collect();
        let at = if at.is_empty() {
            String::new()
        } else {
            format!(" at {}", at.join(", "))
        };
        let scale = worked.scale.as_ref();
        let scale = scale.map_or_else(String::new, |scale| format!(" on the scale {scale}"));
        let gas = worked.substance.as_ref();
        let gas = gas.map_or_else(String::new, |gas| format!(" of {gas}"));
        page.line(
            "example",
            &format!(
                "{reading}{scale} with {}{at} gives {gives}{gas}",
                strokes_words(worked.strokes.as_ref())
            ),
        );
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

fn digits(number: Option<&Num>) -> String {
    number.map_or_else(|| "?".to_owned(), |number| number.text().to_owned())
}

/// `1 stroke`, `5 strokes`.
fn strokes_words(strokes: Option<&Num>) -> String {
    let is_one = strokes.is_some_and(|strokes| strokes.text() == "1");
    let s = if is_one { "" } else { "s" };
    format!("{} stroke{s}", digits(strokes))
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

/// A word of the written form, as it stands in the file.
fn word(word: impl Serialize) -> String {
    match serde_json::to_value(word) {
        Ok(serde_json::Value::String(word)) => word,
        _ => "?".to_owned(),
    }
}
