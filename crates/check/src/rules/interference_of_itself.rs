//! The gas that is measured among the gases that disturb it.

use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "interference-of-itself",
    level: Level::Error,
    since: "0.1.0",
    summary: "The gas that a tube measures stands among the other gases.",
    family: Family::Interferent,
    docs: include_str!("interference-of-itself.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(measures) = &sheet.measures else {
        return;
    };
    let members = measures
        .group
        .as_deref()
        .and_then(|group| context.book.group(group));
    let own = |id: &str| {
        measures.substance.as_deref() == Some(id)
            || members.is_some_and(|group| group.members.iter().any(|member| member == id))
    };
    let others = sheet.interferents().iter().enumerate();
    for (row, other) in others {
        let path = Path::root().key("doubt").key("other_gases").index(row);
        if let Some(id) = other.substance.as_deref().filter(|id| own(id)) {
            report(path.key("substance"), id, sink);
        } else if let Some(id) = other
            .group
            .as_deref()
            .filter(|id| measures.group.as_deref() == Some(*id))
        {
            report(path.key("group"), id, sink);
        }
    }
    let also = sheet.response_factors().iter().enumerate();
    for (row, other) in also {
        if let Some(id) = other
            .substance
            .as_deref()
            .filter(|id| measures.substance.as_deref() == Some(*id))
        {
            report(
                Path::root()
                    .key("read")
                    .key("also_measures")
                    .index(row)
                    .key("substance"),
                id,
                sink,
            );
        }
    }
}

fn report(path: Path, id: &str, sink: &mut Sink<'_>) {
    sink.report(
        sink.at(path)
            .message(format!("`{id}` is what the tube measures, not another gas"))
            .label("the gas that is measured")
            .note("a share of the reading would be taken off as another gas's although it is the one that is measured")
            .help("look at the leaflet which other gas this row is about; `measures` may also name the wrong one")
            .related(sink.place(Path::root().key("measures")), "what the tube measures")
            .fact("written", Fact::text(id)),
    );
}
