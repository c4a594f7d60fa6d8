//! A sheet that does not say how the tube is read, or says it twice.

use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::Path;

use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "no-way-to-read",
    level: Level::Error,
    since: "0.1.0",
    summary: "A sheet has neither a scale with its ranges nor thresholds, or both.",
    family: Family::Scale,
    docs: include_str!("no-way-to-read.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let (Some(read), Some(draw)) = (&sheet.read, &sheet.draw) else {
        return;
    };
    let at = |section: &'static str, key: &'static str| Path::root().key(section).key(key);
    let absent = |section, key| context.is_absent(None::<&()>, &at(section, key));
    let said: Vec<&'static str> = [
        (!read.scales.is_empty(), "scales"),
        (read.indicates.is_some(), "indicates"),
        (read.counts.is_some(), "counts"),
    ]
    .into_iter()
    .filter_map(|(said, key)| said.then_some(key))
    .collect();
    match said.as_slice() {
        [] if ["scales", "indicates", "counts"]
            .into_iter()
            .all(|key| absent("read", key)) =>
        {
            sink.report(
                sink.at_key(Path::root().key("read"))
                    .message("the sheet does not say how the tube is read")
                    .label("no `scales`, no `indicates`, no `counts`")
                    .note("without a scale, or what a colour or a count of strokes means, nothing can be worked out")
                    .help(help!("type the marks of the scale under {}; of a tube without a scale what a colour says under {}, or its table of strokes under {}", Offer::name("scales"), Offer::name("indicates"), Offer::name("counts"))),
            );
        }
        ["scales"] if draw.ranges.is_empty() && absent("draw", "ranges") => {
            sink.report(
                sink.at_key(Path::root().key("draw"))
                    .message("the sheet has a scale, and no stroke count to read it at")
                    .label("no `ranges`")
                    .note("what a reading is multiplied by depends on the strokes; without them nothing can be worked out")
                    .help(help!("type the stroke counts of the leaflet under {}, a row each", Offer::name("ranges"))),
            );
        }
        [first, second, ..] => {
            sink.report(
                sink.at_key(at("read", second))
                    .message(format!("the sheet says both `{first}` and `{second}`"))
                    .label("one of the two is wanted")
                    .note("a reading would have two meanings, and which of them counts cannot be told")
                    .help("type two tubes as two sheets; of one tube keep what its glass shows"),
            );
        }
        _ => {}
    }
}
