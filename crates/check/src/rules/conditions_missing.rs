//! A reading without the conditions that its sheet corrects for.

use stainbook_catalog::written::tube::{Correction, Method};
use stainbook_catalog::written::{Conditions, SurveyEntry, TubeEntry};
use stainbook_document::help;
use stainbook_document::offer::{Help, Offer};

use crate::readings::{Sheets, placed};
use crate::station::Stated;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "conditions-missing",
    level: Level::Error,
    since: "0.1.0",
    summary: "A reading lacks a condition without which its sheet gives no result.",
    family: Family::Field,
    docs: include_str!("conditions-missing.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let Some((id, tube)) = sheets.only(reading) else {
            continue;
        };
        // A condition that is there and was not understood has been blamed.
        let given = |key: &'static str| {
            let at_survey = stainbook_document::place::Path::root()
                .key("conditions")
                .key(key);
            let at_reading = path.clone().key("conditions").key(key);
            !context.says_nothing(&at_survey) || !context.says_nothing(&at_reading)
        };
        let stated = Stated::of(&survey.conditions, &reading.conditions);
        let missing = missing(tube, &stated, &survey.conditions, &reading.conditions);
        for (what, keys) in missing {
            if keys.iter().any(|key| given(key)) {
                continue;
            }
            let help: Help = context.words(in_file(what, sink), in_cells(what));
            sink.report(
                sink.at(path.clone())
                    .message(format!("`{id}` corrects for {what}, and neither the survey nor this reading states it"))
                    .label(format!("no {what}"))
                    .note("nothing is assumed in its place, so this reading has no result")
                    .help(help)
                    .fact("missing", Fact::text(what)),
            );
        }
    }
}

/// The remedy in a table.
fn in_cells(what: &str) -> Help {
    match what {
        "temperature" => "fill in `air_temperature` in this row, or write it once above the header; and `tube_temperature` if the tube had another".into(),
        "humidity" => help!(
            "fill in `humidity` in this row, or write it once above the header: relative ({}) or absolute ({})",
            Offer::cell_under("humidity", "60 %RH"),
            Offer::cell_under("humidity", "8 g/m³")
        ),
        _ => "fill in the station `pressure` in this row, or the `altitude` of the place, which is enough; either may stand once above the header".into(),
    }
}

/// The remedy in a survey file.
fn in_file(what: &str, sink: &Sink<'_>) -> Help {
    let conditions = sink.place(stainbook_document::place::Path::root().key("conditions"));
    match what {
        "temperature" => help!(
            "add {} to the conditions, and {} if the tube had another",
            Offer::name("air_temperature").at(conditions.clone()),
            Offer::name("tube_temperature").at(conditions)
        ),
        "humidity" => help!(
            "add {} to the conditions, or {} if it was measured so",
            Offer::field("humidity: 60 %RH").at(conditions.clone()),
            Offer::field("humidity: 8 g/m³").at(conditions)
        ),
        _ => help!(
            "add the station {} to the conditions, or the {} of the place, which is enough",
            Offer::name("pressure").at(conditions.clone()),
            Offer::name("altitude").at(conditions)
        ),
    }
}

type Missing = (&'static str, &'static [&'static str]);

fn missing(
    tube: &TubeEntry,
    stated: &Stated<'_>,
    survey: &Conditions,
    reading: &Conditions,
) -> Vec<Missing> {
    let mut missing: Vec<Missing> = Vec::new();
    let Some(correct) = &tube.correct else {
        return missing;
    };
    let temperature = [
        &reading.air_temperature,
        &survey.air_temperature,
        &reading.tube_temperature,
        &survey.tube_temperature,
    ];
    if needs(correct.temperature.as_ref()) && temperature.into_iter().all(Option::is_none) {
        missing.push(("temperature", &["air_temperature", "tube_temperature"]));
    }
    if needs(correct.humidity.as_ref()) && reading.humidity.is_none() && survey.humidity.is_none() {
        missing.push(("humidity", &["humidity"]));
    }
    // A scale that states the mass in the air as drawn has no such factor; that is for the evaluation to say.
    let scales = tube.printed_scales().iter();
    let as_drawn = scales.into_iter().any(|scale| {
        scale.mass_stated == Some(stainbook_catalog::written::tube::MassStated::AsDrawn)
    });
    if needs(correct.pressure.as_ref())
        && !as_drawn
        && stated.pressure.is_none()
        && stated.altitude.is_none()
    {
        missing.push(("pressure", &["pressure", "altitude", "sea_level_pressure"]));
    }
    missing
}

/// True if a correction cannot be made without its condition.
fn needs(correction: Option<&Correction>) -> bool {
    correction
        .and_then(|correction| correction.method)
        .is_some_and(|method| !matches!(method, Method::NoneNeeded | Method::NotStated))
}
