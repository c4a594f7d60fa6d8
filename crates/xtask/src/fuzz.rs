//! `cargo xtask fuzz`: files of the demo, of the fixtures and of the format's tests, damaged at random and put through
//! everything that reads and checks them.
//!
//! The same seed makes the same cases in the same order; how many are tried goes by the time or by `--cases`. What breaks a
//! law is written to `tests/fuzz-corpus`, where a test puts it through the same laws from then on, and can be tried again by
//! `--only`. It is to be committed with what mends it, in a folder named for what was wrong.

mod corpus;
mod laws;
mod mutations;
mod seeds;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use clap::Args;
use stainbook_tests::honest::Chance;

use laws::Laws;
use seeds::Seed;

/// A damaged file that takes longer than this hangs: the slowest takes some tenths of a second without optimisation.
const HANGS_AFTER: Duration = Duration::from_secs(20);

/// Settings of a run.
#[derive(Args, Clone, Copy, Debug)]
pub(crate) struct FuzzPlan {
    /// What the damage follows from
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// When to stop
    #[arg(long, default_value_t = 60)]
    seconds: u64,
    /// How many to try, in place of a time
    #[arg(long)]
    cases: Option<usize>,
    /// The number of the one to try
    #[arg(long)]
    only: Option<usize>,
}

/// A damaged file.
#[derive(Clone, Debug)]
struct DamagedFile {
    number: usize,
    path: String,
    bytes: Vec<u8>,
}

/// Messages of the worker.
enum WorkerMessage {
    Begins(DamagedFile),
    Broke(DamagedFile, String),
    Done,
}

/// Damages files and tries the laws on them as planned.
///
/// # Errors
///
/// The law that was broken, and the path of the file that broke it.
pub(crate) fn run(plan: FuzzPlan) -> Result<String, String> {
    let seeds = Arc::new(seeds::all()?);
    let (sender, said) = channel();
    let worker_seeds = Arc::clone(&seeds);
    let began = Instant::now();
    // The worker is left behind if it hangs: there is no way to end a thread from outside.
    std::thread::spawn(move || {
        work(&plan, &worker_seeds, began, &|what| {
            let _ = sender.send(what);
        });
    });
    let (tried, broke) = listen(&said);
    let summary = format!(
        "{tried} damaged files of {} in {:.0} s, seed {}",
        seeds.len(),
        began.elapsed().as_secs_f64(),
        plan.seed
    );
    match broke {
        None => Ok(format!("{summary}: every law holds")),
        Some((case, law)) => {
            let name = format!("seed-{}-case-{}", plan.seed, case.number);
            let file = corpus::keep(&crate::output::root(), &name, &case.path, &case.bytes)?;
            Err(format!(
                "{summary}: case {} breaks a law: {law}\n{} as {}; again: cargo xtask fuzz --seed {} --only {}",
                case.number,
                case.path,
                file.display(),
                plan.seed,
                case.number
            ))
        }
    }
}

/// Listens to the worker until it is done, breaks a law or hangs; gives how many cases it began.
fn listen(said: &Receiver<WorkerMessage>) -> (usize, Option<(DamagedFile, String)>) {
    let mut tried = 0;
    let mut now: Option<DamagedFile> = None;
    loop {
        match said.recv_timeout(HANGS_AFTER) {
            Ok(WorkerMessage::Begins(case)) => {
                tried += 1;
                now = Some(case);
            }
            Ok(WorkerMessage::Broke(case, law)) => return (tried, Some((case, law))),
            Ok(WorkerMessage::Done) | Err(RecvTimeoutError::Disconnected) => return (tried, None),
            Err(RecvTimeoutError::Timeout) => {
                let seconds = HANGS_AFTER.as_secs();
                let hangs = now.map(|case| (case, format!("nothing came of it in {seconds} s")));
                return (tried, hangs);
            }
        }
    }
}

fn work(plan: &FuzzPlan, seeds: &[Seed], began: Instant, say: &dyn Fn(WorkerMessage)) {
    let panicked: Arc<Mutex<String>> = Arc::default();
    let hook = Arc::clone(&panicked);
    std::panic::set_hook(Box::new(move |info| {
        let mut told = hook.lock().unwrap_or_else(PoisonError::into_inner);
        *told = info.to_string();
    }));
    let mut laws = Laws::new();
    let cases = plan.cases.unwrap_or(usize::MAX);
    for number in plan.only.unwrap_or(0)..cases {
        if plan.only.is_some_and(|only| only != number)
            || (plan.cases.is_none() && plan.seconds <= began.elapsed().as_secs())
        {
            break;
        }
        let Some(case) = case(plan.seed, number, seeds) else {
            break;
        };
        say(WorkerMessage::Begins(case.clone()));
        let held = catch_unwind(AssertUnwindSafe(|| laws.hold(&case.path, &case.bytes)));
        let broke = match held {
            Ok(Ok(())) => continue,
            Ok(Err(law)) => law,
            Err(_) => {
                let told = panicked.lock().unwrap_or_else(PoisonError::into_inner);
                told.clone()
            }
        };
        say(WorkerMessage::Broke(case, broke));
        return;
    }
    say(WorkerMessage::Done);
}

/// The case of this number, which depends on nothing else but the seed.
fn case(seed: u64, number: usize, seeds: &[Seed]) -> Option<DamagedFile> {
    let number_of_stream = u64::try_from(number).ok()?;
    let mut chance = Chance::new(seed ^ number_of_stream.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    if seeds.is_empty() {
        return None;
    }
    let from = seeds.get(chance.below(0, seeds.len()))?;
    let other = seeds.get(chance.below(0, seeds.len()))?;
    let mut bytes = from.bytes.clone();
    for _ in 0..chance.below(1, 6) {
        bytes = mutations::one(bytes, &other.bytes, &mut chance);
    }
    Some(DamagedFile {
        number,
        path: from.path.clone(),
        bytes,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_makes_the_same_cases() {
        let seeds = seeds::all().unwrap();
        for number in 0..40 {
            let (one, two) = (case(7, number, &seeds), case(7, number, &seeds));
            let bytes = |case: Option<DamagedFile>| case.map(|case| (case.path, case.bytes));
            assert_eq!(bytes(one), bytes(two));
        }
        let of = |seed| case(seed, 3, &seeds).unwrap().bytes;
        assert_ne!(of(7), of(8));
    }

    #[test]
    fn a_law_that_is_broken_is_told() {
        let mut laws = Laws::new();
        assert_eq!(
            laws.hold("a.pump.yaml", b"pump: a\nkind: harbour-piston\n"),
            Ok(())
        );
        assert!(laws::inside("abc", 1, 9).is_err());
        assert!(laws::inside("aµc", 2, 3).is_err());
        assert_eq!(laws::inside("abc", 1, 3), Ok(()));
    }
}
