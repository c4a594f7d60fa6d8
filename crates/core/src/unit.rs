//! Units: what they measure, how they are spelled, and finding one by its spelling.
//!
//! ```
//! use stainbook_core::{Dimension, unit, unit_of};
//!
//! assert_eq!(unit("mg/m3")?.canonical(), "mg/m³");
//! assert_eq!(unit_of(Dimension::Pressure, "mm[Hg]")?.canonical(), "mmHg");
//! assert_eq!(unit("mgm3").unwrap_err().suggestion(), Some("mg/m3"));
//! # Ok::<(), stainbook_core::UnknownUnit>(())
//! ```

use std::fmt;

use crate::spelling;
use crate::unit_table::UNITS;

/// What a unit measures, and so which quantities may be written in it.
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

    /// Whether a value of this dimension may be written in `unit`.
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

/// One row of the unit table.
///
/// A value `v` in this unit is `(v − offset) · factor / divisor` in the base unit of its dimension. Factor and
/// divisor are kept apart because 1/1000 has no exact binary form and 1000 has: 35 ppb is then exactly 0.035 ppm.
#[derive(Debug)]
pub struct Unit {
    pub(crate) dimension: Dimension,
    pub(crate) canonical: &'static str,
    pub(crate) spellings: &'static [&'static str],
    pub(crate) ucum: &'static str,
    pub(crate) factor: f64,
    pub(crate) divisor: f64,
    pub(crate) offset: f64,
    pub(crate) source: &'static str,
}

impl Unit {
    /// What the unit measures. The same spelling may stand for two dimensions (`%`, `°C`, `g/m³`): each is a row.
    pub const fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// The spelling to print.
    pub const fn canonical(&self) -> &'static str {
        self.canonical
    }

    /// Every accepted spelling, the canonical one first.
    ///
    /// Spellings that differ from these only in typography (superscripts, µ for μ, no-break spaces, `⋅` for `·`) are
    /// accepted too.
    pub const fn spellings(&self) -> &'static [&'static str] {
        self.spellings
    }

    /// The code in the Unified Code for Units of Measure, case sensitive form (UCUM essence 2.2).
    ///
    /// An empty code is UCUM's unity, as for a plain ratio.
    pub const fn ucum(&self) -> &'static str {
        self.ucum
    }

    /// Where the factor comes from.
    pub const fn source(&self) -> &'static str {
        self.source
    }

    /// A number in this unit as a number in the base unit of the dimension.
    #[inline]
    pub fn to_base(&self, value: f64) -> f64 {
        (value - self.offset) * self.factor / self.divisor
    }

    /// A number in the base unit of the dimension as a number in this unit.
    #[inline]
    pub fn from_base(&self, base: f64) -> f64 {
        base * self.divisor / self.factor + self.offset
    }

    /// A step (a half of the last digit, an uncertainty) in this unit as a step in the base unit: no offset.
    #[inline]
    pub fn step_to_base(&self, step: f64) -> f64 {
        step * self.factor / self.divisor
    }
}

/// Two rows are the same unit when they measure the same and print the same.
impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.dimension == other.dimension && self.canonical == other.canonical
    }
}

impl Eq for Unit {}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.canonical)
    }
}

/// A spelling that stands in no row that was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownUnit {
    spelling: String,
    wanted: Option<Dimension>,
    reason: UnknownUnitReason,
}

/// Why a spelling was not accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum UnknownUnitReason {
    /// No unit is spelled so; the nearest accepted spelling, if one is near.
    NotInTable {
        /// The nearest accepted spelling.
        nearest: Option<&'static str>,
    },
    /// The spelling is a unit, but of another dimension.
    OtherDimension {
        /// The unit it is.
        unit: &'static Unit,
    },
    /// `ppt` is parts per trillion to some and parts per thousand to others.
    PartsPerT,
    /// A letter of another alphabet that looks like a Latin one.
    LookAlike {
        /// The letter as typed.
        letter: char,
        /// The alphabet it belongs to.
        alphabet: &'static str,
        /// The accepted spelling that was probably meant, if the rest makes one.
        meant: Option<&'static str>,
    },
}

impl UnknownUnit {
    /// The spelling as it was given.
    pub fn spelling(&self) -> &str {
        &self.spelling
    }

    /// The dimension that was asked for, if one was.
    pub fn wanted(&self) -> Option<Dimension> {
        self.wanted
    }

    /// Why it was not accepted.
    pub fn reason(&self) -> &UnknownUnitReason {
        &self.reason
    }

