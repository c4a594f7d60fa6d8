//! Two scales of a tube that cannot be told apart.

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "scale-doubled",
    level: Level::Error,
    since: "0.1.0",
    summary: "Two scales have the same name, or one of several has none.",
    family: Family::Scale,
    docs: include_str!("scale-doubled.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let scales = sheet.printed_scales();
    if scales.len() < 2 {
        return;
    }
    let path = |row: usize| Path::root().key("read").key("scales").index(row);
    for (row, scale) in scales.iter().enumerate() {
        let Some(name) = scale.name.as_deref() else {
            if context.is_absent(scale.name.as_ref(), &path(row).key("name")) {
                sink.report(
                    sink.at(path(row))
                        .message("one of several scales has no name")
                        .label("no name")
                        .note(TWO)
                        .help("name each scale by what tells them apart on the glass; if the tube has one, a scale was typed twice")
                        .related(sink.place(path(usize::from(row == 0))), "another scale"),
                );
            }
            continue;
        };
        let earlier = scales
            .iter()
            .take(row)
            .position(|earlier| earlier.name.as_deref() == Some(name));
        if let Some(first) = earlier {
            sink.report(
                sink.at(path(row).key("name"))
                    .message(format!("the scale `{name}` is given twice"))
                    .label(format!("also scale {}", first + 1))
                    .note(TWO)
                    .help("compare the scales with the leaflet: one was typed twice, or has the name of the other")
                    .related(sink.place(path(first).key("name")), "the first scale of this name"),
            );
        }
    }
}

const TWO: &str = "a reading names its scale, and here it could be worked out on either";
