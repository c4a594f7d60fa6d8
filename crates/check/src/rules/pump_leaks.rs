//! A pump that leaked in its last leak test.

use jiff::civil::Date;
use stainbook_catalog::written::PumpEntry;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::pump_record::{in_use, leaked};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "pump-leaks",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A pump leaked in the last leak test on its record.",
    family: Family::Field,
    docs: include_str!("pump-leaks.md"),
    check: Check::Pump(check),
};

fn check(pump: &PumpEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let day = context.as_of.unwrap_or(Date::MAX);
    let Some(model) = in_use(pump, context, day) else {
        return;
    };
    let (Some(on), Some(last)) = (leaked(&model, day), model.last_leak_test(day)) else {
        return;
    };
    let Some(row) = pump.leak_tests.iter().rposition(|test| test == last) else {
        return;
    };
    sink.report(
        sink.at(Path::root().key("leak_tests").index(row).key("result"))
            .message("the pump leaked in its last leak test")
            .label(format!("on {}, and no test since held", on.text()))
            .note("a leaking pump draws too little through the tube: nothing that is read with it is called below a limit")
            .help(help!("have it mended, write that under {} and the test after it under {}; or write under {} since when it is not used", Offer::name("repairs").at(sink.place(Path::root())), Offer::name("leak_tests").at(sink.place(Path::root())), Offer::name("withdrawn").at(sink.place(Path::root()))))
            .fact("date", Fact::text(on.text())),
    );
}