    /// The spelling to write instead, where there is one that can only be meant.
    pub fn suggestion(&self) -> Option<&'static str> {
        match self.reason {
            UnknownUnitReason::NotInTable { nearest } => nearest,
            UnknownUnitReason::LookAlike { meant, .. } => meant,
            UnknownUnitReason::OtherDimension { .. } | UnknownUnitReason::PartsPerT => None,
        }
    }
}

impl fmt::Display for UnknownUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let spelling = &self.spelling;
        match &self.reason {
            UnknownUnitReason::NotInTable {
                nearest: Some(nearest),
            } => {
                write!(f, "unknown unit `{spelling}`, did you mean `{nearest}`?")
            }
            UnknownUnitReason::NotInTable { nearest: None } => {
                write!(f, "unknown unit `{spelling}`")?;
                if let Some(wanted) = self.wanted {
                    write!(
                        f,
                        ", a {wanted} is written in {}",
                        crate::words::or(wanted.usual_units())
                    )?;
                }
                Ok(())
            }
            UnknownUnitReason::OtherDimension { unit } => {
                write!(f, "`{spelling}` is a unit of {}", unit.dimension)?;
                if let Some(wanted) = self.wanted {
                    write!(
                        f,
                        ", but a {wanted} is wanted here, written in {}",
                        crate::words::or(wanted.usual_units())
                    )?;
                }
                Ok(())
            }
            UnknownUnitReason::PartsPerT => write!(
                f,
                "`{spelling}` means parts per trillion to some and parts per thousand to others, \
                 write `pmol/mol` or `mmol/mol`"
            ),
            UnknownUnitReason::LookAlike {
                letter,
                alphabet,
                meant,
            } => {
                write!(
                    f,
                    "`{letter}` in `{spelling}` is a {alphabet} letter that only looks like a Latin one"
                )?;
                if let Some(meant) = meant {
                    write!(f, ", write `{meant}`")?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for UnknownUnit {}

/// The unit with this spelling, whatever it measures.
///
/// Where a spelling stands for several dimensions, the first in the order of [`Dimension::WITH_UNITS`] is given: `%`
/// is then a volume fraction and `°C` a temperature. Ask [`unit_of`] when the dimension is known.
///
/// # Errors
///
/// [`UnknownUnit`] with the nearest accepted spelling.
pub fn unit(spelling: &str) -> Result<&'static Unit, UnknownUnit> {
    let spelling = spelling.trim();
    spelling::find(&Dimension::WITH_UNITS, spelling).ok_or_else(|| unknown(spelling, None))
}

/// The unit with this spelling among those of one dimension.
///
/// # Errors
///
/// [`UnknownUnit`]: the spelling belongs to another dimension, to none, or to two (`ppt`).
///
/// # Example
///
/// ```
/// use stainbook_core::{Dimension, unit_of};
/// assert_eq!(unit_of(Dimension::TemperatureDifference, "°C")?.dimension(), Dimension::TemperatureDifference);
/// assert!(unit_of(Dimension::VolumeFraction, "mg/m³").is_err());
/// # Ok::<(), stainbook_core::UnknownUnit>(())
/// ```
pub fn unit_of(dimension: Dimension, spelling: &str) -> Result<&'static Unit, UnknownUnit> {
    let spelling = spelling.trim();
    spelling::find(dimension.members(), spelling).ok_or_else(|| unknown(spelling, Some(dimension)))
}

/// The whole unit table, in its order.
pub fn units() -> &'static [Unit] {
    &UNITS
}

#[cold]
pub(crate) fn unknown(spelling: &str, wanted: Option<Dimension>) -> UnknownUnit {
    let reason = if let Some(unit) = spelling::find(&Dimension::WITH_UNITS, spelling) {
        UnknownUnitReason::OtherDimension { unit }
    } else if spelling.eq_ignore_ascii_case("ppt") {
        UnknownUnitReason::PartsPerT
    } else if let Some((letter, alphabet)) = spelling::look_alike(spelling) {
        let latin = spelling::latinised(spelling);
        let members = wanted.map_or(&Dimension::WITH_UNITS[..], Dimension::members);
        let meant = spelling::find(members, &latin).map(Unit::canonical);
        UnknownUnitReason::LookAlike {
            letter,
            alphabet,
            meant,
        }
    } else {
        let members = wanted.map_or(&Dimension::WITH_UNITS[..], Dimension::members);
        UnknownUnitReason::NotInTable {
            nearest: spelling::nearest(members, spelling),
        }
    };
    UnknownUnit {
        spelling: spelling.to_owned(),
        wanted,
        reason,
    }
}
