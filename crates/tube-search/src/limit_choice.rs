//! Choice of a limit by a few words: forgiving in how they are written, never guessing between two.

use stainbook_catalog::model::{Limit, Substance};
use stainbook_catalog::written::LimitKind;

use stainbook_evaluation::outcome::{Code, Refusal};

/// Words that tell nothing apart.
const EMPTY: [&str; 7] = ["limit", "the", "of", "value", "for", "over", "a"];

/// Shorter beginnings of a word than this are not taken for it.
const BEGINNING: usize = 3;

/// The limits that the words mean: one, or all of them for `all`.
///
/// # Errors
///
/// A [`Refusal`] that lists the limits to choose from.
pub(crate) fn choose<'s>(substance: &'s Substance, words: &str) -> Result<Vec<&'s Limit>, Refusal> {
    let limits = &substance.limits;
    if limits.is_empty() {
        return Err(Refusal::new(
            Code::NoLimits,
            format!("the catalog has no limits of {}", substance.name),
            "say the level with --level, or add the limit to your catalog",
        ));
    }
    let asked = tokens(words);
    if asked.is_empty() || asked == ["all"] {
        return Ok(limits.iter().collect());
    }
    let meant: Vec<&Limit> = limits
        .iter()
        .filter(|limit| {
            let own = tokens_of(limit);
            asked.iter().all(|word| {
                own.iter().any(|known| {
                    known == word || (BEGINNING <= word.len() && known.starts_with(word.as_str()))
                })
            })
        })
        .collect();
    match meant.as_slice() {
        [only] => Ok(vec![only]),
        [] => Err(Refusal::new(
            Code::LimitUnknown,
            format!("no limit of {} goes by `{}`", substance.name, words.trim()),
            format!("choose from: {}", list(limits)),
        )),
        several => Err(Refusal::new(
            Code::LimitAmbiguous,
            format!(
                "`{}` may mean {} limits of {}",
                words.trim(),
                several.len(),
                substance.name
            ),
            format!("say which: {}", list(several.iter().copied())),
        )),
    }
}

/// `US NIOSH ceiling over 15 min 0.5 ppm`.
pub(crate) fn words(limit: &Limit) -> String {
    let over = limit
        .averaged_over
        .as_ref()
        .map(|period| format!(" over {}", period.text()))
        .unwrap_or_default();
    format!(
        "{} {}{over} {}",
        limit.authority,
        limit.kind.name(),
        limit.at_most.text()
    )
}

pub(crate) fn list<'l>(limits: impl IntoIterator<Item = &'l Limit>) -> String {
    limits
        .into_iter()
        .map(|limit| format!("`{}`", words(limit)))
        .collect::<Vec<_>>()
        .join(", ")
}

fn tokens(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !(c.is_alphanumeric() || c == '.' || c == '³'))
        .filter(|word| !word.is_empty() && !EMPTY.contains(word))
        .map(|word| word.replace('³', "3").trim_matches('.').to_owned())
        .collect()
}

fn tokens_of(limit: &Limit) -> Vec<String> {
    let mut own = tokens(&words(limit));
    own.extend(tokens(&limit.source));
    own.extend(tokens(&limit.edition));
    for name in limit.kind.also_called() {
        own.extend(tokens(name));
    }
    let also: &[&str] = match limit.kind {
        LimitKind::EightHours => &["8h", "tw", "shift", "long", "term", "hours", "exposure"],
        LimitKind::ShortTerm | LimitKind::Ceiling | LimitKind::Danger => &[],
    };
    own.extend(also.iter().map(|word| (*word).to_owned()));
    own
}

#[cfg(test)]
mod tests {
    use super::*;
    use stainbook_catalog::Book;

    #[test]
    fn forgiving_and_never_guessing() {
        let book = Book::assemble(Vec::new());
        let chlorine = book.substance_model("chlorine").unwrap();
        for (asked, meant) in [
            ("US NIOSH ceiling", "US NIOSH ceiling over 15 min 0.5 ppm"),
            ("niosh  CEIL", "US NIOSH ceiling over 15 min 0.5 ppm"),
            ("NIOSH idlh", "US NIOSH danger to life or health 10 ppm"),
            ("danger", "US NIOSH danger to life or health 10 ppm"),
            ("the OSHA limit", "US OSHA ceiling 1 ppm"),
            ("STEL", "France short-term 0.5 ppm"),
            ("short-term exposure limit", "France short-term 0.5 ppm"),
            (
                "Immediately dangerous to life or health",
                "US NIOSH danger to life or health 10 ppm",
            ),
            ("OSHA C", "US OSHA ceiling 1 ppm"),
            ("short-term", "France short-term 0.5 ppm"),
            ("ceiling 1 ppm", "US OSHA ceiling 1 ppm"),
        ] {
            let found = choose(&chlorine, asked).unwrap_or_else(|refusal| panic!("{refusal:?}"));
            let found: Vec<String> = found.into_iter().map(words).collect();
            assert_eq!(found, [meant], "{asked}");
        }
        for (asked, code) in [
            ("ceiling", Code::LimitAmbiguous),
            ("0.5 ppm", Code::LimitAmbiguous),
            ("US", Code::LimitAmbiguous),
            ("8-hour", Code::LimitUnknown),
            ("DFG", Code::LimitUnknown),
        ] {
            let refusal = choose(&chlorine, asked).unwrap_err();
            assert_eq!(refusal.code, code, "{asked}");
            assert!(refusal.remedy.contains("US OSHA ceiling 1 ppm") || asked == "0.5 ppm");
        }
        assert_eq!(
            choose(&chlorine, "all").unwrap().len(),
            chlorine.limits.len()
        );
    }
}
