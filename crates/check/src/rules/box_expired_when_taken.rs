//! A box that had expired when it came or was opened.

use stainbook_catalog::ListedBox;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::boxes::KINDS;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "box-expired-when-taken",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A box came, or was opened, after its expiry.",
    family: Family::Field,
    docs: include_str!("box-expired-when-taken.md"),
    check: Check::Any(&KINDS, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for listed in ListedBox::of(context.entry) {
        let stock = listed.stock;
        let Some(expires) = &stock.expires else {
            continue;
        };
        let taken = [
            (&stock.received, "received", "came"),
            (&stock.opened, "opened", "was opened"),
        ];
        // What came too late was opened too late as well: once is enough.
        let late = taken.into_iter().find_map(|(day, key, what)| {
            let day = day.as_ref()?;
            (expires.last() < day.first()).then_some((day, key, what))
        });
        let Some((day, key, what)) = late else {
            continue;
        };
        sink.report(
            sink.at(listed.path().key(key))
                .message(format!("the box had expired when it {what}"))
                .label(format!("{}, and it expired {}", day.text(), expires.text()))
                .related(sink.place(listed.path().key("expires")), "the expiry")
                .note("nothing that is read with it is called below a limit: a reagent that is too old may show less than there is")
                .help(help!("look at the box: a year is wrong, or it is to be thrown away; write then when it was, under {}", Offer::name("used_up")))
                .fact("expires", Fact::text(expires.text()))
                .fact(key, Fact::text(day.text())),
        );
    }
}
