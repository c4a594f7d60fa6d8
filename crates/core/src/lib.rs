//! Quantities, units and conversions for short-term detector tubes.
//!
//! ```
//! use stainbook_core::{Conditions, Formula, Pressure, Temperature, VolumeFraction, Written, convert};
//!
//! // What the author wrote: any usual spelling, and the digits are kept.
//! let reading: Written<VolumeFraction> = "25ppm".parse()?;
//! assert_eq!(reading.canonical(), "25 ppm");
//!
//! // Molar mass from the formula, never typed in.
//! let carbon_monoxide = "CO".parse::<Formula>()?.molar_mass();
//!
//! // No mass concentration without a temperature and a pressure.
//! let here = Conditions {
//!     temperature: "8 °C".parse::<Written<Temperature>>()?.value(),
//!     pressure: "835 hPa".parse::<Written<Pressure>>()?.value(),
//! };
//! let c = convert::mass_concentration(reading.value(), carbon_monoxide, here);
//! assert_eq!(format!("{:.1} mg/m³", c.mg_per_m3()), "25.0 mg/m³");
//!
//! // The same volume fraction at the conditions of a limit of the United States.
//! let us = convert::mass_concentration(reading.value(), carbon_monoxide, Conditions::at_25_celsius());
//! assert_eq!(format!("{:.1} mg/m³", us.mg_per_m3()), "28.6 mg/m³");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The types
//!
//! - **Quantities**, each a type of its own that refuses what cannot be: [`VolumeFraction`], [`MassFraction`],
//!   [`MassConcentration`], [`MolarMass`], [`MolarVolume`], [`Temperature`], [`TemperatureDifference`], [`Pressure`],
//!   [`RelativeHumidity`], [`AbsoluteHumidity`], [`Altitude`], [`Volume`], [`Duration`], [`Ratio`]; and for fields that take
//!   either of two, [`Concentration`] and [`Humidity`]. What they share is the trait [`Quantity`].
//! - **What was written**: [`Written`] and [`WrittenRange`] keep text, digits and unit; [`Decimal`] is a bare number with its
//!   digits. Their errors say what is wrong, where in the text, and what to write instead.
//! - **Units**: [`unit()`] and [`unit_of`] find a [`Unit`] by any of its spellings; the table has the factor and its source.
//! - **Conversion**: [`Conditions`], the functions in [`convert`], and [`Converter`] for many numbers, over the typed formulas
//!   of [`ideal_gas`];
//!   [`DryVolumeFraction`] and [`HumidVolumeFraction`] for the two bases.
//! - **Air**: [`atmosphere`], [`saturation`], [`humidity`]; [`plausible_air`] tells slips of the unit.
//! - **Substances**: [`Formula`], [`atomic_weights`], [`CasNumber`].
//! - **Elementary functions** with the same bits on every platform: [`elementary`].
//! - **Exposure**: averages and mixtures in [`exposure`]. **Printing**: [`mod@print`].
//!
//! # What it does not do
//!
//! - Nothing is converted between volume fraction and mass concentration without a molar mass *and* conditions, and there are
//!   no default conditions.
//! - Gases are ideal. A vapour near saturation and a gas at high pressure are not.
//! - It knows no tubes, no limits and no substances; those are catalog data.
//! - It reads no files, prints nothing, and knows no clock and no calendar: a month is a twelfth of a year.
//! - It is no general library of units. The table has what is written on leaflets, in surveys and in tables of limits; for
//!   anything else go through [`uom_interop`].
#![cfg_attr(
    test,
    allow(
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test compares with the very figure, and its counts are small"
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
pub mod elementary;
pub mod exposure;
mod formula;
mod formula_error;
mod formula_parser;
pub mod humidity;
pub mod ideal_gas;
mod litre_gram;
mod mass_concentration;
mod mass_fraction;
mod molar_mass;
mod molar_volume;
mod nearest;
pub mod plausible_air;
mod pressure;
pub mod print;
mod quantity;
mod ratio;
mod relative_humidity;
pub mod saturation;
mod serde_text;
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
mod written_span;

pub use absolute_humidity::AbsoluteHumidity;
pub use altitude::Altitude;
pub use atmosphere::AtmosphereError;
pub use basis::{Basis, DryVolumeFraction, HumidVolumeFraction};
pub use cas::{CasError, CasNumber};
pub use concentration::Concentration;
pub use conditions::Conditions;
pub use convert::{ConvertError, Converter, LengthsDiffer};
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
pub use unit::{Unit, known_unit, unit, unit_of, units};
pub use unknown_unit::{UnknownUnit, UnknownUnitReason};
pub use volume::Volume;
pub use volume_fraction::VolumeFraction;
pub use written::Written;
pub use written_error::{WrittenError, WrittenErrorKind};
pub use written_range::WrittenRange;
pub use written_span::WrittenSpan;

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
