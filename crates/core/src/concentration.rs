//! Concentration in air: a volume fraction or a mass concentration, never one for the other.

use std::cmp::Ordering;
use std::fmt;

use crate::{Dimension, MassConcentration, Quantity, QuantityError, Unit, VolumeFraction};

/// A concentration as a sheet or a limit may state it: a volume fraction or a mass concentration.
///
/// The two are not comparable without a molar mass and conditions: comparing them gives `None`.
///
/// # Example
///
/// ```
/// use stainbook_core::{Concentration, Written};
///
/// let a: Written<Concentration> = "25 ppm".parse()?;
/// let b: Written<Concentration> = "25 mg/m3".parse()?;
/// assert!(a.value().volume_fraction().is_some());
/// assert_eq!(a.value().partial_cmp(&b.value()), None);
/// # Ok::<(), stainbook_core::WrittenError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Concentration {
    /// Amount of the gas per amount of air.
    VolumeFraction(VolumeFraction),
    /// Mass of the substance per volume of air.
    MassConcentration(MassConcentration),
}

impl Concentration {
    /// The volume fraction, if it is one.
    pub const fn volume_fraction(self) -> Option<VolumeFraction> {
        match self {
            Self::VolumeFraction(x) => Some(x),
            Self::MassConcentration(_) => None,
        }
    }

    /// The mass concentration, if it is one.
    pub const fn mass_concentration(self) -> Option<MassConcentration> {
        match self {
            Self::MassConcentration(c) => Some(c),
            Self::VolumeFraction(_) => None,
        }
    }

    /// Dimension of its kind.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::VolumeFraction(_) => Dimension::VolumeFraction,
            Self::MassConcentration(_) => Dimension::MassConcentration,
        }
    }
}

impl Concentration {
    /// The unit that its kind is kept and printed in.
    pub const fn base_unit(self) -> &'static Unit {
        match self {
            Self::VolumeFraction(_) => VolumeFraction::base_unit(),
            Self::MassConcentration(_) => MassConcentration::base_unit(),
        }
    }
}

impl Quantity for Concentration {
    const DIMENSION: Dimension = Dimension::Concentration;
    const NAME: &'static str = "concentration";

    fn from_unit(value: f64, unit: &'static Unit) -> Result<Self, QuantityError> {
        match unit.dimension() {
            Dimension::VolumeFraction => {
                VolumeFraction::from_unit(value, unit).map(Self::VolumeFraction)
            }
            Dimension::MassConcentration => {
                MassConcentration::from_unit(value, unit).map(Self::MassConcentration)
            }
            _ => Err(QuantityError::WrongUnit {
                quantity: Self::NAME,
                unit,
            }),
        }
    }

    fn in_unit(self, unit: &'static Unit) -> f64 {
        match self {
            Self::VolumeFraction(x) => x.in_unit(unit),
            Self::MassConcentration(c) => c.in_unit(unit),
        }
    }
}

/// In the unit that its kind is kept in.
impl fmt::Display for Concentration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::VolumeFraction(x) => x.fmt(f),
            Self::MassConcentration(c) => c.fmt(f),
        }
    }
}

crate::quantity::text!(Concentration, concentration => concentration.base_unit());

impl PartialOrd for Concentration {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        match (self, other) {
            (Self::VolumeFraction(a), Self::VolumeFraction(b)) => a.partial_cmp(b),
            (Self::MassConcentration(a), Self::MassConcentration(b)) => a.partial_cmp(b),
            _ => None,
        }
    }
}

impl From<VolumeFraction> for Concentration {
    fn from(x: VolumeFraction) -> Self {
        Self::VolumeFraction(x)
    }
}

impl From<MassConcentration> for Concentration {
    fn from(c: MassConcentration) -> Self {
        Self::MassConcentration(c)
    }
}
