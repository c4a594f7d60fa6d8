//! Finding a unit by its spelling: a hash table made at compile time, then the typographic variants, then the nearest.

use crate::dimension::Dimension;
use crate::unit::Unit;
use crate::unit_table::UNITS;

/// Slots of the table: a power of two, more than twice the number of spellings, so that chains stay short.
const SLOTS: usize = 2048;
const EMPTY: u16 = u16::MAX;

/// For each slot the row of the unit (high byte) and the spelling within the row (low byte).
static INDEX: [u16; SLOTS] = index();

/// FNV-1a over the spelling, begun with the dimension, so that `%` has a slot for each dimension it stands for.
const fn hash(dimension: Dimension, spelling: &[u8]) -> usize {
    let mut hash = (0x811c_9dc5_u32 ^ dimension as u32).wrapping_mul(0x0100_0193);
    let mut rest = spelling;
    while let [byte, tail @ ..] = rest {
        hash = (hash ^ *byte as u32).wrapping_mul(0x0100_0193);
        rest = tail;
    }
    (hash ^ (hash >> 15)) as usize & (SLOTS - 1)
}

#[expect(
    clippy::indexing_slicing,
    clippy::cast_possible_truncation,
    reason = "runs at compile time only, where an index out of range stops the build"
)]
const fn index() -> [u16; SLOTS] {
    let mut table = [EMPTY; SLOTS];
    let mut row = 0;
    while row < UNITS.len() {
        let unit = &UNITS[row];
        let mut entry = 0;
        while entry < unit.spellings.len() {
            let mut slot = hash(unit.dimension, unit.spellings[entry].as_bytes());
            while table[slot] != EMPTY {
                slot = (slot + 1) & (SLOTS - 1);
            }
            assert!(
                row < 255 && entry < 256,
                "the unit table has outgrown its index"
            );
            table[slot] = ((row as u16) << 8) | entry as u16;
            entry += 1;
        }
        row += 1;
    }
    table
}

/// The unit of one of these dimensions that is spelled so, typographic variants included.
pub(crate) fn find(dimensions: &[Dimension], spelling: &str) -> Option<&'static Unit> {
    if let Some(unit) = find_exact(dimensions, spelling) {
        return Some(unit);
    }
    let plain = plain_typography(spelling);
    if plain == spelling {
        None
    } else {
        find_exact(dimensions, &plain)
    }
}

fn find_exact(dimensions: &[Dimension], spelling: &str) -> Option<&'static Unit> {
    dimensions
        .iter()
        .find_map(|&dimension| probe(dimension, spelling))
}

fn probe(dimension: Dimension, spelling: &str) -> Option<&'static Unit> {
    let mut slot = hash(dimension, spelling.as_bytes());
    loop {
        let entry = *INDEX.get(slot)?;
        if entry == EMPTY {
            return None;
        }
        let unit = UNITS.get(usize::from(entry >> 8))?;
        if unit.dimension == dimension
            && unit.spellings.get(usize::from(entry & 0xff)) == Some(&spelling)
        {
            return Some(unit);
        }
        slot = (slot + 1) & (SLOTS - 1);
    }
}

/// A spelling with its typography made plain: one ordinary space where any spaces stood, none about `/`, `·` and `%`;
/// superscripts as digits, the micro sign for the Greek letter, one kind of dot, of minus and of degree sign.
fn plain_typography(spelling: &str) -> String {
    let mut plain = String::with_capacity(spelling.len());
    for letter in spelling.chars() {
        match letter {
            '⁰' => plain.push('0'),
            '¹' => plain.push('1'),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '⁴'..='⁹' => plain.extend(char::from_digit(u32::from(letter) - 0x2070, 10)),
            '⁻' | '−' | '‐' | '‑' | '–' => plain.push('-'),
            'μ' => plain.push('µ'),
            '⋅' | '·' | '∙' | '•' => plain.push('.'),
            'º' | '˚' => plain.push('°'),
            '℃' => plain.push_str("°C"),
            '℉' => plain.push_str("°F"),
            '∕' | '⁄' => plain.push('/'),
            '％' => plain.push('%'),
            'ℓ' => plain.push('L'),
            '\u{feff}' | '\u{200b}' | '\u{2060}' => {}
            space if space.is_whitespace() => {
                if !plain.ends_with([' ', '/', '.', '°']) {
                    plain.push(' ');
                }
            }
            other => {
                if matches!(other, '/' | '.') && plain.ends_with(' ') {
                    plain.pop();
                }
                plain.push(other);
            }
        }
    }
    plain
}

