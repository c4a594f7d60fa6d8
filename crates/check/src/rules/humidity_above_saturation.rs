//! More water than the air can hold.

use stainbook_core::{Humidity, HumidityError, Temperature, Written};

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "humidity-above-saturation",
    level: Level::Error,
    since: "0.1.0",
    summary: "An absolute humidity is more than air of that temperature can hold.",
    family: Family::Performance,
    docs: include_str!("humidity-above-saturation.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let root = Path::root;
    if let Some(at) = sheet.calibrated_at()
        && let (Some(temperature), Some(humidity)) = (&at.temperature, &at.humidity)
    {
        one(
            humidity,
            temperature.value(),
            "at calibration",
            root().key("correct").key("calibrated_at").key("humidity"),
            sink,
        );
    }
    // The wettest air that a tube can be used in is saturated at the highest temperature.
    if let Some(usable) = sheet.usable()
        && let (Some(temperature), Some(humidity)) = (&usable.temperature, &usable.humidity)
    {
        let path = root().key("before_use").key("usable").key("humidity");
        one(
            humidity.high(),
            temperature.high().value(),
            "at the highest usable temperature",
            path,
            sink,
        );
    }
}

fn one(
    humidity: &Written<Humidity>,
    temperature: Temperature,
    when: &str,
    path: Path,
    sink: &mut Sink<'_>,
) {
    let Humidity::Absolute(_) = humidity.value() else {
        return;
    };
    let Err(HumidityError::AboveSaturation { saturated, .. }) =
        humidity.value().to_relative(temperature)
    else {
        return;
    };
    sink.report(
        sink.at(path)
            .message(format!("air cannot hold {} {when}", humidity.canonical()))
            .label(format!("saturated at {:.1} g/m³", saturated.g_per_m3()))
            .note("at saturation water condenses; a figure above it is usually a relative humidity with the wrong unit")
            .help("look at the leaflet: `%RH` is relative, `g/m³` absolute humidity"),
    );
}
