//! Marks of isomers in a name: numbers, `o-`, `n-`, `iso`, `tert-`.

use super::folding::folded;

/// Words before a hyphen that say where something sits, with their full and their short spelling.
const POSITIONS: [(&str, &str); 16] = [
    ("n", "normal"),
    ("o", "ortho"),
    ("m", "meta"),
    ("p", "para"),
    ("i", "iso"),
    ("s", "sec"),
    ("t", "tert"),
    ("sec", "secondary"),
    ("tert", "tertiary"),
    ("sym", "symmetrical"),
    ("unsym", "unsymmetrical"),
    ("asym", "asymmetrical"),
    ("cis", "trans"),
    ("alpha", "α"),
    ("beta", "β"),
    ("gamma", "γ"),
];

/// Words that say that all isomers are meant, as in `xylene (mixed isomers)`.
const ALL_ISOMERS: [&str; 3] = ["mixed", "isomers", "isomer"];

/// Syllables that are also written without a hyphen.
const GLUED: [&str; 3] = ["iso", "sec", "tert"];

/// The folded name without what tells isomers apart: `xylene` for `m-xylene`, `trichloroethane` for
/// `1,1,2-trichloroethane`, `propyl alcohol` for `isopropyl alcohol`.
///
/// # Example
///
/// ```
/// use stainbook_catalog::search::without_position;
///
/// assert_eq!(without_position("m-Xylene"), "xylene");
/// assert_eq!(without_position("propan-2-ol"), "propanol");
/// assert_eq!(without_position("tert-butyl acetate"), without_position("isobutyl acetate"));
/// ```
pub fn without_position(name: &str) -> String {
    let kept: Vec<&str> = words(name)
        .filter(|word| !is_position(word))
        .map(|word| {
            GLUED
                .iter()
                .find_map(|syllable| {
                    let rest = word.strip_prefix(syllable).or_else(|| {
                        let end = word.get(..syllable.len())?;
                        end.eq_ignore_ascii_case(syllable)
                            .then(|| word.get(syllable.len()..))
                            .flatten()
                    })?;
                    (rest.len() > 3).then_some(rest)
                })
                .unwrap_or(word)
        })
        .collect();
    folded(&kept.concat())
}

/// True if something in the name tells isomers apart.
pub(super) fn has_position(name: &str) -> bool {
    without_position(name) != folded(name)
}

/// Other ways of writing the same name, folded: short for long positions (`ortho-` for `o-`) and the other way round,
/// and a position that stands behind (`xylene, o-`) put in front.
pub(super) fn respelt(name: &str) -> Vec<String> {
    let mut spellings = Vec::new();
    let mut turned = None;
    if let Some((front, behind)) = name.rsplit_once(',') {
        let behind = behind.trim();
        if behind.ends_with('-') || is_position(behind) {
            turned = Some(format!("{behind}-{}", front.trim()));
        }
    }
    // `1.3-butadiene` for `1,3-butadiene`.
    let dotted = name.contains('.').then(|| name.replace('.', ","));
    for name in [turned.as_deref(), dotted.as_deref(), Some(name)]
        .into_iter()
        .flatten()
    {
        spellings.push(folded(name));
        let words: Vec<&str> = words(name).collect();
        for (short, long) in POSITIONS {
            for (from, to) in [(short, long), (long, short)] {
                let is_meant = |word: &&str| word.eq_ignore_ascii_case(from);
                // `cis` and `trans` are not two spellings of one thing.
                if from == "cis" || from == "trans" || !words.iter().any(is_meant) {
                    continue;
                }
                let respelt: String = words
                    .iter()
                    .map(|word| if is_meant(word) { to } else { *word })
                    .collect();
                spellings.push(folded(&respelt));
            }
        }
    }
    spellings
}

fn words(name: &str) -> impl Iterator<Item = &str> {
    name.split(|c: char| c == '-' || c == '‐' || c == '‑' || c == '–' || c.is_whitespace())
        .map(|word| word.trim_matches(['(', ')', '[', ']', ',']))
        .filter(|word| !word.is_empty())
}

/// `1,2`, `N,N'`, `o`, `tert`.
fn is_position(word: &str) -> bool {
    let locants = word.split(',').all(|part| {
        matches!(part.trim_end_matches(['\'', '’', '′']), "N" | "O" | "S") || is_number(part)
    });
    locants
        || ALL_ISOMERS.iter().any(|all| word.eq_ignore_ascii_case(all))
        || POSITIONS.iter().any(|(short, long)| {
            word.eq_ignore_ascii_case(short) || word.eq_ignore_ascii_case(long)
        })
}

fn is_number(part: &str) -> bool {
    let digits = part.trim_end_matches(['\'', '’', '′']);
    !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_tells_isomers_apart_is_taken_off() {
        for (name, bare) in [
            (
                "1,1,2-trichloro-1,2,2-trifluoroethane",
                "trichlorotrifluoroethane",
            ),
            ("N,N-dimethylformamide", "dimethylformamide"),
            ("toluene-2,4-diisocyanate", "toluenediisocyanate"),
            ("methyl tert-butyl ether", "methylbutylether"),
            ("cis-1,2-dichloroethylene", "dichloroethylene"),
            ("isobutane", "butane"),
            ("xylene (mixed isomers)", "xylene"),
            ("sulfur dioxide", "sulfurdioxide"),
            ("NO2", "no2"),
        ] {
            assert_eq!(without_position(name), bare);
        }
    }

    #[test]
    fn other_spellings_keep_the_isomer() {
        for (typed, meant) in [
            ("ortho-xylene", "o-xylene"),
            ("xylene, o-", "o-xylene"),
            ("i-propanol", "isopropanol"),
            ("t butyl alcohol", "tert-butyl alcohol"),
            ("tertiary-butyl alcohol", "tert-butyl alcohol"),
            ("normal hexane", "n-hexane"),
            ("butanol, n", "n-butanol"),
        ] {
            assert!(
                respelt(typed).contains(&folded(meant)),
                "{typed}: {:?}",
                respelt(typed)
            );
        }
        for (typed, other) in [("cis-butene", "trans-butene"), ("m-xylene", "o-xylene")] {
            assert!(!respelt(typed).contains(&folded(other)), "{typed}");
        }
    }
}
