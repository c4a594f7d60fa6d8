//! Dimensions: the kinds of quantity that units measure.

use std::fmt;

use crate::unit::Unit;
use crate::unit_table::UNITS;

/// Kind of quantity that a unit measures, and so the quantities that may be written in it.
///
/// `Concentration` and `Humidity` have no units of their own: they stand for fields in which either of two
/// dimensions may be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Dimension {
    /// Amount of a gas per amount of air: ppm, % by volume.
    VolumeFraction,
    /// Mass of a substance per mass of the whole: mg/kg, ppm by mass.
    MassFraction,
    /// Mass of a substance per volume of air: mg/m³.
    MassConcentration,
    /// Mass per amount of substance: g/mol.
    MolarMass,
    /// Volume per amount of substance: L/mol.
    MolarVolume,
    /// A temperature on a scale: °C, K, °F.
    Temperature,
    /// A difference of two temperatures, in which 1 °C is 1 K.
    TemperatureDifference,
    /// Absolute pressure: kPa, hPa, mmHg.
    Pressure,
    /// Water vapour relative to saturation: %RH.
    RelativeHumidity,
    /// Mass of water vapour per volume of air: g/m³.
    AbsoluteHumidity,
    /// Height above sea level: m, ft.
    Altitude,
    /// Volume of air: mL, L.
    Volume,
    /// Length of time: s, min, h, days, months, years.
    Duration,
    /// A plain number or a percentage, as for a relative standard deviation.
    Ratio,
    /// A volume fraction or a mass concentration.
    Concentration,
    /// A relative or an absolute humidity.
    Humidity,
}

impl Dimension {
    /// Every dimension that has units of its own, in the order of the unit table.
    pub const WITH_UNITS: [Self; 14] = [
        Self::VolumeFraction,
        Self::MassFraction,
        Self::MassConcentration,
        Self::MolarMass,
        Self::MolarVolume,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::Pressure,
        Self::RelativeHumidity,
        Self::AbsoluteHumidity,
        Self::Altitude,
        Self::Volume,
        Self::Duration,
        Self::Ratio,
    ];

    /// The dimensions whose units are accepted here: itself, or for `Concentration` and `Humidity` the two that
    /// they stand for.
    pub const fn members(self) -> &'static [Self] {
        match self {
            Self::VolumeFraction => &[Self::VolumeFraction],
            Self::MassFraction => &[Self::MassFraction],
            Self::MassConcentration => &[Self::MassConcentration],
            Self::MolarMass => &[Self::MolarMass],
            Self::MolarVolume => &[Self::MolarVolume],
            Self::Temperature => &[Self::Temperature],
            Self::TemperatureDifference => &[Self::TemperatureDifference],
            Self::Pressure => &[Self::Pressure],
            Self::RelativeHumidity => &[Self::RelativeHumidity],
            Self::AbsoluteHumidity => &[Self::AbsoluteHumidity],
            Self::Altitude => &[Self::Altitude],
            Self::Volume => &[Self::Volume],
            Self::Duration => &[Self::Duration],
            Self::Ratio => &[Self::Ratio],
            Self::Concentration => &[Self::VolumeFraction, Self::MassConcentration],
            Self::Humidity => &[Self::RelativeHumidity, Self::AbsoluteHumidity],
        }
    }

    /// True if a value of this dimension may be written in `unit`.
    pub fn accepts(self, unit: &Unit) -> bool {
        self.members().contains(&unit.dimension)
    }

    /// The name in words, for messages: `volume fraction`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::VolumeFraction => "volume fraction",
            Self::MassFraction => "mass fraction",
            Self::MassConcentration => "mass concentration",
            Self::MolarMass => "molar mass",
            Self::MolarVolume => "molar volume",
            Self::Temperature => "temperature",
            Self::TemperatureDifference => "temperature difference",
            Self::Pressure => "pressure",
            Self::RelativeHumidity => "relative humidity",
            Self::AbsoluteHumidity => "absolute humidity",
            Self::Altitude => "altitude",
            Self::Volume => "volume",
            Self::Duration => "duration",
            Self::Ratio => "ratio",
            Self::Concentration => "concentration",
            Self::Humidity => "humidity",
        }
    }

    /// The units people usually write, canonically spelled, most usual first.
    pub const fn usual_units(self) -> &'static [&'static str] {
        match self {
            Self::VolumeFraction => &["ppm", "ppb", "% by volume"],
            Self::MassFraction => &["mg/kg", "% by mass"],
            Self::MassConcentration => &["mg/m³", "µg/m³", "g/m³"],
            Self::MolarMass => &["g/mol"],
            Self::MolarVolume => &["L/mol"],
            Self::Temperature => &["°C", "K", "°F"],
            Self::TemperatureDifference => &["K", "°C"],
            Self::Pressure => &["kPa", "hPa", "mmHg"],
            Self::RelativeHumidity => &["%RH"],
            Self::AbsoluteHumidity => &["g/m³", "mg/L"],
            Self::Altitude => &["m", "ft"],
            Self::Volume => &["mL", "L"],
            Self::Duration => &["s", "min", "h", "days", "months", "years"],
            Self::Ratio => &["%"],
            Self::Concentration => &["ppm", "% by volume", "mg/m³"],
            Self::Humidity => &["%RH", "g/m³"],
        }
    }

    /// The units of this dimension, in the order of the unit table.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |unit| self.accepts(unit))
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
