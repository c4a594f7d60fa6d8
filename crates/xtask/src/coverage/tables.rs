//! The README's tables.

use std::fmt::Write as _;

use super::deviation::AccuracyIs;
use super::measures::Way;
use super::reader::{Glass, Reader};
use super::summary::{Range, Summary};

/// One way of reading with what was found.
type Row = (Reader, Way, Summary);

/// Everything about these ways.
pub(super) fn all(rows: Vec<Row>) -> String {
    let heads = [
        "95 % interval, by scale",
        "by third of a scale",
        "wrong \"below\", at worst",
        "mean",
        "wrong \"above\", at worst",
        "mean",
        "\"below\" at half",
        "\"above\" at twice",
    ];
    table(rows, &heads, |of| {
        let [below, above] = of.power;
        let figures = [
            of.below.0.high.0,
            of.below.1,
            of.above.0.high.0,
            of.above.1,
            below,
            above,
        ];
        coverage(of)
            .into_iter()
            .chain(figures.map(percent))
            .collect()
    })
}

/// The intervals alone.
pub(super) fn intervals(rows: Vec<Row>) -> String {
    table(
        rows,
        &["95 % interval, by scale", "by third of a scale"],
        coverage,
    )
}

fn coverage(of: &Summary) -> Vec<String> {
    let range = |range: &Range| format!("{} to {}", percent(range.low.0), percent(range.high.0));
    vec![range(&of.coverage), range(&of.thirds)]
}

fn table(rows: Vec<Row>, heads: &[&str], cells: impl Fn(&Summary) -> Vec<String>) -> String {
    let mut text = format!(
        "| read to | glass runs | {} |\n| --- | --- |{}\n",
        heads.join(" | "),
        " ---: |".repeat(heads.len())
    );
    for (reader, way, of) in rows {
        let _ = writeln!(
            text,
            "| {} | {} | {} |",
            reader_words(&reader, way.accuracy),
            glass_words(way.glass),
            cells(&of).join(" | ")
        );
    }
    text
}

fn percent(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}

fn glass_words(glass: Glass) -> &'static str {
    match glass {
        Glass::Even => "evenly",
        Glass::Logarithmic => "logarithmically",
    }
}

fn reader_words(reader: &Reader, accuracy: AccuracyIs) -> String {
    let mut words = reader.says.to_owned();
    if reader.parts == 1 && reader.says != "nearest mark" {
        words.push_str(", but reads marks only");
    }
    if reader.divides == Glass::Logarithmic {
        words.push_str(", divided logarithmically by eye");
    }
    words.push_str(match accuracy {
        AccuracyIs::Normal => "",
        AccuracyIs::Rectangular => ", accuracy rectangular",
        AccuracyIs::Lognormal => ", accuracy lognormal",
    });
    words
}
