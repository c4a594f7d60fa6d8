//! Strokes that the pump of a reading cannot draw.

use stainbook_catalog::written::{SurveyEntry, TubeEntry};

use crate::printed::{Interval, same};
use crate::readings::{Sheets, placed};
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "strokes-the-pump-cannot-draw",
    level: Level::Error,
    since: "0.1.0",
    summary: "The pump of a reading cannot draw half a stroke, or not a stroke of the sheet's volume.",
    family: Family::Field,
    docs: include_str!("strokes-the-pump-cannot-draw.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let Some(pump) = reading.pump.as_deref() else {
            continue;
        };
        let kind_id = context
            .book
            .pump(pump)
            .and_then(|entry| entry.kind.as_deref());
        let Some(kind) = kind_id.and_then(|kind| context.book.pump_kind(kind)) else {
            continue;
        };
        let name = kind.name.as_deref().unwrap_or("its kind");
        if let Some(strokes) = &reading.strokes
            && kind.half_strokes == Some(false)
            && !same(strokes.value(), strokes.value().round())
        {
            sink.report(
                sink.at(path.clone().key("strokes"))
                    .message(format!("`{pump}` cannot draw {}", words::count_of_strokes(strokes)))
                    .label(format!("{name} draws whole strokes only"))
                    .note("the record cannot be true as it stands, and how much air went through the tube is not known")
                    .help("look at the record: the count or the pump is another one")
                    .fact("written", words::number_fact(strokes, "strokes")),
            );
            continue;
        }
        // A sheet that contradicts its own kinds of pump has a rule of its own.
        let allows = |tube: &TubeEntry| {
            let kinds = tube.pump_kinds().iter();
            kinds.into_iter().any(|kind| Some(kind.as_str()) == kind_id)
        };
        let of_sheet = sheets
            .only(reading)
            .filter(|(_, tube)| !allows(tube))
            .and_then(|(_, tube)| tube.stroke());
        let (Some(of_sheet), Some(of_pump)) = (of_sheet, &kind.stroke) else {
            continue;
        };
        let in_millilitres = |written: &stainbook_core::Written<stainbook_core::Volume>| {
            let value = written.value().millilitres();
            let part = written.half_step() / written.number().abs().max(f64::MIN_POSITIVE);
            Interval::around(value, value * part)
        };
        if in_millilitres(of_sheet).meets(in_millilitres(of_pump)) {
            continue;
        }
        sink.report(
            sink.at(path.key("pump"))
                .message(format!("a stroke of `{pump}` is not a stroke of the sheet"))
                .label(format!("{name} draws {}, the sheet is printed for {}", of_pump.canonical(), of_sheet.canonical()))
                .note("the stain goes with the volume of air that was drawn, so the scale does not hold for these strokes")
                .help("look at the record: the pump is another one; else repeat with a pump that the sheet allows")
                .fact("pump", Fact::text(of_pump.text()))
                .fact("sheet", Fact::text(of_sheet.text())),
        );
    }
}
