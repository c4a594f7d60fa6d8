//! Between volume fraction and mass concentration.
//!
//! `c [mg/m³] = x [ppm] · M [g/mol] / Vm [L/mol]` with `Vm = R·T/p`. The molar mass and the conditions are always both
//! asked for:
//!
//! ```compile_fail,E0061
//! use stainbook_core::{MolarMass, VolumeFraction, convert};
//! let x = VolumeFraction::from_ppm(25.0).unwrap();
//! let m = MolarMass::from_g_per_mol(28.01).unwrap();
//! let c = convert::mass_concentration(x, m); // without conditions
//! ```
//!
//! ```compile_fail,E0061
//! use stainbook_core::{Conditions, VolumeFraction, convert};
//! let x = VolumeFraction::from_ppm(25.0).unwrap();
//! let c = convert::mass_concentration(x, Conditions::at_25_celsius()); // without molar mass
//! ```
//!
//! ```compile_fail,E0308
//! use stainbook_core::{Conditions, MassFraction, MolarMass, convert};
//! let by_mass = MassFraction::from_mg_per_kg(25.0).unwrap(); // ppm by mass is another quantity
//! let m = MolarMass::from_g_per_mol(28.01).unwrap();
//! let c = convert::mass_concentration(by_mass, m, Conditions::at_25_celsius());
//! ```

use std::fmt;

use uom::si::ratio::Ratio;

use crate::constants::ZERO_CELSIUS_IN_KELVIN;
use crate::dimension::Dimension;
use crate::litre_gram::{LitreGram, TypedDensity, typed};
use crate::quantity::QuantityError;
use crate::unit::Unit;
use crate::{Conditions, MassConcentration, MolarMass, MolarVolume, VolumeFraction, ideal_gas};

/// Largest relative difference of a value that comes back from a conversion there and back: four units in the last place of
/// an `f64`, 8.9e-16.
///
/// The worst of 20 million random conversions (1e-9 to 8e5 ppm, 1 to 500 g/mol, −80 to 200 °C, 10 to 200 kPa) was two units,
/// 4.4e-16; there and back is four roundings of half a unit each. The property tests hold every conversion to this bound.
pub const THERE_AND_BACK: f64 = 4.0 * f64::EPSILON;

/// The mass concentration that a volume fraction of a gas is at these conditions.
///
/// # Example
///
/// ```
/// use stainbook_core::{Conditions, MolarMass, VolumeFraction, convert};
///
/// let c = convert::mass_concentration(
///     VolumeFraction::from_ppm(25.0)?,
///     MolarMass::from_g_per_mol(28.010)?,
///     Conditions::at_25_celsius(),
/// );
/// assert_eq!(format!("{:.1}", c.mg_per_m3()), "28.6");
/// # Ok::<(), stainbook_core::QuantityError>(())
/// ```
pub fn mass_concentration(
    x: VolumeFraction,
    molar_mass: MolarMass,
    conditions: Conditions,
) -> MassConcentration {
    let molar_volume = MolarVolume::of_ideal_gas(conditions);
    // So many ppm of a density in g/L is so many mg/m³.
    let density = ideal_gas::density(x.ppm() * molar_mass.typed(), molar_volume.typed());
    MassConcentration::of_mg_per_m3(density.value)
}

/// The volume fraction that a mass concentration of a gas is at these conditions.
///
/// # Errors
///
/// [`QuantityError::AboveWhole`]: so much of it does not fit into the air at these conditions.
///
/// # Example
///
/// ```
/// use stainbook_core::{Conditions, MassConcentration, MolarMass, convert};
///
/// let x = convert::volume_fraction(
///     MassConcentration::from_mg_per_m3(27.0)?,
///     MolarMass::from_g_per_mol(17.031)?,
///     Conditions::at_20_celsius(),
/// )?;
/// assert_eq!(format!("{:.1}", x.ppm()), "38.1");
/// # Ok::<(), stainbook_core::QuantityError>(())
/// ```
pub fn volume_fraction(
    c: MassConcentration,
    molar_mass: MolarMass,
    conditions: Conditions,
) -> Result<VolumeFraction, QuantityError> {
    let molar_volume = MolarVolume::of_ideal_gas(conditions);
    // mg/m³ over the g/L of the pure gas is ppm.
    let c: TypedDensity = typed(c.mg_per_m3());
    let share: Ratio<LitreGram, f64> = c * molar_volume.typed() / molar_mass.typed();
    VolumeFraction::from_ppm(share.value)
}

