//! What `find` says of a tube in some air and what `evaluate` says of a reading of that tube in the same air never contradict
//! each other: the same flags, the same verdicts, a refusal here where there is one there. Over five hundred airs made up from a
//! seed, each against every sheet of the demo.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use rayon::prelude::*;
use stainbook_catalog::model::{MeasuringRange, Tube};
use stainbook_catalog::written::{Conditions, Present, Reading};
use stainbook_catalog::{Book, EntryKind};
use stainbook_core::elementary::{exp, ln};
use stainbook_evaluation::outcome::{Code, CodeKind, InSearch};
use stainbook_evaluation::result::{ReadingResult, Status};
use stainbook_evaluation::{Evaluator, Options};
use stainbook_tests::honest::Chance;
use stainbook_tube_search::{Excluded, Search, SuitableTube, Wanted, Way, find};

const AIRS: u64 = 500;

/// Gases that the demo's sheets measure, and gases that disturb them or that they do not know.
const SOUGHT: [&str; 12] = [
    "ammonia",
    "carbon-dioxide",
    "carbon-monoxide",
    "chlorine",
    "chlorine-dioxide",
    "formaldehyde",
    "hydrogen-peroxide",
    "hydrogen-sulfide",
    "methyl-bromide",
    "ozone",
    "phosphine",
    "sulfur-dioxide",
];
const PRESENT: [&str; 10] = [
    "ammonia",
    "benzene",
    "bromine",
    "carbon-monoxide",
    "chlorine",
    "chlorine-dioxide",
    "hydrogen-chloride",
    "hydrogen-sulfide",
    "nitrogen-dioxide",
    "sulfur-dioxide",
];

/// Air, and what is asked of it.
struct Air {
    wanted: Wanted,
    conditions: Conditions,
    present: Vec<Present>,
    level: f64,
}

fn air(seed: u64) -> Air {
    let mut chance = Chance::new(seed);
    let log = |chance: &mut Chance, low: f64, high: f64| exp(chance.between(ln(low), ln(high)));
    let mut conditions = format!(
        "{{air_temperature: {:.1} °C, humidity: {:.0} %RH, pressure: {:.1} kPa",
        chance.between(-12.0, 42.0),
        chance.between(4.0, 97.0),
        chance.between(80.0, 104.0)
    );
    if chance.in_percent(20) {
        write!(
            conditions,
            ", tube_temperature: {:.1} °C",
            chance.between(-5.0, 40.0)
        )
        .unwrap();
    }
    let conditions: Conditions = serde_yaml::from_str(&(conditions + "}")).unwrap();
    let mut present: Vec<Present> = Vec::new();
    for _ in 0..chance.below(0, 3) {
        let level = log(&mut chance, 0.05, 60.0);
        let level = format!("{level:.2} {}", chance.one_of(&["ppm", "ppm", "mg/m³"]));
        let level = if chance.in_percent(70) {
            format!(", level: {level}")
        } else {
            String::new()
        };
        let gas = chance.one_of(&PRESENT);
        let gas: Present = serde_yaml::from_str(&format!("{{substance: {gas}{level}}}")).unwrap();
        if !present.iter().any(|known| known.substance == gas.substance) {
            present.push(gas);
        }
    }
    let substance = (*chance.one_of(&SOUGHT)).to_owned();
    let level = log(
        &mut chance,
        0.05,
        if substance == "carbon-dioxide" {
            40_000.0
        } else {
            300.0
        },
    );
    let level: f64 = format!("{level:.2}").parse().unwrap();
    let mut wanted = Wanted::default();
    wanted.substance = substance;
    wanted.level = Some(format!("{level} ppm").parse().unwrap());
    wanted.conditions = conditions.clone();
    wanted.present.clone_from(&present);
    Air {
        wanted,
        conditions,
        present,
        level,
    }
}

