//! The standard atmosphere.

use stainbook_core::{Altitude, Pressure, atmosphere};

use crate::data;
use crate::report::{Origin, PublishedReport};

/// Values that the printed tables have, the only ones of the table that somebody published.
const PRINTED: &str = "standard atmosphere, printed tables";

pub(crate) fn check(report: &mut PublishedReport) {
    for row in data::atmosphere() {
        let label = format!(
            "{} {}",
            row.text("altitude_kind"),
            row.text("altitude_label")
        );
        let given = row.number("altitude_label");
        let h = match row.text("altitude_kind") {
            "geopotential_m" => Altitude::from_metres(given).unwrap(),
            "geopotential_ft" => Altitude::from_feet(given).unwrap(),
            "geometric_m" => {
                atmosphere::geopotential(Altitude::from_metres(given).unwrap()).unwrap()
            }
            other => panic!("{other}"),
        };
        let mut printed = |group, computed, column: &str, open| {
            report.origin = if group == PRINTED {
                Origin::FromMemory
            } else {
                Origin::Computed
            };
            report.printed(
                group,
                &format!("{label} {column}"),
                computed,
                &row.decimal(column),
                open,
            );
        };
        let p = atmosphere::standard_pressure(h).unwrap();
        printed(
            "standard atmosphere, altitudes",
            h.metres(),
            "geopotential_m",
            0.0,
        );
        printed(
            "standard atmosphere, altitudes",
            atmosphere::geometric(h).unwrap().metres(),
            "geometric_m",
            0.0,
        );
        let t = atmosphere::standard_temperature(h).unwrap();
        printed(
            "standard atmosphere, temperature",
            t.kelvin(),
            "temperature_k",
            0.0,
        );
        printed(
            "standard atmosphere, pressure",
            p.pascals(),
            "pressure_pa",
            0.0,
        );
        printed(
            "standard atmosphere, pressure",
            p.hectopascals(),
            "pressure_hpa",
            0.0,
        );
        printed(
            "standard atmosphere, pressure",
            p.mmhg(),
            "pressure_mmhg",
            0.0,
        );
        let in_hg = stainbook_core::unit_of(stainbook_core::Dimension::Pressure, "inHg").unwrap();
        let p_in_hg = stainbook_core::Quantity::in_unit(p, in_hg);
        printed(
            "standard atmosphere, pressure",
            p_in_hg,
            "pressure_inhg",
            0.0,
        );
        let sea = Pressure::from_kilopascals(101.325).unwrap();
        printed(
            "standard atmosphere, pressure",
            p.ratio_to(sea),
            "pressure_ratio",
            0.0,
        );
        // Two packages with 28.964420 kg/kmol or other last digits: 0.03 Pa, as they agree among themselves.
        printed(
            "standard atmosphere, two packages",
            p.pascals(),
            "fluids_1_3_1_pa",
            0.03,
        );
        printed(
            "standard atmosphere, two packages",
            p.pascals(),
            "ambiance_1_3_1_pa",
            0.03,
        );
        if !row.text("printed_table_value_pa").is_empty() {
            printed(PRINTED, p.pascals(), "printed_table_value_pa", 0.0);
        }

        // The way back: the printed pressure gives the printed altitude, to what the last digit of the pressure is worth.
        let printed_pa = row.decimal("pressure_pa");
        let back =
            atmosphere::standard_altitude(Pressure::from_pascals(printed_pa.value()).unwrap())
                .unwrap();
        let lower = atmosphere::standard_altitude(
            Pressure::from_pascals(printed_pa.value() + printed_pa.half_step()).unwrap(),
        );
        let open = (back.metres() - lower.unwrap().metres()).abs();
        printed(
            "standard atmosphere, way back",
            back.metres(),
            "geopotential_m",
            open,
        );
    }
}
