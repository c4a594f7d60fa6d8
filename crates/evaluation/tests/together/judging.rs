//! Limits that are compared with, and the certainty asked for.

use stainbook_catalog::written::LimitKind;
use stainbook_evaluation::result::Verdict;

use crate::plant::{codes, codes_of, gas, plant, plant_with, round};

const AT_240: &str = "id: r1, tube: ta, lot: '1', reading: {at: 240 ppm, uncertainty: 2 ppm}";

/// A ceiling of 300 ppm shows 240 ppm or less with 0.5 %, to 7.7 % of what is there.
#[test]
fn certainty() {
    for (judge, verdict, stated) in [
        ("", Verdict::Below, 0.95),
        ("judge: {certainty: 99 %}", Verdict::Below, 0.99),
        ("judge: {certainty: 99.9 %}", Verdict::CannotTell, 0.999),
    ] {
        let evaluation = round(&plant(), &[AT_240], judge);
        let ceiling = evaluation.results[0]
            .against
            .iter()
            .find(|a| a.limit.kind == LimitKind::Ceiling)
            .unwrap();
        assert_eq!(
            ceiling.verdict,
            Some(verdict),
            "{judge} {:?}",
            ceiling.probability_above
        );
        assert!((evaluation.judged_by.certainty - stated).abs() < 1e-12);
        assert_eq!(
            evaluation.judged_by.origin.starts_with("default"),
            judge.is_empty()
        );
    }
    let evaluation = round(&plant(), &[AT_240], "judge: {certainty: 40 %}");
    assert!(codes(&evaluation.results[0].flags).contains(&"certainty-unusable"));
    assert!((evaluation.judged_by.certainty - 0.95).abs() < 1e-12);
}

#[test]
fn limits_that_the_survey_names() {
    for (choice, kinds) in [
        (
            "[{authority: Pier}]",
            vec!["8-hour average", "short-term", "ceiling"],
        ),
        ("[{kind: ceiling}]", vec!["ceiling"]),
        (
            "[{authority: pier, kind: short-term}, {source: other}]",
            vec!["short-term", "8-hour average"],
        ),
    ] {
        let evaluation = round(&plant(), &[AT_240], &format!("judge: {{limits: {choice}}}"));
        let against: Vec<String> = evaluation.results[0]
            .against
            .iter()
            .map(|a| a.limit.kind.to_string())
            .collect();
        assert_eq!(against, kinds, "{choice}");
    }
    let evaluation = round(&plant(), &[AT_240], "judge: {limits: [{authority: Wharf}]}");
    assert!(codes_of(&evaluation.results[0].statements).contains(&"no-limit-named"));
    assert_eq!(evaluation.judged_by.limits, ["Wharf"]);
}

/// A level dangerous to life is never left out because nobody named it, unless the result is clearly below.
#[test]
fn danger_is_shown_all_the_same() {
    let book = |danger: &str| {
        let danger = format!("kind: danger to life or health, at_most: {danger}, source: own");
        plant_with(vec![gas(
            "alfa",
            &["kind: ceiling, at_most: 900 ppm, source: own", &danger],
        )])
    };
    for (danger, shown) in [("200 ppm", true), ("260 ppm", true), ("800 ppm", false)] {
        let evaluation = round(
            &book(danger),
            &[AT_240],
            "judge: {limits: [{kind: ceiling}]}",
        );
        let against = &evaluation.results[0].against;
        assert_eq!(
            against.iter().any(|a| a.limit.kind == LimitKind::Danger),
            shown,
            "{danger}"
        );
    }
}

/// A reading of minutes is never compared with an 8-hour limit, named or not.
#[test]
fn never_with_an_8_hour_limit() {
    let evaluation = round(
        &plant(),
        &[AT_240],
        "judge: {limits: [{kind: 8-hour average}]}",
    );
    for against in &evaluation.results[0].against {
        assert_eq!(
            (against.verdict, against.directly_comparable),
            (None, false)
        );
        assert!(
            against
                .reason
                .as_ref()
                .unwrap()
                .contains("several readings over the day")
        );
    }
    assert_eq!(evaluation.results[0].against.len(), 2);
}
