//! The tests of EN 689.

use stainbook_reading::result::{Decision, Outcome, Together};

use crate::plant::{codes, plant, refused, round, row};

const SAID: &str = "exposure_group: packers, represents_reference_period: true";

/// The short-term limit of the gas is 150 ppm.
fn test_with(seen: &[&str], said: &str) -> Together {
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
        assert_eq!(g.status, Outcome::Measured);
        assert_eq!(g.tests.len(), 1);
        assert_eq!(g.tests[0].name, "EN 689 preliminary test");
        assert_eq!(g.tests[0].decision, decision, "{values:?}");
        assert!(!g.indicative);
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
    let s = 2.0_f64.ln() * 0.8_f64.sqrt();
    assert!((figure("geometric mean") - 20.0).abs() < 1e-9);
    assert!((figure("geometric standard deviation") - s.exp()).abs() < 1e-9);
    assert!((figure("U_R") - 7.5_f64.ln() / s).abs() < 1e-9);
    assert!((figure("U_R") - 3.25).abs() < 0.005);
    assert_eq!(figure("U_T"), 2.1867);
    assert!(
        (figure("upper limit of the 95th percentile, 70 % confidence") - 20.0 * (2.1867 * s).exp())
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
    let with_bound = [
        "at: 5 ppm",
        "at: 6 ppm",
        "at: 7 ppm",
        "at: 5 ppm",
        "at: 6 ppm",
        "seen: no stain",
    ];
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
        (&with_bound[..], SAID, "bound-in-group-test"),
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
