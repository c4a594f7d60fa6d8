//! `cargo xtask coverage`: how often results are right, worked out apart from the program.
//!
//! For a truth and a tube the chance of each reading is worked out from the numbers written on the sheet, and the program is
//! asked once what it says of that reading. Everything else is a sum of chances: nothing is drawn here, and nothing of the
//! evaluation's model is used.
//!
//! The tables are committed in the README. Working them out takes minutes, so a test works out a few scales with fewer limits.

mod asked;
mod deviation;
mod measures;
mod monotone;
mod reader;
mod scale;
mod summary;
mod tables;

use std::fmt::Write as _;
use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use clap::{Args, ValueEnum};

use crate::output;
use asked::{AskedReadings, Shelf};
use deviation::AccuracyIs;
use measures::{Measured, Way, measure};
use reader::{Glass, READS_TO, Reader, spaced};
use scale::TriedScale;
use summary::{Summary, power_misses};

/// Number of generated sheets beside the demo's, and their seed.
const GENERATED: usize = 50;
const SEED: u64 = 1_106;
/// Number of limits along each scale, from a third of the first mark to 1.3 times the last.
const LIMITS: u32 = 200;
const FIRST_LIMIT: f64 = 1.0 / 3.0;
const LAST_LIMIT: f64 = 1.3;
/// The certainty of a verdict, percent: the default.
const CERTAINTY: u32 = 95;
/// Number of draws where intervals by draws are looked at: verdicts rest on none.
const DRAWS: u64 = 20_000;
/// Number of breaks of the rule that are told.
const TOLD: usize = 40;

/// Plan of the work; without a word, the tables are shown with what misses a target.
#[derive(Args, Clone, Copy, Debug)]
#[group(multiple = false)]
pub(crate) struct CoveragePlan {
    /// Work it out, and write the README's tables
    #[arg(long)]
    write: bool,
    /// Work it out, and compare with the README; that every target is reached
    #[arg(long)]
    check: bool,
    /// Less than all, for a look
    #[arg(long)]
    only: Option<CoveragePart>,
}

/// A part of the work.
#[derive(ValueEnum, Clone, Copy, Debug, PartialEq, Eq)]
enum CoveragePart {
    /// Without draws, which take most of the time
    Propagation,
    /// That a higher reading never weakens a verdict
    Monotone,
}

/// A scale, the files that its sheet stands in, and whether these are the demo.
struct Shelved<'s> {
    shelf: &'s Shelf,
    demo: bool,
    scale: TriedScale,
}

/// A scale with what was worked out for each way of reading it.
struct Tried {
    scale: TriedScale,
    demo: bool,
    measured: Vec<Measured>,
}

/// Works it out, and shows it, writes it or compares it.
pub(crate) fn run(plan: CoveragePlan) -> Result<String, String> {
    let shelves = [Shelf::demo(), Shelf::generated(SEED, GENERATED)];
    let scales = scales(&shelves)?;
    if plan.only == Some(CoveragePart::Monotone) {
        let compared = monotone(&scales, LIMITS)?;
        let told = |broken: &[String]| {
            broken
                .get(..TOLD.min(broken.len()))
                .unwrap_or_default()
                .join("\n")
        };
        let said = format!(
            "{} pairs of neighbouring readings held against a limit; the higher one weakens the verdict in {}, and lowers the probability in {}",
            compared.cases,
            compared.weaker.len(),
            compared.falls.len()
        );
        return if compared.weaker.is_empty() && compared.falls.is_empty() {
            Ok(said)
        } else {
            Err(format!(
                "{said}\n{}\n{}",
                told(&compared.weaker),
                told(&compared.falls)
            ))
        };
    }
    let ways = ways();
    let propagated = try_out(&scales, &ways, LIMITS, None)?;
    let targeted = ways.get(..TARGETED).unwrap_or_default();
    let mut misses = misses(&propagated, targeted);
    let mut text = format!(
        "{} scales with their stroke counts, {} of them of the demo, {LIMITS} limits along each and those that are shipped \
         (of one scale's readings at most {:.0} % are refused, which counts as no wrong word):\n\n{}",
        scales.len(),
        scales.iter().filter(|one| one.demo).count(),
        refused(&propagated) * 100.0,
        tables::all(rows(&propagated, &ways, 0..TARGETED))
    );
    if plan.only.is_none() {
        let drawn = try_out(&scales, targeted, 1, Some(DRAWS))?;
        misses.extend(
            self::misses(&drawn, targeted)
                .iter()
                .map(|miss| format!("by draws: {miss}")),
        );
        let _ = write!(
            text,
            "\nThe interval by {},000 draws for each reading:\n\n{}",
            DRAWS / 1_000,
            tables::intervals(rows(&drawn, targeted, 0..TARGETED))
        );
    }
    let _ = write!(
        text,
        "\nWithout a target, what happens where the assumptions do not hold:\n\n{}",
        tables::all(rows(&propagated, &ways, TARGETED..ways.len()))
    );
    let missed = misses.join("\n");
    if plan.write {
        let said = output::write(&[output::readme_with("coverage", &text)?])?;
        return Ok(format!("{said}\n{missed}"));
    }
    if plan.check {
        if !misses.is_empty() {
            return Err(missed);
        }
        return output::compare(&[output::readme_with("coverage", &text)?]);
    }
    Ok(format!("{text}\n{missed}"))
}

