//! The README's tables.

use std::fmt::Write as _;

use super::deviation::AccuracyIs;
use super::measures::Way;
use super::reader::{Glass, Reader};
use super::summary::Summary;

const HEAD: &str = "\
| read to | glass runs | 95 % interval, by scale | by third of a scale | wrong \"below\", at worst | mean | wrong \"above\", at worst | mean | \"below\" at half | \"above\" at twice |
| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |
";

/// A table of these ways.
pub(super) fn table<'w>(rows: impl Iterator<Item = (&'w Reader, &'w Way, &'w Summary)>) -> String {
    let mut text = HEAD.to_owned();
    for (reader, way, of) in rows {
        let _ = writeln!(
            text,
            "| {} | {} | {} to {} | {} to {} | {} | {} | {} | {} | {} | {} |",
            reader_words(reader, way.accuracy),
            glass_words(way.glass),
            percent(of.coverage.low.0),
            percent(of.coverage.high.0),
            percent(of.thirds.low.0),
            percent(of.thirds.high.0),
            percent(of.below.0.high.0),
            percent(of.below.1),
            percent(of.above.0.high.0),
            percent(of.above.1),
            percent(of.power.0),
            percent(of.power.1),
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
