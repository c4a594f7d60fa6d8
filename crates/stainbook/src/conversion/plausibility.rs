//! Conditions that can be and that nobody works in: a slip of the unit, unless whoever asks says otherwise.

use stainbook_core::plausible_air::{
    SEA_LEVEL_PRESSURE_KPA, STATION_PRESSURE_KPA, TEMPERATURE_CELSIUS, within,
};
use stainbook_core::{
    Altitude, Pressure, Quantity, Temperature, Written, atmosphere, print, unit_of,
};
use stainbook_present::conversion::{Assumption, Conversion, ConversionRefused};

use super::refused;
use super::terms::ImplausibleConditions;

/// Question that is put to one kind of condition.
struct Question<Q: Quantity> {
    /// The word for scripts if it is implausible.
    code: &'static str,
    /// Noun for the refusal, after "is no": `temperature of air in which people work`.
    not: &'static str,
    /// Lowest and highest, with the unit of both.
    bounds: (f64, f64),
    unit: &'static str,
    /// The figure that the bounds are about; nothing if there is none.
    figure: fn(Q) -> Option<f64>,
    /// Units that are confused with each other.
    confused: &'static [&'static str],
}

const PRESSURE_UNITS: &[&str] = &["hPa", "kPa", "mmHg", "inHg", "psi", "bar"];

pub(super) fn temperature(
    written: &Written<Temperature>,
    implausible: ImplausibleConditions,
    story: &mut Conversion,
) -> Result<(), ConversionRefused> {
    let question = Question {
        code: "implausible-temperature",
        not: "temperature of air in which people work",
        bounds: TEMPERATURE_CELSIUS,
        unit: "°C",
        figure: |temperature: Temperature| Some(temperature.celsius()),
        confused: &["°C", "°F", "K"],
    };
    question.put(written, implausible, story)
}

pub(super) fn station_pressure(
    written: &Written<Pressure>,
    implausible: ImplausibleConditions,
    story: &mut Conversion,
) -> Result<(), ConversionRefused> {
    let question = Question {
        code: "implausible-pressure",
        not: "pressure of air in which people work",
        bounds: STATION_PRESSURE_KPA,
        unit: "kPa",
        figure: |pressure: Pressure| Some(pressure.kilopascals()),
        confused: PRESSURE_UNITS,
    };
    question.put(written, implausible, story)
}

pub(super) fn sea_level_pressure(
    written: &Written<Pressure>,
    implausible: ImplausibleConditions,
    story: &mut Conversion,
) -> Result<(), ConversionRefused> {
    let question = Question {
        code: "implausible-sea-level-pressure",
        not: "pressure reduced to sea level",
        bounds: SEA_LEVEL_PRESSURE_KPA,
        unit: "kPa",
        figure: |pressure: Pressure| Some(pressure.kilopascals()),
        confused: PRESSURE_UNITS,
    };
    question.put(written, implausible, story)
}

/// An altitude is as plausible as the pressure there. One beyond the standard atmosphere is refused where that is asked.
pub(super) fn altitude(
    written: &Written<Altitude>,
    implausible: ImplausibleConditions,
    story: &mut Conversion,
) -> Result<(), ConversionRefused> {
    let question = Question {
        code: "implausible-altitude",
        not: "altitude at which people work, by the pressure there",
        bounds: STATION_PRESSURE_KPA,
        unit: "kPa",
        figure: |altitude: Altitude| {
            let standard = atmosphere::standard_pressure(altitude).ok()?;
            Some(standard.kilopascals())
        },
        confused: &["m", "ft"],
    };
    question.put(written, implausible, story)
}

impl<Q: Quantity> Question<Q> {
    fn put(
        &self,
        written: &Written<Q>,
        implausible: ImplausibleConditions,
        story: &mut Conversion,
    ) -> Result<(), ConversionRefused> {
        let outside = |value| (self.figure)(value).map(|figure| !within(figure, self.bounds));
        if outside(written.value()) != Some(true) {
            return Ok(());
        }
        let (low, high) = self.bounds;
        let said = format!(
            "`{}` is no {} ({} to {} {})",
            written.canonical(),
            self.not,
            print::number(low),
            print::number(high),
            self.unit
        );
        if implausible == ImplausibleConditions::Accept {
            story.assumptions.push(Assumption {
                code: "implausible-accepted",
                text: format!("{said}; it was taken as right, as was asked for"),
            });
            return Ok(());
        }
        let meant = self.confused.iter().find_map(|name| {
            let unit = unit_of(Q::DIMENSION, name).ok()?;
            let value = Q::from_unit(written.number(), unit).ok()?;
            (outside(value) == Some(false)).then(|| format!("{} {unit}", written.number_text()))
        });
        let help = meant.map_or_else(
            || "look at the number and its unit again".to_owned(),
            |meant| format!("look at the unit again, `{meant}` may be meant"),
        );
        Err(refused(self.code, said, help))
    }
}
