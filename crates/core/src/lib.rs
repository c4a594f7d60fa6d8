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
mod duration;
pub mod exposure;
mod formula;
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
pub mod uom_interop;
mod volume;
mod volume_fraction;
mod words;
mod written;

pub use absolute_humidity::AbsoluteHumidity;
pub use altitude::Altitude;
pub use atmosphere::AtmosphereError;
pub use basis::{Basis, DryVolumeFraction, HumidVolumeFraction};
pub use cas::{CasError, CasNumber};
pub use concentration::Concentration;
pub use conditions::Conditions;
pub use convert::{ConvertError, Converter};
pub use decimal::{Decimal, DecimalError, DecimalErrorKind};
pub use duration::Duration;
pub use exposure::ExposureError;
pub use formula::{Formula, FormulaError, FormulaErrorKind};
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
pub use unit::{Dimension, Unit, UnknownUnit, UnknownUnitReason, unit, unit_of, units};
pub use volume::Volume;
pub use volume_fraction::VolumeFraction;
pub use written::{Written, WrittenError, WrittenErrorKind, WrittenRange};
