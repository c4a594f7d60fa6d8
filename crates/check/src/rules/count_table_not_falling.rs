//! A table of strokes and concentrations in which more strokes do not go with less.

use stainbook_core::{Concentration, Quantity, Unit, unit_of};
use stainbook_document::place::Path;

use crate::words;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "count-table-not-falling",
    level: Level::Error,
    since: "0.1.0",
    summary: "In a table of strokes and concentrations more strokes do not go with less.",
    family: Family::Scale,
    docs: include_str!("count-table-not-falling.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(counts) = sheet.read.as_ref().and_then(|read| read.counts.as_ref()) else {
        return;
    };
    let unit = counts
        .unit
        .as_deref()
        .and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok())
        .map_or("", Unit::canonical);
    let at = |row: usize| {
        let read = Path::root().key("read").key("counts");
        read.key("rows").index(row)
    };
    let mut rows = Vec::new();
    for (row, cells) in counts.rows.iter().enumerate() {
        if let [strokes, concentration] = cells.as_slice() {
            rows.push((row, strokes, concentration));
            continue;
        }
        sink.report(
            sink.at(at(row))
                .message("a row of the table of strokes does not have two numbers")
                .label(format!("numbers in the row: {}", cells.len()))
                .note("each row has the strokes and the concentration at which they are needed")
                .help("write the strokes and the concentration in brackets with a comma between them, as the leaflet prints them")
                .fact("numbers", Fact::text(cells.len().to_string())),
        );
    }
    rows.sort_by(|a, b| a.1.value().total_cmp(&b.1.value()));
    for pair in rows.windows(2) {
        let [(first, few, high), (second, many, low)] = pair else {
            continue;
        };
        if few.value() < many.value() && low.value() < high.value() {
            continue;
        }
        let (one, other) = (first.min(second), first.max(second));
        sink.report(
            sink.at(at(*other))
                .message("more strokes do not go with less in the table of strokes")
                .label(format!(
                    "{} strokes for {} {unit}, {} for {} {unit}",
                    few.text(),
                    high.text(),
                    many.text(),
                    low.text()
                ))
                .note("the more there is, the sooner the layer turns: a count beside such a row would say too much or too little")
                .help("compare the rows with the leaflet: two have changed places, or a digit has slipped")
                .related(sink.place(at(*one)), "the other row")
                .fact("written", words::number_fact(low, unit)),
        );
    }
}
