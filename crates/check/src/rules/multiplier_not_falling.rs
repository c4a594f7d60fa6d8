//! More strokes with a multiplier that is not smaller.

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "multiplier-not-falling",
    level: Level::Error,
    since: "0.1.0",
    summary: "More strokes have a multiplier that is not smaller.",
    family: Family::Scale,
    docs: include_str!("multiplier-not-falling.md"),
    check: Check::Tube(check),
};

/// Two stroke counts may print the same multiplier after rounding only if they are closer than this ratio: even the flattest
/// tube, exponent 0.6 (from memory), has fallen by more than a fifth here.
const SAME_AFTER_ROUNDING: f64 = 1.5;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let mut rows: Vec<_> = view
            .ranges
            .iter()
            .filter_map(|(row, range)| {
                Some((*row, range.strokes.as_ref()?, range.multiply_by.as_ref()?))
            })
            .collect();
        rows.sort_by(|a, b| a.1.value().total_cmp(&b.1.value()));
        for pair in rows.windows(2) {
            let [(fewer_row, fewer, high), (row, more, low)] = pair else {
                continue;
            };
            // The same stroke count twice has a rule of its own.
            if more.value() <= fewer.value() {
                continue;
            }
            let rises =
                Interval::of(high).is_below(Interval::of(low)) || high.value() < low.value();
            let stays =
                high.value() <= low.value() && SAME_AFTER_ROUNDING < more.value() / fewer.value();
            if !rises && !stays {
                continue;
            }
            let path = SheetView::range_path(*row).key("multiply_by");
            sink.report(
                sink.at(path)
                    .message(format!(
                        "{} have a multiplier that is not smaller than that of {}",
                        words::count_of_strokes(more),
                        words::count_of_strokes(fewer)
                    ))
                    .label(format!("{} written, {} for {}", low.text(), high.text(), words::count_of_strokes(fewer)))
                    .note("more strokes draw more gas: the stain is longer for the same concentration, so what it is multiplied by has to be smaller")
                    .help("look at the leaflet: the two multipliers are swapped, one has a slip, or a stroke count has")
                    .related(sink.place(SheetView::range_path(*fewer_row).key("multiply_by")), "the multiplier of fewer strokes")
                    .fact("written", words::number_fact(low, ""))
                    .fact("fewer_strokes", words::number_fact(high, "")),
            );
        }
    }
}
