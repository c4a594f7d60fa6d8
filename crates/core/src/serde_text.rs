//! Through serde, what was written is text: `20 °C`, `0 to 40 °C`, `630-08-0`, `NH3`; and so is a quantity, `20 °C` in its base
//! unit.
//!
//! A quantity goes out in the fewest digits that give the same number back, so that nothing is lost there and back; only its
//! author's digits and unit are (those [`Written`] keeps).
//!
//! A bare number ([`Decimal`]) is a number where that gives its digits back, `3` or `2.5`. No format of serde's keeps
//! the last zero of `2.50`, so that such a number is written as text, and both are read. From a number the text is the
//! shortest that gives it back.

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use serde::de::{Error as _, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::{CasNumber, Decimal, Formula, Quantity, Unit, Written, WrittenRange, print};

/// A quantity as text in `unit`.
pub(crate) fn serialize<Q: Quantity, S: Serializer>(
    quantity: Q,
    unit: &'static Unit,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let number = print::number(quantity.in_unit(unit));
    let unit = unit.canonical_after(&number);
    let blank = if unit.is_empty() { "" } else { " " };
    serializer.collect_str(&format_args!("{number}{blank}{unit}"))
}

/// From here on every format writes a fraction without an exponent.
const SMALLEST_PLAIN: f64 = 1e-4;

/// Up to here every format writes a fraction without an exponent, and all its digits.
const LARGEST_PLAIN: f64 = 1e15;

impl Serialize for Decimal {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let value = self.value();
        // Outside these bounds formats differ on where an exponent begins.
        let plain = SMALLEST_PLAIN <= value.abs() && value.abs() < LARGEST_PLAIN;
        match self.text().parse::<i64>() {
            Ok(whole) if whole.to_string() == self.text() => serializer.serialize_i64(whole),
            Err(_) if plain && value.to_string() == self.text() => serializer.serialize_f64(value),
            _ => serializer.serialize_str(self.text()),
        }
    }
}

/// Reads what can be parsed from text.
struct Text<T> {
    expecting: &'static str,
    is: PhantomData<T>,
}

impl<T> Visitor<'_> for Text<T>
where
    T: FromStr,
    T::Err: fmt::Display,
{
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.expecting)
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }
}

/// Types that are kept as they were written.
macro_rules! as_text {
    ($( $type:ty $(, of $quantity:ident)? => $expecting:literal ; )*) => {$(
        impl$(<$quantity>)? Serialize for $type {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de $(, $quantity: Quantity)?> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_str(Text {
                    expecting: $expecting,
                    is: PhantomData,
                })
            }
        }
    )*};
}

as_text! {
    Written<Q>, of Q => "a number with its unit";
    WrittenRange<Q>, of Q => "a range such as `0 to 40 °C`";
    CasNumber => "a CAS number such as `7664-41-7`";
    Formula => "a formula such as `NH3`";
}

struct Number;

impl Visitor<'_> for Number {
    type Value = Decimal;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Decimal, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<Decimal, E> {
        Decimal::parse(&print::number(value)).map_err(E::custom)
    }

    fn visit_u64<E: serde::de::Error>(self, value: u64) -> Result<Decimal, E> {
        Decimal::parse(&value.to_string()).map_err(E::custom)
    }

    fn visit_i64<E: serde::de::Error>(self, value: i64) -> Result<Decimal, E> {
        Decimal::parse(&value.to_string()).map_err(E::custom)
    }
}

impl<'de> Deserialize<'de> for Decimal {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer
            .deserialize_any(Number)
            .map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use serde::de::IntoDeserializer;
    use serde::de::value::{Error, F64Deserializer, StrDeserializer, U64Deserializer};

    use super::*;
    use crate::{
        AbsoluteHumidity, Altitude, Concentration, Duration, Humidity, MassConcentration,
        MassFraction, MolarMass, MolarVolume, Pressure, Ratio, RelativeHumidity, Temperature,
        TemperatureDifference, Volume, VolumeFraction,
    };

