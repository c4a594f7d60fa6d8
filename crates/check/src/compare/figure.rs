//! Single values as they mean: the number with its digits and its unit, or the words.

use stainbook_core::{
    Altitude, Concentration, Decimal, Dimension, Duration, Humidity, MolarMass, Pressure, Quantity,
    Ratio, Temperature, Unit, Volume, VolumeFraction, Written, WrittenRange, unit_of,
};

use super::DifferenceKind;
use super::shape::Meaning;

/// A single value, understood as far as it can be.
#[derive(Clone, Debug)]
pub(super) enum ComparedValue {
    /// A number, with its unit if it has one.
    Number(Number),
    /// Two ends.
    Range(Number, Number),
    /// A unit by itself.
    Unit(&'static Unit),
    /// Words, without regard to line breaks.
    Words(String),
}

/// A number with its digits.
#[derive(Clone, Debug)]
pub(super) struct Number {
    value: f64,
    decimals: i32,
    unit: Option<&'static Unit>,
    /// The digits as written.
    pub(super) text: String,
}

impl Number {
    fn of<Q: Quantity>(written: &Written<Q>) -> Self {
        Self {
            value: written.number(),
            decimals: written.decimals(),
            unit: Some(written.unit()),
            text: written.number_text().to_owned(),
        }
    }

    fn difference(&self, other: &Self) -> Option<DifferenceKind> {
        if self.unit != other.unit {
            Some(DifferenceKind::Unit)
        } else if self.value.total_cmp(&other.value).is_ne() {
            Some(DifferenceKind::Number)
        } else if self.decimals != other.decimals {
            Some(DifferenceKind::Digits)
        } else {
            None
        }
    }

    fn key(&self) -> String {
        // Exact: the shortest text that reads back as this number.
        format!("{}|{}", self.value, self.unit.map_or("", Unit::canonical))
    }
}

impl ComparedValue {
    /// Reads a value as what its field holds. What cannot be read so is taken as words: the checker speaks of it, and two
    /// people who typed the same wrong thing agree.
    pub(super) fn read(text: &str, meaning: Meaning) -> Self {
        let read = match meaning {
            Meaning::Number => Decimal::parse(text).ok().map(|number| {
                Self::Number(Number {
                    value: number.value(),
                    decimals: number.decimals(),
                    unit: None,
                    text: number.text().trim().to_owned(),
                })
            }),
            Meaning::Quantity(dimension) => quantity(dimension, text).map(Self::Number),
            Meaning::Range(dimension) => {
                range(dimension, text).map(|(low, high)| Self::Range(low, high))
            }
            Meaning::Words => None,
        };
        read.unwrap_or_else(|| Self::words(text))
    }

    /// A unit that stands by itself, a condition at the head of a column, or the word `factor` beside them.
    pub(super) fn unit_or_condition(text: &str) -> Self {
        const CONDITIONS: [Dimension; 4] = [
            Dimension::Temperature,
            Dimension::Humidity,
            Dimension::Pressure,
            Dimension::Concentration,
        ];
        let unit = CONDITIONS
            .into_iter()
            .find_map(|dimension| unit_of(dimension, text).ok())
            .map(Self::Unit);
        let condition = || {
            CONDITIONS
                .into_iter()
                .find_map(|dimension| quantity(dimension, text))
                .map(Self::Number)
        };
        unit.or_else(condition).unwrap_or_else(|| Self::words(text))
    }

    fn words(text: &str) -> Self {
        Self::Words(text.split_whitespace().collect::<Vec<_>>().join(" "))
    }

    /// Kind of difference between the two; none if they mean the same.
    pub(super) fn difference(&self, other: &Self) -> Option<DifferenceKind> {
        match (self, other) {
            (Self::Number(a), Self::Number(b)) => a.difference(b),
            (Self::Range(low_a, high_a), Self::Range(low_b, high_b)) => low_a
                .difference(low_b)
                .or_else(|| high_a.difference(high_b)),
            (Self::Unit(a), Self::Unit(b)) => (a != b).then_some(DifferenceKind::Unit),
            (Self::Words(a), Self::Words(b)) => (a != b).then_some(DifferenceKind::Words),
            _ => Some(DifferenceKind::Words),
        }
    }

