//! `cargo xtask slips`: how many of the slips that people make in typing a leaflet in are seen, and by what.
//!
//! Clean sheets, the demo's and made-up ones, get one slip at a time: in every number, unit and reference, and in every row
//! and column. Layout stays, since only the bytes of a value change. Counted is whether the checker has an error or a
//! warning for it: the schema alone, the rules, the rules on a sheet with control figures and examples, or the comparison
//! with a second person's sheet.

mod edit;
mod given;
mod in_name;
mod in_number;
mod in_table;
mod injected;
mod judge;
mod paper;
mod sheets;
mod tally;
mod targets;
mod why;

use std::fs;
use std::thread;

use stainbook_catalog::document::Document;
use stainbook_catalog::place::FileId;
use stainbook_catalog::{SourceFile, read_entry};
use stainbook_check::Options;

use crate::output::root;
use judge::{Bench, SeenBy};
use sheets::Shelf;
use tally::Tally;

/// What goes wrong between paper and keyboard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Class {
    DecimalPoint,
    DigitsSwapped,
    DigitWrong,
    DigitDropped,
    DigitDoubled,
    SignLost,
    UnitSibling,
    RowLeftOut,
    RowDoubled,
    RowsSwapped,
    ColumnsSwapped,
    ShiftedByACell,
    WrongSubstance,
    WrongReference,
    BlockCopied,
}

/// How many generated sheets there are beside the demo's.
const GENERATED: usize = 200;
/// How many further ones have to pass without a word.
const FURTHER: usize = 1_000;
/// For the sample that a test counts again: every so many sheets one.
const SAMPLE_STEP: usize = 24;
/// The day by which dates are judged.
const AS_OF: &str = "2026-11-25";

/// Counts, and writes into the README or compares with it.
pub(crate) fn run(to_do: &str) -> Result<String, String> {
    if let Some(step) = to_do.strip_prefix("--missed=") {
        let step = step
            .parse()
            .map_err(|_| "not a number of sheets".to_owned())?;
        let tally = count(step)?;
        return Ok(format!(
            "{}{}",
            tally.missed(),
            tally::readme(&tally, &tally)
        ));
    }
    if to_do == "--silent" {
        return silent();
    }
    let tally = count(1)?;
    let block = tally::readme(&tally, &count(SAMPLE_STEP)?);
    match to_do {
        "--write" => write(&block, false),
        "--check" => write(&block, true),
        _ => Ok(block),
    }
}

/// Sheets without a slip, the demo's and many more made-up ones than slips are made in, with and without control figures.
fn silent() -> Result<String, String> {
    let shelves = [Shelf::demo(), Shelf::further(FURTHER)];
    let mut sheets = 0;
    let mut said = Vec::new();
    for shelf in &shelves {
        for index in 0..shelf.sheets.len() {
            sheets += 1;
            said.extend(is_clean(shelf, index).err());
        }
    }
    if said.is_empty() {
        Ok(format!(
            "no error and no warning about {sheets} sheets, with and without control figures"
        ))
    } else {
        Err(format!(
            "{} of {sheets} sheets are blamed:\n{}",
            said.len(),
            said.join("\n")
        ))
    }
}

/// Counts the slips of every so many sheets one.
pub(crate) fn count(step: usize) -> Result<Tally, String> {
    let shelves = [Shelf::demo(), Shelf::honest(GENERATED)];
    let work: Vec<(usize, usize)> = shelves
        .iter()
        .enumerate()
        .flat_map(|(shelf, of)| (0..of.sheets.len()).map(move |sheet| (shelf, sheet)))
        .step_by(step)
        .collect();
    let threads = thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let shelves = &shelves;
    let work = &work;
    for (shelf, sheet) in work {
        shelves
            .get(*shelf)
            .map_or(Ok(()), |shelf| is_clean(shelf, *sheet))?;
    }
    thread::scope(|scope| {
        let running: Vec<_> = (0..threads)
            .map(|first| {
                scope.spawn(move || {
                    let mut tally = Tally::default();
                    for (shelf, sheet) in work.iter().skip(first).step_by(threads) {
                        if let Some(shelf) = shelves.get(*shelf) {
                            one_sheet(shelf, *sheet, &mut tally)?;
                        }
                    }
                    Ok::<Tally, String>(tally)
                })
            })
            .collect();
        let mut all = Tally::default();
        for one in running {
            let counted = one.join().map_err(|_| "a thread broke off".to_owned())??;
            all.add(counted);
        }
        Ok(all)
    })
}