/// A reading with a record in which nothing is missing, in this air.
fn recorded(book: &Book, tube: &Tube, air: &Air, strokes: f64, scale: Option<&str>) -> Reading {
    let entry = book.tube(&tube.id).unwrap();
    let lots = entry.lots().map(|lots| {
        let span = &lots.spans()[0];
        span.first.clone().or_else(|| span.last.clone()).unwrap()
    });
    let pump = if tube.pump_kinds.iter().any(|kind| kind == "harbour-piston") {
        "pump-02"
    } else {
        "pump-05"
    };
    let mut reading: Reading = serde_yaml::from_str(&format!(
        "{{id: r1, at: \"2026-06-16T07:15+01:00\", tube: {}, expires: 2027-12, pump: {pump}, leak_test: held, \
         brought_to_ambient: true, pre_tube: {{lot: P-1, expires: 2027-12}}, other_gases: none known, strokes: {strokes}}}",
        tube.id
    ))
    .unwrap();
    reading.lot = lots;
    reading.scale = scale.map(str::to_owned);
    reading.substance = Some(air.wanted.substance.clone());
    reading.present.clone_from(&air.present);
    reading
}

fn evaluated(book: &Book, mut reading: Reading, air: &Air, at: f64, unit: &str) -> ReadingResult {
    reading.reading = serde_yaml::from_str(&format!("{{at: '{at} {unit}'}}")).unwrap();
    Evaluator::new(book, Options::default()).reading(0, &reading, &air.conditions, None)
}

fn is_flag(code: &Code) -> bool {
    code.definition()
        .is_some_and(|row| row.kinds.contains(&CodeKind::Flag))
}

fn flags(result: &ReadingResult) -> BTreeSet<Code> {
    result.flags.iter().map(|flag| flag.code.clone()).collect()
}

/// What is wrong with a tube that is said to serve.
fn served(book: &Book, air: &Air, found: &SuitableTube) -> Vec<String> {
    let tube = book.tube_model(&found.sheet).unwrap();
    let at_level = &found.levels[0];
    let Some(best) = &at_level.best else {
        return Vec::new();
    };
    let mut wrong = Vec::new();
    let result = |way: &Way| {
        let reading = recorded(book, &tube, air, way.strokes, way.scale.as_deref());
        evaluated(book, reading, air, way.reading, &way.reading_unit)
    };
    for way in std::iter::once(best).chain(&at_level.others) {
        let one = result(way);
        if one.status != Status::Measured {
            wrong.push(format!(
                "{} strokes: {:?} {:?}",
                way.strokes, one.status, one.refusal
            ));
        }
    }
    let one = result(best);
    let named: BTreeSet<Code> = found
        .against
        .iter()
        .map(|reason| reason.code.clone())
        .filter(is_flag)
        .collect();
    let raised = flags(&one);
    if named != raised {
        wrong.push(format!(
            "named against it are {named:?}, evaluated it has {raised:?}"
        ));
    }
    for judged in &best.judged {
        let against = one
            .against
            .iter()
            .find(|against| against.limit.words() == judged.limit);
        let verdict = against.and_then(|against| against.verdict);
        // A level dangerous to life or health that is clearly not reached is not shown.
        if against.is_some() && verdict != judged.verdict {
            wrong.push(format!(
                "{}: {:?}, evaluated {verdict:?}",
                judged.limit, judged.verdict
            ));
        }
    }
    wrong
}

/// The readings at the marks of a stroke count that lie in its range, in this air.
fn at_marks(book: &Book, tube: &Tube, air: &Air, range: &MeasuringRange) -> Vec<ReadingResult> {
    let scale = &tube.scales[range.scale];
    let (low, high) = (range.from / range.multiplier, range.to / range.multiplier);
    scale
        .marks
        .iter()
        .filter(|mark| low * 0.999 <= **mark && **mark <= high * 1.001)
        .map(|mark| {
            let reading = recorded(book, tube, air, range.strokes, scale.name.as_deref());
            evaluated(book, reading, air, *mark, scale.unit.canonical())
        })
        .collect()
}

