//! A reading with a leaflet that the catalog does not have.

use stainbook_catalog::written::SurveyEntry;

use crate::readings::{Sheets, list, placed, revision};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "leaflet-revision-unknown",
    level: Level::Error,
    since: "0.1.0",
    summary: "A reading was made with a revision of the leaflet that the catalog has no sheet for.",
    family: Family::Field,
    docs: include_str!("leaflet-revision-unknown.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let (Some(tube), Some(leaflet)) = (reading.tube.as_deref(), reading.leaflet.as_deref())
        else {
            continue;
        };
        let called = sheets.called(tube);
        let known = called.iter().all(|(_, sheet)| revision(sheet).is_some());
        if called.is_empty() || !known || !sheets.of_revision(reading).is_empty() {
            continue;
        }
        sink.report(
            sink.at(path.key("leaflet"))
                .message(format!("there is no sheet of `{tube}` for revision {leaflet} of the leaflet"))
                .label(format!("there is {}", list(&called)))
                .note("strokes, multipliers and tables change with the revision: a reading is worked out with the leaflet that lay in its own box, and with no other")
                .help("look at the leaflet in the box; if the revision is right, enter that leaflet as a sheet of its own")
                .fact("written", Fact::text(leaflet)),
        );
    }
}
