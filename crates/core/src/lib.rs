//! Quantities, units and conversions for short-term detector tubes.
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::indexing_slicing,
        clippy::panic,
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test may stop at the first thing that is not as it says"
    )
)]
#![allow(
    clippy::manual_range_contains,
    reason = "bounds are written from left to right, as they lie on a number line"
)]

mod absolute_humidity;
mod altitude;
pub mod atmosphere;
pub mod atomic_weights;
mod basis;
mod cas;
mod concentration;
mod conditions;
pub mod constants;
pub mod convert;
pub mod decimal;
mod decimal_error;
mod dimension;
mod duration;
pub mod exposure;
mod formula;
mod formula_error;
mod formula_parser;
pub mod humidity;
mod mass_concentration;
mod mass_fraction;
mod molar_mass;
mod molar_volume;
mod nearest;
mod pressure;
pub mod print;
mod quantity;
mod ratio;
mod relative_humidity;
pub mod saturation;
mod spelling;
mod temperature;
mod temperature_difference;
mod unit;
mod unit_table;
mod unknown_unit;
pub mod uom_interop;
mod volume;
mod volume_fraction;
mod words;
mod written;
mod written_error;
mod written_range;

pub use absolute_humidity::AbsoluteHumidity;
pub use altitude::Altitude;
pub use atmosphere::AtmosphereError;
pub use basis::{Basis, DryVolumeFraction, HumidVolumeFraction};
pub use cas::{CasError, CasNumber};
pub use concentration::Concentration;
pub use conditions::Conditions;
pub use convert::{ConvertError, Converter};
pub use decimal::Decimal;
pub use decimal_error::{DecimalError, DecimalErrorKind};
pub use dimension::Dimension;
pub use duration::Duration;
pub use exposure::ExposureError;
pub use formula::Formula;
pub use formula_error::{FormulaError, FormulaErrorKind};
pub use humidity::{Humidity, HumidityError};
pub use mass_concentration::MassConcentration;
pub use mass_fraction::MassFraction;
pub use molar_mass::MolarMass;
pub use molar_volume::MolarVolume;
pub use pressure::Pressure;
pub use quantity::{Quantity, QuantityError};
pub use ratio::Ratio;
pub use relative_humidity::RelativeHumidity;
pub use saturation::SaturationError;
pub use temperature::Temperature;
pub use temperature_difference::TemperatureDifference;
pub use unit::{Unit, unit, unit_of, units};
pub use unknown_unit::{UnknownUnit, UnknownUnitReason};
pub use volume::Volume;
pub use volume_fraction::VolumeFraction;
pub use written::Written;
pub use written_error::{WrittenError, WrittenErrorKind};
pub use written_range::WrittenRange;
