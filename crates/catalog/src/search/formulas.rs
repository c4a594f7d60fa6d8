//! Formulas as names: exact in their capitals, in any order of the elements.

use std::borrow::Cow;
use std::sync::OnceLock;

use stainbook_core::Formula;
use stainbook_core::atomic_weights::ELEMENTS;

use super::own_names::Means;
use super::{folded, spoken};
use crate::Book;
use crate::written::SubstanceEntry;

/// No formula that people type by hand is longer; names are, and need no further look.
const LONGEST: usize = 40;

/// A text as a formula. A name is no formula before its third letter as a rule, so that it costs next to nothing.
pub(super) fn parsed(text: &str) -> Option<Formula> {
    let letters = text.bytes().take(3);
    let starts = text
        .bytes()
        .next()
        .is_some_and(|first| first.is_ascii_uppercase() || first == b'(' || first == b'[');
    // Three letters of which only the first is a capital are the beginning of a word.
    let is_word =
        letters.clone().count() == 3 && letters.skip(1).all(|letter| letter.is_ascii_lowercase());
    if !starts || is_word || LONGEST < text.len() {
        return None;
    }
    Formula::parse(text).ok()
}

/// A text as a formula that says no more than which atoms there are, each element once. `C2H5OH` says how they hang together
/// and is the name of one substance where it is listed as such; `C2H6O` is not.
pub fn plain(text: &str) -> Option<Formula> {
    let formula = parsed(text)?;
    let symbols = text.bytes().filter(u8::is_ascii_uppercase).count();
    (formula.atoms().count() == symbols).then_some(formula)
}

/// The substances of a formula: the lab's own, then those of the reference that no own entry hides.
pub(super) fn of(book: &Book, formula: &Formula) -> Vec<Means> {
    let hill = formula.to_string();
    let mut means: Vec<Means> = book
        .own_names()
        .of(book)
        .of_formula(&hill)
        .map(Means::substance)
        .collect();
    if let Some(reference) = book.reference() {
        for place in reference.of_formula(&hill) {
            let Some(id) = reference.id_at(*place) else {
                continue;
            };
            // An own entry of the same short name may have another formula.
            let same = book
                .substance(id)
                .and_then(|entry| parsed(entry.formula.as_deref()?))
                .is_some_and(|own| own == *formula);
            let means_it = Means::substance(id);
            if same && !means.contains(&means_it) {
                means.push(means_it);
            }
        }
    }
    means
}

/// The formula of the substance whose letters are those of the text, if the text has other capitals.
pub(super) fn in_other_capitals(entry: &SubstanceEntry, wanted: &str) -> Option<String> {
    let own = parsed(entry.formula.as_deref()?)?;
    let key = folded(wanted);
    spoken(entry)
        .chain(&entry.formula)
        .find(|name| folded(name) == key && parsed(name).as_ref() == Some(&own))
        .cloned()
}

/// True if the text was found by the letters of a formula alone, and may be another one: `Co`, which is cobalt; `co` and `no`,
/// which are words as well. `h2s` and `HCL` can be nothing else than `H2S` and `HCl`.
pub(super) fn is_one_in_other_capitals(entry: &SubstanceEntry, wanted: &str) -> bool {
    if spoken(entry).any(|name| name == wanted) {
        return false;
    }
    let wanted = with_plain_digits(wanted);
    if !may_be_formula(&wanted) {
        return false;
    }
    let Some(written) = in_other_capitals(entry, &wanted) else {
        return false;
    };
    let key = folded(&wanted);
    let own = parsed(&written);
    // A name that is no formula is a name, whatever its capitals.
    let is_name = spoken(entry).any(|name| folded(name) == key && parsed(name) != own);
    if is_name || parsed(&wanted) == own {
        return false;
    }
    let letters = || wanted.chars().filter(char::is_ascii_alphabetic);
    let is_large = letters().all(|letter| letter.is_ascii_uppercase());
    let is_small = letters().all(|letter| letter.is_ascii_lowercase());
    let has_digit = wanted.contains(|c: char| c.is_ascii_digit());
    let clear = is_large || is_small && has_digit;
    !(clear && readings(&wanted) == 1)
}

