//! Times of reading that leave no time to read in.

use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "read-times-reversed",
    level: Level::Error,
    since: "0.1.0",
    summary: "The stain has to be waited for longer than it may be read.",
    family: Family::Scale,
    docs: include_str!("read-times-reversed.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(read) = &sheet.read else { return };
    let times = [
        ("wait", &read.wait, "within", &read.within),
        (
            "wait",
            &read.wait,
            "colour_fades_after",
            &read.colour_fades_after,
        ),
    ];
    for (key, wait, other, until) in times {
        let (Some(wait), Some(until)) = (wait, until) else {
            continue;
        };
        if wait.value().seconds() < until.value().seconds() {
            continue;
        }
        let path = Path::root().key("read");
        sink.report(
            sink.at(path.clone().key(key))
                .message(format!(
                    "the wait leaves no time to read: `{other}` ends before it"
                ))
                .label(format!(
                    "wait {}, {other} {}",
                    wait.canonical(),
                    until.canonical()
                ))
                .note("every reading would be called too early or too late")
                .help("compare both with the leaflet: minutes and seconds may be swapped")
                .related(sink.place(path.key(other)), "the other time")
                .fact("written", words::written_fact(wait)),
        );
        return;
    }
}
