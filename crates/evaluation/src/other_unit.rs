//! The result in the other unit: a volume fraction as a mass in the air, a mass as a volume fraction. Never without
//! conditions; where the day's are not known, the catalog's reference conditions stand in and are named.

use stainbook_catalog::Book;
use stainbook_catalog::model::{Scale, Substance, Tube};
use stainbook_catalog::written::tube::{MassStated, StatedIn};
use stainbook_core::{
    Conditions, Dimension, DryVolumeFraction, MassConcentration, VolumeFraction, convert, humidity,
    print,
};

use crate::air::{AirAtPlace, round};
use crate::chain::pressure_applies;
use crate::outcome::{Code, Flag};
use crate::result::{AlsoAs, Basis, Figure, StatedConditions};

/// The result in the other unit, and as the volume fraction that limits are compared with.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OtherUnit {
    /// Which air the result refers to.
    pub(crate) basis: Basis,
    /// The result in the other unit.
    pub(crate) also_as: Option<AlsoAs>,
    /// The volume fraction in the air as it is, in ppm.
    pub(crate) ppm: Option<f64>,
}

/// What a result is converted with.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ConvertedWith<'r> {
    /// The catalog, for its reference conditions.
    pub(crate) book: &'r Book,
    /// The sheet.
    pub(crate) tube: &'r Tube,
    /// The scale.
    pub(crate) scale: &'r Scale,
    /// The gas.
    pub(crate) substance: &'r Substance,
    /// The air.
    pub(crate) place: &'r AirAtPlace,
}

/// Converts a result that stands in the unit of the scale. `digits` prints a number of the other unit with the digits
/// that its uncertainty supports.
pub(crate) fn other_unit(
    value: f64,
    with: &ConvertedWith<'_>,
    digits: impl Fn(f64) -> String,
    flags: &mut Vec<Flag>,
) -> OtherUnit {
    if with.scale.unit.dimension() == Dimension::MassConcentration {
        from_mass(value, with, digits, flags)
    } else {
        from_fraction(value, with, digits, flags)
    }
}

fn from_fraction(
    value: f64,
    with: &ConvertedWith<'_>,
    digits: impl Fn(f64) -> String,
    flags: &mut Vec<Flag>,
) -> OtherUnit {
    let dry = with.scale.stated_in == StatedIn::DryAir;
    let basis = if dry { Basis::DryAir } else { Basis::AirAsItIs };
    let Ok(stated) = VolumeFraction::from_ppm(with.scale.unit.to_base(value)) else {
        flags.push(Flag::new(
            Code::MoreThanTheWhole,
            "the result is more than the whole of the air: look at the reading again",
        ));
        return OtherUnit {
            basis,
            also_as: None,
            ppm: None,
        };
    };
    let humid = if dry {
        humid_fraction(stated, with.place)
    } else {
        Some(stated)
    };
    if humid.is_none() {
        flags.push(Flag::new(
            Code::WaterVapourUnknown,
            "the scale is stated in dry air, and humidity, temperature or pressure are not known to say how much that is in the air as it is; the difference is up to a few percent in warm, damp air",
        ));
    }
    let Some((conditions, origin)) = day(with.place)
        .map(|conditions| (conditions, "of the survey"))
        .or_else(|| {
            reference(with.book)
                .map(|conditions| (conditions, "reference conditions of the catalog"))
        })
    else {
        flags.push(no_conditions("mg/m³"));
        return OtherUnit {
            basis,
            also_as: None,
            ppm: humid.or(Some(stated)).map(VolumeFraction::ppm),
        };
    };
    let mass = convert::mass_concentration(
        humid.unwrap_or(stated),
        with.substance.molar_mass,
        conditions,
    );
    let air = if humid.is_none() {
        "in dry air"
    } else {
        "in the air as it is"
    };
    OtherUnit {
        basis,
        also_as: Some(AlsoAs {
            value: mass.mg_per_m3(),
            unit: "mg/m³".to_owned(),
            basis: Basis::At(format!("{air} at {}", words(conditions))),
            text: digits(mass.mg_per_m3()),
            conditions: stated_conditions(conditions, origin),
        }),
        ppm: Some(humid.unwrap_or(stated).ppm()),
    }
}

