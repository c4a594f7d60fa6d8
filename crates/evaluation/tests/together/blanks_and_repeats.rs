//! Blanks, and repeats of one reading.

use stainbook_catalog::written::LimitKind;
use stainbook_core::elementary::{hypot, powi};
use stainbook_evaluation::result::{Decision, GroupStatus, Verdict};

use crate::plant::{codes, codes_of, plant, refused, round, row, tube};

#[test]
fn a_clean_blank_says_so() {
    let evaluation = round(
        &plant(),
        &[
            "id: r1, tube: ta, lot: '7', reading: {at: 400 ppm}",
            "id: b1, tube: ta, lot: '7', reading: {seen: no stain}, blank: true",
        ],
        "",
    );
    let blank = row(&evaluation, "b1");
    assert_eq!(
        (blank.method.name(), blank.status),
        ("blank", GroupStatus::LessThan)
    );
    assert!(blank.flags.is_empty());
    assert_eq!(codes_of(&blank.statements), ["blank-clean"]);
    assert_eq!(blank.of.len(), 1);
    assert!(!codes(&evaluation.results[0].flags).contains(&"blank-stained"));
    // A blank says nothing about a workplace.
    assert!(evaluation.results[1].against.is_empty());
}

#[test]
fn a_stained_blank_makes_its_lot_doubtful() {
    for seen in [
        "seen: below first mark",
        "at: 3 ppm",
        "short: 1 ppm, long: 2 ppm",
    ] {
        let blank = format!("id: b1, tube: ta, lot: '7', reading: {{{seen}}}, blank: true");
        let evaluation = round(
            &plant(),
            &[
                "id: r1, tube: ta, lot: '7', reading: {at: 400 ppm, uncertainty: 2 ppm}",
                "id: r2, tube: ta, lot: '8', reading: {at: 400 ppm, uncertainty: 2 ppm}",
                "id: r3, tube: tb, lot: '7', reading: {at: 400 ppm}",
                "id: r4, tube: ta, lot: '7', reading: {at: 20 ppm}",
                &blank,
            ],
            "",
        );
        assert!(
            codes(&row(&evaluation, "b1").flags).contains(&"blank-stained"),
            "{seen}"
        );
        let flagged: Vec<bool> = evaluation
            .results
            .iter()
            .map(|result| codes(&result.flags).contains(&"blank-stained"))
            .collect();
        assert_eq!(flagged, [true, false, false, true, false], "{seen}");
        let ceiling = |index: usize| {
            let against = &evaluation.results[index].against;
            against
                .iter()
                .find(|a| a.limit.kind == LimitKind::Ceiling)
                .unwrap()
                .verdict
        };
        // 400 ppm is above the ceiling of 300 ppm; with a stained blank of its lot that is not certain. 20 ppm is below, all
        // the more.
        assert_eq!(
            (ceiling(0), ceiling(1)),
            (Some(Verdict::CannotTell), Some(Verdict::Above))
        );
        assert_eq!(ceiling(3), Some(Verdict::Below));
    }
}

