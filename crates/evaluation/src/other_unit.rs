//! The result in the other unit: a volume fraction as a mass in the air, a mass as a volume fraction. Never without
//! conditions; where the day's are not known, the catalog's reference conditions stand in and are named.

use stainbook_catalog::Book;
use stainbook_catalog::model::{Scale, Substance, Tube};
use stainbook_catalog::written::tube::{MassStated, StatedIn};
use stainbook_core::{
    Conditions, Dimension, DryVolumeFraction, MassConcentration, VolumeFraction, convert, humidity,
};

use crate::air::AirAtPlace;
use crate::chain::pressure_applies;
use crate::evaluated::raised::NumericFlag;
use crate::result::ConditionsOrigin;

/// The result in the other unit, and as the volume fraction that limits are compared with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OtherUnit {
    /// The air that the result refers to.
    pub(crate) air: AirOfResult,
    /// The result in the other unit.
    pub(crate) converted: Option<Converted>,
    /// The volume fraction in the air as it is, in ppm.
    pub(crate) ppm: Option<f64>,
}

/// The result in the other unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Converted {
    /// The number.
    pub(crate) value: f64,
    /// The unit.
    pub(crate) unit: &'static str,
    /// The air it refers to.
    pub(crate) air: AirOfResult,
    /// The conditions that it was converted at.
    pub(crate) conditions: Conditions,
    /// Origin of the conditions.
    pub(crate) origin: ConditionsOrigin,
}

/// The air that a concentration refers to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum AirOfResult {
    /// The air as it is.
    AsItIs,
    /// The same without its water vapour.
    Dry,
    /// The air as drawn: mass in a volume.
    AsDrawn,
    /// Air at the calibration conditions of the sheet.
    At(Conditions),
    /// The air as it is, brought to conditions.
    AsItIsAt(Conditions),
    /// The same without its water vapour.
    DryAt(Conditions),
}

impl AirOfResult {
    /// A result of this air that is not given in the other unit.
    fn alone(self, ppm: Option<f64>) -> OtherUnit {
        OtherUnit {
            air: self,
            converted: None,
            ppm,
        }
    }
}

/// Inputs of a result's conversion.
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
    /// The stroke count, on which a leaflet's pressure correction may depend.
    pub(crate) strokes: f64,
}

/// Doubts that a conversion raises, in the order of the work.
type Doubts = [Option<NumericFlag>; 2];

/// Converts a result that stands in the unit of the scale.
pub(crate) fn other_unit(value: f64, with: &ConvertedWith<'_>) -> (OtherUnit, Doubts) {
    if with.scale.unit.dimension() == Dimension::MassConcentration {
        from_mass(value, with)
    } else {
        from_fraction(value, with)
    }
}

fn from_fraction(value: f64, with: &ConvertedWith<'_>) -> (OtherUnit, Doubts) {
    let dry = with.scale.stated_in == StatedIn::DryAir;
    let air = if dry {
        AirOfResult::Dry
    } else {
        AirOfResult::AsItIs
    };
    let Ok(stated) = VolumeFraction::from_ppm(with.scale.unit.to_base(value)) else {
        return (air.alone(None), [Some(NumericFlag::MoreThanTheWhole), None]);
    };
    let humid = if dry {
        humid_fraction(stated, with.place)
    } else {
        Some(stated)
    };
    let unknown = humid.is_none().then_some(NumericFlag::WaterVapourUnknown);
    let Some((conditions, origin)) = day(with.place)
        .map(|conditions| (conditions, ConditionsOrigin::Survey))
        .or_else(|| {
            reference(with.book).map(|conditions| (conditions, ConditionsOrigin::Reference))
        })
    else {
        let needs = NumericFlag::OtherUnitNeedsConditions { unit: "mg/m³" };
        let ppm = humid.unwrap_or(stated).ppm();
        return (air.alone(Some(ppm)), [unknown, Some(needs)]);
    };
    let mass = convert::mass_concentration(
        humid.unwrap_or(stated),
        with.substance.molar_mass,
        conditions,
    );
    let of_mass = if humid.is_none() {
        AirOfResult::DryAt(conditions)
    } else {
        AirOfResult::AsItIsAt(conditions)
    };
    let result = OtherUnit {
        air,
        converted: Some(Converted {
            value: mass.mg_per_m3(),
            unit: "mg/m³",
            air: of_mass,
            conditions,
            origin,
        }),
        ppm: Some(humid.unwrap_or(stated).ppm()),
    };
    (result, [unknown, None])
}

fn from_mass(value: f64, with: &ConvertedWith<'_>) -> (OtherUnit, Doubts) {
    let calibration = Conditions::new(
        with.tube.calibration.temperature,
        with.tube.calibration.pressure,
    );
    let stated = with.scale.mass_stated;
    let printed = with.scale.mass_stated_at;
    let not_stated =
        (stated.is_none() && printed.is_none()).then_some(NumericFlag::MassBasisNotStated);
    let at_calibration = match stated {
        Some(stated) => stated == MassStated::AtCalibration,
        None => pressure_applies(with.tube.pressure.at(with.strokes), with.scale),
    };
    let (air, conditions) = if let Some(printed) = printed {
        (
            AirOfResult::At(printed),
            Some((printed, ConditionsOrigin::Scale)),
        )
    } else if at_calibration {
        (
            AirOfResult::At(calibration),
            Some((calibration, ConditionsOrigin::Calibration)),
        )
    } else {
        (
            AirOfResult::AsDrawn,
            day(with.place).map(|conditions| (conditions, ConditionsOrigin::Survey)),
        )
    };
    let Some((conditions, origin)) = conditions else {
        let needs = NumericFlag::OtherUnitNeedsConditions { unit: "ppm" };
        return (air.alone(None), [not_stated, Some(needs)]);
    };
    let fraction = MassConcentration::from_mg_per_m3(with.scale.unit.to_base(value))
        .and_then(|mass| convert::volume_fraction(mass, with.substance.molar_mass, conditions));
    let Ok(fraction) = fraction else {
        let whole = NumericFlag::MoreThanTheWhole;
        return (air.alone(None), [not_stated, Some(whole)]);
    };
    let result = OtherUnit {
        air,
        converted: Some(Converted {
            value: fraction.ppm(),
            unit: "ppm",
            air: AirOfResult::AsItIs,
            conditions,
            origin,
        }),
        ppm: Some(fraction.ppm()),
    };
    (result, [not_stated, None])
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
