//! A sheet that was verified by the person who typed it in.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "verified-by-the-same-person",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A sheet was verified by the person who typed it in.",
    family: Family::Provenance,
    docs: include_str!("verified-by-the-same-person.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let by = |signed: &Option<stainbook_catalog::written::Signed>| {
        signed.as_ref().and_then(|signed| signed.by.clone())
    };
    let (Some(entered), Some(verified)) = (by(&sheet.entered), by(&sheet.verified)) else {
        return;
    };
    if initials(&entered) != initials(&verified) {
        return;
    }
    sink.report(
        sink.at(Path::root().key("verified").key("by"))
            .message("the sheet was verified by the person who typed it in")
            .label(format!("{} in both places", verified.trim()))
            .note("who made a slip reads it again as it was meant; the second pair of eyes has to be somebody else's")
            .help(help!("let somebody else compare each number with the paper, or leave {} out until then", Offer::left_out("verified").at(sink.place(Path::root()))))
            .related(sink.place(Path::root().key("entered").key("by")), "who typed it in")
            .fact("by", Fact::text(verified.trim())),
    );
}

/// Initials as they are compared: `K.L.`, `kl` and `K L` are one person.
fn initials(by: &str) -> String {
    by.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect()
}