/// What is wrong with a tube that is said not to serve.
fn excluded(book: &Book, air: &Air, excluded: &Excluded) -> Vec<String> {
    let Ok(tube) = book.tube_model(&excluded.sheet) else {
        return Vec::new();
    };
    if tube.measured.substance().id != air.wanted.substance
        || excluded
            .why
            .iter()
            .any(|why| why.code == Code::SheetWithdrawn)
    {
        return Vec::new();
    }
    let results: Vec<Vec<ReadingResult>> = tube
        .ranges
        .iter()
        .map(|range| at_marks(book, &tube, air, range))
        .collect();
    let all = || results.iter().flatten();
    let mut wrong = Vec::new();
    for why in &excluded.why {
        match why.code.in_search() {
            InSearch::Excludes(_) if is_flag(&why.code) => {
                if !all()
                    .all(|result| result.refusal.is_some() || flags(result).contains(&why.code))
                {
                    wrong.push(format!("{} is not raised by its readings", why.code));
                }
            }
            _ if [
                Code::LevelBelowRange,
                Code::LevelAboveRange,
                Code::LevelBetweenBands,
            ]
            .contains(&why.code) =>
            {
                for one in &results {
                    let values: Vec<f64> = one.iter().filter_map(|result| result.as_ppm).collect();
                    let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
                    let highest = values.iter().copied().fold(0.0, f64::max);
                    if lowest * 1.001 < air.level && air.level < highest * 0.999 {
                        wrong.push(format!(
                            "{}: but it reads {lowest} to {highest} ppm",
                            why.code
                        ));
                    }
                }
            }
            _ => {
                let measured = all()
                    .filter(|result| result.status == Status::Measured)
                    .count();
                let same = all().any(|result| {
                    let refusal = result.refusal.as_ref().map(|refusal| &refusal.code);
                    refusal == Some(&why.code) || flags(result).contains(&why.code)
                });
                if !same && 0 < measured {
                    wrong.push(format!("{} is not said of any reading", why.code));
                }
            }
        }
    }
    wrong
}

#[test]
fn find_and_evaluate_say_the_same_of_five_hundred_airs() {
    let compared: Vec<(usize, usize, Vec<String>)> = (0..AIRS)
        .into_par_iter()
        .map(|seed| {
            // A book is not shared between threads.
            let (book, _) = Book::demo();
            let air = air(seed);
            let search: Search = match find(&book, &air.wanted, &Options::default()) {
                Ok(search) => search,
                Err(refusal) => return (0, 0, vec![format!("air {seed}: {refusal:?}")]),
            };
            let name = |sheet: &str, wrong: Vec<String>| {
                let air = format!(
                    "air {seed}, {} {} ppm, {sheet}",
                    air.wanted.substance, air.level
                );
                wrong
                    .into_iter()
                    .map(move |wrong| format!("{air}: {wrong}"))
                    .collect::<Vec<_>>()
            };
            let mut wrong = Vec::new();
            for found in &search.serve {
                wrong.extend(name(&found.sheet, served(&book, &air, found)));
            }
            let measuring = || search.cannot.iter().filter(|sheet| sheet.measures_it);
            for sheet in measuring() {
                wrong.extend(name(&sheet.sheet, excluded(&book, &air, sheet)));
            }
            let ids = book.ids(EntryKind::Tube).len();
            assert_eq!(search.serve.len() + search.cannot.len(), ids);
            (search.serve.len(), measuring().count(), wrong)
        })
        .collect();
    let wrong: Vec<&String> = compared.iter().flat_map(|(_, _, wrong)| wrong).collect();
    assert!(
        wrong.is_empty(),
        "{} contradictions\n{:#?}",
        wrong.len(),
        &wrong[..wrong.len().min(40)]
    );
    // Enough of both: a comparison of nothing would not fail.
    let serve: usize = compared.iter().map(|(serve, _, _)| serve).sum();
    let cannot: usize = compared.iter().map(|(_, cannot, _)| cannot).sum();
    assert!(
        150 <= serve && 300 <= cannot,
        "{serve} serve, {cannot} do not"
    );
}
