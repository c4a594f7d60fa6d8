//! Pressure in proportion: `calibration pressure / station pressure`.

use proptest::prelude::*;

use crate::bench::{Along, MULTIPLIERS, at, cases, same, tube};

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn inverse_to_the_station_pressure(hectopascals in 600.0..1100.0_f64, row in 0..3_usize, reading in 1.0..20.0_f64) {
        let sheet = Along::Pressure.tube("{method: proportional}");
        let found = at(&sheet, row, None, reading, &Along::Pressure.air(hectopascals)).unwrap();
        prop_assert!(same(found * hectopascals, reading * MULTIPLIERS[row] * 1013.0));
    }

    #[test]
    fn nothing_changes_at_the_calibration_pressure(reading in 1.0..20.0_f64) {
        let sheet = Along::Pressure.tube("{method: proportional}");
        let found = at(&sheet, 1, None, reading, &Along::Pressure.air(1013.0)).unwrap();
        prop_assert!(same(found, reading));
    }

    /// A mass in the air as it was drawn has no such factor, one at the calibration conditions has.
    #[test]
    fn a_mass_in_the_air_as_drawn_is_left_alone(hectopascals in 600.0..1100.0_f64, drawn in any::<bool>()) {
        let stated = if drawn { "in the air as drawn" } else { "at calibration conditions" };
        let sheet = tube(&[
            ("{unit: ppm, marks: [1, 2, 5, 10, 20], printed_for_strokes: 2}", &format!("{{unit: mg/m³, marks: [1, 2, 5, 10, 20], printed_for_strokes: 2, mass_stated: {stated}}}")),
            ("concentration: 0.2 ppm", "concentration: 0.2 mg/m³"),
        ]);
        let found = at(&sheet, 1, None, 5.0, &Along::Pressure.air(hectopascals)).unwrap();
        let expected = if drawn { 5.0 } else { 5.0 * 1013.0 / hectopascals };
        prop_assert!(same(found, expected), "{found} and not {expected}");
    }
}
