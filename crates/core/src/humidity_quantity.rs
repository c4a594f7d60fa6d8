//! Water in the air: relative or absolute humidity, never one for the other.

use std::cmp::Ordering;

use crate::{AbsoluteHumidity, Dimension, Quantity, QuantityError, RelativeHumidity, Unit};

/// A humidity as a sheet may state it: relative to saturation, or as mass per volume.
///
/// The two are not comparable without a temperature: comparing them gives `None`.
///
/// # Example
///
/// ```
/// use stainbook_core::{Humidity, Written};
///
/// let a: Written<Humidity> = "50 % RH".parse()?;
/// let b: Written<Humidity> = "12 mg/L".parse()?;
/// assert!(a.value().relative().is_some());
/// assert_eq!(a.value().partial_cmp(&b.value()), None);
/// # Ok::<(), stainbook_core::WrittenError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Humidity {
    /// Water vapour pressure as a share of saturation.
    Relative(RelativeHumidity),
    /// Mass of water vapour per volume of air.
    Absolute(AbsoluteHumidity),
}

impl Humidity {
    /// The relative humidity, if it is one.
    pub const fn relative(self) -> Option<RelativeHumidity> {
        match self {
            Self::Relative(h) => Some(h),
            Self::Absolute(_) => None,
        }
    }

    /// The absolute humidity, if it is one.
    pub const fn absolute(self) -> Option<AbsoluteHumidity> {
        match self {
            Self::Absolute(c) => Some(c),
            Self::Relative(_) => None,
        }
    }

    /// Which of the two it is.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Relative(_) => Dimension::RelativeHumidity,
            Self::Absolute(_) => Dimension::AbsoluteHumidity,
        }
    }
}

impl Quantity for Humidity {
    const DIMENSION: Dimension = Dimension::Humidity;
    const NAME: &'static str = "humidity";

    fn from_unit(value: f64, unit: &'static Unit) -> Result<Self, QuantityError> {
        match unit.dimension() {
            Dimension::RelativeHumidity => {
                RelativeHumidity::from_unit(value, unit).map(Self::Relative)
            }
            Dimension::AbsoluteHumidity => {
                AbsoluteHumidity::from_unit(value, unit).map(Self::Absolute)
            }
            _ => Err(QuantityError::WrongUnit {
                quantity: Self::NAME,
                unit,
            }),
        }
    }

    fn in_unit(self, unit: &'static Unit) -> f64 {
        match self {
            Self::Relative(h) => h.in_unit(unit),
            Self::Absolute(c) => c.in_unit(unit),
        }
    }
}

impl PartialOrd for Humidity {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        match (self, other) {
            (Self::Relative(a), Self::Relative(b)) => a.partial_cmp(b),
            (Self::Absolute(a), Self::Absolute(b)) => a.partial_cmp(b),
            _ => None,
        }
    }
}

impl From<RelativeHumidity> for Humidity {
    fn from(h: RelativeHumidity) -> Self {
        Self::Relative(h)
    }
}

impl From<AbsoluteHumidity> for Humidity {
    fn from(c: AbsoluteHumidity) -> Self {
        Self::Absolute(c)
    }
}