/// The mass concentration of the same air brought to other conditions: the mole ratio stays, the mass per volume goes
/// with the density.
///
/// # Example
///
/// ```
/// use stainbook_core::{Conditions, MassConcentration, convert};
///
/// let stated = MassConcentration::from_mg_per_m3(100.0)?;
/// let europe = convert::at_conditions(stated, Conditions::at_25_celsius(), Conditions::at_20_celsius());
/// assert_eq!(format!("{:.1}", europe.mg_per_m3()), "101.7");
/// # Ok::<(), stainbook_core::QuantityError>(())
/// ```
pub fn at_conditions(c: MassConcentration, from: Conditions, to: Conditions) -> MassConcentration {
    let before = MolarVolume::of_ideal_gas(from).typed();
    let after = MolarVolume::of_ideal_gas(to).typed();
    let c: TypedDensity = typed(c.mg_per_m3());
    let c: TypedDensity = c * before / after;
    MassConcentration::of_mg_per_m3(c.value)
}

/// A conversion between two units, worked out once and then applied to many numbers.
///
/// [`Converter::apply_unchecked`] is one multiplication and one addition, allocates nothing and checks nothing, and
/// [`Converter::apply_unchecked_all`] does it to a column; [`Converter::apply_checked`] refuses what cannot be.
///
/// # Example
///
/// ```
/// use stainbook_core::{Conditions, Converter, MolarMass, unit};
///
/// let co = MolarMass::from_g_per_mol(28.010)?;
/// let to_mass = Converter::new(unit("ppm")?, unit("mg/m3")?, co, Conditions::at_25_celsius())?;
/// assert_eq!(format!("{:.2}", to_mass.apply_unchecked(25.0)), "28.62");
/// assert!(to_mass.apply_checked(-1.0).is_err());
///
/// let mut masses = [0.0; 3];
/// to_mass.apply_unchecked_all(&[0.0, 1.0, 25.0], &mut masses)?;
/// assert_eq!(masses[2], to_mass.apply_unchecked(25.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Converter {
    from: &'static Unit,
    to: &'static Unit,
    factor: f64,
    offset: f64,
    smallest: f64,
    largest: f64,
}