/// By hand: 90, 100 and 110 ppm have the mean 100 and the range 20. The sheet's repeatability is 5 %; readings are stated to
/// 3 ppm: √((4.5² + 5² + 5.5²)/3 + 3²) = 5.845; the critical range for three is 3.31 of that, 19.4 ppm.
#[test]
fn repeats() {
    let three = |values: [&str; 3]| {
        let rows: Vec<String> = values
            .iter()
            .enumerate()
            .map(|(i, ppm)| {
                let of = match i {
                    0 => "",
                    1 => ", repeat_of: r0",
                    _ => ", repeat_of: r1",
                };
                format!("id: r{i}, tube: ta, lot: '1', reading: {{at: {ppm} ppm, uncertainty: 3 ppm}}{of}")
            })
            .collect();
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        round(&plant(), &rows, "")
    };
    let evaluation = three(["90", "100", "110"]);
    let set = row(&evaluation, "r0 r1 r2");
    assert_eq!(
        (set.method.name(), set.status),
        ("repeats", GroupStatus::Measured)
    );
    assert!((set.value.unwrap() - 100.0).abs() < 1e-9);
    let figure = |name: &str| {
        set.tests[0]
            .figures
            .iter()
            .find(|f| f.name == name)
            .unwrap()
            .value
    };
    assert!((figure("range") - 20.0).abs() < 1e-9);
    assert!((figure("standard deviation found") - 10.0).abs() < 1e-9);
    let explained = ((powi(4.5, 2) + 25.0 + powi(5.5, 2)) / 3.0 + 9.0).sqrt();
    assert!((figure("standard deviation explained") - explained).abs() < 1e-9);
    assert!((figure("critical range") - 3.314 * explained).abs() < 0.01);
    assert_eq!(set.tests[0].decision, Decision::NotAsExpected);
    assert!(codes(&set.flags).contains(&"repeats-differ"));
    // The mean carries the spread as it was found: of its own 10/√3, not 5.845/√3.
    let common: f64 = evaluation
        .results
        .iter()
        .map(|result| {
            let u = result.uncertainty.as_ref().unwrap();
            let of = |code: &str| {
                u.budget
                    .iter()
                    .find(|l| l.code == code)
                    .map_or(0.0, |l| l.relative)
            };
            hypot(of("accuracy"), of("stroke-volume")) * result.as_ppm.unwrap() / 3.0
        })
        .sum();
    let expected = hypot(common, 10.0 / 3.0_f64.sqrt());
    assert!((set.uncertainty.as_ref().unwrap().standard - expected).abs() < 1e-9);

    let near = three(["95", "100", "104"]);
    let set = row(&near, "r0 r1 r2");
    assert_eq!(set.tests[0].decision, Decision::AsExpected);
    assert!(set.flags.is_empty());
    // A mean of readings of minutes is compared as a reading is: with no 8-hour limit.
    let kinds: Vec<String> = set
        .against
        .iter()
        .map(|a| a.limit.kind.to_string())
        .collect();
    assert_eq!(kinds, ["short-term", "ceiling"]);
}

#[test]
fn repeats_with_a_bound() {
    let evaluation = round(
        &plant(),
        &[
            "id: r0, tube: ta, lot: '1', reading: {at: 90 ppm}",
            "id: r1, tube: ta, lot: '1', reading: {seen: beyond last mark}, repeat_of: r0",
        ],
        "",
    );
    let set = row(&evaluation, "r0 r1");
    assert_eq!((set.status, set.highest), (GroupStatus::MoreThan, None));
    assert!(set.tests.is_empty());
    assert!(codes(&set.flags).contains(&"repeats-differ"));
}

#[test]
fn what_cannot_be_a_repeat() {
    let evaluation = round(
        &plant(),
        &[
            "id: r0, tube: ta, lot: '1', reading: {at: 90 ppm}, repeat_of: r9",
            "id: r1, tube: ta, lot: '1', reading: {at: 90 ppm}, repeat_of: r1",
            "id: r2, tube: ta, lot: '1', reading: {at: 90 ppm}",
            "id: r3, tube: tb, lot: '1', reading: {at: 90 ppm}, repeat_of: r2",
        ],
        "",
    );
    assert!(codes(&evaluation.results[0].flags).contains(&"repeat-of-unknown"));
    assert!(codes(&evaluation.results[1].flags).contains(&"repeat-of-unknown"));
    assert_eq!(evaluation.together.len(), 1);
    assert_eq!(refused(row(&evaluation, "r2 r3")), "several-gases");

    let book = crate::plant::plant_with(vec![tube("ta2", "alfa", &[])]);
    let evaluation = round(
        &book,
        &[
            "id: r2, tube: ta, lot: '1', reading: {at: 90 ppm}",
            "id: r3, tube: ta2, lot: '1', reading: {at: 90 ppm}, repeat_of: r2",
        ],
        "",
    );
    let set = row(&evaluation, "r2 r3");
    assert!(set.tests.is_empty());
    assert!(codes_of(&set.statements).contains(&"repeats-of-several-sheets"));
}
