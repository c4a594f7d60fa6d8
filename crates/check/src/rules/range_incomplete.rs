//! A row of strokes without a figure that follows from nothing else, or with figures that no one multiplier gives.

use stainbook_catalog::written::tube::MeasuringRange;

use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "range-incomplete",
    level: Level::Error,
    since: "0.1.0",
    summary: "A row of strokes lacks a figure that does not follow from the others.",
    family: Family::Scale,
    docs: include_str!("range-incomplete.md"),
    check: Check::Tube(check),
};

/// Fields of a row of which another may stand in for one that is not printed.
const FIELDS: [&str; 11] = [
    "strokes",
    "up_to_strokes",
    "volume",
    "multiply_by",
    "from",
    "to",
    "seconds_per_stroke",
    "seconds_in_all",
    "seconds_for",
    "uses",
    "usable",
];

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let mut said: Vec<(usize, &str)> = Vec::new();
    for lacking in &sheet.full_ranges().lacking {
        let row = SheetView::range_path(lacking.row);
        let Some(range) = sheet.ranges().get(lacking.row) else {
            continue;
        };
        // A row for several counts lacks the same for each.
        if said.contains(&(lacking.row, lacking.key)) {
            continue;
        }
        // What is there and was not understood has been blamed, and may be what is lacking.
        let blamed = FIELDS.into_iter().any(|key| {
            !is_understood(range, key) && !context.is_absent(None::<&()>, &row.clone().key(key))
        });
        if blamed || context.may_have_others(&row, &FIELDS) {
            continue;
        }
        said.push((lacking.row, lacking.key));
        let path = if is_understood(range, lacking.key) {
            row.key(lacking.key)
        } else {
            row
        };
        sink.report(
            sink.at(path)
                .message(lacking.why.clone())
                .label(format!("`{}` does not follow", lacking.key))
                .note("what the leaflet does not print is taken only where it follows from the rest; without it no reading with these strokes is worked out")
                .help(lacking.write.clone())
                .fact("field", Fact::text(lacking.key)),
        );
    }
}

fn is_understood(range: &MeasuringRange, key: &str) -> bool {
    match key {
        "strokes" => range.strokes.is_some(),
        "up_to_strokes" => range.up_to_strokes.is_some(),
        "volume" => range.volume.is_some(),
        "multiply_by" => range.multiply_by.is_some(),
        "from" => range.from.is_some(),
        "to" => range.to.is_some(),
        "seconds_per_stroke" => range.seconds_per_stroke.is_some(),
        "seconds_in_all" => range.seconds_in_all.is_some(),
        "seconds_for" => range.seconds_for.is_some(),
        "uses" => range.uses.is_some(),
        "usable" => range.usable.is_some(),
        _ => false,
    }
}
