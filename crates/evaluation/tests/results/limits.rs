//! Limits that a result is compared with.

use stainbook_catalog::written::LimitKind;
use stainbook_evaluation::result::{LimitComparison, Verdict};
use stainbook_evaluation::{ReadingResult, Status};

use crate::PA;
use crate::support::{GOOD, at_20, book, book_of, one, value};

fn limit<'r>(result: &'r ReadingResult, authority: &str, kind: &str) -> &'r LimitComparison {
    let found = result.against.iter().find(|against| {
        against.limit.authority.contains(authority) && against.limit.kind.to_string() == kind
    });
    found.unwrap_or_else(|| panic!("{:?}", result.against))
}

#[test]
fn judged_against_limits() {
    // OSHA's ceiling for chlorine is 1 ppm (29 CFR 1910.1000, Table Z-1).
    let book = book();
    for (rest, verdict) in [
        ("strokes: 2, reading: {at: 5 ppm}", Verdict::Above),
        ("strokes: 2, reading: {at: 1 ppm}", Verdict::CannotTell),
        ("strokes: 6, reading: {at: 1.5 ppm}", Verdict::Below),
        ("strokes: 6, reading: {seen: no stain}", Verdict::Below),
        (
            "strokes: 2, reading: {seen: below first mark}",
            Verdict::CannotTell,
        ),
        (
            "strokes: 2, reading: {seen: beyond last mark}",
            Verdict::Above,
        ),
        // The figure is below, but the stain may have been shortened by nobody knows how much.
        (
            "strokes: 6, reading: {at: 1.5 ppm}, present: [{substance: hydrogen-sulfide}]",
            Verdict::CannotTell,
        ),
        (
            "strokes: 2, reading: {at: 5 ppm}, present: [{substance: hydrogen-sulfide}]",
            Verdict::Above,
        ),
        (
            "strokes: 2, reading: {at: 5 ppm}, present: [{substance: nitrogen-dioxide}]",
            Verdict::CannotTell,
        ),
    ] {
        let result = at_20(&book, rest);
        let against = limit(&result, "OSHA", "ceiling");
        assert_eq!(against.verdict, Some(verdict), "{rest}: {against:?}");
        assert_eq!(against.limit.as_ppm, Some(1.0));
        assert_eq!(
            against.probability_above.is_some(),
            result.status == Status::Measured
        );
    }
}

#[test]
fn a_short_reading_is_never_compared_with_a_shift() {
    let ammonia = book_of(&[("{substance: chlorine}", "{substance: ammonia}")], &[]);
    let result = at_20(&ammonia, "strokes: 2, reading: {at: 5 ppm}");
    let shifts: Vec<&LimitComparison> = result
        .against
        .iter()
        .filter(|against| against.limit.kind == LimitKind::EightHours)
        .collect();
    assert!(!shifts.is_empty());
    for against in shifts {
        assert_eq!(
            (
                against.verdict,
                against.probability_above,
                against.directly_comparable
            ),
            (None, None, false)
        );
        assert!(against.reason.is_some());
    }
}

#[test]
fn a_limit_in_mass_is_compared_at_its_own_conditions() {
    // 10 mg/m³ of chlorine at 25 °C and 101.325 kPa are 10·24.4654/70.90 = 3.4507 ppm, whatever the altitude here.
    let substance = "substance: quay-gas\nname: quay gas\nformula: Cl2\nidentified_by: quay-list\nlimits: [{kind: ceiling, at_most: 10 mg/m³, source: quay-list}]\n";
    let source = "source: quay-list\ntitle: Quay list\npublisher: Harbour\nedition: '1'\nauthority: Harbour\nmass_stated_at: {temperature: 25 °C, pressure: 101.325 kPa}\nlicence: public domain\nobtained: computed\n";
    let book = book_of(
        &[("{substance: chlorine}", "{substance: quay-gas}")],
        &[
            ("quay-gas.substance.yaml", substance),
            ("quay-list.source.yaml", source),
        ],
    );
    let result = one(
        &book,
        &format!(
            "{GOOD}, strokes: 2, reading: {{at: 2 ppm}}, conditions: {{humidity: 50 %RH, air_temperature: 20 °C, altitude: 2500 m}}"
        ),
    );
    let against = limit(&result, "Harbour", "ceiling");
    assert!(
        (against.limit.as_ppm.unwrap() - 3.4507).abs() < 2e-4,
        "{:?}",
        against.limit
    );
    // 2 ppm at 74.69 kPa (ISO 2533, 2500 m) are 2.713 ppm.
    assert!((value(&result) - 2.0 * PA / 74.69).abs() < 1e-3);
}
