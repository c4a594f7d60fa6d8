//! Equivalents of units and UCUM codes.

use stainbook_core::constants::GAS_CONSTANT;
use stainbook_core::{
    Conditions, Converter, Dimension, MolarVolume, Pressure, Temperature, unit_of, units,
};

use crate::data::{self, PublishedRow};
use crate::report::{Origin, PublishedReport};

/// Density of water at 20 °C over that at 4 °C, 998.2071 over 1000 kg/m³ (from memory): the manual's inch of water is of 20 °C,
/// the unit table's the conventional one.
const WATER_AT_20_CELSIUS: f64 = 0.998_207_1;

const GROUP: &str = "unit equivalents";

pub(crate) fn check(report: &mut PublishedReport) {
    for row in data::unit_equivalents() {
        report.origin = Origin::said(row.text("how"));
        let id = format!("{} in {}", row.text("one_of"), row.text("in_unit"));
        match row.text("quantity") {
            "pressure" => linear(report, Dimension::Pressure, &id, &row),
            "volume" => linear(report, Dimension::Volume, &id, &row),
            "concentration" => linear(report, Dimension::VolumeFraction, &id, &row),
            "length" if row.text("one_of") == "ft" => {
                linear(report, Dimension::Altitude, &id, &row);
            }
            // No length in inches or millimetres is written anywhere here; the inch stands in the pressures.
            "length" => inch_in_the_pressures(report, &id, &row),
            "temperature" => temperatures(report, &id, &row),
            "molar_volume" => molar_volume_formula(report, &id),
            "constant" => constants(report, &id, &row),
            other => panic!("{other}"),
        }
    }
    ucum(report);
}

/// A name in the table as a spelling here, and how much more of it there is than of the unit here.
fn spelling(name: &str) -> (&str, f64) {
    match name {
        "mmHg(0C)" | "mmHg (conventional, 0 C)" => ("mmHg", 1.0),
        "inHg (conventional, 32 F)" => ("inHg", 1.0),
        "inH2O(20C)" => ("inH2O", WATER_AT_20_CELSIUS),
        "inH2O (conventional, 4 C)" => ("inH2O", 1.0),
        "m[Hg] (UCUM)" => ("mmHg", 1000.0),
        other => (other, 1.0),
    }
}

fn linear(report: &mut PublishedReport, dimension: Dimension, id: &str, row: &PublishedRow) {
    let (from, from_more) = spelling(row.text("one_of"));
    let (to, to_more) = spelling(row.text("in_unit"));
    let unit = |spelling| unit_of(dimension, spelling).unwrap_or_else(|e| panic!("{id}: {e}"));
    let converter = Converter::within_dimension(unit(from), unit(to)).unwrap();
    report.printed(
        GROUP,
        id,
        converter.apply_unchecked(from_more) / to_more,
        &row.decimal("equals_value"),
        0.0,
    );
}

fn inch_in_the_pressures(report: &mut PublishedReport, id: &str, row: &PublishedRow) {
    let unit = |spelling| unit_of(Dimension::Pressure, spelling).unwrap();
    let millimetres = Converter::within_dimension(unit("inHg"), unit("mmHg"))
        .unwrap()
        .apply_unchecked(1.0);
    report.printed(GROUP, id, millimetres, &row.decimal("equals_value"), 0.0);
}

fn temperatures(report: &mut PublishedReport, id: &str, row: &PublishedRow) {
    let agrees = [-459.0_f64, -40.0, 0.0, 32.0, 98.6, 500.0].iter().all(|x| {
        let (computed, formula) = if row.text("one_of") == "t_F" {
            (
                Temperature::from_fahrenheit(*x).unwrap().celsius(),
                (x - 32.0) / 1.8,
            )
        } else {
            let kelvin = x + 460.0;
            (
                Temperature::from_kelvin(kelvin).unwrap().celsius(),
                kelvin - 273.15,
            )
        };
        (computed - formula).abs() <= 4.0 * f64::EPSILON * 500.0
    });
    report.check(GROUP, id, agrees, String::new);
}

/// 62.36 (t + 273.15)/P: the printed constant against the exact one.
fn molar_volume_formula(report: &mut PublishedReport, id: &str) {
    let conditions = Conditions {
        temperature: Temperature::from_celsius(25.0).unwrap(),
        pressure: Pressure::from_mmhg(760.0).unwrap(),
    };
    let constant = MolarVolume::of_ideal_gas(conditions).l_per_mol() * 760.0 / 298.15;
    report.printed(GROUP, id, constant, &"62.36".parse().unwrap(), 0.0);
}

fn constants(report: &mut PublishedReport, id: &str, row: &PublishedRow) {
    let volume = |celsius, kilopascals| {
        let temperature = Temperature::from_celsius(celsius).unwrap();
        let pressure = Pressure::from_kilopascals(kilopascals).unwrap();
        MolarVolume::of_ideal_gas(Conditions {
            temperature,
            pressure,
        })
        .l_per_mol()
    };
    let computed = match row.text("one_of") {
        "R" => GAS_CONSTANT,
        "Vm 0 C 101.325 kPa" => volume(0.0, 101.325),
        "Vm 0 C 100 kPa" => volume(0.0, 100.0),
        "Vm 20 C 101.325 kPa" => volume(20.0, 101.325),
        "Vm 25 C 101.325 kPa" => volume(25.0, 101.325),
        other => panic!("{other}"),
    };
    // `8.314462618...` goes on: its last digit is cut, not rounded.
    let cut = row.text("equals_value").ends_with("...");
    let printed = row.decimal("equals_value");
    let open = if cut { printed.half_step() } else { 0.0 };
    report.printed(GROUP, id, computed, &printed, open);
}

fn ucum(report: &mut PublishedReport) {
    report.origin = Origin::Published;
    for row in data::ucum_codes() {
        let code = row.text("code");
        if row.text("is_code") == "yes" {
            let dimension = Dimension::WITH_UNITS
                .iter()
                .find(|d| d.name() == row.text("quantity"))
                .unwrap();
            let agrees = unit_of(*dimension, code).is_ok_and(|unit| unit.ucum() == code);
            report.check(
                "UCUM codes",
                &format!("{code} for {dimension}"),
                agrees,
                String::new,
            );
        } else {
            let given_out = units().iter().any(|unit| unit.ucum() == code);
            report.check(
                "UCUM codes",
                &format!("{code} is none"),
                !given_out,
                String::new,
            );
        }
    }
}