fn with_plain_digits(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Borrowed(text);
    }
    let plain = |c: char| {
        let digit = u32::from(c).checked_sub(u32::from('₀'))?;
        char::from_digit(digit, 10)
    };
    Cow::Owned(text.chars().map(|c| plain(c).unwrap_or(c)).collect())
}

/// True if the letters of a text can be symbols of elements. The formulas that are synonyms are short.
fn may_be_formula(text: &str) -> bool {
    const LONGEST_SYNONYM: usize = 12;
    text.len() <= LONGEST_SYNONYM && text.is_ascii() && 0 < readings(text)
}

/// The number of formulas that the letters of a text can stand for, whatever its capitals; two stands for more as well.
fn readings(text: &str) -> usize {
    let symbols = Symbols::of_elements();
    let letter = |byte: u8| {
        byte.is_ascii_alphabetic()
            .then(|| byte.to_ascii_lowercase())
    };
    // From the last letter on: in how many ways the text from here, and from the next letter, can be read.
    let (mut here, mut next) = (1, 0);
    let mut behind = None;
    for byte in text.bytes().rev() {
        let first = letter(byte);
        let count = match first {
            Some(first) => {
                let alone = if symbols.has(first, None) { here } else { 0 };
                let pair = match behind {
                    Some(second) if symbols.has(first, Some(second)) => next,
                    _ => 0,
                };
                2.min(alone + pair)
            }
            None => here,
        };
        next = here;
        here = count;
        behind = first;
    }
    here
}

/// The symbols of the elements that have a standard atomic weight, in small letters: a bit for each second letter, and one
/// for none, by first letter.
struct Symbols([u32; 26]);

impl Symbols {
    fn of_elements() -> &'static Self {
        static SYMBOLS: OnceLock<Symbols> = OnceLock::new();
        SYMBOLS.get_or_init(|| {
            let mut symbols = Self([0; 26]);
            let weighed = ELEMENTS.iter().filter(|element| element.weight.is_some());
            for symbol in weighed.map(|element| element.symbol) {
                let mut letters = symbol.bytes().map(|letter| letter.to_ascii_lowercase());
                if let Some(first) = letters.next()
                    && let Some(bits) = symbols.0.get_mut(place(first))
                {
                    *bits |= bit(letters.next());
                }
            }
            symbols
        })
    }

    fn has(&self, first: u8, second: Option<u8>) -> bool {
        let bits = self.0.get(place(first)).copied().unwrap_or(0);
        bits & bit(second) != 0
    }
}

fn place(letter: u8) -> usize {
    usize::from(letter.wrapping_sub(b'a'))
}

fn bit(second: Option<u8>) -> u32 {
    1 << second.map_or(26, |letter| letter.wrapping_sub(b'a') % 26)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_can_be_read_as_formulas_in_so_many_ways() {
        for (text, ways) in [
            ("h2s", 1),
            ("hcl", 1),
            ("so2", 1),
            ("no2", 1),
            ("co", 2),
            ("co2", 2),
            ("hf", 2),
            ("nh3", 1),
            ("cs2", 2),
            ("benzene", 0),
            ("methanol", 0),
            ("q", 0),
        ] {
            assert_eq!(readings(text), ways, "{text}");
        }
    }

    #[test]
    fn words_are_no_formulas() {
        for text in ["Carbon", "Kohlenmonoxid", "co", "", "Hydrogen sulfide"] {
            assert_eq!(parsed(text), None, "{text}");
        }
        for (text, hill) in [
            ("HCl", "ClH"),
            ("CH3OH", "CH4O"),
            ("(CH3)2CO", "C3H6O"),
            ("H₂S", "H2S"),
        ] {
            assert_eq!(parsed(text).unwrap().to_string(), hill);
        }
    }
}
