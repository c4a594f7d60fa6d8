//! Gases that disturb each other's tubes.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use stainbook_catalog::Book;
use stainbook_catalog::written::LimitKind;
use stainbook_core::elementary::powi;
use stainbook_evaluation::result::{Evaluation, GroupStatus, Verdict};

use crate::plant::{codes, codes_of, plant_with, refused, round, row, tube};

/// Two tubes, of which each adds so much of the other's gas to its stain.
pub(crate) fn pair(on_alfa: &str, on_beta: &str) -> Book {
    let adds = |gas: &str, response: &str| {
        format!(
            "substance: {gas}, alone: stains, together: reads high, response: {response}, response_uncertainty: 20 %"
        )
    };
    plant_with(vec![
        tube("ta", "alfa", &[&adds("beta", on_alfa)]),
        tube("tb", "beta", &[&adds("alfa", on_beta)]),
    ])
}

fn solve(book: &Book, alfa: f64, beta: f64) -> Evaluation {
    let a = format!("id: a, tube: ta, lot: '1', reading: {{at: {alfa} ppm, uncertainty: 1 ppm}}");
    let b = format!(
        "id: b, tube: tb, lot: '1', pump: p2, reading: {{at: {beta} ppm, uncertainty: 1 ppm}}"
    );
    round(
        book,
        &[&a, &b],
        "together:\n  - {id: m, method: mutual interference, readings: [a, b]}",
    )
}

/// By hand: 100 ppm of alfa and 50 ppm of beta stain to 100 + 0.4 · 50 = 120 and 50 + 0.2 · 100 = 70 ppm.
#[test]
fn two_gases() {
    let evaluation = solve(&pair("0.4", "0.2"), 120.0, 70.0);
    let m = row(&evaluation, "m");
    assert_eq!(m.status, GroupStatus::Measured, "{m:#?}");
    let [a, b] = &m.solved[..] else {
        panic!("{m:#?}")
    };
    assert!(
        (a.value.unwrap() - 100.0).abs() < 1e-6 && (b.value.unwrap() - 50.0).abs() < 1e-6,
        "{a:#?} {b:#?}"
    );
    assert_eq!((a.uncorrected, b.uncorrected), (120.0, 70.0));
    assert!(a.residual.unwrap().abs() < 1e-6 && b.residual.unwrap().abs() < 1e-6);
    assert_eq!(a.correlation_with_first, Some(1.0));
    // What makes one too high makes the other too low.
    assert!(b.correlation_with_first.unwrap() < 0.0);

    // The uncertainty by hand: with nothing in common (two pumps), e the error of each tube alone,
    // u(a)² = (eₐ² + 0.4² e_b²) / 0.92², the determinant being 1 − 0.4 · 0.2 = 0.92. Of the whole stain of 120 ppm:
    // reading 1 ppm, accuracy 10 %/1.96, repeatability 5 %, strokes; of the share of 20 ppm: 20 %.
    let strokes = {
        let u = evaluation.results[0].uncertainty.as_ref().unwrap();
        u.budget
            .iter()
            .find(|line| line.code == "stroke-volume")
            .unwrap()
            .relative
    };
    let tube = |stain: f64, share: f64| {
        let of_stain = powi(0.1 / 1.959_963_984_540_054, 2) + 0.05 * 0.05 + strokes * strokes;
        1.0 + stain * stain * of_stain + powi(0.2 * share, 2)
    };
    let expected = ((tube(120.0, 20.0) + 0.4 * 0.4 * tube(70.0, 20.0)) / (0.92 * 0.92)).sqrt();
    assert!(
        (a.standard.unwrap() / expected - 1.0).abs() < 1e-6,
        "{a:?} {expected}"
    );
    assert!(codes(&m.flags).is_empty(), "{:?}", m.flags);
}