/// All scales of these shelves.
fn scales(shelves: &[Shelf; 2]) -> Result<Vec<Shelved<'_>>, String> {
    let mut all = Vec::new();
    for (index, shelf) in shelves.iter().enumerate() {
        let demo = index == 0;
        let scales = shelf.scales()?.into_iter();
        all.extend(scales.map(|scale| Shelved { shelf, demo, scale }));
    }
    Ok(all)
}

/// Works scales out, read in each of these ways.
fn try_out(
    scales: &[Shelved<'_>],
    ways: &[Way],
    limits: u32,
    draws: Option<u64>,
) -> Result<Vec<Tried>, String> {
    let readers = readers();
    in_threads(scales, |Shelved { shelf, demo, scale }| {
        let asked = 1 + ways.iter().map(|way| way.reader).max().unwrap_or(0);
        let question = |reader: &Reader| AskedReadings {
            readings: reader.readings(&scale.marks),
            reads_to: reader.says,
            certainty: CERTAINTY,
        };
        let questions: Vec<AskedReadings> = readers.iter().take(asked).map(question).collect();
        let answers = shelf.ask(scale, &limits_along(scale, limits), &questions, draws)?;
        Ok(Tried {
            scale: scale.clone(),
            demo: *demo,
            measured: measure(scale, &readers, &answers, ways),
        })
    })
}

/// The largest share of readings that are refused.
fn refused(tried: &[Tried]) -> f64 {
    let each = tried.iter().flat_map(|one| &one.measured);
    each.map(|measured| measured.refused).fold(0.0, f64::max)
}

/// Misses of targets, for ways that have them.
fn misses(tried: &[Tried], ways: &[Way]) -> Vec<String> {
    let summaries: Vec<(&Way, Summary)> = ways
        .iter()
        .enumerate()
        .map(|(index, way)| (way, Summary::of(tried, index)))
        .collect();
    let mut misses = Vec::new();
    for (index, reader) in readers().iter().enumerate() {
        let own = summaries.iter().filter(|(way, _)| way.reader == index);
        let glasses: Vec<&Summary> = own.clone().map(|(_, of)| of).collect();
        misses.extend(own.flat_map(|(way, of)| of.misses(reader.parts, way.glass)));
        misses.extend(power_misses(reader.parts, &glasses));
    }
    misses
}

/// Some of the ways, as rows of a table.
fn rows(
    tried: &[Tried],
    ways: &[Way],
    which: std::ops::Range<usize>,
) -> Vec<(Reader, Way, Summary)> {
    let readers = readers();
    let row = |index: usize| {
        let way = ways.get(index)?;
        Some((*readers.get(way.reader)?, *way, Summary::of(tried, index)))
    };
    which.filter_map(row).collect()
}

/// Compares neighbouring readings of scales.
fn monotone(scales: &[Shelved<'_>], limits: u32) -> Result<monotone::Compared, String> {
    let each = in_threads(scales, |Shelved { shelf, scale, .. }| {
        let questions = monotone::questions(scale);
        let answers = shelf.ask(scale, &limits_along(scale, limits), &questions, None)?;
        Ok(monotone::compare(scale, &questions, &answers))
    })?;
    Ok(each
        .into_iter()
        .fold(monotone::Compared::default(), monotone::Compared::and))
}

/// Limits along a scale.
fn limits_along(scale: &TriedScale, count: u32) -> Vec<f64> {
    let (first, last) = scale.ends();
    spaced(first * FIRST_LIMIT, last * LAST_LIMIT, count).collect()
}

/// Readers that the targets are about, then those that are shown without one.
fn readers() -> Vec<Reader> {
    let honest = READS_TO.map(Reader::honest);
    let states_half = honest.iter().take(1).map(|reader| Reader {
        says: "half",
        ..*reader
    });
    let by_logarithm = honest.iter().skip(1).map(|reader| Reader {
        divides: Glass::Logarithmic,
        ..*reader
    });
    honest
        .iter()
        .copied()
        .chain(states_half)
        .chain(by_logarithm)
        .collect()
}

/// Number of ways that have targets: four readers on two kinds of glass.
const TARGETED: usize = 8;

/// Ways that have targets, then those without.
fn ways() -> Vec<Way> {
    let both = [Glass::Even, Glass::Logarithmic];
    let way = |reader, glass, accuracy| Way {
        reader,
        glass,
        accuracy,
    };
    let honest = |glass| (0..4).map(move |reader| way(reader, glass, AccuracyIs::Normal));
    let states_half = both.map(|glass| way(4, glass, AccuracyIs::Normal));
    let by_logarithm = (5..8).map(|reader| way(reader, Glass::Logarithmic, AccuracyIs::Normal));
    // Who reads finest has nothing but the tube to be wrong about.
    let otherwise = |accuracy| both.map(|glass| way(3, glass, accuracy));
    both.into_iter()
        .flat_map(honest)
        .chain(states_half)
        .chain(by_logarithm)
        .chain(otherwise(AccuracyIs::Rectangular))
        .chain(otherwise(AccuracyIs::Lognormal))
        .collect()
}

/// Works each through, as many at a time as there are processors; what comes out is in their order.
fn in_threads<T: Sync, D: Send>(
    all: &[T],
    work: impl Fn(&T) -> Result<D, String> + Sync,
) -> Result<Vec<D>, String> {
    let threads = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let next = AtomicUsize::new(0);
    let run = || {
        let mut own = Vec::new();
        while let index = next.fetch_add(1, Ordering::Relaxed)
            && let Some(one) = all.get(index)
        {
            own.push((index, work(one)?));
        }
        Ok::<_, String>(own)
    };
    let mut done = thread::scope(|scope| {
        let running: Vec<_> = (0..threads).map(|_| scope.spawn(run)).collect();
        let mut done = Vec::new();
        for one in running {
            done.extend(one.join().map_err(|_| "a thread broke off".to_owned())??);
        }
        Ok::<_, String>(done)
    })?;
    done.sort_by_key(|(index, _)| *index);
    Ok(done.into_iter().map(|(_, one)| one).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every so many scales one, with few limits: as much as a test has time for.
    const STEP: usize = 13;
    const FEW_LIMITS: u32 = 40;
    const FEWER_LIMITS: u32 = 8;

    fn sample(shelves: &[Shelf; 2]) -> Vec<Shelved<'_>> {
        let all = scales(shelves).unwrap();
        let home = all.iter().filter(|one| one.demo && one.scale.home);
        assert_eq!(home.count(), 18);
        all.into_iter().step_by(STEP).collect()
    }

    fn shelves() -> [Shelf; 2] {
        [Shelf::demo(), Shelf::generated(SEED, GENERATED / 5)]
    }

    #[test]
    fn a_few_scales_reach_the_targets() {
        let shelves = shelves();
        let tried = try_out(&sample(&shelves), &ways()[..TARGETED], FEW_LIMITS, None).unwrap();
        assert!(3 < tried.len());
        // What is a mean over all scales of the demo is none of a few.
        let misses = misses(&tried, &ways()[..TARGETED]);
        let of_each: Vec<&String> = misses
            .iter()
            .filter(|miss| !miss.contains("mean of"))
            .collect();
        assert_eq!(of_each, Vec::<&String>::new());
    }

    #[test]
    fn a_higher_reading_of_a_few_scales_weakens_no_verdict() {
        let shelves = shelves();
        let compared = monotone(&sample(&shelves), FEWER_LIMITS).unwrap();
        assert!(10_000 < compared.cases);
        assert_eq!(compared.weaker, Vec::<String>::new());
        assert_eq!(compared.falls, Vec::<String>::new());
    }
}
