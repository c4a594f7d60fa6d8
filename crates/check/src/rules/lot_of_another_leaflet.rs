//! A lot that does not belong to the leaflet of its reading.

use stainbook_catalog::written::SurveyEntry;

use crate::readings::{Sheets, has_lot, list, placed};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "lot-of-another-leaflet",
    level: Level::Error,
    since: "0.1.0",
    summary: "The lot of a reading does not belong to the leaflet or sheet that the reading names.",
    family: Family::Field,
    docs: include_str!("lot-of-another-leaflet.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let Some(lot) = reading.lot.as_deref() else {
            continue;
        };
        let named = sheets.of_revision(reading);
        let Some((_, first)) = named.first() else {
            continue;
        };
        if !sheets.fitting(reading).is_empty() {
            continue;
        }
        let mut elsewhere = sheets.siblings(first);
        elsewhere.retain(|(_, tube)| has_lot(tube, lot) == Some(true));
        let (label, help) = if elsewhere.is_empty() {
            (
                format!("there is {}", list(&named)),
                "look at the lot on the box; if it is right, enter the leaflet from that box as a sheet",
            )
        } else {
            (
                format!("it belongs to {}", list(&elsewhere)),
                "look at the box and its leaflet again, and correct the one that is wrong",
            )
        };
        sink.report(
            sink.at(path.key("lot"))
                .message(format!("lot `{lot}` does not belong to {}", list(&named)))
                .label(label)
                .note("tubes of another lot can have another scale; the reading would be worked out with a leaflet that is not theirs")
                .help(help)
                .fact("written", Fact::text(lot)),
        );
    }
}
