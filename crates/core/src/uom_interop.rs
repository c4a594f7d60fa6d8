//! To and from the quantities of the `uom` crate.
//!
//! A quantity here becomes a `uom` quantity as it is; the way back is checked, since `uom` holds NaN, −300 °C and negative
//! concentrations without complaint. `uom` has no volume fraction, mass fraction or humidity: it has one `Ratio` for all of
//! them, so only our plain [`Ratio`] comes from it, while a volume fraction goes to it by
//! [`VolumeFraction::mole_fraction`](crate::VolumeFraction::mole_fraction).
//!
//! # Example
//!
//! ```
//! use stainbook_core::{Pressure, Temperature};
//! use uom::si::f64::{Pressure as UomPressure, ThermodynamicTemperature};
//! use uom::si::{pressure::hectopascal, thermodynamic_temperature::kelvin};
//!
//! let p = Pressure::try_from(UomPressure::new::<hectopascal>(835.0))?;
//! assert_eq!(p.kilopascals(), 83.5);
//! let t: ThermodynamicTemperature = Temperature::from_celsius(20.0)?.into();
//! assert_eq!(t.get::<kelvin>(), 293.15);
//! assert!(Temperature::try_from(ThermodynamicTemperature::new::<kelvin>(-1.0)).is_err());
//! # Ok::<(), stainbook_core::QuantityError>(())
//! ```

use uom::si;

use crate::{
    Altitude, Duration, MassConcentration, MolarMass, MolarVolume, Pressure, QuantityError, Ratio,
    Temperature, TemperatureDifference, Volume,
};

macro_rules! interop {
    ($($name:ident, $get:ident, $from:ident <=> $module:ident :: $theirs:ident in $unit:ident;)*) => {
        $(
            impl From<$name> for si::f64::$theirs {
                fn from(quantity: $name) -> Self {
                    Self::new::<si::$module::$unit>(quantity.$get())
                }
            }

            impl TryFrom<si::f64::$theirs> for $name {
                type Error = QuantityError;

                fn try_from(quantity: si::f64::$theirs) -> Result<Self, QuantityError> {
                    Self::$from(quantity.get::<si::$module::$unit>())
                }
            }
        )*
    };
}

interop! {
    Temperature, kelvin, from_kelvin <=> thermodynamic_temperature::ThermodynamicTemperature in kelvin;
    TemperatureDifference, kelvin, from_kelvin <=> temperature_interval::TemperatureInterval in kelvin;
    Pressure, pascals, from_pascals <=> pressure::Pressure in pascal;
    MassConcentration, mg_per_m3, from_mg_per_m3 <=> mass_concentration::MassConcentration in milligram_per_cubic_meter;
    MolarMass, g_per_mol, from_g_per_mol <=> molar_mass::MolarMass in gram_per_mole;
    MolarVolume, m3_per_mol, from_m3_per_mol <=> molar_volume::MolarVolume in cubic_meter_per_mole;
    Altitude, metres, from_metres <=> length::Length in meter;
    Volume, millilitres, from_millilitres <=> volume::Volume in milliliter;
    Duration, seconds, from_seconds <=> time::Time in second;
    Ratio, fraction, from_fraction <=> ratio::Ratio in ratio;
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn what_uom_accepts_and_we_do_not() {
        assert!(
            Temperature::try_from(si::f64::ThermodynamicTemperature::new::<
                si::thermodynamic_temperature::degree_celsius,
            >(-300.0))
            .is_err()
        );
        assert!(
            Pressure::try_from(si::f64::Pressure::new::<si::pressure::pascal>(f64::NAN)).is_err()
        );
        assert!(Volume::try_from(si::f64::Volume::new::<si::volume::liter>(-1.0)).is_err());
    }

    proptest! {
        #[test]
        fn there_and_back(x in 1e-3..1e3_f64) {
            let same = |back: f64| (back / x - 1.0).abs() <= crate::convert::THERE_AND_BACK;
            prop_assert!(same(Pressure::try_from(si::f64::Pressure::from(Pressure::from_kilopascals(x).unwrap())).unwrap().kilopascals()));
            prop_assert!(same(Volume::try_from(si::f64::Volume::from(Volume::from_litres(x).unwrap())).unwrap().litres()));
            prop_assert!(same(MolarVolume::try_from(si::f64::MolarVolume::from(MolarVolume::from_l_per_mol(x).unwrap())).unwrap().l_per_mol()));
            prop_assert!(same(MolarMass::try_from(si::f64::MolarMass::from(MolarMass::from_g_per_mol(x).unwrap())).unwrap().g_per_mol()));
            let c = MassConcentration::from_mg_per_m3(x).unwrap();
            prop_assert!(same(MassConcentration::try_from(si::f64::MassConcentration::from(c)).unwrap().mg_per_m3()));
            let d = Duration::from_hours(x).unwrap();
            prop_assert!(same(Duration::try_from(si::f64::Time::from(d)).unwrap().hours()));
        }
    }
}