fn one_sheet(shelf: &Shelf, index: usize, tally: &mut Tally) -> Result<(), String> {
    let Some(sheet) = shelf.sheets.get(index) else {
        return Ok(());
    };
    let Some(donor) = shelf.sheets.get((index + 1) % shelf.sheets.len()) else {
        return Ok(());
    };
    let companions = shelf.companions(&sheet.path);
    let references: Vec<String> = companions.iter().map(|entry| entry.path.clone()).collect();
    let mut bench = Bench::new(&sheet.path, companions, options());
    let (bare, full) = (
        read(&sheet.path, &sheet.bare)?,
        read(&sheet.path, &sheet.full)?,
    );
    let (other_bare, other_full) = (
        read(&donor.path, &donor.bare)?,
        read(&donor.path, &donor.full)?,
    );
    let without = injected::slips(&bare, &other_bare, &references);
    let with = injected::slips(&full, &other_full, &references);
    let same = without.len() == with.len()
        && without
            .iter()
            .zip(&with)
            .all(|(a, b)| a.class == b.class && a.field == b.field);
    if !same {
        return Err(format!(
            "{}: the two forms of the sheet do not have the same slips",
            sheet.path
        ));
    }
    tally.sheet(shelf.name);
    for (without, with) in without.iter().zip(&with) {
        let text = edit::apply(bare.text(), &without.edits);
        let text_with = edit::apply(full.text(), &with.edits);
        let (seen_by, rule) = bench.judge(&text, &text_with);
        let compared = judge::compared(&sheet.path, &bare, &text);
        tally.slip(without, seen_by, rule, compared, &|| {
            let edit = without.edits.first();
            let from = edit
                .and_then(|edit| bare.text().get(edit.range.clone()))
                .unwrap_or_default();
            format!(
                "{}: {from:?} -> {:?}",
                sheet.path,
                edit.map_or("", |edit| edit.to.as_str())
            )
        });
        debug_assert!(seen_by != SeenBy::Nobody || rule.is_none());
    }
    Ok(())
}

/// Nothing is said about a sheet before a slip is made, or nothing that is said afterwards would count.
fn is_clean(shelf: &Shelf, index: usize) -> Result<(), String> {
    let Some(sheet) = shelf.sheets.get(index) else {
        return Ok(());
    };
    let mut bench = Bench::new(&sheet.path, shelf.companions(&sheet.path), options());
    for (text, which) in [
        (&sheet.bare, "as it stands"),
        (&sheet.full, "with control figures"),
    ] {
        let said = bench.look(text);
        if let Some(finding) = said.by_reader.first().or(said.by_rules.first()) {
            return Err(format!(
                "{} ({which}) is not clean: {}: {} {}",
                sheet.path,
                finding.rule(),
                finding.message_text(),
                finding.label_text().unwrap_or_default()
            ));
        }
    }
    Ok(())
}

fn options() -> Options {
    Options {
        as_of: AS_OF.parse().ok(),
    }
}

fn read(path: &str, text: &str) -> Result<Document, String> {
    let (entry, _) = read_entry(FileId(0), &SourceFile::new(path, text));
    entry
        .map(|entry| entry.document)
        .ok_or_else(|| format!("{path}: not read"))
}

const README: &str = "README.md";
const OPENS: &str = "<!-- slips -->\n";
const CLOSES: &str = "<!-- /slips -->";

fn write(block: &str, only_compare: bool) -> Result<String, String> {
    let path = root().join(README);
    let text = fs::read_to_string(&path).map_err(|error| format!("{README}: {error}"))?;
    let start = text
        .find(OPENS)
        .map(|at| at + OPENS.len())
        .ok_or_else(|| format!("{README} has no `<!-- slips -->`"))?;
    let end = text
        .find(CLOSES)
        .ok_or_else(|| format!("{README} has no `{CLOSES}`"))?;
    let mut new = text.clone();
    new.replace_range(start..end, block);
    if new == text {
        return Ok("the figures in the README are as counted".to_owned());
    }
    if only_compare {
        return Err(
            "the figures in the README are not as counted; run `cargo xtask slips --write`"
                .to_owned(),
        );
    }
    fs::write(&path, new).map_err(|error| format!("{README}: {error}"))?;
    Ok("the figures in the README are written".to_owned())
}
