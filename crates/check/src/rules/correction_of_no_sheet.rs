//! A correction that is said to be on another sheet, and is not.

use stainbook_catalog::EntryKind;
use stainbook_catalog::model::on_another_sheet;
use stainbook_catalog::written::tube::Method;
use stainbook_document::place::{Path, Place};

use crate::points::axis_name;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-of-no-sheet",
    level: Level::Error,
    since: "0.1.0",
    summary: "A correction refers to a sheet that is not there or states none.",
    family: Family::Correction,
    docs: include_str!("correction-of-no-sheet.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        let refers = placed.correction.method == Some(Method::AsOnAnotherSheet);
        let Some(id) = placed.correction.sheet.as_deref().filter(|_| refers) else {
            continue;
        };
        let Err(why) = on_another_sheet(context.book, id, placed.axis) else {
            continue;
        };
        let mut finding = sink
            .at(placed.path().key("sheet"))
            .message(format!(
                "the {} correction is said to be on a sheet that does not state one",
                axis_name(placed.axis)
            ))
            .label(why)
            .note("without that table no reading can be worked out with this sheet")
            .help("name the sheet whose leaflet prints the table, or type the table here")
            .fact("written", Fact::text(id));
        if let Some(entry) = context.book.find(EntryKind::Tube, id) {
            finding = finding.related(
                Place::value(entry.file, Path::root().key("correct")),
                "that sheet's corrections",
            );
        }
        sink.report(finding);
    }
}
