//! An expiry that lies further from the manufacture than the leaflet's shelf life.

use jiff::Span;
use stainbook_catalog::ListedBox;
use stainbook_catalog::written::BoxContents;

use crate::boxes::{KINDS, sheets_of_lot};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "expiry-beyond-shelf-life",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A box expires later than its manufacture and the shelf life on the leaflet allow.",
    family: Family::Field,
    docs: include_str!("expiry-beyond-shelf-life.md"),
    check: Check::Any(&KINDS, check),
};

/// Expiries are printed as months, and shelf lives counted from the end of the month of manufacture: so many days are no slip.
/// Common practice, no source.
const SLACK_DAYS: i32 = 31;

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for listed in ListedBox::of(context.entry) {
        let stock = listed.stock;
        let (Some(made), Some(expires)) = (&stock.manufactured, &stock.expires) else {
            continue;
        };
        if stock.contents() != BoxContents::Tubes {
            continue;
        }
        let sheets = sheets_of_lot(stock, context.book);
        let lives: Vec<_> = sheets
            .iter()
            .filter_map(|(id, sheet)| Some((*id, sheet.storage()?.shelf_life.as_deref()?)))
            .collect();
        // It is too long only if it is for every leaflet that may be the box's.
        let Some((id, longest)) = lives
            .iter()
            .max_by(|(_, a), (_, b)| a.value().days().total_cmp(&b.value().days()))
        else {
            continue;
        };
        let allowed = longest.value().days().ceil();
        let span = Span::new().try_days(whole(allowed)).ok();
        let last = span
            .and_then(|span| made.last().checked_add(span).ok())
            .and_then(|day| day.checked_add(Span::new().days(SLACK_DAYS)).ok());
        if lives.len() < sheets.len() || last.is_none_or(|last| expires.first() <= last) {
            continue;
        }
        sink.report(
            sink.at(listed.path().key("expires"))
                .message("the box would keep longer than the leaflet allows")
                .label(format!("made {}, expires {}", made.text(), expires.text()))
                .related(sink.place(listed.path().key("manufactured")), "the manufacture")
                .note(format!("`{id}` says that it keeps {} from manufacture; tubes that are too old may show less than there is", longest.canonical()))
                .help("look at both dates on the box: a year is wrong in one of them, or the leaflet in it is a newer one")
                .fact("manufactured", Fact::text(made.text()))
                .fact("expires", Fact::text(expires.text()))
                .fact("shelf_life", Fact::text(longest.text())),
        );
    }
}

/// A number of days from a shelf life, which no calendar goes beyond.
fn whole(days: f64) -> i64 {
    format!("{days:.0}").parse().unwrap_or(i64::MAX)
}