fn from_mass(
    value: f64,
    with: &ConvertedWith<'_>,
    digits: impl Fn(f64) -> String,
    flags: &mut Vec<Flag>,
) -> OtherUnit {
    let calibration = Conditions::new(
        with.tube.calibration.temperature,
        with.tube.calibration.pressure,
    );
    let at_calibration = if let Some(stated) = with.scale.mass_stated {
        stated == MassStated::AtCalibration
    } else {
        flags.push(Flag::new(
            Code::MassBasisNotStated,
            "the sheet does not say whether the scale's mg/m³ are in the air as drawn or at the calibration conditions; it was taken from its pressure correction",
        ));
        pressure_applies(&with.tube.pressure, with.scale)
    };
    let (basis, conditions) = if at_calibration {
        (
            Basis::At(format!("at {}", words(calibration))),
            Some((calibration, "calibration conditions of the sheet")),
        )
    } else {
        (
            Basis::AirAsDrawn,
            day(with.place).map(|conditions| (conditions, "of the survey")),
        )
    };
    let Some((conditions, origin)) = conditions else {
        flags.push(no_conditions("ppm"));
        return OtherUnit {
            basis,
            also_as: None,
            ppm: None,
        };
    };
    let fraction = MassConcentration::from_mg_per_m3(with.scale.unit.to_base(value))
        .and_then(|mass| convert::volume_fraction(mass, with.substance.molar_mass, conditions));
    let Ok(fraction) = fraction else {
        flags.push(Flag::new(
            Code::MoreThanTheWhole,
            "the result is more than the whole of the air: look at the reading again",
        ));
        return OtherUnit {
            basis,
            also_as: None,
            ppm: None,
        };
    };
    OtherUnit {
        basis,
        also_as: Some(AlsoAs {
            value: fraction.ppm(),
            unit: "ppm".to_owned(),
            basis: Basis::AirAsItIs,
            text: digits(fraction.ppm()),
            conditions: stated_conditions(conditions, origin),
        }),
        ppm: Some(fraction.ppm()),
    }
}

fn no_conditions(unit: &str) -> Flag {
    Flag::new(
        Code::OtherUnitNeedsConditions,
        format!(
            "the result is not given in {unit}: that needs the air temperature and the station pressure (an altitude is enough)"
        ),
    )
}

fn humid_fraction(stated: VolumeFraction, place: &AirAtPlace) -> Option<VolumeFraction> {
    let conditions = day(place)?;
    let relative = place.humidity?.to_relative(conditions.temperature).ok()?;
    let water = humidity::water_volume_fraction(relative, conditions).ok()?;
    Some(
        DryVolumeFraction::new(stated)
            .to_humid(water)
            .volume_fraction(),
    )
}

/// The day's conditions, if both are known.
pub(crate) fn day(place: &AirAtPlace) -> Option<Conditions> {
    Some(Conditions::new(place.air?, place.pressure?.pressure))
}

fn reference(book: &Book) -> Option<Conditions> {
    let at = book.catalog()?.1.reference_conditions.as_ref()?;
    Some(Conditions::new(
        at.temperature.as_ref()?.value(),
        at.pressure.as_ref()?.value(),
    ))
}

fn stated_conditions(conditions: Conditions, origin: &str) -> StatedConditions {
    StatedConditions {
        temperature: Figure {
            value: conditions.temperature.celsius(),
            unit: "°C".to_owned(),
        },
        pressure: Figure {
            value: conditions.pressure.kilopascals(),
            unit: "kPa".to_owned(),
        },
        origin: origin.to_owned(),
    }
}

/// Conditions as they are printed.
pub(crate) fn words(conditions: Conditions) -> String {
    format!(
        "{} °C and {} kPa",
        print::number(round(conditions.temperature.celsius(), 2)),
        print::number(round(conditions.pressure.kilopascals(), 3))
    )
}
