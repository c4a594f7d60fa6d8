//! A station pressure that cannot be at the stated altitude.

use stainbook_catalog::written::{Conditions, SurveyEntry};
use stainbook_core::atmosphere;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::readings::placed;
use crate::station::Stated;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "pressure-against-altitude",
    level: Level::Error,
    since: "0.1.0",
    summary: "A pressure and an altitude contradict each other, or a sea-level pressure has no altitude.",
    family: Family::Field,
    docs: include_str!("pressure-against-altitude.md"),
    check: Check::Survey(check),
};

/// Weather moves the pressure by 2 to 3 % about that of the standard atmosphere (common practice, no source); more than this
/// part is no weather. A pressure reduced to sea level shows from about 450 m up.
const MOST: f64 = 0.05;

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let root = Path::root().key("conditions");
    let none = Conditions::default();
    let own = Stated::of(&survey.conditions, &none);
    one(&own, &survey.conditions, &root, context, sink);
    for (path, reading) in placed(survey) {
        let conditions = &reading.conditions;
        let states_own = conditions.pressure.is_some()
            || conditions.altitude.is_some()
            || conditions.sea_level_pressure.is_some();
        if states_own {
            let stated = Stated::of(&survey.conditions, conditions);
            one(&stated, conditions, &path.key("conditions"), context, sink);
        }
    }
}

/// Looks at what is stated for one place, which is written in part or as a whole in the group of fields at the path.
fn one(
    stated: &Stated<'_>,
    written: &Conditions,
    path: &Path,
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    let Some(altitude) = stated.altitude else {
        if let Some(sea_level) = stated.sea_level_pressure
            && stated.pressure.is_none()
            && context.is_absent(written.altitude.as_ref(), &path.clone().key("altitude"))
        {
            sink.report(
                sink.at(path.clone().key("sea_level_pressure"))
                    .message("a sea-level pressure says nothing without the altitude of the place")
                    .label("no `altitude`")
                    .note("at 1,600 m the air at the place is about 18 % thinner than a weather report says")
                    .help(help!("add {}; if this is what a barometer read at the place itself, write it as {}", Offer::name("altitude"), Offer::new_name("pressure")))
                    .fact("written", words::written_fact(sea_level)),
            );
        }
        return;
    };
    let (Some(pressure), Ok(standard)) = (
        stated.pressure,
        atmosphere::standard_pressure(altitude.value()),
    ) else {
        return;
    };
    let off = pressure.value().kilopascals() / standard.kilopascals() - 1.0;
    if off.abs() <= MOST {
        return;
    }
    let (note, help) = if 0.0 < off {
        (
            "a weather report's pressure is reduced to sea level; taken for the pressure at the place it makes every result too low by as much",
            help!(
                "if it is from a weather report, write it as {}; else look at the altitude and at both units",
                Offer::new_name("sea_level_pressure")
            ),
        )
    } else {
        (
            "the pressure correction would make every result too high by as much",
            "read the barometer at the place again, and look at the altitude and at both units"
                .into(),
        )
    };
    let at = if context.is_absent(written.pressure.as_ref(), &path.clone().key("pressure")) {
        "altitude"
    } else {
        "pressure"
    };
    sink.report(
        sink.at(path.clone().key(at))
            .message(format!("{} cannot be the pressure at {}", pressure.canonical(), altitude.canonical()))
            .label(format!(
                "{} written, {} kPa in the standard atmosphere, {} off",
                pressure.canonical(),
                words::number(standard.kilopascals()),
                words::percent(off.abs())
            ))
            .note(note)
            .note(format!("weather moves it by 2 to 3 %; more than {} is no weather (standard atmosphere: ISO 2533)", words::percent(MOST)))
            .help(help)
            .fact("written", words::written_fact(pressure))
            .fact("altitude", words::written_fact(altitude))
            .fact("computed", Fact::number(standard.kilopascals(), "kPa", format!("{} kPa", words::number(standard.kilopascals()))))
            .fact("tolerance", words::tolerance_fact(MOST * 100.0, "%")),
    );
}
