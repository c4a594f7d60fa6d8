//! Volume fractions of dry and of humid air, kept apart by their types.

use std::fmt;

use crate::VolumeFraction;
use crate::quantity::QuantityError;

/// Air that a volume fraction is a part of: dry or humid.
///
/// Water vapour takes room: at 35 °C and saturation a fraction of the humid air is about 5.5 % lower than the same gas as
/// a fraction of the dry air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Of the air as if its water vapour were taken out.
    Dry,
    /// Of the air as it is.
    Humid,
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Dry => "of dry air",
            Self::Humid => "of humid air",
        })
    }
}

/// A volume fraction of dry air.
///
/// A fraction of dry air is not one of humid air; only the water between them turns one into the other:
///
/// ```compile_fail,E0308
/// use stainbook_core::{DryVolumeFraction, HumidVolumeFraction, VolumeFraction};
/// let dry = DryVolumeFraction::new(VolumeFraction::from_ppm(25.0).unwrap());
/// let humid: HumidVolumeFraction = dry;
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct DryVolumeFraction {
    fraction: VolumeFraction,
}

/// A volume fraction of humid air.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct HumidVolumeFraction {
    fraction: VolumeFraction,
}

impl DryVolumeFraction {
    /// Takes a volume fraction as one of dry air.
    pub const fn new(fraction: VolumeFraction) -> Self {
        Self { fraction }
    }

    /// The bare volume fraction.
    pub const fn volume_fraction(self) -> VolumeFraction {
        self.fraction
    }

    /// The same gas as a fraction of humid air, in which `water` is the volume fraction of water vapour.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{DryVolumeFraction, VolumeFraction};
    ///
    /// let dry = DryVolumeFraction::new(VolumeFraction::from_ppm(100.0)?);
    /// let humid = dry.to_humid(VolumeFraction::from_percent(5.5)?);
    /// assert_eq!(format!("{:.1}", humid.volume_fraction().ppm()), "94.5");
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    pub fn to_humid(self, water: VolumeFraction) -> HumidVolumeFraction {
        let dry_part = 1.0 - water.mole_fraction();
        HumidVolumeFraction {
            fraction: VolumeFraction::of_ppm(self.fraction.ppm() * dry_part),
        }
    }
}

impl HumidVolumeFraction {
    /// Takes a volume fraction as one of humid air.
    pub const fn new(fraction: VolumeFraction) -> Self {
        Self { fraction }
    }

    /// The bare volume fraction.
    pub const fn volume_fraction(self) -> VolumeFraction {
        self.fraction
    }

    /// The same gas as a fraction of dry air, when `water` is the volume fraction of water vapour in the humid air.
    ///
    /// # Errors
    ///
    /// [`QuantityError`]: gas and water together would be more than the whole, or the air is nothing but water.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{HumidVolumeFraction, VolumeFraction};
    ///
    /// let humid = HumidVolumeFraction::new(VolumeFraction::from_ppm(49.0)?);
    /// let dry = humid.to_dry(VolumeFraction::from_ppm(20_000.0)?)?;
    /// assert!((dry.volume_fraction().ppm() - 50.0).abs() < 1e-9);
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    pub fn to_dry(self, water: VolumeFraction) -> Result<DryVolumeFraction, QuantityError> {
        let dry_part = 1.0 - water.mole_fraction();
        VolumeFraction::from_ppm(self.fraction.ppm() / dry_part)
            .map(|fraction| DryVolumeFraction { fraction })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::convert::THERE_AND_BACK;

    #[test]
    fn more_gas_than_dry_air_is_refused() {
        let gas = HumidVolumeFraction::new(VolumeFraction::from_percent(60.0).unwrap());
        assert!(
            gas.to_dry(VolumeFraction::from_percent(50.0).unwrap())
                .is_err()
        );
        assert!(
            gas.to_dry(VolumeFraction::from_percent(100.0).unwrap())
                .is_err()
        );
    }

    proptest! {
        #[test]
        fn there_and_back(ppm in 0.0..5e5_f64, water in 0.0..50.0_f64) {
            let dry = DryVolumeFraction::new(VolumeFraction::from_ppm(ppm).unwrap());
            let water = VolumeFraction::from_percent(water).unwrap();
            let back = dry.to_humid(water).to_dry(water).unwrap().volume_fraction().ppm();
            prop_assert!((back - ppm).abs() <= THERE_AND_BACK * ppm);
            prop_assert!(dry.to_humid(water).volume_fraction() <= dry.volume_fraction());
        }
    }
}
