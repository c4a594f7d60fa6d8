//! Gases that disturb, and other gases that the tube measures.

use stainbook_core::elementary::powi;
use stainbook_evaluation::Status;
use stainbook_evaluation::result::Verdict;

use crate::support::{GOOD, at_20, book, book_of, changed, close, flags, one, refusal, value};

#[test]
fn other_gases_with_a_known_share() {
    let book = book();
    let reading = format!(
        "{GOOD}, strokes: 0.5, reading: {{at: 10 ppm}}, present: [{{substance: chlorine-dioxide, level: 5 ppm, uncertainty: 1 ppm}}], conditions: {{humidity: 50 %RH, air_temperature: 10 °C, pressure: 101.3 kPa}}"
    );
    let result = one(&book, &reading);
    // 10 · 2.5 · 1.1 = 27.5 ppm on the whole; 5 ppm answer as 2.5.
    assert!(close(value(&result), 25.0), "{}", value(&result));
    let effect = &result.interferents[0];
    assert_eq!(effect.effect.name(), "subtracted");
    assert!(close(effect.uncorrected.unwrap(), 27.5));
    assert!(close(effect.share_on_scale.unwrap(), 2.5 / 2.75));
    assert_eq!(flags(&result), Vec::<&str>::new());
    let line = result
        .uncertainty
        .as_ref()
        .unwrap()
        .budget
        .iter()
        .find(|line| line.code == "other-gas")
        .unwrap()
        .clone();
    // 20 % of the response and 20 % of the level, of 2.5 ppm in 25.
    assert!(
        close(line.relative, 0.1 * (powi(0.2, 2) * 2.0).sqrt()),
        "{}",
        line.relative
    );

    // All of the stain could be the other gas: a bound at the first mark.
    let all = one(
        &book,
        &changed(
            &reading,
            &[(
                "level: 5 ppm, uncertainty: 1 ppm",
                "level: 54.9 ppm, uncertainty: 0.1 ppm",
            )],
        ),
    );
    assert_eq!(
        (all.status, flags(&all)),
        (Status::LessThan, vec!["other-gas-dominates"])
    );
    // Net 10 − 54.9·0.5/2.75 = 0.018: less than the first mark. What that reaches takes reading and share along, and is
    // far more: the stain of 10 ppm, read to 2.5 ppm, with a share known to 9.98·√(0.2² + 0.0018²) = 2.0 ppm.
    assert!(close(value(&all), 2.75), "{}", value(&all));
    let [from, to] = all.uncertainty_at_bound.as_ref().unwrap().interval;
    assert_eq!(from, None);
    let to = to.unwrap() / 2.75;
    let deviation = |s: f64| {
        let of_whole = powi(0.20 / 1.959_963_984_540_054, 2) + powi(0.05, 2) + powi(0.05, 2) / 3.0;
        let cell = powi(1.875, 2) / 3.0;
        (of_whole * s * s + cell + powi(9.982 * 0.2, 2)).sqrt()
    };
    // The middle of the cell, 8.75 to 12.5, lies 1.645 deviations below what that much would show.
    let whole = to + 9.982;
    let off = (whole - 10.625) / deviation(whole);
    assert!((off - 1.645).abs() < 0.03, "{to} {off}");

    // A bound from above is left as it is; one from below gives way.
    let below = one(
        &book,
        &changed(&reading, &[("at: 10 ppm", "seen: below first mark")]),
    );
    assert!(close(value(&below), 2.75));
    let beyond = one(
        &book,
        &changed(&reading, &[("at: 10 ppm", "seen: beyond last mark")]),
    );
    assert_eq!(beyond.status, Status::MoreThan);
    // The share is off the bound, and its doubt is in what the bound reaches.
    assert!(close(value(&beyond), 55.0 - 2.5), "{}", value(&beyond));
    let reaches = beyond.uncertainty_at_bound.as_ref().unwrap().interval[0];
    assert!(reaches.unwrap() < 46.0, "{reaches:?}");
    let hidden = one(
        &book,
        &changed(
            &reading,
            &[
                ("at: 10 ppm", "seen: beyond last mark"),
                ("level: 5 ppm", "level: 100 ppm"),
            ],
        ),
    );
    assert_eq!(refusal(&hidden), "other-gas-hides-result");
}

