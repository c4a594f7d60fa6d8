//! A conversion as text.

use stainbook::conversion::{Gas, PressureGiven, Terms, convert};
use stainbook_core::unit;
use stainbook_present::{Colour, conversion_text};

fn converted(amount: &str, to: &str, terms: &Terms) -> String {
    match convert(&amount.parse().unwrap(), unit(to).unwrap(), terms) {
        Ok(conversion) => conversion_text::render(&conversion, Colour::Plain),
        Err(refused) => format!("{}: {}\n{}", refused.code, refused.message, refused.help),
    }
}

fn terms() -> Terms {
    {
        let mut terms = Terms::default();
        terms.gas = Some(Gas::OfMolarMass("28.010 g/mol".parse().unwrap()));
        terms.temperature = Some("8 °C".parse().unwrap());
        terms.pressure = Some(PressureGiven::Station("101.325 kPa".parse().unwrap()));
        terms
    }
}

#[test]
fn at_stated_conditions() {
    insta::assert_snapshot!(converted("25 ppm", "mg/m3", &terms()), @r"
    25 ppm = 30.4 mg/m³ at 8 °C and 101.325 kPa
      molar mass    28.010 g/mol, as given
      molar volume  23.070 L/mol, R·T/p
      in full       30.352708914767 mg/m³
      assumed       the volume fraction is of the air as it is, water vapour
                    included
    ");
}

#[test]
fn at_an_altitude_that_stands_in_for_the_pressure() {
    let mut terms = terms();
    terms.pressure = Some(PressureGiven::Altitude("1600 m".parse().unwrap()));
    insta::assert_snapshot!(converted("25 ppm", "mg/m3", &terms), @r"
    25 ppm = 25.0 mg/m³ at 8 °C and 83.52 kPa
      molar mass    28.010 g/mol, as given
      molar volume  27.987 L/mol, R·T/p
      in full       25.020139504845 mg/m³
      assumed       83.52 kPa at 1600 m, from the standard atmosphere (ISO 2533);
                    the day's weather moves it by 2 to 3 %
      assumed       the volume fraction is of the air as it is, water vapour
                    included
    ");
}

#[test]
fn without_conditions_it_is_refused() {
    let mut terms = terms();
    terms.temperature = None;
    terms.pressure = None;
    insta::assert_snapshot!(converted("25 ppm", "mg/m3", &terms), @r"
    missing-conditions: a mass concentration holds at one temperature and pressure only, and none are stated
    limits are stated at 25 °C and 101.325 kPa in the United States and at 20 °C and 101.325 kPa in much of Europe; for the air of a place take its own temperature and pressure
    ");
}