/// The reading by itself says that the other gas is still in it, and where the value freed of it stands.
#[test]
fn the_readings_say_so() {
    let evaluation = solve(&pair("0.4", "0.2"), 420.0, 170.0);
    let a = &evaluation.results[0];
    assert!(codes(&a.flags).contains(&"indicative-reads-high"));
    // 420 ppm is above the ceiling of 300 ppm, but not to be relied on; what was solved, 382 ppm, is.
    let ceiling = a
        .against
        .iter()
        .find(|x| x.limit.kind == LimitKind::Ceiling)
        .unwrap();
    assert_eq!(ceiling.verdict, Some(Verdict::CannotTell));
    assert!(
        ceiling
            .reason
            .as_ref()
            .unwrap()
            .contains("stands under `m`")
    );
    let solved = &row(&evaluation, "m").solved[0];
    let ceiling = solved
        .against
        .iter()
        .find(|x| x.limit.kind == LimitKind::Ceiling)
        .unwrap();
    assert_eq!(ceiling.verdict, Some(Verdict::Above), "{:?}", solved.value);
}

/// A mixture of gases that were solved for uses what was found.
#[test]
fn goes_on_into_a_mixture() {
    let a = "id: a, tube: ta, lot: '1', reading: {at: 120 ppm}";
    let b = "id: b, tube: tb, lot: '1', reading: {at: 70 ppm}";
    let evaluation = round(
        &pair("0.4", "0.2"),
        &[a, b],
        "together:
  - {id: x, method: mixture, readings: [a, b], same_effect: both make drowsy, limit: {source: own, kind: ceiling}}
  - {id: m, method: mutual interference, readings: [a, b]}",
    );
    let x = row(&evaluation, "x");
    assert!(
        (x.value.unwrap() - (100.0 / 300.0 + 50.0 / 1000.0)).abs() < 1e-6,
        "{x:#?}"
    );
}

#[test]
fn refusals() {
    let one = "id: a, tube: ta, lot: '1', reading: {at: 120 ppm}";
    let two = "id: b, tube: tb, lot: '1', reading: {at: 70 ppm}";
    let told = "id: b, tube: tb, lot: '1', reading: {at: 70 ppm}, present: [{substance: alfa, level: 90 ppm}]";
    let small = "id: b, tube: tb, lot: '1', reading: {at: 24.5 ppm}";
    let none = "id: b, tube: tb, lot: '1', reading: {at: 20 ppm}";
    let unstated = plant_with(vec![
        tube(
            "ta",
            "alfa",
            &["substance: beta, alone: stains, together: reads high"],
        ),
        tube("tb", "beta", &[]),
    ]);
    for (book, second, code) in [
        (pair("0.4", "0.2"), told, "level-stated-and-solved"),
        (pair("0.97", "0.97"), two, "tubes-tell-too-little-apart"),
        // 24.5 ppm less 0.2 · 120 ppm leaves 0.5 of a first mark of 1 ppm, and 20 ppm less nothing at all.
        (pair("0.4", "0.2"), small, "other-gas-dominates"),
        (pair("0.4", "0.2"), none, "readings-contradict"),
        (unstated, two, "response-not-stated"),
    ] {
        let evaluation = round(
            &book,
            &[one, second],
            "together:\n  - {id: m, method: mutual interference, readings: [a, b]}",
        );
        let m = row(&evaluation, "m");
        assert_eq!(refused(m), code, "{second}");
        assert!(m.solved.is_empty());
    }
}

