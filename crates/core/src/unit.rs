//! Units: their dimension, their spellings, and the search by spelling.
//!
//! ```
//! use stainbook_core::{Dimension, unit, unit_of};
//!
//! assert_eq!(unit("mg/m3")?.canonical(), "mg/m³");
//! assert_eq!(unit_of(Dimension::Pressure, "mm[Hg]")?.canonical(), "mmHg");
//! assert_eq!(unit("mgm3").unwrap_err().suggestion(), Some("mg/m³"));
//! # Ok::<(), stainbook_core::UnknownUnit>(())
//! ```

use std::fmt;

use crate::dimension::Dimension;
use crate::spelling;
use crate::unit_table::UNITS;
use crate::unknown_unit::{UnknownUnit, unknown};

/// One row of the unit table.
///
/// A value `v` in this unit is `(v − offset) · factor / divisor` in the base unit of its dimension. Factor and
/// divisor are kept apart because 1/1000 has no exact binary form and 1000 has: 35 ppb is then exactly 0.035 ppm.
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
    /// Dimension of the unit. The same spelling may stand for two dimensions (`%`, `°C`, `g/m³`): each is a row.
    pub const fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// The spelling to print.
    pub const fn canonical(&self) -> &'static str {
        self.canonical
    }

    /// The spelling to print behind a number: `1 day`, but `2 days` and `1.0 days`.
    pub fn canonical_after(&self, number: &str) -> &'static str {
        match self.canonical.strip_suffix('s') {
            Some(singular)
                if 1 < singular.len() && number == "1" && self.dimension == Dimension::Duration =>
            {
                singular
            }
            _ => self.canonical,
        }
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

    /// Source of the factor.
    pub const fn source(&self) -> &'static str {
        self.source
    }

    /// A number in this unit as a number in the base unit of the dimension.
    #[inline]
    pub const fn to_base(&self, value: f64) -> f64 {
        (value - self.offset) * self.factor / self.divisor
    }

    /// A number in the base unit of the dimension as a number in this unit.
    #[inline]
    pub const fn from_base(&self, base: f64) -> f64 {
        base * self.divisor / self.factor + self.offset
    }

    /// A step (a half of the last digit, an uncertainty) in this unit as a step in the base unit: no offset.
    #[inline]
    pub const fn step_to_base(&self, step: f64) -> f64 {
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

/// The spelling and the dimension: the whole row, with all its spellings, would drown the message that it stands in.
impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({:?}, {:?})", self.canonical, self.dimension)
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.canonical)
    }
}

/// The unit with this spelling, whatever it measures.
///
/// Of several dimensions that a spelling stands for, the first in the order of [`Dimension::WITH_UNITS`] is given: `%`
/// is then a volume fraction and `°C` a temperature. Ask [`unit_of`] when the dimension is known.
///
/// # Errors
///
/// [`UnknownUnit`] with the nearest unit, if there is one.
///
/// # Example
///
/// ```
/// use stainbook_core::unit;
///
/// assert_eq!(unit("mg/m3")?.canonical(), "mg/m³");
/// assert!(unit("mg/m2").is_err());
/// # Ok::<(), stainbook_core::UnknownUnit>(())
/// ```
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
    known_unit(dimension, spelling).ok_or_else(|| unknown(spelling.trim(), Some(dimension)))
}

/// The same without a word about what else may be meant, where a text need not be a unit at all.
///
/// # Example
///
/// ```
/// use stainbook_core::{Dimension, known_unit};
/// assert!(known_unit(Dimension::VolumeFraction, "ppm").is_some());
/// assert!(known_unit(Dimension::VolumeFraction, "strokes").is_none());
/// ```
pub fn known_unit(dimension: Dimension, spelling: &str) -> Option<&'static Unit> {
    spelling::find(dimension.members(), spelling.trim())
}

/// The whole unit table, in its order.
pub fn units() -> &'static [Unit] {
    &UNITS
}
