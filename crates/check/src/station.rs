//! The pressure at the place of a reading, as it was stated: what the rules about conditions have in common.

use stainbook_catalog::written::{Conditions, Stated as StatedQuantity};
use stainbook_core::{Altitude, Pressure, Written};

/// Conditions of a reading: its own, else those of the survey.
///
/// A reading that states its own altitude or sea-level pressure is at another place, where the survey's station pressure
/// does not hold.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stated<'a> {
    pub(crate) pressure: Option<&'a Written<Pressure>>,
    pub(crate) altitude: Option<&'a Written<Altitude>>,
    pub(crate) sea_level_pressure: Option<&'a Written<Pressure>>,
}

impl<'a> Stated<'a> {
    pub(crate) fn of(survey: &'a Conditions, reading: &'a Conditions) -> Self {
        let elsewhere = reading.altitude.is_some() || reading.sea_level_pressure.is_some();
        let of_survey = survey.pressure.as_ref().filter(|_| !elsewhere);
        Self {
            pressure: reading.pressure.as_ref().or(of_survey).map(plain),
            altitude: reading
                .altitude
                .as_ref()
                .or(survey.altitude.as_ref())
                .map(plain),
            sea_level_pressure: reading
                .sea_level_pressure
                .as_ref()
                .or(survey.sea_level_pressure.as_ref())
                .map(plain),
        }
    }
}

fn plain<Q>(stated: &StatedQuantity<Q>) -> &Written<Q> {
    stated
}
