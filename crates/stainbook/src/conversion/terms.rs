//! Terms of a conversion, beside the value.

use stainbook_core::{Altitude, Basis, Humidity, MolarMass, Pressure, Temperature, Written};
use stainbook_present::conversion::SubstanceUsed;

/// The gas: its molar mass, and which it is if that is known.
#[derive(Clone, Debug, PartialEq)]
pub enum Gas {
    /// A substance of a catalog, its molar mass computed from its formula.
    Known {
        /// The substance.
        substance: SubstanceUsed,
        /// Its molar mass.
        molar_mass: MolarMass,
    },
    /// Only a molar mass, as typed.
    OfMolarMass(Written<MolarMass>),
}

/// The pressure, or what stands in for it.
#[derive(Clone, Debug, PartialEq)]
pub enum PressureGiven {
    /// The pressure at the place itself.
    Station(Written<Pressure>),
    /// The altitude, from which the standard atmosphere gives a pressure.
    Altitude(Written<Altitude>),
    /// The pressure of a weather report, which is reduced to sea level, and the altitude to which it is brought by the
    /// temperature of the air.
    SeaLevel {
        /// The pressure as reported.
        pressure: Written<Pressure>,
        /// The altitude of the place.
        altitude: Written<Altitude>,
    },
}

/// Treatment of conditions that can be and in which nobody works, such as 1,013 kPa. The bounds are those of
/// [`plausible_air`](stainbook_core::plausible_air); those of pressures hold for the conditions of a survey as well.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ImplausibleConditions {
    /// Refused, with a code that begins with `implausible-`.
    #[default]
    Refuse,
    /// Taken as right, and named among the assumptions.
    Accept,
}

/// Conditions that a catalog states for whoever does not state any.
#[derive(Clone, Debug, PartialEq)]
pub struct ReferenceConditions {
    /// The temperature.
    pub temperature: Written<Temperature>,
    /// The pressure.
    pub pressure: Written<Pressure>,
}

/// Terms of a conversion, beside the value: nothing of it is guessed where it is missing and needed.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Terms {
    /// The gas.
    pub gas: Option<Gas>,
    /// The temperature.
    pub temperature: Option<Written<Temperature>>,
    /// The pressure or the altitude.
    pub pressure: Option<PressureGiven>,
    /// Treatment of implausible conditions, where conditions are needed; refused if nothing is said.
    pub implausible: ImplausibleConditions,
    /// The humidity, where the volume fraction is of dry air.
    pub humidity: Option<Written<Humidity>>,
    /// Basis of the volume fraction; the air as it is if nothing is said.
    pub basis: Option<Basis>,
    /// The catalog's reference conditions, for whoever does not state any.
    pub reference: Option<ReferenceConditions>,
    /// The catalog, in words.
    pub catalog: String,
}