    /// Identity of a row by this value: the value and its unit, whatever the digits.
    pub(super) fn key(&self) -> String {
        match self {
            Self::Number(number) => number.key(),
            Self::Range(low, high) => format!("{} to {}", low.key(), high.key()),
            Self::Unit(unit) => unit.canonical().to_owned(),
            Self::Words(words) => words.clone(),
        }
    }

    /// The number's digits, for telling what slip it may be.
    pub(super) fn digits(&self) -> Option<&str> {
        match self {
            Self::Number(number) => Some(&number.text),
            _ => None,
        }
    }
}

fn quantity(dimension: Dimension, text: &str) -> Option<Number> {
    fn read<Q: Quantity>(text: &str) -> Option<Number> {
        Written::<Q>::parse(text)
            .ok()
            .map(|written| Number::of(&written))
    }
    match dimension {
        Dimension::Concentration => read::<Concentration>(text),
        Dimension::VolumeFraction => read::<VolumeFraction>(text),
        Dimension::Temperature => read::<Temperature>(text),
        Dimension::Humidity => read::<Humidity>(text),
        Dimension::Pressure => read::<Pressure>(text),
        Dimension::Ratio => read::<Ratio>(text),
        Dimension::Volume => read::<Volume>(text),
        Dimension::Duration => read::<Duration>(text),
        Dimension::MolarMass => read::<MolarMass>(text),
        Dimension::Altitude => read::<Altitude>(text),
        _ => None,
    }
}

fn range(dimension: Dimension, text: &str) -> Option<(Number, Number)> {
    fn read<Q: Quantity>(text: &str) -> Option<(Number, Number)> {
        let range = WrittenRange::<Q>::parse(text).ok()?;
        Some((Number::of(range.low()), Number::of(range.high())))
    }
    match dimension {
        Dimension::Temperature => read::<Temperature>(text),
        Dimension::Humidity => read::<Humidity>(text),
        Dimension::Pressure => read::<Pressure>(text),
        Dimension::Concentration => read::<Concentration>(text),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_counts_and_what_does_not() {
        use Meaning::{Number, Quantity, Range, Words};
        let temperature = Dimension::Temperature;
        let concentration = Dimension::Concentration;
        let cases = [
            (Number, "5", "5.0", Some(DifferenceKind::Digits)),
            (Number, "5", "+5", None),
            (Number, "0.5", ".5", None),
            (Number, "5", "6", Some(DifferenceKind::Number)),
            (Number, "120", "1.20e2", None),
            (Number, "-4", "4", Some(DifferenceKind::Number)),
            (Number, "-4", "−4", None),
            (Quantity(concentration), "25ppm", "25 ppm", None),
            (Quantity(concentration), "25 mg/m3", "25 mg/m³", None),
            (
                Quantity(concentration),
                "25 ppm",
                "25 mg/m³",
                Some(DifferenceKind::Unit),
            ),
            (
                Quantity(concentration),
                "0.5 %",
                "5000 ppm",
                Some(DifferenceKind::Unit),
            ),
            (Quantity(temperature), "20 °C", "20 degC", None),
            (Range(temperature), "0 to 40 °C", "0 °C to 40 degC", None),
            (
                Range(temperature),
                "0 to 40 °C",
                "5 to 40 °C",
                Some(DifferenceKind::Number),
            ),
            (
                Range(temperature),
                "0 to 40 °C",
                "0 to 40.0 °C",
                Some(DifferenceKind::Digits),
            ),
            (
                Quantity(temperature),
                "20",
                "20 °C",
                Some(DifferenceKind::Words),
            ),
            (Quantity(temperature), "warm", "warm", None),
            (Words, "at  once", "at once", None),
            (Words, "at once", "At once", Some(DifferenceKind::Words)),
        ];
        for (meaning, a, b, expected) in cases {
            let (left, right) = (
                ComparedValue::read(a, meaning),
                ComparedValue::read(b, meaning),
            );
            assert_eq!(left.difference(&right), expected, "{a} | {b}");
            assert_eq!(right.difference(&left), expected, "{b} | {a}");
        }
    }
}