    fn text(text: &str) -> StrDeserializer<'_, Error> {
        text.into_deserializer()
    }

    #[test]
    fn from_text() {
        let t = Written::<Temperature>::deserialize(text("20C")).unwrap();
        assert_eq!(t.text(), "20C");
        let error = Written::<Temperature>::deserialize(text("20 ppm")).unwrap_err();
        assert!(error.to_string().contains("volume fraction"), "{error}");
        assert!(WrittenRange::<Temperature>::deserialize(text("0 to 40 °C")).is_ok());
        assert!(CasNumber::deserialize(text("50-00-1")).is_err());
        assert!(Formula::deserialize(text("NH3")).is_ok());
        assert_eq!(Decimal::deserialize(text("2.50")).unwrap().text(), "2.50");
    }

    fn there_and_back<Q: Quantity + Serialize + for<'de> Deserialize<'de>>(
        quantity: Q,
        written: &str,
    ) {
        let json = serde_json::to_string(&quantity).unwrap();
        assert_eq!(json, format!("\"{written}\""));
        assert_eq!(serde_json::from_str::<Q>(&json).unwrap(), quantity);
        let read = written.parse::<Written<Q>>().unwrap();
        assert_eq!(read.value(), quantity);
    }

    #[test]
    fn quantities_are_text_with_their_unit() {
        there_and_back(VolumeFraction::from_ppb(35.0).unwrap(), "0.035 ppm");
        there_and_back(
            VolumeFraction::from_ppm(0.1 + 0.2).unwrap(),
            "0.30000000000000004 ppm",
        );
        there_and_back(MassFraction::from_mg_per_kg(3.0).unwrap(), "3 mg/kg");
        there_and_back(
            MassConcentration::from_mg_per_m3(2.5e-9).unwrap(),
            "2.5e-9 mg/m³",
        );
        there_and_back(MolarMass::from_g_per_mol(28.01).unwrap(), "28.01 g/mol");
        there_and_back(MolarVolume::from_l_per_mol(24.055).unwrap(), "24.055 L/mol");
        there_and_back(Temperature::from_kelvin(293.15).unwrap(), "20 °C");
        there_and_back(TemperatureDifference::from_kelvin(-5.0).unwrap(), "-5 K");
        there_and_back(Pressure::from_hectopascals(835.0).unwrap(), "83.5 kPa");
        there_and_back(RelativeHumidity::from_percent(50.0).unwrap(), "50 %RH");
        there_and_back(AbsoluteHumidity::from_g_per_m3(9.0).unwrap(), "9 g/m³");
        there_and_back(Altitude::from_metres(-400.0).unwrap(), "-400 m");
        there_and_back(Volume::from_litres(0.1).unwrap(), "100 mL");
        there_and_back(Duration::from_minutes(1.5).unwrap(), "90 s");
        there_and_back(Ratio::from_percent(10.0).unwrap(), "0.1");
        let mass = MassConcentration::from_mg_per_m3(27.0).unwrap();
        there_and_back(Concentration::from(mass), "27 mg/m³");
        let wet = RelativeHumidity::from_percent(97.0).unwrap();
        there_and_back(Humidity::from(wet), "97 %RH");
    }

    #[test]
    fn a_quantity_without_its_unit_or_that_cannot_be_is_refused() {
        for bad in ["25", "\"25\"", "\"25 mg/m3\"", "\"-1 ppm\""] {
            assert!(
                serde_json::from_str::<VolumeFraction>(bad).is_err(),
                "{bad}"
            );
        }
        let read: Pressure = "150 mmHg".parse().unwrap();
        assert_eq!(read, Pressure::from_mmhg(150.0).unwrap());
        let written: Written<Pressure> = "1 atm".parse().unwrap();
        assert_eq!(Pressure::from(written).kilopascals(), 101.325);
    }

    #[test]
    fn from_numbers() {
        let number: F64Deserializer<Error> = 2.5.into_deserializer();
        assert_eq!(Decimal::deserialize(number).unwrap().text(), "2.5");
        let number: U64Deserializer<Error> = 3_u64.into_deserializer();
        assert_eq!(Decimal::deserialize(number).unwrap().text(), "3");
        let number: F64Deserializer<Error> = f64::NAN.into_deserializer();
        assert!(Decimal::deserialize(number).is_err());
        let number: F64Deserializer<Error> = 2.5.into_deserializer();
        assert!(Written::<Temperature>::deserialize(number).is_err());
    }
}
