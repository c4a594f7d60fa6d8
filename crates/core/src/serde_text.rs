//! Through serde, what was written is text: `20 °C`, `0 to 40 °C`, `630-08-0`, `NH3`.
//!
//! A bare number ([`Decimal`]) is a number where that gives its digits back, `3` or `2.5`. No format of serde's keeps
//! the last zero of `2.50`, so that such a number is written as text, and both are read. From a number the text is the
//! shortest that gives it back.

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use serde::de::{Error as _, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::{CasNumber, Decimal, Formula, Quantity, Written, WrittenRange, print};

impl<Q> Serialize for Written<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<Q> Serialize for WrittenRange<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Serialize for CasNumber {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Serialize for Formula {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
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

impl<'de, Q: Quantity> Deserialize<'de> for Written<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Text {
            expecting: "a number with its unit",
            is: PhantomData,
        })
    }
}

impl<'de, Q: Quantity> Deserialize<'de> for WrittenRange<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Text {
            expecting: "a range such as `0 to 40 °C`",
            is: PhantomData,
        })
    }
}

impl<'de> Deserialize<'de> for CasNumber {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Text {
            expecting: "a CAS number such as `7664-41-7`",
            is: PhantomData,
        })
    }
}

impl<'de> Deserialize<'de> for Formula {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(Text {
            expecting: "a formula such as `NH3`",
            is: PhantomData,
        })
    }
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
    use crate::Temperature;

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
