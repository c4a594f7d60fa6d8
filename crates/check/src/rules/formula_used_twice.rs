//! One formula for two substances, with nothing that tells them apart.

use stainbook_catalog::EntryKind;
use stainbook_catalog::written::SubstanceEntry;
use stainbook_core::Formula;

use super::substance_hides_another::known_by_a_name_alone;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "formula-used-twice",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Two substances have the same formula, and no CAS number tells them apart.",
    family: Family::Identity,
    docs: include_str!("formula-used-twice.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    // Isomers have one formula and are told apart by their numbers.
    if !context.is_absent(substance.cas.as_ref(), &Path::root().key("cas")) {
        return;
    }
    let (Some(id), Some(text)) = (substance.substance.as_deref(), substance.formula.as_deref())
    else {
        return;
    };
    let Ok(formula) = Formula::parse(text) else {
        return;
    };
    // It has a name of the other one too, and is taken for it.
    if known_by_a_name_alone(substance, context).is_some() {
        return;
    }
    let others = context.book.ids(EntryKind::Substance);
    let same = others
        .into_iter()
        .filter(|other| *other != id)
        .find(|other| {
            let other = context.book.substance(other);
            let other = other.and_then(|entry| entry.formula.as_deref());
            other.and_then(|text| Formula::parse(text).ok()).as_ref() == Some(&formula)
        });
    let Some(other) = same else { return };
    sink.report(
        sink.at(Path::root().key("formula"))
            .message(format!("`{other}` is {formula} too, and `{id}` has no CAS number"))
            .label("an isomer, or the same substance twice?")
            .note("isomers can have limits that differ by far, and stain a tube differently; without its number nobody can see whether this is one of them")
            .help(format!("add the CAS number; if the two are one substance, put this one's names into `also_called` of `{other}`"))
            .fact("written", Fact::text(text))
            .fact("other", Fact::text(other)),
    );
}