impl Converter {
    /// A conversion between two units of concentration.
    ///
    /// # Errors
    ///
    /// [`ConvertError`]: one of the units is of neither volume fraction nor mass concentration.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Conditions, Converter, MolarMass, unit};
    ///
    /// let ammonia = MolarMass::from_g_per_mol(17.031)?;
    /// let to_ppm = Converter::new(unit("mg/m3")?, unit("ppm")?, ammonia, Conditions::at_20_celsius())?;
    /// assert_eq!(format!("{:.1}", to_ppm.apply_checked(27.0)?), "38.1");
    /// assert!(Converter::new(unit("mg/m3")?, unit("kPa")?, ammonia, Conditions::at_20_celsius()).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn new(
        from: &'static Unit,
        to: &'static Unit,
        molar_mass: MolarMass,
        conditions: Conditions,
    ) -> Result<Self, ConvertError> {
        let molar_volume = MolarVolume::of_ideal_gas(conditions);
        // Each ppm of a gas is as many mg/m³ as the pure gas has g/L.
        let per_ppm = ideal_gas::density(molar_mass.typed(), molar_volume.typed()).value;
        let factor = match (from.dimension(), to.dimension()) {
            (Dimension::VolumeFraction, Dimension::VolumeFraction)
            | (Dimension::MassConcentration, Dimension::MassConcentration) => 1.0,
            (Dimension::VolumeFraction, Dimension::MassConcentration) => per_ppm,
            (Dimension::MassConcentration, Dimension::VolumeFraction) => 1.0 / per_ppm,
            _ => return Err(ConvertError { from, to }),
        };
        // The largest volume fraction is the whole; what that is as a mass depends on the gas.
        let whole = match from.dimension() {
            Dimension::VolumeFraction => from.from_base(1e6),
            _ => from.from_base(1e6 * per_ppm),
        };
        Ok(Self {
            from,
            to,
            factor: from.step_to_base(1.0) * factor * to.from_base(1.0),
            offset: 0.0,
            smallest: 0.0,
            largest: whole,
        })
    }

    /// A conversion between two units of one quantity, which needs neither molar mass nor conditions.
    ///
    /// # Errors
    ///
    /// [`ConvertError`]: the units are of two dimensions.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Converter, Dimension, unit_of};
    ///
    /// let [f, c] = [unit_of(Dimension::Temperature, "°F")?, unit_of(Dimension::Temperature, "°C")?];
    /// assert_eq!(format!("{:.1}", Converter::within_dimension(f, c)?.apply_checked(68.0)?), "20.0");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn within_dimension(from: &'static Unit, to: &'static Unit) -> Result<Self, ConvertError> {
        if from.dimension() != to.dimension() {
            return Err(ConvertError { from, to });
        }
        let (smallest, largest) = match from.dimension() {
            // Above absolute zero and above zero, not at it.
            Dimension::Temperature => (from.from_base(-ZERO_CELSIUS_IN_KELVIN).next_up(), f64::MAX),
            Dimension::Pressure | Dimension::MolarMass | Dimension::MolarVolume => {
                (f64::MIN_POSITIVE, f64::MAX)
            }
            Dimension::TemperatureDifference | Dimension::Altitude | Dimension::Ratio => {
                (f64::MIN, f64::MAX)
            }
            Dimension::VolumeFraction | Dimension::MassFraction => (0.0, from.from_base(1e6)),
            Dimension::RelativeHumidity => (0.0, from.from_base(100.0)),
            _ => (0.0, f64::MAX),
        };
        let offset = to.from_base(from.to_base(0.0));
        let factor = from.step_to_base(1.0) / to.step_to_base(1.0);
        Ok(Self {
            from,
            to,
            factor,
            offset,
            smallest,
            largest,
        })
    }

    /// The unit of what goes in.
    pub const fn from(&self) -> &'static Unit {
        self.from
    }

    /// The unit of what comes out.
    pub const fn to(&self) -> &'static Unit {
        self.to
    }

    /// Factor by which a number is multiplied.
    pub const fn factor(&self) -> f64 {
        self.factor
    }

    /// A number in the first unit as a number in the second. Nothing is checked: not a number stays one.
    #[inline]
    pub const fn apply_unchecked(&self, value: f64) -> f64 {
        value * self.factor + self.offset
    }

    /// A column of numbers in the first unit as a column in the second. Nothing is checked but the lengths.
    ///
    /// # Errors
    ///
    /// [`LengthsDiffer`]: the two columns are not of one length; nothing is written then.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Converter, unit};
    ///
    /// let to_kilopascal = Converter::within_dimension(unit("mbar")?, unit("kPa")?)?;
    /// let mut pressures = [0.0; 2];
    /// to_kilopascal.apply_unchecked_all(&[1013.25, 835.0], &mut pressures)?;
    /// assert_eq!(pressures, [101.325, 83.5]);
    /// assert!(to_kilopascal.apply_unchecked_all(&[1013.25], &mut pressures).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn apply_unchecked_all(
        &self,
        values: &[f64],
        converted: &mut [f64],
    ) -> Result<(), LengthsDiffer> {
        if values.len() != converted.len() {
            return Err(LengthsDiffer {
                values: values.len(),
                converted: converted.len(),
            });
        }
        for (value, place) in values.iter().zip(converted) {
            *place = self.apply_unchecked(*value);
        }
        Ok(())
    }

    /// A number in the first unit as a number in the second, refusing what cannot be.
    ///
    /// # Errors
    ///
    /// [`QuantityError`]: not a finite number, below zero, or more than the whole.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Conditions, Converter, MolarMass, Pressure, Temperature, unit};
    ///
    /// let conditions = Conditions::new(Temperature::from_celsius(25.0)?, Pressure::from_kilopascals(101.325)?);
    /// let converter = Converter::new(unit("ppm")?, unit("mg/m3")?, MolarMass::from_g_per_mol(28.010)?, conditions)?;
    /// assert!((converter.apply_checked(25.0)? - 28.62).abs() < 0.01);
    /// assert!(converter.apply_checked(-1.0).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[inline]
    pub fn apply_checked(&self, value: f64) -> Result<f64, QuantityError> {
        if self.smallest <= value && value <= self.largest {
            Ok(self.apply_unchecked(value))
        } else {
            Err(self.refusal(value))
        }
    }

    #[cold]
    fn refusal(&self, value: f64) -> QuantityError {
        let quantity = self.from.dimension().name();
        let unit = self.from.canonical();
        if !value.is_finite() {
            QuantityError::NotFinite { quantity }
        } else if self.largest < value {
            QuantityError::AboveWhole {
                quantity,
                value,
                unit,
                whole: self.largest,
            }
        } else if self.from.dimension() == Dimension::Temperature {
            QuantityError::BelowAbsoluteZero { value, unit }
        } else if 0.0 <= value {
            QuantityError::Zero { quantity, unit }
        } else {
            QuantityError::Negative {
                quantity,
                value,
                unit,
            }
        }
    }
}

