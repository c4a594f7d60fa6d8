//! `cargo xtask slips`: how many of the slips that people make in typing a leaflet in are seen, and by what.
//!
//! Clean sheets, the demo's and made-up ones, get one slip at a time: in every number, unit and reference, and in every row
//! and column. Layout stays, since only the bytes of a value change. Counted is whether the checker has an error or a
//! warning for it: the schema alone, the rules, the rules on a sheet with control figures and examples, or the comparison
//! with a second person's sheet.
//!
//! The counts are committed in `tests/slips`, and the README's table is made from them. Counting takes minutes, so a test
//! counts a part of the slips again, those of a few sheets, and compares that.

mod class;
mod committed;
mod edit;
mod given;
mod in_name;
mod in_number;
mod in_table;
mod injected;
mod judge;
mod paper;
mod sheets;
mod tables;
mod tally;
mod targets;
mod why;

use std::num::NonZeroUsize;
use std::thread;

use clap::Args;
use stainbook_catalog::{SourceFile, read_entry};
use stainbook_check::Options;
use stainbook_document::Document;
use stainbook_document::place::FileId;

use crate::output;
pub(crate) use class::SlipClass;
use judge::{SeenBy, SheetBench};
use sheets::Shelf;
use tally::Tally;

/// Number of generated sheets beside the demo's.
const GENERATED: usize = 200;
/// Number of further sheets that have to pass without a word.
const FURTHER: usize = 1_000;
/// The part of the slips that a test counts again: those of every so many sheets one ...
const SAMPLE_SHEETS: usize = 12;
/// ... and of these every so many one.
const SAMPLE_SLIPS: usize = 41;
/// Control figures and examples have more numbers than the rest of the sheet: every so many of their slips one is made.
const STEP_ON_TOP: usize = 23;
/// The day by which dates are judged.
const AS_OF: &str = "2026-11-25";

/// What is to be done; without a word, the tables are shown.
#[derive(Args, Clone, Copy, Debug)]
#[group(multiple = false)]
pub(crate) struct SlipsPlan {
    /// Count, and write tests/slips and the README; with N in every Nth sheet only
    #[arg(long, value_name = "N", num_args = 0..=1, require_equals = true, default_missing_value = "1")]
    write: Option<NonZeroUsize>,
    /// Count, and compare with what is committed
    #[arg(long)]
    check: bool,
    /// The tables anew from the committed counts, without counting
    #[arg(long)]
    tables: bool,
    /// That nothing is said about the demo and 1,000 further made-up sheets
    #[arg(long)]
    silent: bool,
    /// What passes in every Nth sheet, and which rule sees how many
    #[arg(long, value_name = "N", require_equals = true)]
    missed: Option<NonZeroUsize>,
}

/// Counts, and writes what is committed or compares with it.
pub(crate) fn run(plan: &SlipsPlan) -> Result<String, String> {
    if let Some(step) = plan.missed {
        let tally = count(step.get(), 1)?;
        return Ok(format!("{}{}", tally.missed(), tables::readme(&tally)));
    }
    if plan.silent {
        return silent();
    }
    if plan.tables {
        let (tally, sample) = committed::counts()?;
        return output::write(&committed::files(&tally, &sample)?);
    }
    // For a look while rules are being worked on, `--write=12` counts every twelfth sheet; the table says how many.
    let tally = count(plan.write.map_or(1, NonZeroUsize::get), 1)?;
    if plan.check {
        return output::compare(&committed::files(&tally, &sample()?)?);
    }
    if plan.write.is_none() {
        return Ok(format!(
            "{}\n{}",
            tables::readme(&tally),
            tables::fields(&tally)
        ));
    }
    let said = output::write(&committed::files(&tally, &sample()?)?)?;
    let unexplained = tables::unexplained(&tally);
    Ok(unexplained
        .iter()
        .fold(said, |said, line| format!("{said}\n{line}")))
}

/// The part of the count that a test repeats.
fn sample() -> Result<Tally, String> {
    count(SAMPLE_SHEETS, SAMPLE_SLIPS)
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

/// Counts the slips of every so many sheets one, and of these every so many one.
fn count(step: usize, step_of_slips: usize) -> Result<Tally, String> {
    let shelves = [Shelf::demo(), Shelf::honest(GENERATED)];
    let work: Vec<(usize, usize)> = shelves
        .iter()
        .enumerate()
        .flat_map(|(shelf, of)| (0..of.sheets.len()).map(move |sheet| (shelf, sheet)))
        .step_by(step)
        .collect();
    let threads = thread::available_parallelism().map_or(1, NonZeroUsize::get);
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
                            one_sheet(shelf, *sheet, step_of_slips, &mut tally)?;
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

fn one_sheet(shelf: &Shelf, index: usize, step: usize, tally: &mut Tally) -> Result<(), String> {
    let Some(sheet) = shelf.sheets.get(index) else {
        return Ok(());
    };
    let Some(donor) = shelf.sheets.get((index + 1) % shelf.sheets.len()) else {
        return Ok(());
    };
    let companions = shelf.companions(&sheet.path);
    let references: Vec<String> = companions.iter().map(|entry| entry.path.clone()).collect();
    let mut bench = SheetBench::new(&sheet.path, companions, options())?;
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
    // Another start for each sheet, so that every field has its turn.
    let start = index % step;
    for (without, with) in without.iter().zip(&with).skip(start).step_by(step) {
        let text = edit::apply(bare.text(), &without.edits);
        let text_with = edit::apply(full.text(), &with.edits);
        let (seen_by, rule) = bench.judge(&text, &text_with);
        let compared = judge::compared(&sheet.path, &bare, &text);
        let example = || in_short(&sheet.path, &bare, without);
        tally.slip(without, seen_by, rule, compared, &example);
        debug_assert!(seen_by != SeenBy::Nobody || rule.is_none());
    }
    let on_top = injected::slips_on_top(&full, &references);
    for slip in on_top
        .iter()
        .skip(index % STEP_ON_TOP)
        .step_by(step.max(STEP_ON_TOP))
    {
        let text = edit::apply(full.text(), &slip.edits);
        let (seen_by, rule) = bench.judge_on_top(&text);
        let compared = judge::compared(&sheet.path, &full, &text);
        let example = || in_short(&sheet.path, &full, slip);
        tally.slip(slip, seen_by, rule, compared, &example);
    }
    Ok(())
}

/// A slip for people who look for what could see it.
fn in_short(path: &str, clean: &Document, slip: &injected::InjectedSlip) -> String {
    let edit = slip.edits.first();
    let from = edit
        .and_then(|edit| clean.text().get(edit.range.clone()))
        .unwrap_or_default();
    format!(
        "{path}: {from:?} -> {:?}",
        edit.map_or("", |edit| edit.to.as_str())
    )
}

/// Nothing is said about a sheet before a slip is made, or nothing that is said afterwards would count.
fn is_clean(shelf: &Shelf, index: usize) -> Result<(), String> {
    let Some(sheet) = shelf.sheets.get(index) else {
        return Ok(());
    };
    let mut bench = SheetBench::new(&sheet.path, shelf.companions(&sheet.path), options())?;
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
    Options::default().with_as_of(AS_OF.parse().ok())
}

fn read(path: &str, text: &str) -> Result<Document, String> {
    let (entry, _) = read_entry(FileId(0), &SourceFile::new(path, text));
    entry
        .map(|entry| entry.document)
        .ok_or_else(|| format!("{path}: not read"))
}