#[test]
fn other_gases_without_a_share() {
    let book = book();
    for (present, expected, effect) in [
        (
            "chlorine-dioxide",
            vec!["indicative-reads-high"],
            "reads_high",
        ),
        (
            "nitrogen-dioxide",
            vec!["indicative-reads-high"],
            "reads_high",
        ),
        ("nitrogen-dioxide, level: 0.5 ppm", vec![], "no_effect"),
        (
            "nitrogen-dioxide, level: 1 ppm",
            vec!["indicative-reads-high"],
            "reads_high",
        ),
        (
            "hydrogen-sulfide",
            vec!["indicative-reads-low"],
            "reads_low",
        ),
        ("hydrogen-sulfide, level: 9 ppm", vec![], "no_effect"),
        (
            "hydrogen-sulfide, level: 11 ppm",
            vec!["indicative-reads-low"],
            "reads_low",
        ),
        ("hydrogen-chloride", vec![], "no_effect"),
        ("hydrogen-chloride, level: 20 ppm", vec![], "no_effect"),
        (
            "hydrogen-chloride, level: 21 ppm",
            vec!["other-gas-above-tested"],
            "no_effect",
        ),
        ("ammonia", vec!["other-gas-not-on-sheet"], "unknown"),
        (
            "NH3-from-the-hold",
            vec!["other-gas-not-on-sheet"],
            "unknown",
        ),
    ] {
        let result = at_20(
            &book,
            &format!("strokes: 2, reading: {{at: 5 ppm}}, present: [{{substance: {present}}}]"),
        );
        assert_eq!(flags(&result), expected, "{present}");
        assert_eq!(result.interferents[0].effect.name(), effect, "{present}");
        assert!(close(value(&result), 5.0));
    }
}

#[test]
fn another_gas_by_factor_and_by_rows() {
    let with = |row: &str| {
        book_of(
            &[(
                "printed_for_strokes: 2}\n",
                &format!("printed_for_strokes: 2}}\n  also_measures:\n    - {row}\n"),
            )],
            &[],
        )
    };
    let single = with(
        "{substance: bromine, multiply: reading, by: 1.8, strokes: 2, from: 1.8, to: 36, uncertainty: 10 %}",
    );
    let rows = with(
        "{substance: bromine, multiply: reading, rows: [[20, 2.0], [1, 1.0]], strokes: 2, from: 1, to: 40}",
    );
    let reading = "strokes: 2, substance: bromine, reading: {at: 10.5 ppm, uncertainty: 0.5 ppm}";
    let result = at_20(&single, reading);
    assert!(close(value(&result), 10.5 * 1.8));
    assert_eq!(
        (
            result.substance.as_ref().unwrap().id.as_str(),
            flags(&result)
        ),
        ("bromine", vec![])
    );
    let result = at_20(&rows, reading);
    assert!(close(value(&result), 10.5 * 1.5));
    assert_eq!(flags(&result), ["other-gas-factor-assumed"]);
    // The name and the CAS number serve as well.
    assert_eq!(
        at_20(
            &single,
            "strokes: 2, substance: 7726-95-6, reading: {at: 5 ppm}"
        )
        .substance
        .unwrap()
        .id,
        "bromine"
    );
}

#[test]
fn a_gas_that_takes_away_from_the_stain_is_put_back() {
    let sheet = book_of(&[("response: 0.5,", "response: -0.5,")], &[]);
    let result = at_20(
        &sheet,
        "strokes: 2, reading: {at: 10 ppm}, present: [{substance: chlorine-dioxide, level: 4 ppm}]",
    );
    assert!(close(value(&result), 12.0), "{}", value(&result));
    let effect = &result.interferents[0];
    assert!(close(effect.share_on_scale.unwrap(), -2.0));
    assert!(close(effect.uncorrected.unwrap(), 10.0));
    assert_eq!(
        result.corrections[0].from.words,
        "doubt.other_gases, what chlorine dioxide took away from the reading put back"
    );
}

/// A gas that matters from twice the gas measured, at a level in another kind of unit: nobody can say that it is at less.
#[test]
fn a_level_that_cannot_be_compared_leaves_no_below() {
    let book = book();
    let below = |present: &str| {
        let result = at_20(
            &book,
            &format!("strokes: 2, reading: {{at: 1 ppm}}, present: [{present}]"),
        );
        let verdicts = result.against.iter().map(|against| against.verdict);
        verdicts
            .filter(|verdict| *verdict == Some(Verdict::Below))
            .count()
    };
    let without = below("");
    assert!(0 < without);
    assert_eq!(
        below("{substance: hydrogen-sulfide, level: 0.1 ppm}"),
        without
    );
    assert_eq!(below("{substance: hydrogen-sulfide, level: 20 g/m³}"), 0);
}
