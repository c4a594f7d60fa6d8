//! Concentration in air: a volume fraction or a mass concentration, never one for the other.

use crate::quantity::either;
use crate::{MassConcentration, VolumeFraction};

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

either! {
    Concentration, Concentration, "concentration";
    VolumeFraction(VolumeFraction) in VolumeFraction, volume_fraction "volume fraction";
    MassConcentration(MassConcentration) in MassConcentration, mass_concentration "mass concentration";
}
