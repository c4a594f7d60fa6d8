//! Quantities, units, conversion, humidity and the standard atmosphere.
//!
//! All of it comes from `stainbook-core`, which makes the same promise of stability and can be depended on alone.

pub use stainbook_core::{
    AbsoluteHumidity, Altitude, AtmosphereError, Basis, CasError, CasNumber, Concentration,
    Conditions, ConvertError, Converter, Decimal, DecimalError, DecimalErrorKind, Dimension,
    DryVolumeFraction, Duration, Formula, FormulaError, FormulaErrorKind, HumidVolumeFraction,
    Humidity, HumidityError, LengthsDiffer, MassConcentration, MassFraction, MolarMass,
    MolarVolume, Pressure, Quantity, QuantityError, Ratio, RelativeHumidity, SaturationError,
    Temperature, TemperatureDifference, Unit, UnknownUnit, UnknownUnitReason, Volume,
    VolumeFraction, Written, WrittenError, WrittenErrorKind, WrittenRange, known_unit, unit,
    unit_of, units,
};
pub use stainbook_core::{
    atmosphere, atomic_weights, constants, convert, decimal, elementary, humidity, ideal_gas,
    plausible_air, print, saturation, uom_interop,
};
