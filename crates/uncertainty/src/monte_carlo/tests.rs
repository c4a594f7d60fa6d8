use super::*;

const NORMAL: Distribution = Distribution::Normal { standard: 1.0 };

fn sum_of_four(x: &[f64]) -> f64 {
    x.iter().sum()
}

#[test]
fn the_same_seed_gives_the_same_result_in_whatever_order_the_blocks_are_made() {
    let model = Independent {
        inputs: &[(0.0, NORMAL); 4],
        model: sum_of_four,
    };
    let backwards = |numbers: std::ops::Range<u64>, work: &(dyn Fn(u64) -> Block + Sync)| {
        let mut blocks: Vec<Block> = numbers.rev().map(work).collect();
        blocks.reverse();
        blocks
    };
    for draws in [
        Draws::Exactly(34_567),
        Draws::UntilStable {
            digits: 1,
            at_most: 200_000,
        },
    ] {
        let settings = Settings { draws, seed: 11 };
        let one = run(&model, &settings, &one_after_another);
        assert_eq!(one, run(&model, &settings, &backwards));
        let other_seed = run(&model, &Settings { draws, seed: 12 }, &one_after_another);
        assert!((one.mean - other_seed.mean).abs() > 0.0);
    }
}

#[test]
fn on_several_threads_the_same() {
    let model = Independent {
        inputs: &[(0.0, NORMAL); 4],
        model: sum_of_four,
    };
    let on_threads = |numbers: std::ops::Range<u64>, work: &(dyn Fn(u64) -> Block + Sync)| {
        std::thread::scope(|scope| {
            let running: Vec<_> = numbers
                .map(|number| scope.spawn(move || work(number)))
                .collect();
            running
                .into_iter()
                .map(|thread| thread.join().unwrap())
                .collect()
        })
    };
    let settings = Settings {
        draws: Draws::UntilStable {
            digits: 1,
            at_most: 300_000,
        },
        seed: 5,
    };
    assert_eq!(
        run(&model, &settings, &one_after_another),
        run(&model, &settings, &on_threads)
    );
}

/// Blocks that differ: the first gives one number only.
struct FirstIsOther;

impl Trials for FirstIsOther {
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Clamped {
        let first = Generator::of_block(9, 0).zero_to_one();
        let is_first = (generator.clone().zero_to_one() - first).abs() < 1e-15;
        for (place, slot) in (0..).zip(out) {
            *slot = if is_first {
                10.0
            } else {
                11.0 + f64::from(place)
            };
        }
        Clamped::default()
    }
}

#[test]
fn a_first_block_unlike_the_others_does_no_harm() {
    let settings = Settings {
        draws: Draws::Exactly(30_000),
        seed: 9,
    };
    let outcome = run(&FirstIsOther, &settings, &one_after_another);
    let mut all = vec![10.0; 10_000];
    let rising = (0..10_000).map(|n| 11.0 + f64::from(n));
    all.extend(rising.clone().chain(rising));
    assert_eq!(outcome.intervals, intervals(&mut all, COVERAGE));
    assert!((outcome.mean - (10.0 + 2.0 * (11.0 + 4999.5)) / 3.0).abs() < 1e-9);
}

#[test]
fn so_many_draws_as_asked_for() {
    let model = Independent {
        inputs: &[(3.0, NORMAL)],
        model: sum_of_four,
    };
    for draws in [2, 9_999, 10_000, 10_001, 25_000] {
        let settings = Settings {
            draws: Draws::Exactly(draws),
            seed: 0,
        };
        let outcome = run(&model, &settings, &one_after_another);
        assert_eq!(outcome.draws, draws);
        assert_eq!(outcome.blocks, draws.div_ceil(BLOCK));
    }
}

#[test]
fn a_run_until_stable_stops_early_or_says_that_it_did_not_settle() {
    let model = Independent {
        inputs: &[(3.0, NORMAL)],
        model: sum_of_four,
    };
    let with = |digits, at_most| {
        let settings = Settings {
            draws: Draws::UntilStable { digits, at_most },
            seed: 3,
        };
        run(&model, &settings, &one_after_another)
    };
    let enough = with(1, 1_000_000);
    assert!(matches!(enough.stable, Some((_, true))));
    assert!(enough.draws < 1_000_000);
    let too_few = with(3, 20_000);
    assert!(matches!(too_few.stable, Some((_, false))));
    assert_eq!(too_few.draws, 20_000);
}

#[test]
fn tolerance_of_an_uncertainty() {
    for (standard, digits, tolerance) in [
        (1.0, 1, 0.5),
        (9.6, 1, 5.0),
        (9.4, 1, 0.5),
        (0.053_9, 2, 0.000_5),
        (0.053_9, 1, 0.005),
        (120.0, 2, 5.0),
        (0.0, 2, 0.0),
        (f64::NAN, 2, 0.0),
    ] {
        let found = numerical_tolerance(standard, digits);
        assert!(
            (found - tolerance).abs() <= 1e-9 * tolerance,
            "{standard} {digits}: {found}"
        );
    }
}
