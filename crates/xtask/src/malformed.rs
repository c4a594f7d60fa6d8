//! `cargo xtask malformed`: every demo file with one slip in its YAML at a time, and whether what is said first is about it.
//!
//! A finding is *true* if its range touches the bytes that were changed or the token that they close: the quoted text, the
//! other bracket of the pair, the key before its colon, the value before its comma, what a `#` cuts off. It is *false* if it
//! stands elsewhere and the file as it was has no such finding. Slips that raise nothing leave the meaning as it was, or make
//! other YAML that is an entry as well; they are counted apart.
//!
//! The same seed makes the same slips. A test judges a part of them, those of every few files; all take some minutes.

mod judge;
mod mutation;

use std::collections::BTreeMap;
use std::fmt::Write;
use std::num::NonZeroUsize;
use std::thread;

use clap::Args;
use stainbook_catalog::SourceFile;
use stainbook_catalog::embedded::demo_files;
use stainbook_tests::honest::Chance;

use judge::{Bench, Judged, Seen};
use mutation::{Malformed, SlipKind};

/// Slips that are made in each file.
const IN_EACH_FILE: usize = 200;
/// Share of first findings that have to be the true one, in percent of the slips that raise any.
const FIRST_TRUE_PERCENT: usize = 95;

/// Settings of a run.
#[derive(Args, Clone, Copy, Debug)]
pub(crate) struct MalformedPlan {
    /// What the slips follow from
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Slips in each file
    #[arg(long, default_value_t = IN_EACH_FILE)]
    each: usize,
    /// Every Nth file only
    #[arg(long, value_name = "N", default_value = "1")]
    step: NonZeroUsize,
    /// How many, drawn at random, to print with what is said of them
    #[arg(long, value_name = "N", default_value_t = 0)]
    draw: usize,
    /// Every slip whose findings are wrong
    #[arg(long)]
    wrong: bool,
}

/// A slip with what was said of it.
struct MalformedCase {
    slip: Malformed,
    judged: Judged,
}

/// Makes the slips, judges what is said of them, and fails if too little of it is right.
pub(crate) fn run(plan: &MalformedPlan) -> Result<String, String> {
    let cases = cases(plan)?;
    let mut said = table(&cases);
    if plan.wrong {
        for case in cases.iter().filter(|case| !case.judged.is_right()) {
            let _ = write!(said, "\n{}", shown(case));
        }
    }
    let mut chance = Chance::new(plan.seed ^ 0x5EED);
    let raised: Vec<&MalformedCase> = cases
        .iter()
        .filter(|case| case.judged.seen != Seen::Nothing)
        .collect();
    for _ in 0..plan.draw.min(raised.len()) {
        let _ = write!(
            said,
            "\n{}",
            shown(chance.one_of::<&MalformedCase>(&raised))
        );
    }
    match complaint(&cases) {
        None => Ok(said),
        Some(complaint) => Err(format!("{said}\n{complaint}")),
    }
}

