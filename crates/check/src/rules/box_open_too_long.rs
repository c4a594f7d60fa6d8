//! An opened box that was kept for too long.

use stainbook_catalog::ListedBox;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::boxes::{KINDS, open_until};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "box-open-too-long",
    level: Level::Warning,
    since: "0.1.0",
    summary: "An opened box was kept for longer than the leaflet allows.",
    family: Family::Field,
    docs: include_str!("box-open-too-long.md"),
    check: Check::Any(&KINDS, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for listed in ListedBox::of(context.entry) {
        let stock = listed.stock;
        let (Some(opened), Some(open)) = (&stock.opened, open_until(stock, context.book)) else {
            continue;
        };
        let (label, key) = match (&stock.used_up, context.as_of) {
            (Some(used_up), _) if open.at_latest < used_up.first() => (
                format!("opened {}, used up {}", opened.text(), used_up.text()),
                "used_up",
            ),
            (None, Some(today)) if open.at_latest < today => (
                format!("opened {}, and it is {today}", opened.text()),
                "opened",
            ),
            _ => continue,
        };
        sink.report(
            sink.at(listed.path().key(key))
                .message("the opened box was kept for too long")
                .label(label)
                .note(format!("`{}` says that an opened one keeps {}: what is read with it later is not called below a limit", open.sheet, open.keeps))
                .help(help!("throw it away, and write the day under {}; if a date is wrong, correct it", Offer::name("used_up")))
                .fact("opened", Fact::text(opened.text()))
                .fact("keeps", Fact::text(open.keeps)),
        );
    }
}
