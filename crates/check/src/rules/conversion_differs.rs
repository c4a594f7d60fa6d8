//! A printed factor from ppm to mg/m³ that the molar mass does not give.

use stainbook_catalog::written::tube::PrintedConversion;
use stainbook_core::{Concentration, Conditions, Converter, Pressure, Quantity, Temperature, unit};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "conversion-differs",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A printed factor from ppm to mg/m³ is not what molar mass and conditions give.",
    family: Family::Scale,
    docs: include_str!("conversion-differs.md"),
    check: Check::Tube(check),
};

/// Rounding of the molar volume and of the molar mass on the way, as a part. Our own bound.
const ON_THE_WAY: f64 = 0.003;

/// Temperatures at which leaflets state mass concentrations, in °C. Common practice, no source.
const USUAL: [f64; 3] = [0.0, 20.0, 25.0];

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let measures = sheet.measures.as_ref();
    let id = measures.and_then(|of| of.substance.as_deref().or(of.expressed_as.as_deref()));
    let Some(substance) = id.and_then(|id| context.book.substance_model(id).ok()) else {
        return;
    };
    for (row, printed) in sheet.conversion.iter().enumerate() {
        let (Some(ppm), Some(is)) = (&printed.ppm, &printed.is) else {
            continue;
        };
        let calibrated = sheet.calibrated_at().and_then(|at| at.temperature.as_ref());
        let Some(at) = printed.at.as_ref().or(calibrated) else {
            continue;
        };
        let mass = |celsius: f64| {
            in_mass(printed, ppm.value(), celsius, |from, to, conditions| {
                Converter::new(from, to, substance.molar_mass, conditions).ok()
            })
        };
        let Some(computed) = mass(at.value().celsius()) else {
            continue;
        };
        let written = Interval::of_written(is);
        let possible = Interval::exactly(computed).widened(ON_THE_WAY);
        if written.meets(possible) {
            continue;
        }
        let elsewhere = USUAL.into_iter().find(|celsius| {
            mass(*celsius)
                .is_some_and(|mass| written.meets(Interval::exactly(mass).widened(ON_THE_WAY)))
        });
        let help = elsewhere.map_or_else(
            || "compare the factor, the substance and its formula with the leaflet".into(),
            |celsius| help!("it is right at {celsius} °C: look which temperature the leaflet names, and write it under {}", Offer::name("at")),
        );
        let path = Path::root().key("conversion").index(row);
        sink.report(
            sink.at(path.key("is"))
                .message(format!(
                    "{} ppm of {} is not {}",
                    ppm.text(),
                    substance.name,
                    is.canonical()
                ))
                .label(format!(
                    "{} written, {} at {}",
                    is.canonical(),
                    words::number(computed),
                    at.canonical()
                ))
                .note("the molar mass and the conditions give the factor; another one means that the sheet is about another substance or other conditions than the leaflet")
                .help(help)
                .fact("written", words::written_fact(is))
                .fact("computed", words::computed_fact(computed, is.unit().canonical())),
        );
    }
}

/// So many ppm as a mass concentration, in the unit that the leaflet prints; nothing if it prints no mass concentration.
fn in_mass(
    printed: &PrintedConversion,
    ppm: f64,
    celsius: f64,
    converter: impl Fn(
        &'static stainbook_core::Unit,
        &'static stainbook_core::Unit,
        Conditions,
    ) -> Option<Converter>,
) -> Option<f64> {
    let is = printed.is.as_ref()?;
    if !matches!(is.value(), Concentration::MassConcentration(_)) {
        return None;
    }
    let to = is.unit();
    let temperature = Temperature::from_unit(celsius, unit("°C").ok()?).ok()?;
    let pressure = match &printed.pressure {
        Some(pressure) => pressure.value(),
        None => Pressure::from_unit(101.325, unit("kPa").ok()?).ok()?,
    };
    let from = unit("ppm").ok()?;
    converter(from, to, Conditions::new(temperature, pressure))?
        .apply_checked(ppm)
        .ok()
}
