//! The units in which this crate's own numbers are the numbers of `uom`, without a factor between them: g/mol, L/mol, kPa, K
//! and J/(mol·K).
//!
//! `uom` keeps SI base values, and a factor there and back turns 25 ppm into 24.999999999999996. Its formulas are written for
//! any coherent base units, so here are those in which nothing is scaled: the decimetre, the gram, the kelvin, the mole, and a
//! time that makes the kPa the unit of pressure. No number is ever given in that time. The kPa·L is the joule, so the gas
//! constant is as it is printed; a test lets `uom` itself convert each of them.

use std::marker::PhantomData;

use uom::si::{Dimension, Quantity, Units};
use uom::si::{
    amount_of_substance::mole, electric_current::ampere, length::decimeter,
    luminous_intensity::candela, mass::gram, mass_density, molar_heat_capacity, molar_mass,
    molar_volume, pressure, thermodynamic_temperature, thermodynamic_temperature::kelvin,
};

use crate::constants::GAS_CONSTANT;
use crate::{MolarMass, MolarVolume, Pressure, Temperature};

/// The base units.
pub(crate) type LitreGram = dyn Units<
        f64,
        length = decimeter,
        mass = gram,
        time = KilopascalTime,
        electric_current = ampere,
        thermodynamic_temperature = kelvin,
        amount_of_substance = mole,
        luminous_intensity = candela,
    >;

pub(crate) type TypedDensity = mass_density::MassDensity<LitreGram, f64>;
pub(crate) type TypedMolarMass = molar_mass::MolarMass<LitreGram, f64>;
pub(crate) type TypedMolarVolume = molar_volume::MolarVolume<LitreGram, f64>;
pub(crate) type TypedPressure = pressure::Pressure<LitreGram, f64>;
pub(crate) type TypedTemperature =
    thermodynamic_temperature::ThermodynamicTemperature<LitreGram, f64>;
pub(crate) type TypedGasConstant = molar_heat_capacity::MolarHeatCapacity<LitreGram, f64>;

/// The time in which the gram over decimetre and time squared is the kPa: `√(1 g / (1 dm · 1 kPa))`, 3.16 ms.
#[derive(Debug, Clone, Copy)]
pub(crate) struct KilopascalTime;

impl uom::si::Unit for KilopascalTime {
    fn abbreviation() -> &'static str {
        "√(g/(dm·kPa))"
    }

    fn singular() -> &'static str {
        "root of a gram per decimetre and kilopascal"
    }

    fn plural() -> &'static str {
        "roots of a gram per decimetre and kilopascal"
    }
}

impl uom::Conversion<f64> for KilopascalTime {
    type T = f64;

    fn coefficient() -> f64 {
        1e-5_f64.sqrt()
    }
}

/// A number that is in these units already.
pub(crate) const fn typed<D: Dimension + ?Sized>(value: f64) -> Quantity<D, LitreGram, f64> {
    Quantity {
        dimension: PhantomData,
        units: PhantomData,
        value,
    }
}

/// The molar gas constant.
pub(crate) const R: TypedGasConstant = typed(GAS_CONSTANT);

impl Temperature {
    pub(crate) fn typed(self) -> TypedTemperature {
        typed(self.kelvin())
    }
}

impl Pressure {
    pub(crate) fn typed(self) -> TypedPressure {
        typed(self.kilopascals())
    }
}

impl MolarMass {
    pub(crate) fn typed(self) -> TypedMolarMass {
        typed(self.g_per_mol())
    }
}

impl MolarVolume {
    pub(crate) fn typed(self) -> TypedMolarVolume {
        typed(self.l_per_mol())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `uom` multiplies by powers of the base units' coefficients, each of them rounded.
    fn near(found: f64, expected: f64) {
        assert!(
            (found / expected - 1.0).abs() < 16.0 * f64::EPSILON,
            "{found} {expected}"
        );
    }

    #[test]
    fn uom_itself_finds_that_nothing_is_scaled() {
        let m: TypedMolarMass = typed(28.01);
        near(m.get::<molar_mass::gram_per_mole>(), 28.01);
        let v: TypedMolarVolume = typed(24.465);
        near(v.get::<molar_volume::cubic_decimeter_per_mole>(), 24.465);
        let p: TypedPressure = typed(101.325);
        near(p.get::<pressure::kilopascal>(), 101.325);
        let t: TypedTemperature = typed(293.15);
        near(t.get::<thermodynamic_temperature::kelvin>(), 293.15);
        near(
            R.get::<molar_heat_capacity::joule_per_kelvin_mole>(),
            GAS_CONSTANT,
        );
        let d: TypedDensity = typed(1.145);
        near(d.get::<mass_density::kilogram_per_cubic_meter>(), 1.145);
    }
}
