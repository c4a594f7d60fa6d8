//! The ideal gas in typed quantities: molar volume, density, and the density of a vapour.
//!
//! The formulas stand in the quantities of the crate `uom`, whose types carry the dimension, so that two arguments that are
//! exchanged do not compile, inside a formula as little as outside. They hold in any coherent units; the gas constant is given
//! in the same ones. All that this crate converts ([`convert`](crate::convert), [`Converter`](crate::Converter),
//! [`MolarVolume::of_ideal_gas`](crate::MolarVolume::of_ideal_gas), [`humidity`](crate::humidity)) goes through them.
//!
//! `uom` is not the guard of a value, only of a dimension: it holds −300 °C and NaN. For whoever has `uom` quantities,
//! [`uom_interop`](crate::uom_interop) has the checked way to ours.
//!
//! # Example
//!
//! ```
//! use stainbook_core::{constants::GAS_CONSTANT, ideal_gas};
//! use uom::si::f64::{MolarHeatCapacity, MolarMass, Pressure, ThermodynamicTemperature};
//! use uom::si::{mass_density::gram_per_cubic_meter, molar_heat_capacity::joule_per_kelvin_mole, molar_mass::gram_per_mole};
//! use uom::si::{molar_volume::cubic_decimeter_per_mole, pressure::hectopascal, thermodynamic_temperature::degree_celsius};
//!
//! let r = MolarHeatCapacity::new::<joule_per_kelvin_mole>(GAS_CONSTANT);
//! let t = ThermodynamicTemperature::new::<degree_celsius>(25.0);
//! let p = Pressure::new::<hectopascal>(1013.25);
//! let vm = ideal_gas::molar_volume(r, t, p);
//! assert_eq!(format!("{:.3}", vm.get::<cubic_decimeter_per_mole>()), "24.465");
//! let co = MolarMass::new::<gram_per_mole>(28.010);
//! assert_eq!(format!("{:.0}", ideal_gas::density(co, vm).get::<gram_per_cubic_meter>()), "1145");
//! ```
//!
//! Pressure and temperature exchanged:
//!
//! ```compile_fail,E0308
//! use stainbook_core::ideal_gas;
//! use uom::si::f64::{MolarHeatCapacity, MolarVolume, Pressure, ThermodynamicTemperature};
//! fn exchanged(r: MolarHeatCapacity, t: ThermodynamicTemperature, p: Pressure) -> MolarVolume {
//!     ideal_gas::molar_volume(r, p, t)
//! }
//! ```
//!
//! And within the formula itself:
//!
//! ```compile_fail,E0308
//! use uom::si::f64::{MolarHeatCapacity, MolarVolume, Pressure, ThermodynamicTemperature};
//! fn exchanged(r: MolarHeatCapacity, t: ThermodynamicTemperature, p: Pressure) -> MolarVolume {
//!     r * p / t
//! }
//! ```
//!
//! Molar volume and molar mass exchanged:
//!
//! ```compile_fail,E0308
//! use stainbook_core::ideal_gas;
//! use uom::si::f64::{MassDensity, MolarMass, MolarVolume};
//! fn exchanged(molar_mass: MolarMass, molar_volume: MolarVolume) -> MassDensity {
//!     ideal_gas::density(molar_volume, molar_mass)
//! }
//! ```
//!
//! And within the formula itself:
//!
//! ```compile_fail,E0308
//! use uom::si::f64::{MassDensity, MolarMass, MolarVolume};
//! fn exchanged(molar_mass: MolarMass, molar_volume: MolarVolume) -> MassDensity {
//!     molar_volume / molar_mass
//! }
//! ```

use uom::si::Units;
use uom::si::mass_density::MassDensity;
use uom::si::molar_heat_capacity::MolarHeatCapacity;
use uom::si::molar_mass::MolarMass;
use uom::si::molar_volume::MolarVolume;
use uom::si::pressure::Pressure;
use uom::si::thermodynamic_temperature::ThermodynamicTemperature;

/// Molar volume of an ideal gas, `Vm = R·T/p`.
///
/// Any temperature and pressure above zero.
#[inline]
pub fn molar_volume<U: Units<f64> + ?Sized>(
    gas_constant: MolarHeatCapacity<U, f64>,
    temperature: ThermodynamicTemperature<U, f64>,
    pressure: Pressure<U, f64>,
) -> MolarVolume<U, f64> {
    gas_constant * temperature / pressure
}

/// Density of a pure ideal gas, `ρ = M/Vm`.
///
/// Each millionth of the volume that a gas takes in air is a millionth of this as mass in the volume of the air: the number of
/// g/L is the number of mg/m³ that 1 ppm is.
#[inline]
pub fn density<U: Units<f64> + ?Sized>(
    molar_mass: MolarMass<U, f64>,
    molar_volume: MolarVolume<U, f64>,
) -> MassDensity<U, f64> {
    molar_mass / molar_volume
}

/// Density of a vapour of this partial pressure, `ρ = p·M/(R·T)`.
#[inline]
pub fn vapour_density<U: Units<f64> + ?Sized>(
    gas_constant: MolarHeatCapacity<U, f64>,
    temperature: ThermodynamicTemperature<U, f64>,
    pressure: Pressure<U, f64>,
    molar_mass: MolarMass<U, f64>,
) -> MassDensity<U, f64> {
    pressure * molar_mass / (gas_constant * temperature)
}
