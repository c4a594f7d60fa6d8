//! A box with more tubes than it can have.

use stainbook_catalog::ListedBox;

use crate::boxes::KINDS;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "box-count-impossible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "More tubes are left in a box than there can be.",
    family: Family::Field,
    docs: include_str!("box-count-impossible.md"),
    check: Check::Any(&KINDS, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for listed in ListedBox::of(context.entry) {
        let stock = listed.stock;
        let Some(left) = stock
            .left
            .as_ref()
            .map(stainbook_catalog::written::Count::value)
        else {
            continue;
        };
        let full = stock
            .number
            .as_ref()
            .map(stainbook_catalog::written::Count::value);
        let label = match (full, &stock.used_up) {
            (Some(full), _) if full < left => format!("{left} left of {full}"),
            (_, Some(used_up)) if 0 < left => {
                format!("{left} left, and used up {}", used_up.text())
            }
            _ => continue,
        };
        sink.report(
            sink.at(listed.path().key("left"))
                .message("there cannot be so many tubes left in the box")
                .label(label)
                .note("who plans a round by it stands there without tubes")
                .help("count them, and correct `left`, `number` or `used_up`")
                .fact("left", Fact::text(left.to_string())),
        );
    }
}
