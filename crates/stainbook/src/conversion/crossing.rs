//! The step between volume fraction and mass concentration: gas, conditions and humidity, each asked for where it is
//! missing and needed.

use stainbook_core::{
    Altitude, AtmosphereError, Basis, Conditions, Dimension, MolarVolume, Pressure, Quantity, Unit,
    VolumeFraction, Written, atmosphere, humidity, print, saturation,
};
use stainbook_present::conversion::{
    Amount, Assumption, ConditionsUsed, Conversion, ConversionRefused,
};

use super::terms::{Gas, PressureGiven, Terms};
use super::{ConversionStep, plausibility, refused};

/// The step from volume fraction to mass concentration or back.
pub(super) fn crossing(
    from: &Unit,
    terms: &Terms,
    story: &mut Conversion,
) -> Result<ConversionStep, ConversionRefused> {
    let molar_mass = match &terms.gas {
        Some(Gas::Known { molar_mass, .. }) => {
            let text = format!("{} g/mol", print::number(molar_mass.g_per_mol()));
            story.molar_mass = Some(Amount {
                value: molar_mass.g_per_mol(),
                unit: "g/mol",
                text,
            });
            *molar_mass
        }
        Some(Gas::OfMolarMass(written)) => {
            let value = written.value();
            story.molar_mass = Some(Amount {
                value: value.g_per_mol(),
                unit: "g/mol",
                text: written.canonical(),
            });
            value
        }
        None => {
            return Err(refused(
                "missing-molar-mass",
                "between a volume fraction and a mass concentration stands the molar mass, and no gas is named",
                "name the substance, or state the molar mass such as `28.010 g/mol`",
            ));
        }
    };
    let conditions = conditions(terms, story)?;
    let molar_volume = MolarVolume::of_ideal_gas(conditions).l_per_mol();
    let text = format!("{} L/mol", print::to_significant(molar_volume, 5));
    story.molar_volume = Some(Amount {
        value: molar_volume,
        unit: "L/mol",
        text,
    });
    let dry_part = dry_part(terms, conditions, story)?;
    let molar_mass = molar_mass.g_per_mol();
    Ok(match from.dimension() {
        Dimension::VolumeFraction => ConversionStep::ToMass {
            molar_mass,
            molar_volume,
            dry_part,
        },
        _ => ConversionStep::ToVolume {
            molar_mass,
            molar_volume,
            dry_part,
        },
    })
}

fn amount_of<Q: Quantity>(written: &Written<Q>) -> Amount {
    Amount {
        value: written.number(),
        unit: written.unit().canonical(),
        text: written.canonical(),
    }
}

fn conditions(terms: &Terms, story: &mut Conversion) -> Result<Conditions, ConversionRefused> {
    let usual = "limits are stated at 25 °C and 101.325 kPa in the United States and at 20 °C and 101.325 kPa in much of Europe; \
                 for the air of a place take its own temperature and pressure";
    let (temperature, pressure) = match (&terms.temperature, &terms.pressure) {
        (Some(temperature), Some(pressure)) => (temperature, pressure),
        (None, None) => {
            let Some(reference) = &terms.reference else {
                return Err(refused(
                    "missing-conditions",
                    "a mass concentration holds at one temperature and pressure only, and none are stated",
                    usual,
                ));
            };
            let text = format!(
                "{} and {}, the reference conditions of the catalog, because none are stated",
                reference.temperature.canonical(),
                reference.pressure.canonical()
            );
            story.assumptions.push(Assumption {
                code: "reference-conditions",
                text,
            });
            plausibility::temperature(&reference.temperature, terms.implausible, story)?;
            plausibility::station_pressure(&reference.pressure, terms.implausible, story)?;
            story.conditions = Some(ConditionsUsed {
                temperature: amount_of(&reference.temperature),
                pressure: amount_of(&reference.pressure),
            });
            return Ok(Conditions::new(
                reference.temperature.value(),
                reference.pressure.value(),
            ));
        }
        (Some(_), None) => {
            return Err(refused(
                "missing-pressure",
                "the temperature is stated, but not the pressure",
                "state the pressure at the place (not that of a weather report, which is reduced to sea level), or the \
                 altitude in its stead; 101.325 kPa is usual for limits",
            ));
        }
        (None, Some(_)) => {
            return Err(refused(
                "missing-temperature",
                "the pressure is stated, but not the temperature",
                "state the temperature as well; limits are stated at 25 °C in the United States and at 20 °C in much of Europe",
            ));
        }
    };
    plausibility::temperature(temperature, terms.implausible, story)?;
    let (pressure, amount) = match pressure {
        PressureGiven::Station(pressure) => {
            plausibility::station_pressure(pressure, terms.implausible, story)?;
            (pressure.value(), amount_of(pressure))
        }
        PressureGiven::Altitude(altitude) => {
            plausibility::altitude(altitude, terms.implausible, story)?;
            let pressure = atmosphere::standard_pressure(altitude.value())
                .map_err(|error| outside(error, altitude))?;
            let amount = worked_out(pressure);
            story.assumptions.push(Assumption {
                code: "standard-atmosphere",
                text: format!(
                    "{} at {}, from the standard atmosphere (ISO 2533); the day's weather moves it by 2 to 3 %",
                    amount.text,
                    altitude.canonical()
                ),
            });
            (pressure, amount)
        }
        PressureGiven::SeaLevel {
            pressure: sea_level,
            altitude,
        } => {
            plausibility::sea_level_pressure(sea_level, terms.implausible, story)?;
            plausibility::altitude(altitude, terms.implausible, story)?;
            let pressure = atmosphere::station_pressure(
                sea_level.value(),
                altitude.value(),
                temperature.value(),
            )
            .map_err(|error| outside(error, altitude))?;
            let amount = worked_out(pressure);
            story.assumptions.push(Assumption {
                code: "sea-level-pressure",
                text: format!(
                    "{} at {}, from {} at sea level, with a column of air between that has {} at the place and is warmer by \
                     6.5 K for each kilometre down",
                    amount.text,
                    altitude.canonical(),
                    sea_level.canonical(),
                    temperature.canonical()
                ),
            });
            (pressure, amount)
        }
    };
    story.conditions = Some(ConditionsUsed {
        temperature: amount_of(temperature),
        pressure: amount,
    });
    Ok(Conditions::new(temperature.value(), pressure))
}

