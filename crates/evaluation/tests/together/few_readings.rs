//! Basis of a verdict: Student's t where figures rest on few readings, the draws where they were made.

use stainbook_catalog::Book;
use stainbook_catalog::written::LimitKind;
use stainbook_evaluation::result::{
    JudgedFrom, LimitComparison, ProbabilityBound, ReadingResult, Verdict,
};
use stainbook_evaluation::{MonteCarloOptions, Options};
use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another};
use stainbook_uncertainty::student_t::probability_below;

use crate::plant::{plant, plant_with, round, round_with, row, tube};

const AT_250: &str = "id: r1, tube: ta, lot: '1', reading: {at: 250 ppm, uncertainty: 2 ppm}";

/// A plant whose tube for `alfa` states how few readings its figures rest on.
fn plant_of_few(repeatability: &str, accuracy: &str) -> Book {
    let (path, sheet) = tube("ta", "alfa", &[]);
    let sheet = sheet
        .replace("rsd: 5 %", repeatability)
        .replace("within: 10 %, confidence: 95 %", accuracy);
    plant_with(vec![(path, sheet)])
}

fn ceiling(result: &ReadingResult) -> &LimitComparison {
    result
        .against
        .iter()
        .find(|a| a.limit.kind == LimitKind::Ceiling)
        .unwrap()
}

/// 250 ppm against a ceiling of 300 ppm. The repeatability of 10 % rests on 3 readings, the accuracy is next to exact: two
/// degrees of freedom and some hundredths, which are cut down to 2, where the probability is ½ + t/(2·√(2 + t²)).
#[test]
fn few_readings_are_judged_by_student_t() {
    let book = plant_of_few(
        "rsd: 10 %, from_readings: 3",
        "within: 1 %, confidence: 95 %",
    );
    let evaluation = round(&book, &[AT_250], "");
    let result = &evaluation.results[0];
    let uncertainty = result.uncertainty.as_ref().unwrap();
    let degrees = uncertainty.effective_degrees_of_freedom.unwrap();
    assert!(2.0 < degrees && degrees < 3.0, "{degrees}");
    assert_eq!(uncertainty.distribution.to_string(), "Student's t");
    let t = (250.0 - 300.0) / uncertainty.standard;
    let expected = 0.5 + t / (2.0 * (2.0 + t * t).sqrt());
    let ceiling = ceiling(result);
    assert_eq!(ceiling.by, Some(JudgedFrom::StudentT));
    let above = ceiling.probability_above.unwrap();
    assert!((above - expected).abs() < 1e-9, "{above} {expected}");
    // By the normal distribution it would be 3.1 %, and `below`.
    assert!(
        0.08 < above && ceiling.verdict == Some(Verdict::CannotTell),
        "{above}"
    );

    let exact = round(&plant(), &[AT_250], "");
    assert_eq!(
        self::ceiling(&exact.results[0]).by,
        Some(JudgedFrom::Normal)
    );
    assert_eq!(
        exact.results[0]
            .uncertainty
            .as_ref()
            .unwrap()
            .distribution
            .to_string(),
        "normal"
    );
}

/// A bound stays a bound: no probability, and its verdict rests on the distribution of a reading on it.
#[test]
fn bounds_stay_bounds() {
    let book = plant_of_few(
        "rsd: 10 %, from_readings: 3",
        "within: 1 %, confidence: 95 %",
    );
    for seen in ["below first mark", "beyond last mark"] {
        let reading = format!("id: r1, tube: ta, lot: '1', reading: {{seen: {seen}}}");
        for options in [Options::default(), drawing(Draws::Exactly(2000))] {
            let evaluation = round_with(&book, &[&reading], "", &options);
            let ceiling = ceiling(&evaluation.results[0]);
            assert_eq!(ceiling.probability_above, None);
            assert_eq!(
                (ceiling.by, ceiling.probability_bound),
                (Some(JudgedFrom::StudentT), None)
            );
        }
    }
}

fn drawing(draws: Draws) -> Options<'static> {
    Options::default().with_monte_carlo(MonteCarloOptions::new(
        Settings::new(draws, 3),
        &one_after_another,
    ))
}

/// The draws of a reading whose figures are normal put about as much above a limit as the normal distribution does.
#[test]
fn draws_are_judged_by_their_share() {
    let near = "id: r1, tube: ta, lot: '1', reading: {at: 280 ppm, uncertainty: 2 ppm}";
    let by_law = round(&plant(), &[near], "");
    let evaluation = round_with(&plant(), &[near], "", &drawing(Draws::Exactly(40_000)));
    let (law, drawn) = (ceiling(&by_law.results[0]), ceiling(&evaluation.results[0]));
    assert_eq!(drawn.by, Some(JudgedFrom::Draws));
    assert_eq!(drawn.probability_bound, None);
    let (p, expected) = (
        drawn.probability_above.unwrap(),
        law.probability_above.unwrap(),
    );
    // Four standard errors at 40,000 draws, and half a percent since the product of factors is a little skewed.
    assert!(
        (p - expected).abs() < 4.0 * (p * (1.0 - p) / 40_000.0).sqrt() + 0.005,
        "{p} {expected}"
    );
    // A share is a whole number of draws.
    assert!((p * 40_000.0 - (p * 40_000.0).round()).abs() < 1e-6);
}

