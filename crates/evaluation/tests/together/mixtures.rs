//! Gases with the same effect.

use stainbook_core::elementary::powi;
use stainbook_evaluation::result::{GroupStatus, Verdict};

use crate::plant::{codes, gas, plant, plant_with, refused, round, row, tube};

const EFFECT: &str = "same_effect: all make drowsy";

fn reading(id: &str, tube: &str, ppm: &str) -> String {
    format!("id: {id}, tube: {tube}, lot: '1', reading: {{at: {ppm} ppm}}")
}

/// 29 CFR 1910.1000(d)(2)(ii): 500, 45 and 40 ppm of gases whose limits are 1000, 200 and 200 ppm make 0.5 + 0.225 + 0.2
/// = 0.925.
#[test]
fn the_rule_s_own_example() {
    let rows = [
        reading("b", "tb", "500"),
        reading("c", "tg", "45"),
        reading("d", "td", "40"),
    ];
    let evaluation = round(
        &plant(),
        &[&rows[0], &rows[1], &rows[2]],
        &format!(
            "together:\n  - {{id: m, method: mixture, readings: [b, c, d], {EFFECT}, limit: {{authority: Pier, kind: ceiling}}}}"
        ),
    );
    let m = row(&evaluation, "m");
    assert_eq!(
        (m.status, m.unit.as_deref()),
        (GroupStatus::Measured, Some("1"))
    );
    assert!((m.value.unwrap() - 0.925).abs() < 1e-12);
    let shares: Vec<f64> =
        m.of.iter()
            .map(|member| member.share.unwrap().highest.unwrap())
            .collect();
    for (share, expected) in shares.iter().zip([0.5, 0.225, 0.2]) {
        assert!((share - expected).abs() < 1e-12);
    }
    // As exact figures 0.925 is acceptable; with tubes that may be 10 % off it cannot be told.
    let against = &m.against[0];
    assert_eq!(against.verdict, Some(Verdict::CannotTell));
    let above = against.probability_above.unwrap();
    assert!(0.05 < above && above < 0.5, "{above}");
    assert!(!m.indicative && against.directly_comparable);
    // The pump is in common, the sheets are not: by hand from the readings' own budgets.
    let part = |index: usize, code: &str| {
        let u = evaluation.results[index].uncertainty.as_ref().unwrap();
        u.budget
            .iter()
            .find(|line| line.code == code)
            .map_or(0.0, |line| line.relative)
            * shares[index]
    };
    let pump: f64 = (0..3).map(|i| part(i, "stroke-volume")).sum();
    let own: f64 = (0..3)
        .flat_map(|i| ["accuracy", "repeatability", "reading"].map(|code| powi(part(i, code), 2)))
        .sum();
    let expected = (pump * pump + own).sqrt();
    assert!((m.uncertainty.as_ref().unwrap().standard - expected).abs() < 1e-12);
}

#[test]
fn bounds_and_order() {
    let rows = [
        reading("b", "tb", "200"),
        "id: c, tube: tg, lot: '1', reading: {seen: no stain}".to_owned(),
    ];
    let sum = |ids: &str| {
        let evaluation = round(
            &plant(),
            &[&rows[0], &rows[1]],
            &format!(
                "together:\n  - {{id: m, method: mixture, readings: [{ids}], {EFFECT}, limit: {{source: own, kind: ceiling}}}}"
            ),
        );
        row(&evaluation, "m").clone()
    };
    let m = sum("b, c");
    assert_eq!((m.status, m.value), (GroupStatus::Between, None));
    assert!((m.lowest.unwrap() - 0.2).abs() < 1e-12 && (m.highest.unwrap() - 0.205).abs() < 1e-12);
    assert_eq!(m.against[0].verdict, Some(Verdict::Below));
    let turned = sum("c, b");
    assert_eq!((turned.lowest, turned.highest), (m.lowest, m.highest));
}

/// Averages over a shift are added up against 8-hour limits; readings of minutes never are.
#[test]
fn over_a_shift() {
    let rows: Vec<String> = [("b", "tb"), ("c", "tg")]
        .iter()
        .map(|(id, tube)| format!("{}, stands_for: 8 h", reading(id, tube, "20")))
        .collect();
    let limit = "limit: {authority: Pier, kind: 8-hour average}";
    let evaluation = round(
        &plant(),
        &[&rows[0], &rows[1]],
        &format!(
            "together:
  - {{id: mb, method: average, readings: [b]}}
  - {{id: mc, method: average, readings: [c]}}
  - {{id: m, method: mixture, averages: [mb, mc], {EFFECT}, {limit}}}
  - {{id: wrong, method: mixture, readings: [b, c], {EFFECT}, {limit}}}
  - {{id: ceiling, method: mixture, averages: [mb, mc], {EFFECT}, limit: {{authority: Pier, kind: ceiling}}}}"
        ),
    );
    let m = row(&evaluation, "m");
    assert!((m.value.unwrap() - (0.02 + 0.1)).abs() < 1e-12);
    assert!(m.indicative && codes(&m.flags).contains(&"indicative-long-period"));
    assert_eq!(m.against[0].verdict, Some(Verdict::Below));
    assert!(!m.against[0].directly_comparable);
    assert_eq!(
        refused(row(&evaluation, "wrong")),
        "reading-against-long-limit"
    );
    assert_eq!(
        refused(row(&evaluation, "ceiling")),
        "average-against-ceiling"
    );
}

#[test]
fn refusals() {
    let two_limits = gas(
        "gamma",
        &[
            "kind: ceiling, at_most: 200 ppm, source: own",
            "kind: ceiling, at_most: 250 ppm, source: own",
            "kind: ceiling, at_most: 3 mg/m³, source: other",
        ],
    );
    let book = plant_with(vec![two_limits, tube("tb2", "beta", &[])]);
    let rows = [
        reading("b", "tb", "20"),
        reading("c", "tg", "20"),
        reading("b2", "tb2", "20"),
        reading("d", "td", "20"),
    ];
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    for (fields, code) in [
        (
            "readings: [b, d], limit: {source: own, kind: ceiling}",
            "same-effect-not-stated",
        ),
        (
            "readings: [b], same_effect: x, limit: {source: own, kind: ceiling}",
            "mixture-of-one",
        ),
        (
            "readings: [b, b2], same_effect: x, limit: {source: own, kind: ceiling}",
            "gas-named-twice",
        ),
        (
            "readings: [b, d], same_effect: x, limit: {kind: ceiling}",
            "limit-not-stated",
        ),
        (
            "readings: [b, d], same_effect: x, limit: {source: own, kind: short-term}",
            "no-such-limit",
        ),
        (
            "readings: [b, c], same_effect: x, limit: {source: own, kind: ceiling}",
            "several-such-limits",
        ),
        (
            "readings: [c, b], same_effect: x, limit: {source: other, kind: ceiling}",
            "limit-not-comparable",
        ),
        (
            "readings: [b, b], same_effect: x, limit: {source: own, kind: ceiling}",
            "reading-named-twice",
        ),
    ] {
        let evaluation = round(
            &book,
            &rows,
            &format!("together:\n  - {{id: m, method: mixture, {fields}}}"),
        );
        assert_eq!(refused(row(&evaluation, "m")), code, "{fields}");
    }
}