fn outside(error: AtmosphereError, altitude: &Written<Altitude>) -> ConversionRefused {
    let in_metres = error.to_string();
    let said = match error {
        // As it was typed: 36,090 ft is no figure in metres.
        AtmosphereError::AltitudeOutside { altitude: at } => in_metres.replacen(
            &format!("`{at}`"),
            &format!("`{}`", altitude.canonical()),
            1,
        ),
        _ => in_metres,
    };
    refused(
        "altitude-outside",
        said,
        "state the pressure at the place instead",
    )
}

/// A pressure that nobody read, as it is printed.
fn worked_out(pressure: Pressure) -> Amount {
    Amount {
        value: pressure.kilopascals(),
        unit: "kPa",
        text: format!("{} kPa", print::to_significant(pressure.kilopascals(), 4)),
    }
}

/// The part of the air that is not water vapour; 1 where the volume fraction is of the air as it is.
fn dry_part(
    terms: &Terms,
    conditions: Conditions,
    story: &mut Conversion,
) -> Result<f64, ConversionRefused> {
    let Some(basis) = terms.basis else {
        story.basis = Some("humid");
        let end = if terms.humidity.is_some() {
            ", so that its humidity makes no difference"
        } else {
            ""
        };
        story.assumptions.push(Assumption {
            code: "humid-basis",
            text: format!("the volume fraction is of the air as it is, water vapour included{end}"),
        });
        return Ok(1.0);
    };
    if basis == Basis::Humid {
        story.basis = Some("humid");
        return Ok(1.0);
    }
    story.basis = Some("dry");
    let Some(stated) = &terms.humidity else {
        return Err(refused(
            "missing-humidity",
            "a volume fraction of dry air needs the humidity of the air, and none is stated",
            "state the humidity such as `60 %RH` or `9 g/m³`, or take the volume fraction of the air as it is",
        ));
    };
    let impossible = |message: String| {
        refused(
            "impossible-humidity",
            message,
            "look at the humidity and the temperature again",
        )
    };
    let relative = stated
        .value()
        .to_relative(conditions.temperature)
        .map_err(|error| impossible(error.to_string()))?;
    let water: VolumeFraction = humidity::water_volume_fraction(relative, conditions)
        .map_err(|error| impossible(error.to_string()))?;
    if saturation::is_over_supercooled_water(conditions.temperature) {
        story.assumptions.push(Assumption {
            code: "over-supercooled-water",
            text: saturation::OVER_SUPERCOOLED_WATER.to_owned(),
        });
    }
    let text = format!("{} % by volume", print::to_significant(water.percent(), 3));
    story.water = Some(Amount {
        value: water.percent(),
        unit: "% by volume",
        text,
    });
    if water.mole_fraction() < 1.0 {
        Ok(1.0 - water.mole_fraction())
    } else {
        Err(impossible(
            "at this humidity the air is nothing but water vapour".to_owned(),
        ))
    }
}
