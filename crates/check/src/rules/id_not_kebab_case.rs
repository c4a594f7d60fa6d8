//! A short name with other letters than small ones, digits and hyphens.

use stainbook_catalog::EntryKind;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "id-not-kebab-case",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A short name has other characters than small letters, digits and single hyphens.",
    family: Family::Identity,
    docs: include_str!("id-not-kebab-case.md"),
    check: Check::Any(&EntryKind::ALL, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    let entry = context.entry;
    let Some(id) = entry.written.id() else { return };
    if is_kebab_case(id) {
        return;
    }
    let better = kebab_case(id);
    let finding = sink
        .at(Path::root().key(entry.kind.id_key()))
        .message(format!("`{id}` is not a short name"))
        .label("small letters, digits and single hyphens")
        .note("the name is also the file's, and not every computer tells capital from small letters: the same book would hold two entries on one and one on the other")
        .fact("written", Fact::text(id));
    sink.report(if is_kebab_case(&better) {
        finding.help(help!("write {}", Offer::yaml(better.clone())))
    } else {
        finding
    });
}

fn is_kebab_case(id: &str) -> bool {
    !id.is_empty()
        && id.split('-').all(|part| {
            !part.is_empty()
                && part
                    .bytes()
                    .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
        })
}

fn kebab_case(id: &str) -> String {
    let words: Vec<String> = id
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names() {
        for (id, good, better) in [
            ("chlorine-a-r2", true, "chlorine-a-r2"),
            ("Chlorine A_r2", false, "chlorine-a-r2"),
            ("chlorine--a", false, "chlorine-a"),
            ("-a", false, "a"),
            ("", false, ""),
        ] {
            assert_eq!(
                (is_kebab_case(id), kebab_case(id).as_str()),
                (good, better),
                "{id}"
            );
        }
    }
}