/// Two columns, one to read and one to write, that are not of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct LengthsDiffer {
    /// Length of the column of values.
    pub values: usize,
    /// Length of the column for what they are converted to.
    pub converted: usize,
}

impl fmt::Display for LengthsDiffer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "there are `{}` values and `{}` places for them, there must be as many of both",
            self.values, self.converted
        )
    }
}

impl std::error::Error for LengthsDiffer {}

/// Two units between which there is no conversion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConvertError {
    from: &'static Unit,
    to: &'static Unit,
}

impl ConvertError {
    /// The unit of what was to be converted.
    pub const fn from(&self) -> &'static Unit {
        self.from
    }

    /// The unit that was wanted.
    pub const fn to(&self) -> &'static Unit {
        self.to
    }
}

impl fmt::Display for ConvertError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is a unit of {}, `{}` of {}: there is no conversion between them",
            self.from,
            self.from.dimension(),
            self.to,
            self.to.dimension()
        )
    }
}

impl std::error::Error for ConvertError {}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Pressure, Temperature, unit, unit_of};

    fn gas(m: f64) -> MolarMass {
        MolarMass::from_g_per_mol(m).unwrap()
    }

    fn conditions(celsius: f64, kilopascals: f64) -> Conditions {
        Conditions::new(
            Temperature::from_celsius(celsius).unwrap(),
            Pressure::from_kilopascals(kilopascals).unwrap(),
        )
    }

    #[test]
    fn one_ppm_of_carbon_monoxide() {
        for (celsius, expected) in [(0.0, "1.250"), (20.0, "1.164"), (25.0, "1.145")] {
            let c = mass_concentration(
                VolumeFraction::from_ppm(1.0).unwrap(),
                gas(28.010),
                conditions(celsius, 101.325),
            );
            assert_eq!(format!("{:.3}", c.mg_per_m3()), expected);
        }
    }

    #[test]
    fn more_than_the_whole_is_refused() {
        let c = MassConcentration::from_g_per_m3(2000.0).unwrap();
        let refused = volume_fraction(c, gas(17.031), Conditions::at_25_celsius());
        assert!(
            matches!(refused, Err(QuantityError::AboveWhole { .. })),
            "{refused:?}"
        );
    }

    #[test]
    fn the_converter_refuses_other_dimensions_and_impossible_values() {
        let m = gas(28.01);
        let here = Conditions::at_25_celsius();
        let error =
            Converter::new(unit("ppm").unwrap(), unit("mg/kg").unwrap(), m, here).unwrap_err();
        assert_eq!(
            error.to_string(),
            "`ppm` is a unit of volume fraction, `mg/kg` of mass fraction: there is no conversion between them"
        );
        let converter =
            Converter::new(unit("ppm").unwrap(), unit("mg/m³").unwrap(), m, here).unwrap();
        for impossible in [f64::NAN, f64::INFINITY, -1e-9, 1_000_001.0] {
            assert!(converter.apply_checked(impossible).is_err(), "{impossible}");
        }
        let mmhg = unit("mmHg").unwrap();
        let back = Converter::within_dimension(mmhg, unit("kPa").unwrap()).unwrap();
        assert!((back.apply_unchecked(760.0) - 101.325).abs() < 2e-5);
        let f = unit_of(Dimension::Temperature, "°F").unwrap();
        let c = unit_of(Dimension::Temperature, "°C").unwrap();
        let f_to_c = Converter::within_dimension(f, c).unwrap();
        assert!((f_to_c.apply_unchecked(212.0) - 100.0).abs() < 1e-12);
        for cold in [-500.0, -459.67] {
            assert!(
                matches!(
                    f_to_c.apply_checked(cold),
                    Err(QuantityError::BelowAbsoluteZero { .. })
                ),
                "{cold}"
            );
        }
        assert!(matches!(
            back.apply_checked(0.0),
            Err(QuantityError::Zero { .. })
        ));
        assert!(matches!(
            back.apply_checked(-1.0),
            Err(QuantityError::Negative { .. })
        ));
        // 28.01 g/mol at 24.465 L/mol: a cubic metre holds at most 1145 g.
        let grams = Converter::new(unit("g/m³").unwrap(), unit("ppm").unwrap(), m, here).unwrap();
        assert!(grams.apply_checked(1144.0).is_ok());
        assert!(matches!(
            grams.apply_checked(1146.0),
            Err(QuantityError::AboveWhole { .. })
        ));
    }

    proptest! {
        #[test]
        fn there_and_back(
            ppm in 1e-9..1e6_f64, m in 1.0..500.0_f64, t in -80.0..200.0_f64, p in 10.0..200.0_f64,
        ) {
            let (m, here) = (gas(m), conditions(t, p));
            let c = mass_concentration(VolumeFraction::from_ppm(ppm).unwrap(), m, here);
            let back = volume_fraction(c, m, here);
            // Only a fraction at the whole itself may come back a rounding above it.
            if let Ok(back) = back {
                prop_assert!((back.ppm() / ppm - 1.0).abs() <= THERE_AND_BACK, "{ppm} {}", back.ppm());
            } else {
                prop_assert!(ppm > 1e6 * (1.0 - THERE_AND_BACK));
            }
        }

        #[test]
        fn rises_with_fraction_mass_and_pressure_and_falls_with_temperature(
            ppm in 1e-3..1e5_f64, m in 2.0..300.0_f64, t in -40.0..60.0_f64, p in 50.0..110.0_f64, more in 1.000_001..2.0_f64,
        ) {
            let value = |ppm, m, t, p| {
                mass_concentration(VolumeFraction::from_ppm(ppm).unwrap(), gas(m), conditions(t, p)).mg_per_m3()
            };
            let base = value(ppm, m, t, p);
            prop_assert!(base < value(ppm * more, m, t, p));
            prop_assert!(base < value(ppm, m * more, t, p));
            prop_assert!(base < value(ppm, m, t, p * more));
            prop_assert!(base > value(ppm, m, t + more, p));
        }

        #[test]
        fn the_converter_agrees_with_the_functions(ppm in 1e-6..1e6_f64, m in 2.0..300.0_f64, t in -40.0..60.0_f64) {
            let (m, here) = (gas(m), conditions(t, 95.0));
            let converter = Converter::new(unit("ppb").unwrap(), unit("µg/m³").unwrap(), m, here).unwrap();
            let direct = mass_concentration(VolumeFraction::from_ppb(ppm * 1e3).unwrap(), m, here).ug_per_m3();
            prop_assert!((converter.apply_unchecked(ppm * 1e3) / direct - 1.0).abs() <= 2.0 * THERE_AND_BACK);
        }

        #[test]
        fn other_conditions_and_back(c in 1e-6..1e6_f64, t in -40.0..60.0_f64, p in 50.0..110.0_f64) {
            let (here, there) = (conditions(t, p), Conditions::at_20_celsius());
            let c = MassConcentration::from_mg_per_m3(c).unwrap();
            let back = at_conditions(at_conditions(c, here, there), there, here);
            prop_assert!((back.mg_per_m3() / c.mg_per_m3() - 1.0).abs() <= THERE_AND_BACK);
        }
    }
}
