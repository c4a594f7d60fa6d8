//! A usable range that starts above its end.

use stainbook_core::{Quantity, WrittenRange};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "usable-range-reversed",
    level: Level::Error,
    since: "0.1.0",
    summary: "A usable range of temperature or humidity does not start below its end.",
    family: Family::Performance,
    docs: include_str!("usable-range-reversed.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(usable) = sheet.usable() else {
        return;
    };
    if let Some(range) = &usable.temperature {
        one("temperature", range, sink);
    }
    if let Some(range) = &usable.humidity {
        one("humidity", range, sink);
    }
}

fn one<Q: Quantity + PartialOrd>(name: &'static str, range: &WrittenRange<Q>, sink: &mut Sink<'_>) {
    if !range.is_reversed() {
        return;
    }
    sink.report(
        sink.at(Path::root().key("before_use").key("usable").key(name))
            .message(format!("the usable {name} does not start below its end"))
            .label(format!("from {} to {}", range.low().canonical(), range.high().canonical()))
            .note("no condition lies in such a range, so every reading would be called outside the usable conditions")
            .help(if name == "temperature" {
                help!(
                    "write the lower end first; a minus sign may be lost: {}",
                    Offer::yaml(format!(
                        "-{} to {}",
                        range.low().number_text(),
                        range.high().canonical()
                    ))
                )
            } else {
                help!(
                    "write the lower end first: {}",
                    Offer::yaml(format!(
                        "{} to {}",
                        range.high().number_text(),
                        range.low().canonical()
                    ))
                )
            })
            .fact("written", Fact::text(range.text())),
    );
}