/// None of so many draws is no certainty: with 95 % confidence at most 1 − 0.05^(1/M), about 3/M.
#[test]
fn no_draw_above_is_no_certainty() {
    for (at, draws, bound, verdict) in [
        ("150", 20_000, ProbabilityBound::AtMost, Verdict::Below),
        ("900", 20_000, ProbabilityBound::AtLeast, Verdict::Above),
        ("150", 50, ProbabilityBound::AtMost, Verdict::CannotTell),
    ] {
        let reading =
            format!("id: r1, tube: ta, lot: '1', reading: {{at: {at} ppm, uncertainty: 2 ppm}}");
        let evaluation = round_with(&plant(), &[&reading], "", &drawing(Draws::Exactly(draws)));
        let ceiling = ceiling(&evaluation.results[0]);
        let about = 3.0 / draws as f64;
        let p = ceiling.probability_above.unwrap();
        let away = if bound == ProbabilityBound::AtMost {
            p
        } else {
            1.0 - p
        };
        assert!((away / about - 1.0).abs() < 0.05, "{at} {p}");
        assert_eq!(
            (ceiling.probability_bound, ceiling.verdict),
            (Some(bound), Some(verdict))
        );
        let asks = ceiling
            .reason
            .as_ref()
            .is_some_and(|reason| reason.contains("--draws"));
        assert_eq!(asks, verdict == Verdict::CannotTell);
    }
}

/// Averages, sums and repeats as single results: Student's t with the effective degrees of freedom, and k said. The
/// repeatability of one sheet is one figure, however many readings it comes in with.
#[test]
fn together_figures_are_judged_by_student_t() {
    let book = plant_of_few(
        "rsd: 20 %, from_readings: 4",
        "within: 1 %, confidence: 95 %",
    );
    let readings = [
        "id: r1, tube: ta, lot: '1', reading: {at: 80 ppm, uncertainty: 0.1 ppm}, stands_for: 4 h",
        "id: r2, tube: ta, lot: '1', reading: {at: 80 ppm, uncertainty: 0.1 ppm}, stands_for: 4 h",
        "id: r3, tube: tg, lot: '1', reading: {at: 20 ppm, uncertainty: 0.1 ppm}, stands_for: 8 h",
    ];
    let rest = "together:
  - {id: shift, method: average, readings: [r1, r2]}
  - {id: other, method: average, readings: [r3]}
  - {id: sum, method: mixture, averages: [shift, other], same_effect: irritate, limit: {source: own, kind: 8-hour average}}";
    let evaluation = round(&book, &readings, rest);
    for (id, limit) in [("shift", 100.0), ("sum", 1.0)] {
        let together = row(&evaluation, id);
        let uncertainty = together.uncertainty.as_ref().unwrap();
        let degrees = uncertainty.effective_degrees_of_freedom.unwrap();
        // Three of the repeatability, and little besides.
        assert!(3.0 < degrees && degrees < 3.9, "{id} {degrees}");
        // JCGM 100:2008, table G.2, 95.45 % at 3 degrees of freedom, from memory: 3.31.
        assert!(
            (uncertainty.coverage_factor - 3.31).abs() < 0.005,
            "{uncertainty:?}"
        );
        assert!(
            (uncertainty.expanded - uncertainty.coverage_factor * uncertainty.standard).abs()
                < 1e-12
        );
        let against = &together.against[0];
        assert_eq!(against.by, Some(JudgedFrom::StudentT));
        let t = (together.value.unwrap() - limit) / uncertainty.standard;
        let expected = probability_below(t, 3.0);
        assert!(
            (against.probability_above.unwrap() - expected).abs() < 1e-12,
            "{id}"
        );
        let line = uncertainty
            .budget
            .iter()
            .find(|line| line.code == "repeatability")
            .unwrap();
        assert_eq!(line.degrees_of_freedom, Some(3.0));
    }
}

/// Draws are of single readings; what several say together is by the law of propagation, and says so.
#[test]
fn together_figures_are_not_drawn() {
    let readings = [
        "id: r1, tube: ta, lot: '1', reading: {at: 80 ppm}, stands_for: 8 h",
        "id: r2, tube: tg, lot: '1', reading: {at: 20 ppm}, stands_for: 8 h",
    ];
    let rest = "together:\n  - {id: shift, method: average, readings: [r1]}";
    for (options, said) in [
        (drawing(Draws::Exactly(2000)), true),
        (Options::default(), false),
    ] {
        let evaluation = round_with(&plant(), &readings, rest, &options);
        let shift = row(&evaluation, "shift");
        assert_eq!(shift.against[0].by, Some(JudgedFrom::Normal));
        let not_drawn = shift
            .statements
            .iter()
            .any(|remark| remark.code == stainbook_evaluation::outcome::Code::NotDrawn);
        assert_eq!(not_drawn, said);
    }
}

/// Repeats that differ get the spread as it was found, which rests on as many values less one.
#[test]
fn a_spread_found_rests_on_its_values() {
    let readings = [
        "id: r1, tube: ta, lot: '1', reading: {at: 50 ppm}",
        "id: r2, tube: ta, lot: '1', reading: {at: 100 ppm}, repeat_of: r1",
        "id: r3, tube: ta, lot: '1', reading: {at: 150 ppm}, repeat_of: r1",
    ];
    let evaluation = round(&plant(), &readings, "");
    let uncertainty = evaluation.together[0].uncertainty.as_ref().unwrap();
    assert_eq!(uncertainty.budget[0].code, "spread");
    assert_eq!(uncertainty.budget[0].degrees_of_freedom, Some(2.0));
    assert!(
        3.0 < uncertainty.coverage_factor,
        "{}",
        uncertainty.coverage_factor
    );
}
