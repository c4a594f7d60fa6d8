//! A box whose lot belongs to none of the tube's sheets.

use stainbook_catalog::ListedBox;

use crate::boxes::{KINDS, sheets_named, sheets_of_lot};
use crate::readings::list;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "box-lot-without-sheet",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The lot of a box belongs to none of the sheets of its tube.",
    family: Family::Field,
    docs: include_str!("box-lot-without-sheet.md"),
    check: Check::Any(&KINDS, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for listed in ListedBox::of(context.entry) {
        let named = sheets_named(listed.stock, context.book);
        let Some(lot) = listed.stock.lot.as_deref() else {
            continue;
        };
        if named.is_empty() || !sheets_of_lot(listed.stock, context.book).is_empty() {
            continue;
        }
        sink.report(
            sink.at(listed.path().key("lot"))
                .message(format!("lot `{lot}` belongs to no sheet of this tube"))
                .label(format!("there is {}", list(&named)))
                .note("a reading with a tube of this box is refused, or would be worked out with a leaflet that is not the box's")
                .help("look at the lot on the box; if it is right, enter the leaflet from that box as a sheet")
                .fact("written", Fact::text(lot)),
        );
    }
}
