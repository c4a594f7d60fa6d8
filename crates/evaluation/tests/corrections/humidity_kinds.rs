//! A humidity that is stated in one kind and corrected for in the other, at the temperature of the air that was measured.

use proptest::prelude::*;
use stainbook_evaluation::chain::{AirState, StatedHumidity};

use crate::bench::{Along, at, between, cases, grams, nodes, outside, part_of, target};

const CELSIUS: std::ops::Range<f64> = 5.0..40.0;

fn air(celsius: f64, tube_celsius: f64, humidity: StatedHumidity) -> AirState {
    AirState {
        tube_celsius,
        air_celsius: celsius,
        humidity,
        kilopascals: 101.3,
    }
}

fn table(unit: &str, target: &str, between: &str, nodes: &[f64]) -> String {
    let rows: Vec<String> = nodes
        .iter()
        .enumerate()
        .map(|(index, node)| {
            format!(
                "[{node}, {}]",
                1.4 - 0.9 * f64::from(u8::try_from(index).unwrap()) / 10.0
            )
        })
        .collect();
    format!(
        "{{method: factor table, multiply: {target}, columns: ['{unit}', factor], rows: [{}], between: {between}}}",
        rows.join(", ")
    )
}

proptest! {
    #![proptest_config(cases(96))]

    /// The same air gives the same result, whichever way its humidity is stated.
    #[test]
    fn the_kind_does_not_count(
        nodes in nodes((10.0, 90.0)), target in target(), between in between(), celsius in CELSIUS, tube in CELSIUS, share in 0.0..1.0_f64,
    ) {
        let sheet = Along::RelativeHumidity.tube(&table("%RH", target, between, &nodes));
        let percent = part_of(&nodes, share);
        let stated = at(&sheet, 0, None, 5.0, &air(celsius, tube, StatedHumidity::Relative(percent))).unwrap();
        let converted = at(&sheet, 0, None, 5.0, &air(celsius, tube, StatedHumidity::Absolute(grams(percent, celsius)))).unwrap();
        prop_assert!((stated / converted - 1.0).abs() < 1e-7, "{stated} {converted}");
    }

    /// A table by absolute humidity is read at the grams that the relative one means at the air's temperature, never at
    /// the tube's.
    #[test]
    fn by_the_temperature_of_the_air(
        nodes in nodes((1.0, 15.0)), target in target(), between in between(), celsius in 18.0..40.0_f64, tubes in (CELSIUS, CELSIUS), percent in 10.0..95.0_f64,
    ) {
        let sheet = Along::AbsoluteHumidity.tube(&table("g/m³", target, between, &nodes));
        let meant = grams(percent, celsius);
        let stated = at(&sheet, 0, None, 5.0, &air(celsius, tubes.0, StatedHumidity::Absolute(meant)));
        let converted = at(&sheet, 0, None, 5.0, &air(celsius, tubes.1, StatedHumidity::Relative(percent)));
        match (stated, converted) {
            (Ok(stated), Ok(converted)) => prop_assert!((stated / converted - 1.0).abs() < 1e-7, "{stated} {converted}"),
            (stated, converted) => {
                prop_assert!(meant < nodes[0] + 1e-6 || nodes[nodes.len() - 1] < meant + 1e-6, "{stated:?} {converted:?}");
                prop_assert!(outside(stated).is_some() && outside(converted).is_some());
            }
        }
    }

    /// A little more of a relative humidity makes a little difference, also on the way to the other kind.
    #[test]
    fn without_a_jump(nodes in nodes((1.0, 15.0)), between in between(), celsius in 25.0..40.0_f64, share in 0.0..0.999_f64) {
        let sheet = Along::AbsoluteHumidity.tube(&table("g/m³", "reading", between, &nodes));
        let value = |percent: f64| at(&sheet, 1, None, 5.0, &air(celsius, 20.0, StatedHumidity::Relative(percent))).unwrap();
        let whole = grams(100.0, celsius);
        let percent = part_of(&nodes, share) / whole * 100.0;
        let step = 1e-6;
        let apart = nodes.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
        // From one row to the next the factor falls by 0.09, of 1.4 at most.
        let slope = 5.0 * 0.09 * 1.4 / apart * whole / 100.0;
        prop_assert!((value(percent) - value(percent + step)).abs() <= slope * step * 1.5 + 1e-8);
    }

    /// More water than the air can hold has no relative humidity, and so no factor.
    #[test]
    fn nothing_beyond_saturation(celsius in CELSIUS, more in 1.01..3.0_f64) {
        let sheet = Along::RelativeHumidity.tube(&table("%RH", "reading", "linear", &[5.0, 100.0]));
        let soaked = grams(100.0, celsius) * more;
        prop_assert!(at(&sheet, 1, None, 5.0, &air(celsius, 20.0, StatedHumidity::Absolute(soaked))).is_err());
    }
}
