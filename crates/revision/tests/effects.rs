//! Effects of a change of a sheet or a substance: one edit of the demo's sheet each, and the effects to be told.
#![cfg(test)]

use stainbook_catalog::embedded::demo_files;
use stainbook_catalog::{Book, SourceFile};
use stainbook_revision::effects::{
    Move, ResultEffect, Revision, SheetEffects, of_sheet, of_substance, of_survey,
};

const SHEET: &str = "brinewash-chlorine-a-r2";

/// The demo with one text of the sheet replaced.
fn demo_with(old: &str, new: &str) -> Book {
    let mut replaced = 0;
    let files: Vec<SourceFile<'_>> = demo_files()
        .map(|mut file| {
            if file.path.ends_with("brinewash-chlorine-a-r2.tube.yaml") {
                let text = String::from_utf8(file.bytes.to_vec()).unwrap();
                replaced += text.matches(old).count();
                file.bytes = text.replace(old, new).into_bytes().into();
            }
            file
        })
        .collect();
    assert_eq!(replaced, 1, "{old} is not once in the sheet");
    Book::read(files).0
}

fn effects(old: &str, new: &str) -> SheetEffects {
    let (was, is) = (Book::demo().0, demo_with(old, new));
    let state = |book| Revision { book, sheet: SHEET };
    of_sheet(state(&was), state(&is))
}

/// A move in a few letters, of the sheet's own gas only.
fn told(one: &Move) -> Option<String> {
    if one.gas.is_some() {
        return None;
    }
    let strokes = one.strokes.map(|strokes| format!("{strokes} strokes "));
    let at = one
        .at
        .as_ref()
        .map(|at| format!("at {} ", at.values.join(" ")));
    let readings = one
        .readings
        .as_ref()
        .map(|r| format!("{}–{} ", r.from, r.to));
    let what = match &one.what {
        ResultEffect::Results { by_least, by_most } => {
            format!("{:+.1} {:+.1} %", by_least * 100.0, by_most * 100.0)
        }
        ResultEffect::NowRefused { code, .. } => format!("refused {code}"),
        ResultEffect::NowGiven => "given".to_owned(),
        ResultEffect::NowFlagged { code } => format!("flagged {code}"),
        ResultEffect::NoLongerFlagged { code } => format!("not flagged {code}"),
        ResultEffect::NoStain { old, new } => format!("no stain {old} → {new}"),
        ResultEffect::Uncertainty { .. } => "uncertainty".to_owned(),
        ResultEffect::Response { gas, .. } => format!("response {gas}"),
    };
    let place = [strokes, at, readings]
        .map(Option::unwrap_or_default)
        .concat();
    Some(format!("{place}{what}"))
}

#[test]
fn one_edit_each() {
    let cases: &[(&str, &str, &[&str])] = &[
        // 1.36 / 1.25 = 1.088; the row at 10 °C stays.
        ("[0,  1.25]", "[0,  1.36]", &["at 0 °C +8.8 +8.8 %"]),
        // 0.31 / 0.35 = 0.886.
        (
            "multiply_by: 0.35",
            "multiply_by: 0.31",
            &["8 strokes -11.4 -11.4 %"],
        ),
        // A reading off the scale is refused; the other readings stay.
        (
            "marks: [0.7, 1.5,",
            "marks: [1.5,",
            &["0.7–0.7 refused reading-off-scale"],
        ),
        // 85 kPa: without the factor 101.3 / 85 = 1.1918 results are 16.1 % lower.
        (
            "pressure: {method: proportional}",
            "pressure: {method: none needed}",
            &["at 85 kPa -16.1 -16.1 %"],
        ),
        (
            "temperature: 0 to 40 °C",
            "temperature: 5 to 40 °C",
            &["at 0 °C flagged outside-usable-temperature"],
        ),
        (
            "response: 0.6,",
            "response: 0.7,",
            &["response chlorine-dioxide"],
        ),
        (
            "      - [40, 0.88]\n",
            "",
            &["at 40 °C refused outside-temperature-table"],
        ),
        ("name: Brine-wash", "name: Brine wash", &[]),
    ];
    for (old, new, expected) in cases {
        let effects = effects(old, new);
        assert_eq!(effects.not_compared, None, "{new}");
        let found: Vec<String> = effects
            .moves
            .iter()
            .filter_map(told)
            .filter(|told| !told.contains("uncertainty") && !told.contains("no stain"))
            .collect();
        assert_eq!(&found, expected, "{old} → {new}");
        assert!(
            effects.together_off < 1e-9,
            "{new}: {}",
            effects.together_off
        );
    }
}

/// Moves at calibration and at a condition multiply to the extremes.
#[test]
fn the_extremes_are_the_products() {
    let rise = effects("[0,  1.25]", "[0,  1.50]");
    assert!(
        (rise.largest_rise - 0.2).abs() < 1e-9,
        "{}",
        rise.largest_rise
    );
    assert!(0 < rise.moved && rise.moved < rise.computed);
}

#[test]
fn a_scale_in_another_kind_of_unit_is_not_compared() {
    let effects = effects(
        "{unit: ppm, marks",
        "{unit: mg/m³, mass_stated: in the air as drawn, marks",
    );
    assert!(effects.not_compared.is_some());
}

#[test]
fn limits_and_molar_mass() {
    let book = |limit: &str, formula: &str| {
        let text = format!(
            "substance: quay-gas\nname: quay gas\nformula: {formula}\nlimits:\n  - {{kind: short-term, at_most: {limit}, source: niosh-pocket-guide}}\n"
        );
        Book::read([SourceFile::new("quay-gas.substance.yaml", text)]).0
    };
    let effects = of_substance(&book("35 ppm", "NH3"), &book("25 ppm", "NH3"), "quay-gas");
    let [limit] = effects.limits.as_slice() else {
        panic!("{effects:?}");
    };
    assert_eq!(
        (limit.old.as_deref(), limit.new.as_deref()),
        (Some("35 ppm"), Some("25 ppm"))
    );
    assert_eq!(effects.molar_mass, None);
    let effects = of_substance(
        &book("20 mg/m³", "NH3"),
        &book("20 mg/m³", "CO"),
        "quay-gas",
    );
    assert!(effects.molar_mass.is_some());
    // The same mass is fewer molecules of a heavier gas.
    let limit = effects
        .limits
        .first()
        .expect("the limit moves with the molar mass");
    assert!(limit.new_ppm < limit.old_ppm);
}

/// The demo's three readings with this revision, all at 20 °C: a value, another gas, no stain.
#[test]
fn a_survey_that_comes_out_otherwise() {
    let (was, is) = (Book::demo().0, demo_with("[20, 1.00]", "[20, 1.10]"));
    let surveys = || was.surveys().map(|(_, survey)| survey);
    assert!(surveys().all(|survey| of_survey(&was, &was, survey).is_empty()));
    let moved: Vec<String> = surveys()
        .flat_map(|survey| of_survey(&was, &is, survey))
        .map(|one| format!("{} {:+.0} %", one.reading, one.by.unwrap() * 100.0))
        .collect();
    // In r04 chlorine dioxide's share, 0.3 ppm whatever the factor, is taken off: (5 · 1.1 − 0.3) / (5 − 0.3) = 1.106.
    // What is made of s08 moves with it: chlorine freed of chlorine dioxide, and the sum of their shares.
    assert_eq!(
        moved,
        [
            "r04 +11 %",
            "r06 +10 %",
            "r07 +10 %",
            "s08 +10 %",
            "brine-wash +12 %",
            "brine-wash-sum +6 %"
        ]
    );
}
