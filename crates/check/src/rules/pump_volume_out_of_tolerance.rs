//! A pump whose last volume check found it off.

use jiff::civil::Date;
use stainbook_catalog::written::PumpEntry;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use super::volume_check_implausible;
use crate::pump_record::{in_use, out_of_tolerance};
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "pump-volume-out-of-tolerance",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The last volume check of a pump found more deviation than its kind allows.",
    family: Family::Field,
    docs: include_str!("pump-volume-out-of-tolerance.md"),
    check: Check::Pump(check),
};

fn check(pump: &PumpEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let day = context.as_of.unwrap_or(Date::MAX);
    let Some(model) = in_use(pump, context, day) else {
        return;
    };
    // Of what no pump draws another rule speaks.
    let off =
        out_of_tolerance(&model, day).filter(|off| off.abs() <= volume_check_implausible::MOST);
    let Some(off) = off else {
        return;
    };
    let checks = model.last_volume_checks(day);
    let Some(row) = checks.last().and_then(|last| {
        let is_last = |check| check == *last;
        pump.volume_checks.iter().rposition(is_last)
    }) else {
        return;
    };
    sink.report(
        sink.at(Path::root().key("volume_checks").index(row).key("volume"))
            .message("the last volume check found the pump off")
            .label(format!(
                "{} too {}, its kind allows {}",
                words::percent(off.abs()),
                if off < 0.0 { "small" } else { "large" },
                words::percent(model.kind.volume_tolerance)
            ))
            .note("every result with it is in doubt: with too small a stroke nothing is called below a limit, with too large a one nothing above")
            .help(help!("have it mended, write that under {} and the check after it under {}; or write under {} since when it is not used", Offer::name("repairs").at(sink.place(Path::root())), Offer::name("volume_checks").at(sink.place(Path::root())), Offer::name("withdrawn").at(sink.place(Path::root()))))
            .fact("deviation", Fact::number(off * 100.0, "%", words::percent(off)))
            .fact("tolerance", Fact::number(model.kind.volume_tolerance * 100.0, "%", words::percent(model.kind.volume_tolerance))),
    );
}
