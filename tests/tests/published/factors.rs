//! NIOSH conversion factors and molecular weights.

use stainbook_core::constants::GAS_CONSTANT;
use stainbook_core::{
    Conditions, Formula, MolarMass, Pressure, Temperature, VolumeFraction, convert,
};

use crate::data;
use crate::report::{Origin, PublishedReport};

/// The molar volume that handbooks print for 25 °C and 760 mmHg, in L/mol.
const HANDBOOK_25: f64 = 24.45;

/// 25 °C, and the pressure at which an ideal gas takes exactly the handbook's molar volume there: 101.389 kPa.
///
/// Limits and factors of the United States were worked out with 24.45 L/mol. The core has no way to state a molar volume instead
/// of conditions, on purpose; this is how a source's own rounding is followed without one.
pub(crate) fn handbook_conditions() -> Conditions {
    let temperature = Temperature::from_celsius(25.0).unwrap();
    let kilopascals = GAS_CONSTANT * temperature.kelvin() / HANDBOOK_25;
    Conditions {
        temperature,
        pressure: Pressure::from_kilopascals(kilopascals).unwrap(),
    }
}

pub(crate) fn mg_per_m3(ppm: f64, molar_mass: MolarMass, conditions: Conditions) -> f64 {
    convert::mass_concentration(
        VolumeFraction::from_ppm(ppm).unwrap(),
        molar_mass,
        conditions,
    )
    .mg_per_m3()
}

pub(crate) fn check(report: &mut PublishedReport) {
    for row in data::niosh_factors() {
        report.origin = Origin::Published;
        let id = format!("{} {}", row.text("npg_entry"), row.text("name"));
        let printed = row.decimal("mg_m3_per_ppm");
        // `110 (approx)`: the number before the remark.
        let weight = row
            .text("mw_printed")
            .split(' ')
            .next()
            .unwrap()
            .parse::<stainbook_core::Decimal>()
            .unwrap();
        // A factor as an element counts only that element's mass: one atom of iron in a molecule of its carbonyl.
        let element = row
            .text("qualifier_printed")
            .trim_matches(['(', ')'])
            .strip_prefix("as ")
            .map(str::to_owned);
        let molar_mass = match element {
            Some(symbol) => symbol.parse::<Formula>().unwrap().molar_mass(),
            None => MolarMass::from_g_per_mol(weight.value()).unwrap(),
        };
        // The printed weight has one decimal: it leaves open 0.05 g/mol.
        let open = weight.half_step() / HANDBOOK_25;
        let handbook = mg_per_m3(1.0, molar_mass, handbook_conditions());
        report.printed(
            "NIOSH factors (printed weight, 24.45 L/mol)",
            &id,
            handbook,
            &printed,
            open,
        );
        report.origin = Origin::Again;
        // At 25 °C and 760 mmHg exactly a mole takes 24.465 L: NIOSH's rounding of that leaves open 0.06 %, upward only.
        let exact = mg_per_m3(1.0, molar_mass, Conditions::at_25_celsius());
        report.printed(
            "NIOSH factors (printed weight, 25 °C and 760 mmHg)",
            &id,
            f64::midpoint(exact, handbook),
            &printed,
            open + (handbook - exact) / 2.0,
        );

        if row.text("factor_kind") != "exact" {
            continue;
        }
        let formula = match row.text("formula_printed").parse::<Formula>() {
            Ok(formula) => formula,
            Err(error) => {
                report.check("NIOSH formulas read", &id, false, || error.to_string());
                continue;
            }
        };
        report.check("NIOSH formulas read", &id, true, String::new);
        report.origin = Origin::Published;
        let mass = formula.molar_mass();
        report.printed(
            "NIOSH molecular weights (from the formula)",
            &id,
            mass.g_per_mol(),
            &weight,
            0.0,
        );
    }
}
