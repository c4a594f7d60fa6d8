//! The tests of EN 689.

use stainbook_core::elementary::{exp, ln, powi};
use stainbook_evaluation::result::{Decision, GroupResult, GroupStatus};

use crate::plant::{codes, plant, refused, round, row};

const SAID: &str = "exposure_group: packers, represents_reference_period: true";

/// The short-term limit of the gas is 150 ppm.
fn test_with(seen: &[&str], said: &str) -> GroupResult {
    let rows: Vec<String> = seen
        .iter()
        .enumerate()
        .map(|(i, seen)| format!("id: r{i}, tube: ta, lot: '1', reading: {{{seen}}}"))
        .collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let ids: Vec<String> = (0..seen.len()).map(|i| format!("r{i}")).collect();
    let evaluation = round(
        &plant(),
        &rows,
        &format!(
            "together:\n  - {{id: g, method: exposure group, readings: [{}], limit: {{source: own, kind: short-term}}, {said}}}",
            ids.join(", ")
        ),
    );
    row(&evaluation, "g").clone()
}

fn at(ppm: &[&'static str]) -> Vec<String> {
    ppm.iter().map(|ppm| format!("at: {ppm} ppm")).collect()
}

#[test]
fn preliminary() {
    // Below 0.1, 0.15 and 0.2 of 150 ppm: 15, 22.5 and 30 ppm.
    for (values, decision) in [
        (vec!["14", "10", "12"], Decision::Compliance),
        (vec!["15", "10", "12"], Decision::NoDecision),
        (vec!["22", "10", "12", "5"], Decision::Compliance),
        (vec!["23", "10", "12", "5"], Decision::NoDecision),
        (vec!["29", "10", "12", "5", "8"], Decision::Compliance),
        (vec!["31", "10", "12", "5", "8"], Decision::NoDecision),
        (vec!["151", "10", "12"], Decision::NonCompliance),
        (vec!["150", "10", "12"], Decision::NoDecision),
    ] {
        let seen = at(&values);
        let seen: Vec<&str> = seen.iter().map(String::as_str).collect();
        let g = test_with(&seen, SAID);
        assert_eq!(g.status, GroupStatus::Measured);
        assert_eq!(g.tests.len(), 1);
        assert_eq!(g.tests[0].name, "EN 689 preliminary test");
        assert_eq!(g.tests[0].decision, decision, "{values:?}");
        assert!(!g.indicative);
    }
}

/// Values that may have been read too low, or too high, bear no decision either.
#[test]
fn a_decision_does_not_rest_on_a_doubtful_value() {
    // The sheet does not say what this gas does to the tube.
    let doubtful = |ppm: &str| {
        format!(
            "at: {ppm} ppm}}, present: [{{substance: beta}}], conditions: {{air_temperature: 20 °C"
        )
    };
    for (values, act) in [(["14", "10", "12"], false), (["151", "10", "12"], true)] {
        let [first, second, third] = values;
        let seen = [
            doubtful(first),
            format!("at: {second} ppm"),
            format!("at: {third} ppm"),
        ];
        let seen: Vec<&str> = seen.iter().map(String::as_str).collect();
        let test = &test_with(&seen, SAID).tests[0];
        assert_eq!(test.decision, Decision::NoDecision, "{values:?}");
        assert!(
            test.text.contains("not to be relied on: r0: "),
            "{}",
            test.text
        );
        assert_eq!(
            test.text.ends_with("act as if they did not comply"),
            act,
            "{}",
            test.text
        );
    }
}

#[test]
fn preliminary_with_bounds() {
    for (seen, decision) in [
        (
            ["seen: no stain", "seen: below first mark", "at: 14 ppm"],
            Decision::Compliance,
        ),
        (
            ["at: 5 ppm", "seen: beyond last mark", "at: 14 ppm"],
            Decision::NonCompliance,
        ),
    ] {
        assert_eq!(
            test_with(&seen, SAID).tests[0].decision,
            decision,
            "{seen:?}"
        );
    }
}

/// By hand for 10, 20, 40, 10, 20, 40 ppm: the logarithms are ln 20 and ln 2 to either side, so GM = 20, s = ln 2 · √(4/5)
/// = 0.61997, U_R = ln(150/20) / 0.61997 = 3.25. Against a limit of 150 ppm that is at least 2.187.
#[test]
fn group_test() {
    let g = test_with(
        &[
            "at: 10 ppm",
            "at: 20 ppm",
            "at: 40 ppm",
            "at: 10 ppm",
            "at: 20 ppm",
            "at: 40 ppm",
        ],
        SAID,
    );
    let test = &g.tests[0];
    assert_eq!(
        (test.name.as_str(), test.decision),
        ("EN 689 group test", Decision::Compliance)
    );
    let figure = |name: &str| test.figures.iter().find(|f| f.name == name).unwrap().value;
    let s = ln(2.0) * 0.8_f64.sqrt();
    assert!((figure("geometric mean") - 20.0).abs() < 1e-9);
    assert!((figure("geometric standard deviation") - exp(s)).abs() < 1e-9);
    assert!((figure("U_R") - ln(7.5) / s).abs() < 1e-9);
    assert!((figure("U_R") - 3.25).abs() < 0.005);
    assert_eq!(figure("U_T"), 2.1867);
    assert!(
        (figure("upper limit of the 95th percentile, 70 % confidence") - 20.0 * exp(2.1867 * s))
            .abs()
            < 1e-9
    );
    assert_eq!(g.tests[1].name, "Shapiro-Wilk");

    // The same spread about 50 ppm: U_R = ln 3 / 0.61997 = 1.77, less than 2.187.
    let g = test_with(
        &[
            "at: 25 ppm",
            "at: 50 ppm",
            "at: 100 ppm",
            "at: 25 ppm",
            "at: 50 ppm",
            "at: 100 ppm",
        ],
        SAID,
    );
    assert_eq!(g.tests[0].decision, Decision::NonCompliance);
}

/// No value that a bound may stand for decides. Against 150 ppm.
#[test]
fn group_test_with_bounds() {
    const LESS: &str = "seen: below first mark";
    const MORE: &str = "seen: beyond last mark";
    for (seen, decisions) in [
        // A value next to nothing would make the spread as large as one likes; and not any five are below 30 ppm.
        (
            vec![
                "at: 5 ppm",
                "at: 6 ppm",
                "at: 5 ppm",
                "at: 6 ppm",
                "at: 31 ppm",
                LESS,
            ],
            vec![("EN 689 group test", Decision::NoDecision)],
        ),
        // Any five are.
        (
            vec![
                "at: 20 ppm",
                "at: 29 ppm",
                "at: 10 ppm",
                "at: 5 ppm",
                LESS,
                LESS,
            ],
            vec![
                ("EN 689 group test", Decision::NoDecision),
                ("EN 689 preliminary test", Decision::Compliance),
            ],
        ),
        // Whatever less than 1 ppm it was: the spread is too large.
        (
            vec![
                "at: 140 ppm",
                "at: 140 ppm",
                "at: 100 ppm",
                "at: 60 ppm",
                "at: 140 ppm",
                LESS,
            ],
            vec![("EN 689 group test", Decision::NonCompliance)],
        ),
        (
            vec![
                "at: 5 ppm",
                "at: 6 ppm",
                "at: 5 ppm",
                "at: 6 ppm",
                "at: 5 ppm",
                MORE,
            ],
            vec![("EN 689 group test", Decision::NonCompliance)],
        ),
        // 24 below the limit, by no distribution: 1 − 0.95²⁴ = 0.708.
        (
            [vec!["at: 40 ppm"; 23], vec![LESS]].concat(),
            vec![
                ("EN 689 group test", Decision::NoDecision),
                ("test without a distribution", Decision::Compliance),
            ],
        ),
        (
            [vec!["at: 40 ppm"; 22], vec![LESS]].concat(),
            vec![("EN 689 group test", Decision::NoDecision)],
        ),
    ] {
        let g = test_with(&seen, SAID);
        let said: Vec<(&str, Decision)> = g
            .tests
            .iter()
            .map(|test| (test.name.as_str(), test.decision))
            .collect();
        assert_eq!(said, decisions, "{seen:?} {:#?}", g.tests);
        assert!(
            g.tests
                .iter()
                .all(|test| test.figures.iter().all(|f| f.value.is_finite()))
        );
    }
}

/// An average in which one reading is a bound has two ends near to each other, and the test has its verdict all the same.
#[test]
fn group_test_of_averages_between_two_ends() {
    let mut rows = Vec::new();
    let averages: Vec<String> = (0..6)
        .map(|i| format!("  - {{id: m{i}, method: average, readings: [a{i}, b{i}]}}\n"))
        .collect();
    let together = averages.concat();
    for i in 0..6 {
        let seen = if i == 5 {
            "seen: below first mark".to_owned()
        } else {
            format!("at: {} ppm", 10 + i)
        };
        rows.push(format!(
            "id: a{i}, tube: ta, lot: '1', reading: {{at: 20 ppm}}, stands_for: 6 h"
        ));
        rows.push(format!(
            "id: b{i}, tube: ta, lot: '1', reading: {{{seen}}}, stands_for: 2 h"
        ));
    }
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let group = |limit: &str| {
        let evaluation = round(
            &plant(),
            &rows,
            &format!(
                "together:\n{together}  - {{id: g, method: exposure group, averages: [m0, m1, m2, m3, m4, m5], limit: {limit}, {SAID}}}"
            ),
        );
        row(&evaluation, "g").clone()
    };
    let g = group("{source: own, kind: 8-hour average}");
    assert_eq!(g.tests.len(), 1, "{:#?}", g.tests);
    let test = &g.tests[0];
    assert_eq!(test.decision, Decision::Compliance);
    assert!(test.text.contains("(m5)"), "{}", test.text);
    // Five are (6·20 + 2·(10 + i))/8 = 17.5 + i/4; the sixth is from 15 to 15.25. By hand at 15.25: mean of ln 2.8646 … .
    let t = |sixth: f64| {
        let logs: Vec<f64> = (0..5)
            .map(|i| 17.5 + f64::from(i) / 4.0)
            .chain([sixth])
            .map(ln)
            .collect();
        let mean = logs.iter().sum::<f64>() / 6.0;
        let s = (logs.iter().map(|x| powi(x - mean, 2)).sum::<f64>() / 5.0).sqrt();
        exp(mean + 2.1867 * s)
    };
    let figure = |name: &str| {
        test.figures
            .iter()
            .find(|f| f.name.ends_with(name))
            .unwrap()
            .value
    };
    assert!((figure("at most") - t(15.0)).abs() < 1e-6, "{test:?}");
    assert!((figure("at least") - t(15.25)).abs() < 1e-6, "{test:?}");
}

/// Five small values and one far off are not lognormal, and the test says so.
#[test]
fn values_that_are_not_lognormal() {
    let g = test_with(
        &[
            "at: 2 ppm",
            "at: 2.1 ppm",
            "at: 2 ppm",
            "at: 1.9 ppm",
            "at: 2 ppm",
            "at: 60 ppm",
        ],
        SAID,
    );
    assert_eq!(g.tests[1].decision, Decision::NotAsExpected);
    assert!(codes(&g.flags).contains(&"not-lognormal"));
}

#[test]
fn refusals() {
    let three = ["at: 5 ppm", "at: 6 ppm", "at: 7 ppm"];
    for (seen, said, code) in [
        (&three[..], "exposure_group: packers", "not-for-a-period"),
        (
            &three[..],
            "exposure_group: packers, represents_reference_period: false",
            "not-for-a-period",
        ),
        (
            &three[..],
            "represents_reference_period: true",
            "group-not-stated",
        ),
        (&three[..2], SAID, "too-few-values"),
        (&["at: 5 ppm"; 6][..], SAID, "no-spread"),
    ] {
        assert_eq!(refused(&test_with(seen, said)), code, "{said}");
    }
}

/// A reading of minutes is never taken for eight hours, whatever the survey says.
#[test]
fn readings_do_not_stand_for_a_shift() {
    let rows: Vec<String> = (0..3)
        .map(|i| format!("id: r{i}, tube: ta, lot: '1', reading: {{at: 5 ppm}}, stands_for: 8 h"))
        .collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let limit = "limit: {source: own, kind: 8-hour average}";
    let evaluation = round(
        &plant(),
        &rows,
        &format!(
            "together:
  - {{id: m0, method: average, readings: [r0]}}
  - {{id: m1, method: average, readings: [r1]}}
  - {{id: m2, method: average, readings: [r2]}}
  - {{id: g, method: exposure group, averages: [m0, m1, m2], {limit}, {SAID}}}
  - {{id: wrong, method: exposure group, readings: [r0, r1, r2], {limit}, {SAID}}}
  - {{id: ceiling, method: exposure group, readings: [r0, r1, r2], limit: {{source: own, kind: ceiling}}, {SAID}}}"
        ),
    );
    let g = row(&evaluation, "g");
    assert_eq!(g.tests[0].decision, Decision::Compliance);
    assert!(g.indicative);
    assert_eq!(
        refused(row(&evaluation, "wrong")),
        "reading-against-long-limit"
    );
    assert_eq!(refused(row(&evaluation, "ceiling")), "not-an-average");
}
