//! Bounds of the air in which people work, to tell a slip of the unit from a measurement: `1013 kPa` for `1013 hPa`.
//!
//! Nothing in this crate refuses what lies outside, as it can be; whoever takes quantities from people asks. Each pair is the
//! lowest and the highest.

/// Temperature of the air in °C: between the coldest and the hottest air that a hand pump is used in. Common practice, no
/// source.
pub const TEMPERATURE_CELSIUS: (f64, f64) = (-40.0, 70.0);

/// Pressure at the place itself in kPa: air above 5,500 m, and mines deeper than 2,000 m, are beyond what a tube is used in.
/// Common practice, no source.
pub const STATION_PRESSURE_KPA: (f64, f64) = (50.0, 130.0);

/// The lowest and highest sea-level pressure that was ever reported, in kPa: 870 hPa and 1,085 hPa, from memory.
pub const SEA_LEVEL_PRESSURE_KPA: (f64, f64) = (87.0, 108.5);

/// True if a number lies within a pair of bounds of this module, which are within themselves.
///
/// # Example
///
/// ```
/// use stainbook_core::Pressure;
/// use stainbook_core::plausible_air::{STATION_PRESSURE_KPA, within};
///
/// assert!(within(Pressure::from_hectopascals(1013.0)?.kilopascals(), STATION_PRESSURE_KPA));
/// assert!(!within(1013.0, STATION_PRESSURE_KPA));
/// assert!(!within(f64::NAN, STATION_PRESSURE_KPA));
/// # Ok::<(), stainbook_core::QuantityError>(())
/// ```
pub fn within(number: f64, (low, high): (f64, f64)) -> bool {
    low <= number && number <= high
}
