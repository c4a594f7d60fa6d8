//! A pump whose volume check or leak test is overdue.

use stainbook_catalog::written::{Day, PumpEntry};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::pump_record::{NextCheck, PumpCheck, in_use, overdue_checks};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "pump-check-overdue",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A volume check or leak test of a pump is overdue by the interval of its kind.",
    family: Family::Field,
    docs: include_str!("pump-check-overdue.md"),
    check: Check::Pump(check),
};

fn check(pump: &PumpEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(today) = context.as_of else { return };
    let Some(model) = in_use(pump, context, today) else {
        return;
    };
    for overdue in overdue_checks(&model, today) {
        let (key, name) = match overdue.check {
            PumpCheck::Volume => ("volume_checks", "volume check"),
            PumpCheck::LeakTest => ("leak_tests", "leak test"),
        };
        let Some(row) = row_of(pump, overdue) else {
            continue;
        };
        sink.report(
            sink.at(Path::root().key(key).index(row).key("date"))
                .message(format!("the {name} of this pump is overdue"))
                .label(format!("the last was on {}, the next was due by {}", overdue.last, overdue.due))
                .note(match overdue.check {
                    PumpCheck::Volume => "the tolerance of its stroke is taken as twice as wide in every result until then",
                    PumpCheck::LeakTest => "a pump that has begun to leak draws too little through the tube and reads low",
                })
                .help(help!("check it and write the check down; or write under {} since when it is not used", Offer::name("withdrawn").at(sink.place(Path::root()))))
                .fact("last", Fact::text(overdue.last.to_string()))
                .fact("due", Fact::text(overdue.due.to_string()))
                .fact("as_of", Fact::text(today.to_string())),
        );
    }
}

/// The row of the check of this day.
fn row_of(pump: &PumpEntry, next: NextCheck) -> Option<usize> {
    let is_it = |day: &Option<Day>| day.as_ref().map(Day::last) == Some(next.last);
    match next.check {
        PumpCheck::Volume => pump.volume_checks.iter().rposition(|row| is_it(&row.date)),
        PumpCheck::LeakTest => pump.leak_tests.iter().rposition(|row| is_it(&row.date)),
    }
}
