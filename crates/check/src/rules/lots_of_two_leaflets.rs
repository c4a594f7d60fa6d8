//! A lot that two revisions of a leaflet claim.

use std::cmp::Ordering;

use stainbook_catalog::model::series_of;
use stainbook_catalog::written::scalars::{LotSpan, lot_order};
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::{Path, Place};

use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "lots-of-two-leaflets",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Two revisions of a leaflet claim the same lots.",
    family: Family::Identity,
    docs: include_str!("lots-of-two-leaflets.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(lots) = sheet.lots() else {
        return;
    };
    // Of a pair the later one is reported; files are read in the order of their names.
    for (entry, other) in context.book.sheets_of_series(&series_of(sheet)) {
        if entry.file == context.entry.file {
            return;
        }
        let Some(others) = other.lots() else {
            continue;
        };
        let meets = |own: &LotSpan| others.spans().iter().any(|span| meet(own, span));
        // Two files of one short name have a rule of their own.
        if other.tube == sheet.tube || !lots.spans().iter().any(meets) {
            continue;
        }
        let id = other.tube.as_deref().unwrap_or_default();
        sink.report(
            sink.at(Path::root().key("leaflet").key("lots"))
                .message(format!("`{id}` claims some of these lots too"))
                .label(format!("{} here, {} there", lots.text(), others.text()))
                .note("a lot is evaluated with its own leaflet; for a lot that both claim the reading is refused, as nothing says which one lay in the box")
                .help(help!("look at both leaflets: the older one usually ends where the newer begins, as in {}; if both are the same leaflet, give one another {}", Offer::yaml("24-100 to 24-220").in_part(), Offer::name("series").at(sink.place(Path::root()))))
                .related(Place::value(entry.file, Path::root().key("leaflet").key("lots")), "the other sheet")
                .fact("written", Fact::text(lots.text()))
                .fact("other", Fact::text(others.text())),
        );
        return;
    }
}

/// True if some lot lies in both runs.
fn meet(a: &LotSpan, b: &LotSpan) -> bool {
    let begins_by = |first: &Option<String>, last: &Option<String>| match (first, last) {
        (Some(first), Some(last)) => lot_order(first, last) != Ordering::Greater,
        _ => true,
    };
    begins_by(&a.first, &b.last) && begins_by(&b.first, &a.last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_lots() {
        let span = |first: Option<&str>, last: Option<&str>| LotSpan {
            first: first.map(str::to_owned),
            last: last.map(str::to_owned),
        };
        let old = span(Some("24-100"), Some("24-220"));
        for (other, expected) in [
            (span(Some("24-221"), None), false),
            (span(Some("24-220"), None), true),
            (span(None, Some("24-99")), false),
            (span(None, None), true),
            (span(Some("24-150"), Some("24-150")), true),
        ] {
            assert_eq!(
                (meet(&old, &other), meet(&other, &old)),
                (expected, expected),
                "{other:?}"
            );
        }
    }
}