/// Letters of other alphabets that are taken for Latin ones, with the Latin letter. The Greek μ is not among them: it
/// is what many keyboards give for micro.
const LOOK_ALIKES: [(char, char, &str); 31] = [
    ('а', 'a', "Cyrillic"),
    ('А', 'A', "Cyrillic"),
    ('В', 'B', "Cyrillic"),
    ('с', 'c', "Cyrillic"),
    ('С', 'C', "Cyrillic"),
    ('е', 'e', "Cyrillic"),
    ('Е', 'E', "Cyrillic"),
    ('Н', 'H', "Cyrillic"),
    ('і', 'i', "Cyrillic"),
    ('К', 'K', "Cyrillic"),
    ('к', 'k', "Cyrillic"),
    ('М', 'M', "Cyrillic"),
    ('м', 'm', "Cyrillic"),
    ('о', 'o', "Cyrillic"),
    ('О', 'O', "Cyrillic"),
    ('р', 'p', "Cyrillic"),
    ('Р', 'P', "Cyrillic"),
    ('г', 'g', "Cyrillic"),
    ('ч', 'h', "Cyrillic"),
    ('Т', 'T', "Cyrillic"),
    ('х', 'x', "Cyrillic"),
    ('у', 'y', "Cyrillic"),
    ('л', 'l', "Cyrillic"),
    ('α', 'a', "Greek"),
    ('ρ', 'p', "Greek"),
    ('Ρ', 'P', "Greek"),
    ('Κ', 'K', "Greek"),
    ('κ', 'k', "Greek"),
    ('ο', 'o', "Greek"),
    ('Η', 'H', "Greek"),
    ('ϲ', 'c', "Greek"),
];

/// The first letter that only looks Latin, and its alphabet.
pub(crate) fn look_alike(spelling: &str) -> Option<(char, &'static str)> {
    spelling.chars().find_map(|letter| {
        let (_, _, alphabet) = LOOK_ALIKES
            .iter()
            .find(|(foreign, _, _)| *foreign == letter)?;
        Some((letter, *alphabet))
    })
}

/// The spelling with every look-alike put right.
pub(crate) fn latinised(spelling: &str) -> String {
    spelling
        .chars()
        .map(|letter| {
            LOOK_ALIKES
                .iter()
                .find(|(foreign, _, _)| *foreign == letter)
                .map_or(letter, |(_, latin, _)| *latin)
        })
        .collect()
}

