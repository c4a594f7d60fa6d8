//! Basis of a verdict: Student's t where figures rest on few readings, and never the draws.

use stainbook_catalog::Book;
use stainbook_catalog::written::LimitKind;
use stainbook_evaluation::result::{
    JudgedFrom, LimitComparison, ReadingResult, SharedLine, Verdict,
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
    // Of the limit, not of the reading: the 2 ppm stay, all else is a part of 300 ppm and no longer of 250.
    let parts = uncertainty
        .budget
        .iter()
        .filter(|line| line.code != "reading");
    let relative: f64 = parts.map(|line| line.relative * line.relative).sum();
    let t = (250.0 - 300.0) / (relative * 300.0 * 300.0 + 4.0).sqrt();
    let expected = 0.5 + t / (2.0 * (2.0 + t * t).sqrt());
    let ceiling = ceiling(result);
    assert!(ceiling.by == Some(JudgedFrom::StudentT.into()));
    let above = ceiling.probability_above.unwrap();
    assert!((above - expected).abs() < 1e-9, "{above} {expected}");
    // By the normal distribution it would be about 5 %.
    assert!(
        0.1 < above && ceiling.verdict == Some(Verdict::CannotTell),
        "{above}"
    );

    let exact = round(&plant(), &[AT_250], "");
    assert_eq!(
        self::ceiling(&exact.results[0]).by,
        Some(JudgedFrom::Normal.into())
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
            assert_eq!(ceiling.by, Some(JudgedFrom::StudentT.into()));
        }
    }
}

fn drawing(draws: Draws) -> Options<'static> {
    Options::default().with_monte_carlo(MonteCarloOptions::new(
        Settings::new(draws, 3),
        &one_after_another,
    ))
}

/// One reading has one verdict, however many draws are made of its interval.
#[test]
fn draws_turn_no_verdict() {
    for at in ["150", "240", "280", "900"] {
        let reading =
            format!("id: r1, tube: ta, lot: '1', reading: {{at: {at} ppm, uncertainty: 2 ppm}}");
        let by_law = round(&plant(), &[&reading], "");
        for draws in [50, 20_000] {
            let drawn = round_with(&plant(), &[&reading], "", &drawing(Draws::Exactly(draws)));
            let result = &drawn.results[0];
            let uncertainty = result.uncertainty.as_ref().unwrap();
            assert_eq!(uncertainty.monte_carlo.as_ref().unwrap().draws, draws);
            assert_eq!(result.against, by_law.results[0].against, "{at} {draws}");
        }
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
        // JCGM 100:2008, table G.2, 95 % at 3 degrees of freedom, from memory: 3.18.
        assert!(
            (uncertainty.coverage_factor - 3.18).abs() < 0.005,
            "{uncertainty:?}"
        );
        assert!(
            (uncertainty.expanded - uncertainty.coverage_factor * uncertainty.standard).abs()
                < 1e-12
        );
        let against = &together.against[0];
        assert_eq!(against.by, Some(JudgedFrom::StudentT.into()));
        let variance = |stays: bool| -> f64 {
            let of = |line: &&SharedLine| (line.code == "reading") == stays;
            let lines = uncertainty.budget.iter().filter(of);
            lines.map(|line| line.standard * line.standard).sum()
        };
        let value = together.value.unwrap();
        let grown = limit / value;
        let t = (value - limit) / (variance(true) + variance(false) * grown * grown).sqrt();
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