fn cases(plan: &MalformedPlan) -> Result<Vec<MalformedCase>, String> {
    let files: Vec<SourceFile<'static>> = demo_files().collect();
    let mut work = Vec::new();
    for (index, source) in files.iter().enumerate().step_by(plan.step.get()) {
        let text = std::str::from_utf8(&source.bytes).map_err(|error| error.to_string())?;
        let stream = u64::try_from(index).unwrap_or(u64::MAX);
        let mut chance = Chance::new(plan.seed ^ stream.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let slips = mutation::drawn(&source.path, text, plan.each, &mut chance);
        work.extend(slips.into_iter().map(|slip| (index, slip)));
    }
    let threads = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let share = work.len().div_ceil(threads).max(1);
    let mut parts: Vec<Vec<(usize, Malformed)>> = Vec::new();
    while !work.is_empty() {
        let rest = work.split_off(share.min(work.len()));
        parts.push(std::mem::replace(&mut work, rest));
    }
    let parts = thread::scope(|scope| {
        let running: Vec<_> = parts
            .into_iter()
            .map(|part| {
                scope.spawn(move || {
                    let mut bench = Bench::new();
                    part.into_iter()
                        .map(|(index, slip)| {
                            let judged = bench.judge(index, &slip)?;
                            Ok(MalformedCase { slip, judged })
                        })
                        .collect::<Result<Vec<MalformedCase>, String>>()
                })
            })
            .collect();
        running
            .into_iter()
            .map(|part| {
                part.join()
                    .unwrap_or_else(|_| Err("a slip breaks the checker off".to_owned()))
            })
            .collect::<Result<Vec<_>, String>>()
    })?;
    Ok(parts.into_iter().flatten().collect())
}

/// Complaint about the whole, if there is one.
fn complaint(cases: &[MalformedCase]) -> Option<String> {
    let tally = Tally::of(cases.iter());
    let raised = tally.first_true + tally.first_false;
    if raised == 0 {
        return Some("no slip raises a finding".to_owned());
    }
    if tally.first_true * 100 < FIRST_TRUE_PERCENT * raised {
        return Some(format!(
            "the first finding is the true one in {} of {raised}, less than {FIRST_TRUE_PERCENT} %",
            tally.first_true
        ));
    }
    (0 < tally.later_false).then(|| {
        format!(
            "a later finding is false in {} of {raised}",
            tally.later_false
        )
    })
}

#[derive(Clone, Copy, Debug, Default)]
struct Tally {
    slips: usize,
    same_meaning: usize,
    other_entry: usize,
    first_true: usize,
    first_false: usize,
    later_false: usize,
}

impl Tally {
    fn of<'a>(cases: impl Iterator<Item = &'a MalformedCase>) -> Self {
        let mut tally = Self::default();
        for MalformedCase { judged, .. } in cases {
            tally.slips += 1;
            match judged.seen {
                Seen::Nothing if judged.same_meaning => tally.same_meaning += 1,
                Seen::Nothing => tally.other_entry += 1,
                Seen::TrueFirst => tally.first_true += 1,
                Seen::FalseFirst => tally.first_false += 1,
            }
            tally.later_false += usize::from(judged.later_false);
        }
        tally
    }

    fn row(self, name: &str) -> String {
        let raised = self.first_true + self.first_false;
        let permille = (1000 * self.first_true).checked_div(raised).unwrap_or(1000);
        format!(
            "| {name} | {} | {} | {} | {raised} | {} | {}.{} % | {} |",
            self.slips,
            self.same_meaning,
            self.other_entry,
            self.first_true,
            permille / 10,
            permille % 10,
            self.later_false
        )
    }
}

fn table(cases: &[MalformedCase]) -> String {
    let mut by_kind: BTreeMap<SlipKind, Vec<&MalformedCase>> = BTreeMap::new();
    for case in cases {
        by_kind.entry(case.slip.kind).or_default().push(case);
    }
    let mut rows = vec![
        "| slip | made | same meaning | another entry | raise a finding | first is true | share | a later one false |".to_owned(),
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |".to_owned(),
    ];
    for (kind, cases) in by_kind {
        rows.push(Tally::of(cases.into_iter()).row(kind.name()));
    }
    rows.push(Tally::of(cases.iter()).row("all"));
    rows.join("\n")
}

/// A slip as it stands in the file, and what is said of it.
fn shown(MalformedCase { slip, judged }: &MalformedCase) -> String {
    let mut shown = format!(
        "{}:{}: {}\n    was  {}\n    is   {}\n",
        slip.path,
        slip.line,
        slip.kind.name(),
        slip.line_before,
        slip.line_after
    );
    for finding in &judged.findings {
        let _ = writeln!(shown, "    {finding}");
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every fourth file, some slips of each: what takes seconds.
    const SAMPLE: MalformedPlan = MalformedPlan {
        seed: 7,
        each: 24,
        step: NonZeroUsize::new(4).unwrap(),
        draw: 0,
        wrong: false,
    };

    #[test]
    fn a_slip_raises_nothing_false_elsewhere() {
        let cases = cases(&SAMPLE).unwrap();
        let wrong: Vec<String> = cases
            .iter()
            .filter(|case| !case.judged.is_right())
            .map(shown)
            .collect();
        assert_eq!(complaint(&cases), None, "{}", wrong.join("\n"));
        assert!(150 <= cases.len(), "{} slips", cases.len());
    }

    #[test]
    fn the_same_seed_makes_the_same_slips() {
        let file = demo_files().next().unwrap();
        let text = std::str::from_utf8(&file.bytes).unwrap();
        let slips = |seed| mutation::drawn(&file.path, text, 50, &mut Chance::new(seed));
        let texts = |seed| {
            slips(seed)
                .into_iter()
                .map(|slip| slip.text)
                .collect::<Vec<_>>()
        };
        assert_eq!(texts(3), texts(3));
        assert_ne!(texts(3), texts(4));
    }
}
