//! Readings of several gases where one is meant, and of one where several are.

use std::collections::BTreeMap;

use stainbook_catalog::written::{SurveyEntry, TogetherMethod};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::together::{NamedReading, ReadingsByName, gas_of, named, rows};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "gases-not-for-the-method",
    level: Level::Error,
    since: "0.1.0",
    summary: "Readings are put together whose gases the method is not for.",
    family: Family::Field,
    docs: include_str!("gases-not-for-the-method.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let readings = ReadingsByName::of(survey);
    for (path, row) in rows(survey) {
        let Some(method) = row.method else { continue };
        let all = named(&path, row);
        let gases: Option<Vec<(&NamedReading<'_>, String)>> = all
            .iter()
            .map(|name| Some((name, gas_of(survey, &readings, context, name.id)?)))
            .collect();
        // A gas that cannot be told may be any.
        let Some(gases) = gases else { continue };
        match method {
            TogetherMethod::Average | TogetherMethod::ExposureGroup => {
                one_gas(method, &gases, context, sink);
            }
            TogetherMethod::Mixture | TogetherMethod::MutualInterference => {
                each_once(method, &gases, sink);
            }
        }
    }
}

fn one_gas(
    method: TogetherMethod,
    gases: &[(&NamedReading<'_>, String)],
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    let Some((first, gas)) = gases.first() else {
        return;
    };
    let Some((other, found)) = gases.iter().find(|(_, found)| found != gas) else {
        return;
    };
    sink.report(
        sink.at(other.path.clone())
            .message(format!(
                "`{}` is a reading of {found} and `{}` one of {gas}",
                other.id, first.id
            ))
            .label(format!("a reading of {found}"))
            .note(if method == TogetherMethod::Average {
                "a mean of two gases is the concentration of nothing"
            } else {
                "values of two gases are not compared with the limit of one"
            })
            .help(context.words(
                help!("name readings of one gas; for gases that act alike use {}", Offer::field("method: mixture").in_part()),
                "give the readings of each gas an average of their own; gases that act alike are put together in a survey file",
            ))
            .related(
                sink.place(first.path.clone()),
                format!("a reading of {gas}"),
            )
            .fact("gas", Fact::text(found.clone())),
    );
}

fn each_once(method: TogetherMethod, gases: &[(&NamedReading<'_>, String)], sink: &mut Sink<'_>) {
    let mut seen: BTreeMap<&str, &NamedReading<'_>> = BTreeMap::new();
    for (name, gas) in gases {
        let Some(first) = seen.insert(gas, name) else {
            continue;
        };
        // A name that stands twice has a rule of its own.
        if first.id == name.id {
            continue;
        }
        let (note, help) = if method == TogetherMethod::Mixture {
            (
                "its share of the limit would be added twice",
                "name one reading or average for each gas; put several readings of a gas together in an average that stands above",
            )
        } else {
            (
                "what two gases do to each other's tubes is solved from one reading of each",
                "name one reading for each gas, drawn at the same place and time",
            )
        };
        sink.report(
            sink.at(name.path.clone())
                .message(format!(
                    "`{}` and `{}` are both of {gas}",
                    first.id, name.id
                ))
                .label(format!("{gas} again"))
                .note(note)
                .help(help)
                .related(
                    sink.place(first.path.clone()),
                    format!("the first of {gas}"),
                )
                .fact("gas", Fact::text(gas.clone())),
        );
    }
}
