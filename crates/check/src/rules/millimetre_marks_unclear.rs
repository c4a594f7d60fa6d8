//! Millimetre marks that do not go with the concentrations of a table on paper.

use stainbook_catalog::written::Num;

use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "millimetre-marks-unclear",
    level: Level::Error,
    since: "0.1.0",
    summary: "The millimetre marks of a glass are not one for each concentration of the paper's table, rising.",
    family: Family::Scale,
    docs: include_str!("millimetre-marks-unclear.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    // A mark that was not understood is missing in the count.
    if !context.entry.sound {
        return;
    }
    for view in sheet.scales() {
        let (places, marks) = (&view.scale.millimetres, &view.scale.marks);
        let path = view.path().key("millimetres");
        let falls = |pair: &[Num]| matches!(pair, [a, b] if b.value() <= a.value());
        let (message, label, help) = if places.is_empty() {
            continue;
        } else if places.len() != marks.len() {
            (
                "the millimetre marks do not go with the concentrations",
                format!(
                    "{} millimetre marks, {} in `marks`",
                    places.len(),
                    marks.len()
                ),
                "copy the paper's table again: each row is one of `marks` and one of `millimetres`",
            )
        } else if let Some([before, after]) = places.windows(2).find(|pair| falls(pair)) {
            (
                "the millimetre marks do not rise",
                format!("{} mm comes after {} mm", after.text(), before.text()),
                "a longer stain is a higher concentration: copy the paper's table from the shortest stain on",
            )
        } else if !view.scale.unnumbered.is_empty() {
            (
                "a glass in millimetres has its millimetre marks between, and no others",
                "stands beside `unnumbered`".to_owned(),
                "leave out `unnumbered`: how finely it can be read follows from the millimetres",
            )
        } else {
            continue;
        };
        sink.report(
            sink.at(path)
                .message(message)
                .label(label)
                .note("every reading of the tube is looked up in this table, so one row out of place makes each of them wrong")
                .help(help),
        );
    }
}
