//! A plan for air in which its tube does not work.

use stainbook_catalog::written::PlanEntry;
use stainbook_catalog::written::tube::Usable;
use stainbook_core::{Humidity, Temperature};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::plans::{conditions_of, placed, sheets_of};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "plan-outside-usable",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The conditions that a plan expects lie outside those in which its tube works.",
    family: Family::Field,
    docs: include_str!("plan-outside-usable.md"),
    check: Check::Plan(check),
};

fn check(plan: &PlanEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, planned) in placed(plan) {
        let sheets = sheets_of(planned, context.book);
        let usable: Vec<&Usable> = sheets
            .iter()
            .filter_map(|(_, sheet)| sheet.usable())
            .collect();
        if sheets.is_empty() || usable.len() < sheets.len() {
            continue;
        }
        let expected = conditions_of(plan, planned);
        // A tube is used at its own temperature, where that is said.
        let at_tube = expected
            .tube_temperature
            .as_ref()
            .or(expected.air_temperature.as_ref());
        let air = expected.air_temperature.as_ref().map(|air| air.value());
        // What is said for the place goes before what is said for the plan.
        let at_place = path.clone().key("conditions");
        let conditions = sink.place(if planned.conditions.air_temperature.is_some() {
            at_place
        } else {
            Path::root().key("conditions")
        });
        let outside = [
            at_tube
                .filter(|at| {
                    usable
                        .iter()
                        .all(|usable| too_hot_or_cold(at.value(), usable))
                })
                .map(|at| {
                    (
                        at.text(),
                        usable
                            .first()
                            .and_then(|usable| Some(usable.temperature.as_ref()?.text())),
                        help!(
                            "choose another tube, bring tube and pump into the range and write that under {}, or go when it is otherwise",
                            Offer::name("tube_temperature").at(conditions.clone())
                        ),
                    )
                }),
            expected
                .humidity
                .as_ref()
                .filter(|at| {
                    usable
                        .iter()
                        .all(|usable| too_damp_or_dry(at.value(), air, usable))
                })
                .map(|at| {
                    (
                        at.text(),
                        usable
                            .first()
                            .and_then(|usable| Some(usable.humidity.as_ref()?.text())),
                        "choose another tube, or go when it is otherwise".into(),
                    )
                }),
        ];
        for (expected, usable, help) in outside.into_iter().flatten() {
            sink.report(
                sink.at(path.clone().key("tube"))
                    .message("the tube does not work in the air that is expected there")
                    .label(format!("expected {expected}, usable {}", usable.unwrap_or_default()))
                    .note("a result from outside the usable range is not relied on, whichever way it comes out")
                    .help(help)
                    .fact("expected", Fact::text(expected))
                    .fact("usable", Fact::text(usable.unwrap_or_default())),
            );
        }
    }
}

fn too_hot_or_cold(at: Temperature, usable: &Usable) -> bool {
    usable
        .temperature
        .as_ref()
        .is_some_and(|usable| !usable.is_reversed() && !usable.contains(at))
}

/// Relative and absolute humidity are compared at the temperature of the air; without it, two kinds are left alone.
fn too_damp_or_dry(at: Humidity, air: Option<Temperature>, usable: &Usable) -> bool {
    let Some(usable) = usable
        .humidity
        .as_ref()
        .filter(|usable| !usable.is_reversed())
    else {
        return false;
    };
    let like = |at: Humidity| -> Option<Humidity> {
        match (at, usable.low().value()) {
            (Humidity::Relative(_), Humidity::Relative(_))
            | (Humidity::Absolute(_), Humidity::Absolute(_)) => Some(at),
            (Humidity::Absolute(_), Humidity::Relative(_)) => {
                at.to_relative(air?).ok().map(Humidity::Relative)
            }
            (Humidity::Relative(_), Humidity::Absolute(_)) => {
                at.to_absolute(air?).ok().map(Humidity::Absolute)
            }
        }
    };
    like(at).is_some_and(|at| !usable.contains(at))
}