/// One tube shows no stain, or one below the first mark of 1 ppm: there is less than that of its gas, whatever the other one
/// added, and of the other between what its tube gives with 1 ppm and with none. By hand: 120 − 0.4 · 1 to 120.
#[test]
fn a_bound_leaves_bounds() {
    let a = "id: a, tube: ta, lot: '1', reading: {at: 120 ppm}";
    let b = "id: b, tube: tb, lot: '1', reading: {seen: below first mark}";
    let rest = "together:
  - {id: m, method: mutual interference, readings: [a, b]}
  - {id: x, method: mixture, readings: [a, b], same_effect: both make drowsy, limit: {source: own, kind: ceiling}}";
    let evaluation = round(&pair("0.4", "0.001"), &[a, b], rest);
    let m = row(&evaluation, "m");
    assert_eq!(m.status, GroupStatus::Measured, "{m:#?}");
    let [alfa, beta] = &m.solved[..] else {
        panic!("{m:#?}")
    };
    assert!((alfa.lowest.unwrap() - 119.6).abs() < 1e-6, "{alfa:#?}");
    assert!((alfa.highest.unwrap() - 120.0).abs() < 1e-9);
    assert_eq!((beta.lowest, beta.highest), (Some(0.0), Some(1.0)));
    assert_eq!(
        (alfa.value, alfa.standard, alfa.residual),
        (None, None, None)
    );
    assert_eq!(alfa.text, "119 to 120 (with 95 %: 94.0 to 150)");
    assert!(
        beta.text
            .starts_with("less than 1.00 (with 95 %: less than 1."),
        "{}",
        beta.text
    );
    let ceiling = alfa
        .against
        .iter()
        .find(|x| x.limit.kind == LimitKind::Ceiling)
        .unwrap();
    assert_eq!(
        (ceiling.verdict, ceiling.probability_above),
        (Some(Verdict::Below), None)
    );
    // The mixture is made of these ends.
    let x = row(&evaluation, "x");
    assert!((x.lowest.unwrap() - 119.6 / 300.0).abs() < 1e-6, "{x:#?}");
    assert!((x.highest.unwrap() - (120.0 / 300.0 + 1.0 / 1000.0)).abs() < 1e-9);
    // The reading by itself has the other gas in it.
    assert!(codes(&evaluation.results[0].flags).contains(&"indicative-reads-high"));
}

/// A stain beyond the last mark of 1000 ppm: there is more than what is left when the other is at its highest, and of the
/// other anything from none.
#[test]
fn a_stain_beyond_the_last_mark() {
    let a = "id: a, tube: ta, lot: '1', reading: {at: 120 ppm}";
    let b = "id: b, tube: tb, lot: '1', reading: {seen: beyond last mark}";
    let rest = "together:\n  - {id: m, method: mutual interference, readings: [a, b]}";
    let evaluation = round(&pair("0.05", "0.2"), &[a, b], rest);
    let [alfa, beta] = &row(&evaluation, "m").solved[..] else {
        panic!("{evaluation:#?}")
    };
    // 1000 ppm less 0.2 · 120; and 0.05 of all that off the other's 120 ppm.
    let least = beta.lowest.unwrap();
    assert!(
        (least - 976.0).abs() < 1e-9 && beta.highest.is_none(),
        "{beta:#?}"
    );
    assert_eq!(alfa.lowest, Some(0.0));
    assert!(
        (alfa.highest.unwrap() - (120.0 - 0.05 * least)).abs() < 1e-6,
        "{alfa:#?}"
    );

    let both = "id: a, tube: ta, lot: '1', reading: {seen: beyond last mark}";
    let evaluation = round(&pair("0.05", "0.2"), &[both, b], rest);
    assert_eq!(refused(row(&evaluation, "m")), "bounds-in-system");
}

