//! A sheet whose name speaks of one substance and which measures another.

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "name-of-another-substance",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The sheet's name speaks of one substance, and the sheet measures another.",
    family: Family::Identity,
    docs: include_str!("name-of-another-substance.md"),
    check: Check::Tube(check),
};

/// Substances are spoken of in one to so many words; longer names do not stand in the name of a tube.
const MOST_WORDS: usize = 4;
/// Shorter words may be anything: `no`, `ether`-like endings, letters of a series.
const FEWEST_LETTERS: usize = 4;

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let (Some(name), Some(measures)) = (sheet.name.as_deref(), &sheet.measures) else {
        return;
    };
    // A group has many members and any of them may be in the name.
    let (Some(measured), None) = (measures.substance.as_deref(), measures.group.as_deref()) else {
        return;
    };
    if context.book.substance(measured).is_none() {
        return;
    }
    let Some(spoken_of) = substance_in(name, context) else {
        return;
    };
    if spoken_of == measured {
        return;
    }
    sink.report(
        sink.at(Path::root().key("measures").key("substance"))
            .message(format!("the sheet's name speaks of `{spoken_of}`, but it measures `{measured}`"))
            .label(format!("`{spoken_of}` in the name"))
            .note("the limits and the molar mass are those of the substance named here")
            .help("look at the leaflet: name the substance that it is for, or put the right one into `name`")
            .related(sink.place(Path::root().key("name")), "the name"),
    );
}

/// The substance with the most words that a name speaks of; nothing if there is none, or two are as long.
fn substance_in<'a>(name: &str, context: &Context<'a>) -> Option<&'a str> {
    let words: Vec<&str> = name
        .split_whitespace()
        .map(|word| word.trim_matches(|letter: char| !letter.is_alphanumeric()))
        .collect();
    for length in (1..=MOST_WORDS).rev() {
        let mut found: Vec<&str> = words
            .windows(length)
            .map(|words| words.join(" "))
            .filter(|words| FEWEST_LETTERS <= words.chars().count())
            .filter_map(|words| context.book.named_substance(&words)?.substance.as_deref())
            .collect();
        found.dedup();
        match found.as_slice() {
            [] => {}
            [only] => return Some(only),
            _ => return None,
        }
    }
    None
}
