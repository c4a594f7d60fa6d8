//! The fields of a reading and its conditions that a refusal may lie in, as JSON Pointers into a result's `inputs`.
//!
//! Each refusal names its field, since whoever has to put a reading right looks for it: in a survey file that is a line and a
//! column, in a table a cell. See [`crate::refused_at`].

use stainbook_catalog::written::tube::correct::CorrectionStep;

use crate::air::AirAtPlace;
use crate::chain::{Failure, StepFailed};
use crate::interpolation::{NoValue, TableAxis};

pub(crate) const TUBE: &str = "/reading/tube";
pub(crate) const LEAFLET: &str = "/reading/leaflet";
pub(crate) const LOT: &str = "/reading/lot";
pub(crate) const PUMP: &str = "/reading/pump";
pub(crate) const STROKES: &str = "/reading/strokes";
pub(crate) const SCALE: &str = "/reading/scale";
pub(crate) const SUBSTANCE: &str = "/reading/substance";
pub(crate) const PRESENT: &str = "/reading/present";
pub(crate) const READING: &str = "/reading/reading";
pub(crate) const READ_AT: &str = "/reading/reading/at";
pub(crate) const READ_SHORT: &str = "/reading/reading/short";
pub(crate) const READ_LONG: &str = "/reading/reading/long";
pub(crate) const READ_AT_MM: &str = "/reading/reading/at_mm";
pub(crate) const READ_SHORT_MM: &str = "/reading/reading/short_mm";
pub(crate) const READ_LONG_MM: &str = "/reading/reading/long_mm";
pub(crate) const READ_LESS_THAN: &str = "/reading/reading/less_than";
pub(crate) const READ_MORE_THAN: &str = "/reading/reading/more_than";
pub(crate) const READING_UNCERTAINTY: &str = "/reading/reading/uncertainty";
pub(crate) const AIR_TEMPERATURE: &str = "/conditions/air_temperature";
pub(crate) const TUBE_TEMPERATURE: &str = "/conditions/tube_temperature";
pub(crate) const HUMIDITY: &str = "/conditions/humidity";
pub(crate) const PRESSURE: &str = "/conditions/pressure";
pub(crate) const ALTITUDE: &str = "/conditions/altitude";
pub(crate) const SEA_LEVEL_PRESSURE: &str = "/conditions/sea_level_pressure";

/// The field for which a step of the chain has no value: a condition, or what was read.
pub(crate) fn of_step(failed: &StepFailed, place: &AirAtPlace) -> &'static str {
    let along = match failed.why {
        Failure::Table(NoValue::Outside { axis, .. } | NoValue::BetweenRows { axis, .. }) => {
            Some(axis)
        }
        _ => None,
    };
    match failed.step {
        _ if along == Some(TableAxis::Reading) => READING,
        _ if along == Some(TableAxis::Humidity) => HUMIDITY,
        CorrectionStep::Temperature => place.temperature_field(),
        CorrectionStep::Humidity => HUMIDITY,
        CorrectionStep::Pressure => place.pressure_field(),
        CorrectionStep::Strokes | CorrectionStep::ResponseFactor => READING,
    }
}