/// A gas that makes the other's tube read low could hide any amount below a bound.
#[test]
fn a_bound_and_a_gas_that_hides() {
    let hides = "substance: alfa, alone: no stain, together: reads low, response: -0.2, response_uncertainty: 20 %";
    let adds = "substance: beta, alone: stains, together: reads high, response: 0.4, response_uncertainty: 20 %";
    let book = plant_with(vec![
        tube("ta", "alfa", &[adds]),
        tube("tb", "beta", &[hides]),
    ]);
    let a = "id: a, tube: ta, lot: '1', reading: {at: 120 ppm}";
    let b = "id: b, tube: tb, lot: '1', reading: {seen: no stain}";
    let rest = "together:\n  - {id: m, method: mutual interference, readings: [a, b]}";
    let evaluation = round(&book, &[a, b], rest);
    assert_eq!(refused(row(&evaluation, "m")), "bound-in-system");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(env!("CARGO_MANIFEST_DIR"), "/proptest-regressions/mutual_interference.txt")))), ..ProptestConfig::default() })]

    /// The gases that stain the simulated tubes are found again, whichever is named first.
    #[test]
    fn true_values_are_found_again(
        alfa in 20.0_f64..300.0,
        beta in 20.0_f64..300.0,
        on_alfa in 0.05_f64..0.8,
        on_beta in 0.05_f64..0.8,
    ) {
        let book = pair(&format!("{on_alfa:.3}"), &format!("{on_beta:.3}"));
        let (on_alfa, on_beta): (f64, f64) = (
            format!("{on_alfa:.3}").parse().unwrap(),
            format!("{on_beta:.3}").parse().unwrap(),
        );
        let evaluation = solve(&book, alfa + on_alfa * beta, beta + on_beta * alfa);
        let m = row(&evaluation, "m");
        prop_assert_eq!(m.status, GroupStatus::Measured, "{:#?}", m);
        prop_assert!((m.solved[0].value.unwrap() / alfa - 1.0).abs() < 1e-6, "{:#?}", m);
        prop_assert!((m.solved[1].value.unwrap() / beta - 1.0).abs() < 1e-6, "{:#?}", m);
        prop_assert!(m.solved.iter().all(|solved| solved.residual.unwrap().abs() < 1e-6 * solved.value.unwrap()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(env!("CARGO_MANIFEST_DIR"), "/proptest-regressions/mutual_interference.txt")))), ..ProptestConfig::default() })]

    /// Whatever is in the air: where the simulated tube of beta shows less than its first mark, both lie within the ends.
    #[test]
    fn true_values_lie_within_the_ends(
        alfa in 20.0_f64..300.0,
        part in 0.0_f64..1.0,
        on_alfa in 0.05_f64..0.8,
    ) {
        let on_beta = 0.001;
        // What of the first mark of 1 ppm alfa leaves to beta.
        let beta = part * (1.0 - on_beta * alfa);
        let seen = alfa + on_alfa * beta;
        let book = pair(&format!("{on_alfa}"), "0.001");
        let a = format!("id: a, tube: ta, lot: '1', reading: {{at: {seen} ppm}}");
        let b = "id: b, tube: tb, lot: '1', reading: {seen: below first mark}";
        let evaluation = round(&book, &[&a, b], "together:\n  - {id: m, method: mutual interference, readings: [a, b]}");
        let m = row(&evaluation, "m");
        prop_assert!(m.solved.len() == 2, "{:#?}", m);
        for (solved, truth) in m.solved.iter().zip([alfa, beta]) {
            prop_assert!(solved.lowest.unwrap() <= truth + 1e-9, "{:#?}", solved);
            prop_assert!(truth <= solved.highest.unwrap() + 1e-9, "{:#?}", solved);
        }
    }
}

/// A share that is taken off says on which side of the sheet's threshold the other gas is.
#[test]
fn thresholds_of_gases_that_are_taken_off() {
    let book = plant_with(vec![tube(
        "ta",
        "alfa",
        &[
            "substance: beta, alone: stains, together: reads high, response: 0.4, matters_from: 10 ppm",
        ],
    )]);
    for (level, code) in [
        ("9 ppm", "other-gas-below-threshold"),
        ("10 ppm", "other-gas-above-threshold"),
        ("50 ppm", "other-gas-above-threshold"),
    ] {
        let reading = format!(
            "id: a, tube: ta, lot: '1', reading: {{at: 120 ppm}}, present: [{{substance: beta, level: {level}}}]"
        );
        let evaluation = round(&book, &[&reading], "");
        let result = &evaluation.results[0];
        assert!(
            codes_of(&result.statements).contains(&code),
            "{level}: {:?}",
            result.statements
        );
        // By hand: 0.4 of the level, which the tube shows as it is.
        let level: f64 = level.trim_end_matches(" ppm").parse().unwrap();
        let value = result.concentration.as_ref().unwrap().value;
        assert!((value - (120.0 - 0.4 * level)).abs() < 1e-9);
        assert_eq!(result.interferents[0].uncorrected, Some(120.0));
    }
}
