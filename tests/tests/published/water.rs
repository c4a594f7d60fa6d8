//! Water vapour.

use stainbook_core::{Conditions, Pressure, RelativeHumidity, Temperature, humidity, saturation};

use crate::data;
use crate::report::{Origin, PublishedReport};

/// Relative tolerance of the saturation pressure against formulations other than its own.
const OTHER_FORMULATION: f64 = 0.001;

pub(crate) fn check(report: &mut PublishedReport) {
    let wet = RelativeHumidity::from_percent(100.0).unwrap();
    report.origin = Origin::Computed;
    for row in data::water_vapour_saturation() {
        let t = Temperature::from_celsius(row.number("t_c")).unwrap();
        let id = |column: &str| format!("{} °C {column}", row.text("t_c"));
        let p = saturation::saturation_pressure(t).unwrap();
        report.printed(
            "water vapour, saturation",
            &id("Pa"),
            p.pascals(),
            &row.decimal("psat_if97_pa"),
            0.0,
        );
        report.printed(
            "water vapour, saturation",
            &id("mmHg"),
            p.mmhg(),
            &row.decimal("psat_mmhg"),
            0.0,
        );
        for column in ["psat_iapws95_pa", "psat_cipm2007_pa"] {
            let other = row.number(column);
            let agrees = (p.pascals() / other - 1.0).abs() < OTHER_FORMULATION;
            report.check(
                "water vapour, other formulations within 0.1 %",
                &id(column),
                agrees,
                || format!("{} {other}", p.pascals()),
            );
        }
        let density = humidity::absolute(wet, t).unwrap().g_per_m3();
        // The table was made with 461.523 J/(kg K): its digits leave open half a unit of the last.
        let open = density * 0.000_5 / 461.523;
        let printed = row.decimal("saturated_vapour_density_g_m3");
        report.printed(
            "water vapour, density",
            &id("g/m3"),
            density,
            &printed,
            open,
        );

        // The table's mole fraction is of the saturation pressure of CIPM-2007 and with its enhancement factor, which the core
        // leaves out and the table prints beside.
        let air = Conditions {
            temperature: t,
            pressure: Pressure::from_kilopascals(101.325).unwrap(),
        };
        let pure = humidity::water_volume_fraction(wet, air).unwrap().percent();
        let other = row.number("mole_fraction_sat_1atm_pct");
        let computed = pure * row.number("enhancement_factor_cipm_1atm");
        let agrees = (computed / other - 1.0).abs() < OTHER_FORMULATION;
        report.check(
            "water vapour, mole fraction within 0.1 %",
            &id("%"),
            agrees,
            || format!("{computed} {other}"),
        );
    }
    // IAPWS R7-97(2012), table 35, from memory: printed to nine digits.
    report.origin = Origin::FromMemory;
    for (kelvin, printed) in [
        (300.0, "0.353658941e-2"),
        (500.0, "0.263889776e1"),
        (600.0, "0.123443146e2"),
    ] {
        let p = saturation::saturation_pressure(Temperature::from_kelvin(kelvin).unwrap()).unwrap();
        let id = format!("IAPWS R7-97 table 35, {kelvin} K");
        report.printed(
            "water vapour, saturation",
            &id,
            p.pascals() / 1e6,
            &printed.parse().unwrap(),
            0.0,
        );
    }
}