/// The unit that is spelled most nearly so, if it is near enough to be what was meant.
pub(crate) fn nearest(dimensions: &[Dimension], spelling: &str) -> Option<&'static str> {
    // A long run of text is a sentence, not a mistyped unit, and would only cost time.
    if spelling.is_empty() || 24 < spelling.len() {
        return None;
    }
    let folded = spelling.to_lowercase();
    let length = folded.chars().count();
    let allowed = match length {
        0..=2 => 0,
        3..=7 => 1,
        _ => 2,
    };
    let candidates = || {
        UNITS
            .iter()
            .filter(|unit| dimensions.contains(&unit.dimension))
    };
    if candidates()
        .flat_map(|unit| unit.spellings)
        .any(|candidate| is_factor(spelling, candidate))
    {
        return None;
    }
    let mut best: Option<(usize, &'static str)> = None;
    for unit in candidates() {
        for &candidate in unit.spellings {
            // The lengths alone rule out most, before anything is allocated.
            if allowed < candidate.chars().count().abs_diff(length) {
                continue;
            }
            let candidate_folded = candidate.to_lowercase();
            if beyond(&folded, &candidate_folded) {
                continue;
            }
            let distance = strsim::osa_distance(&folded, &candidate_folded);
            if distance <= allowed && best.is_none_or(|(least, _)| distance < least) {
                best = Some((distance, unit.canonical));
            }
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// True if the text is a unit with letters more before or behind (`psig`): what they mean is not for us to leave away.
fn beyond(text: &str, candidate: &str) -> bool {
    candidate.len() < text.len() && (text.starts_with(candidate) || text.ends_with(candidate))
}

/// True if the text is a unit and something more, set apart from it (`ppm/h`, `g/m³ dry`): another quantity, not a slip.
fn is_factor(text: &str, candidate: &str) -> bool {
    let apart = |rest: &str, edge: Option<char>| {
        !rest.is_empty() && edge.is_some_and(|c| !c.is_alphanumeric())
    };
    let behind = text
        .strip_prefix(candidate)
        .is_some_and(|rest| apart(rest, rest.chars().next()));
    let before = text
        .strip_suffix(candidate)
        .is_some_and(|rest| apart(rest, rest.chars().next_back()));
    !candidate.is_empty() && (behind || before)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::{unit, unit_of};

    #[test]
    fn every_spelling_of_the_table_finds_its_own_row() {
        for row in &UNITS {
            for spelling in row.spellings {
                let found = unit_of(row.dimension, spelling).unwrap();
                assert_eq!(found, row, "{spelling}");
            }
        }
    }

    #[test]
    fn no_spelling_stands_twice_in_one_dimension() {
        let mut all: Vec<_> = UNITS
            .iter()
            .flat_map(|u| u.spellings.iter().map(move |s| (u.dimension, *s)))
            .collect();
        assert!(all.len() * 2 < SLOTS, "{} spellings", all.len());
        let before = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(before, all.len());
    }

    #[test]
    fn typography_does_not_matter() {
        for (typed, canonical) in [
            ("mg·m⁻³", "mg/m³"),
            ("mg m−3", "mg/m³"),
            ("mg\u{a0}m-3", "mg/m³"),
            ("mg / m³", "mg/m³"),
            ("μg/m³", "µg/m³"),
            ("µg/m³", "µg/m³"),
            ("ug/m3", "µg/m³"),
            ("%\u{a0}by\u{202f}volume", "% by volume"),
            ("℃", "°C"),
            ("º C", "°C"),
        ] {
            assert_eq!(unit(typed).unwrap().canonical(), canonical, "{typed:?}");
        }
    }

    #[test]
    fn a_foreign_letter_is_named() {
        let error = unit("°С").unwrap_err();
        assert_eq!(error.suggestion(), Some("°C"));
        assert!(error.to_string().contains("Cyrillic"), "{error}");
        assert!(unit("рpm").unwrap_err().to_string().contains("Cyrillic"));
        assert!(unit("ρpm").unwrap_err().to_string().contains("Greek"));
    }

    #[test]
    fn near_misses() {
        for (typed, meant) in [
            ("pmm", "ppm"),
            ("mgm3", "mg/m³"),
            ("pPm", "ppm"),
            ("hpa", "hPa"),
        ] {
            let error = unit(typed);
            match error {
                Ok(unit) => assert_eq!(unit.canonical(), meant, "{typed}"),
                Err(error) => assert_eq!(error.suggestion(), Some(meant), "{typed}"),
            }
        }
        for guess in ["ppm/h", "e ppm", "mg/m3h", "psig", "% LEL", "deg"] {
            assert_eq!(unit(guess).unwrap_err().suggestion(), None, "{guess}");
        }
        assert_eq!(unit("furlong").unwrap_err().suggestion(), None);
        assert_eq!(unit("ppt").unwrap_err().suggestion(), None);
    }
}
