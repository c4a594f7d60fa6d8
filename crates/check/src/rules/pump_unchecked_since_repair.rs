//! A pump that was mended and not checked since.

use jiff::civil::Date;
use stainbook_catalog::written::{LeakTest, PumpEntry};

use crate::pump_record::in_use;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "pump-unchecked-since-repair",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A pump was repaired, and neither its stroke nor its leak test is on record since.",
    family: Family::Field,
    docs: include_str!("pump-unchecked-since-repair.md"),
    check: Check::Pump(check),
};

fn check(pump: &PumpEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let day = context.as_of.unwrap_or(Date::MAX);
    let Some(model) = in_use(pump, context, day) else {
        return;
    };
    let Some(repair) = model.last_repair(day) else {
        return;
    };
    let Some(row) = pump.repairs.iter().rposition(|other| other == repair) else {
        return;
    };
    let leaks = |result| result == Some(LeakTest::Leaked);
    let test = model.last_leak_test(day);
    // Of one that leaks another rule speaks.
    let missing: Vec<&str> = [
        (model.last_volume_check(day).is_none(), "volume check"),
        (test.is_none_or(|test| test.result.is_none()), "leak test"),
    ]
    .into_iter()
    .filter_map(|(missing, name)| missing.then_some(name))
    .collect();
    if missing.is_empty() || test.is_some_and(|test| leaks(test.result)) {
        return;
    }
    let on = repair.date.as_ref().map_or("", |date| date.text());
    sink.report(
        sink.at(Path::root().key("repairs").index(row))
            .message(format!("no {} since this repair", missing.join(" and no ")))
            .label(format!("repaired {on}"))
            .note("what was checked before the repair says nothing of the pump after it: a result counts its stroke as unchecked")
            .help("check the stroke volume and test for leaks, and write both down; a check of the day of the repair counts unless `before_repair` is true")
            .fact("repaired", Fact::text(on)),
    );
}
