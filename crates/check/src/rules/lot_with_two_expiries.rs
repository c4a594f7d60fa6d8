//! Two boxes of one lot that do not expire together.

use stainbook_catalog::ListedBox;
use stainbook_document::place::Place;

use crate::boxes::{KINDS, can_be_same, sheets_named};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "lot-with-two-expiries",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Two boxes of one lot of a tube have different expiries.",
    family: Family::Field,
    docs: include_str!("lot-with-two-expiries.md"),
    check: Check::Any(&KINDS, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for listed in ListedBox::of(context.entry) {
        let (Some(lot), Some(expires)) = (&listed.stock.lot, &listed.stock.expires) else {
            continue;
        };
        let sheets = sheets_named(listed.stock, context.book);
        let same = |other: &ListedBox<'_>| {
            other.stock.contents() == listed.stock.contents()
                && sheets.iter().any(|(_, sheet)| other.is_of(sheet))
        };
        let mut before = context
            .book
            .boxes_of_lot(lot)
            .take_while(|other| other.entry.file != listed.entry.file || other.row != listed.row)
            .filter(same);
        let other = before.find_map(|other| {
            let its = other.stock.expires.as_ref()?;
            (!can_be_same(its, expires)).then_some((other, its))
        });
        let Some((other, its)) = other else { continue };
        sink.report(
            sink.at(listed.path().key("expires"))
                .message(format!("two boxes of lot `{lot}` expire on different days"))
                .label(format!(
                    "{} written, {} of `{}`",
                    expires.text(),
                    its.text(),
                    other.stock.id.as_deref().unwrap_or_default()
                ))
                .related(Place::value(other.entry.file, other.path().key("expires")), "the other box")
                .note("tubes of one lot were made together; while the two differ, neither stands in for an expiry that a survey does not state")
                .help("look at both boxes: one date or one lot was copied wrong")
                .fact("written", Fact::text(expires.text()))
                .fact("other", Fact::text(its.text())),
        );
    }
}
