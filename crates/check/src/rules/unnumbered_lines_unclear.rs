//! Numbers of unnumbered lines that do not go with the marks.

use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "unnumbered-lines-unclear",
    level: Level::Error,
    since: "0.1.0",
    summary: "The numbers of unnumbered lines are neither one for all spaces nor one for each.",
    family: Family::Scale,
    docs: include_str!("unnumbered-lines-unclear.md"),
    check: Check::Tube(check),
};

/// Most lines between two numbered marks that an eye can tell apart on a tube. Common practice, no source; usual are 1, 4 and 9.
const MOST: u32 = 19;

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    // A mark that was not understood is missing in the count of spaces.
    if !context.entry.sound {
        return;
    }
    for view in sheet.scales() {
        let lines = &view.scale.unnumbered;
        let spaces = view.scale.marks.len().saturating_sub(1);
        let path = view.path().key("unnumbered");
        let (message, label) = if 1 < lines.len() && lines.len() != spaces {
            (
                "the unnumbered lines do not go with the marks",
                format!("{} numbers for {spaces} spaces", lines.len()),
            )
        } else if let Some(many) = lines.iter().find(|count| MOST < count.value()) {
            (
                "so many unnumbered lines cannot be told apart",
                format!("{} lines between two marks", many.value()),
            )
        } else {
            continue;
        };
        sink.report(
            sink.at(path)
                .message(message)
                .label(label)
                .note("they say how finely the scale can be read; with a wrong number a reading is taken for surer than it is")
                .help("count the lines between two numbered marks on the tube: one number if they are the same everywhere, else one for each space from the inlet on"),
        );
    }
}
