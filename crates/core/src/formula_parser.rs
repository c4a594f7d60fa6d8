//! Reading formulas, from left to right.

use std::ops::Range;

use crate::Formula;
use crate::atomic_weights::{ELEMENTS, Element, element_of};
use crate::formula_error::{FormulaError, FormulaErrorKind};
use crate::nearest::nearest;

/// Largest number of atoms of one element in a formula. More is a slip: the largest molecule that is a gas or vapour at a
/// work place has fewer than a hundred.
const MOST_ATOMS: u32 = 100_000;

/// Greatest depth of brackets in each other.
const DEEPEST: usize = 16;

/// Elements with their counts.
pub(crate) type Atoms = Vec<(&'static Element, u32)>;

/// Reads from left to right with a stack of open brackets; nothing recurses.
pub(crate) struct Parser<'a> {
    text: &'a str,
    at: usize,
    /// The groups that are open, the outermost first: where each began, and its atoms so far.
    open: Vec<(usize, char, Atoms)>,
}

impl<'a> Parser<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        Self {
            text,
            at: 0,
            open: Vec::new(),
        }
    }

    pub(crate) fn formula(mut self) -> Result<Formula, FormulaError> {
        self.skip_spaces();
        if self.peek().is_none() {
            return Err(self.error(FormulaErrorKind::Empty, 0..self.text.len()));
        }
        let mut total = Vec::new();
        loop {
            let start = self.at;
            let times = self.leading_count()?;
            let part = self.part()?;
            if part.is_empty() {
                // A count alone, or else the dot that has nothing before it.
                let end = if start < self.at {
                    self.at
                } else {
                    self.at + self.peek().map_or(0, char::len_utf8)
                };
                return Err(self.error(FormulaErrorKind::EmptyGroup, start..end));
            }
            self.add(&mut total, &part, times, start)?;
            match self.peek() {
                None => break,
                Some(dot) => {
                    self.at += dot.len_utf8();
                    self.skip_spaces();
                }
            }
        }
        Ok(Formula::of(total))
    }

    /// One part of a hydrate, up to the dot or the end.
    fn part(&mut self) -> Result<Atoms, FormulaError> {
        let mut atoms = Vec::new();
        while let Some(letter) = self.peek() {
            let start = self.at;
            match letter {
                '.' | '·' | '*' | '•' | '⋅' | '∙' if self.open.is_empty() => break,
                '(' | '[' | '{' => {
                    self.refuse_isotope_bracket()?;
                    if DEEPEST <= self.open.len() {
                        return Err(self.error(FormulaErrorKind::Bracket, start..start + 1));
                    }
                    self.at += 1;
                    self.open.push((start, letter, std::mem::take(&mut atoms)));
                }
                ')' | ']' | '}' => {
                    self.at += 1;
                    let Some((opened, bracket, outer)) = self.open.pop() else {
                        return Err(self.error(FormulaErrorKind::Bracket, start..start + 1));
                    };
                    if partner(bracket) != letter {
                        return Err(self.error(FormulaErrorKind::Bracket, start..start + 1));
                    }
                    if atoms.is_empty() {
                        return Err(self.error(FormulaErrorKind::EmptyGroup, opened..self.at));
                    }
                    let inner = std::mem::replace(&mut atoms, outer);
                    let times = self.count()?;
                    self.add(&mut atoms, &inner, times, opened)?;
                }
                'A'..='Z' => {
                    let element = self.element()?;
                    let times = self.count()?;
                    self.add(&mut atoms, &[(element, 1)], times, start)?;
                }
                // A bond, if an atom or a group follows; a minus sign if not.
                '-' | '=' | '≡' | '#' | '–' if !atoms.is_empty() && self.bond_follows(letter) =>
                {
                    self.at += letter.len_utf8();
                }
                '+' | '-' | '−' | '⁺' | '⁻' | '^' => return Err(self.charge(start)),
                '⁰'..='⁹' | '¹' | '²' | '³' => return Err(self.superscript(start)),
                space if space.is_whitespace() => self.skip_spaces_inside()?,
                _ => {
                    let kind = if letter.is_ascii_lowercase() || letter.is_alphabetic() {
                        return Err(self.unknown_element(start));
                    } else {
                        FormulaErrorKind::Unexpected
                    };
                    return Err(self.error(kind, start..start + letter.len_utf8()));
                }
            }
        }
        if let Some((opened, ..)) = self.open.pop() {
            return Err(self.error(FormulaErrorKind::Bracket, opened..opened + 1));
        }
        Ok(atoms)
    }

    fn element(&mut self) -> Result<&'static Element, FormulaError> {
        let start = self.at;
        let rest = self.text.get(start..).unwrap_or_default();
        // Two letters before one: `Cl` is chlorine, not carbon and something else.
        let lower = rest
            .chars()
            .skip(1)
            .take_while(char::is_ascii_lowercase)
            .count();
        if let Some(element) = rest.get(..2).filter(|_| 0 < lower).and_then(element_of)
            && lower == 1
        {
            self.at += 2;
            return self.weighed(element, start);
        }
        if lower == 0 {
            let symbol = rest.get(..1).unwrap_or_default();
            if let Some(element) = element_of(symbol) {
                self.at += 1;
                return self.weighed(element, start);
            }
            // Deuterium and tritium have letters of their own, which are no elements.
            if matches!(symbol, "D" | "T") {
                return Err(self.error(FormulaErrorKind::Isotope, start..start + 1));
            }
        }
        Err(self.unknown_element(start))
    }

    fn weighed(
        &self,
        element: &'static Element,
        start: usize,
    ) -> Result<&'static Element, FormulaError> {
        if element.weight.is_some() {
            Ok(element)
        } else {
            Err(self.error(
                FormulaErrorKind::NoStandardWeight { name: element.name },
                start..self.at,
            ))
        }
    }

    fn unknown_element(&self, start: usize) -> FormulaError {
        let word = self.text.get(start..).unwrap_or_default();
        let mut end = start;
        for (index, letter) in word.char_indices() {
            if !letter.is_alphabetic() || (0 < index && letter.is_uppercase()) {
                break;
            }
            end = start + index + letter.len_utf8();
        }
        let written = self.text.get(start..end).unwrap_or_default();
        let mut letters = written.chars();
        let capital: String = letters
            .next()
            .into_iter()
            .flat_map(char::to_uppercase)
            .chain(letters.flat_map(char::to_lowercase))
            .collect();
        let symbols = ELEMENTS
            .iter()
            .filter(|e| e.weight.is_some())
            .map(|e| e.symbol);
        let meant = if element_of(&capital).is_some_and(|e| e.weight.is_some()) {
            element_of(&capital).map(|e| e.symbol)
        } else if 1 < written.chars().count() && written.starts_with(char::is_uppercase) {
            nearest(&capital, symbols, 1)
        } else {
            None
        };
        self.error(
            FormulaErrorKind::UnknownElement { nearest: meant },
            start..end,
        )
    }

    /// The count after an atom or a bracket: 1 if none is written.
    fn count(&mut self) -> Result<u32, FormulaError> {
        let start = self.at;
        let mut count: u32 = 0;
        let mut digits = 0;
        while let Some(digit) = self.peek().and_then(digit_of) {
            if digits == 0 && digit == 0 {
                let end = self.end_of_digits();
                return Err(self.error(FormulaErrorKind::Count, start..end));
            }
            count = count.saturating_mul(10).saturating_add(digit);
            digits += 1;
            self.at += self.peek().map_or(1, char::len_utf8);
        }
        if MOST_ATOMS < count {
            return Err(self.error(FormulaErrorKind::Count, start..self.at));
        }
        Ok(if digits == 0 { 1 } else { count })
    }

    fn end_of_digits(&self) -> usize {
        let rest = self.text.get(self.at..).unwrap_or_default();
        self.at
            + rest
                .chars()
                .take_while(|c| digit_of(*c).is_some())
                .map(char::len_utf8)
                .sum::<usize>()
    }

    /// The count before a part: the 5 of `·5H2O`. At the very start it is refused when it can only be an isotope.
    fn leading_count(&mut self) -> Result<u32, FormulaError> {
        let start = self.at;
        let count = self.count()?;
        self.skip_spaces();
        let first_part = !self
            .text
            .get(..start)
            .unwrap_or_default()
            .contains(|c| "·.*•⋅∙".contains(c));
        // `13CO2` is carbon-13, `2 NaCl` two of something: neither is a substance's formula.
        if start < self.at
            && first_part
            && self
                .text
                .get(start..self.at)
                .is_some_and(|t| t.contains(|c: char| c.is_ascii_digit()))
        {
            let rest = self.text.get(self.at..).unwrap_or_default();
            let symbol = usize::from(rest.starts_with(|c: char| c.is_ascii_uppercase()));
            let symbol = symbol
                + rest
                    .chars()
                    .skip(1)
                    .take_while(char::is_ascii_lowercase)
                    .count()
                    * symbol;
            let element = rest
                .get(..symbol)
                .and_then(element_of)
                .or_else(|| rest.get(..symbol.min(1)).and_then(element_of));
            // A nucleus has at least as many nucleons as protons, and at most about three times as many.
            let written = self.text.get(start..self.at).unwrap_or_default();
            let tight = !written.ends_with(char::is_whitespace);
            let isotope = tight
                && element.is_some_and(|e| {
                    (u32::from(e.number)..=3 * u32::from(e.number)).contains(&count)
                });
            return Err(if isotope {
                self.error(FormulaErrorKind::Isotope, start..self.at + symbol)
            } else {
                self.error(FormulaErrorKind::LeadingCount, start..self.at)
            });
        }
        Ok(count)
    }

    /// `[13C]`, `(2H)`.
    fn refuse_isotope_bracket(&self) -> Result<(), FormulaError> {
        let inside = self.text.get(self.at + 1..).unwrap_or_default();
        let superscript = |c: char| matches!(c, '⁰'..='⁹' | '¹' | '²' | '³');
        if inside.starts_with(|c: char| c.is_ascii_digit() || superscript(c)) {
            let end = inside
                .find([')', ']', '}'])
                .map_or(self.text.len(), |at| self.at + 1 + at + 1);
            return Err(self.error(FormulaErrorKind::Isotope, self.at..end));
        }
        Ok(())
    }

    fn bond_follows(&self, bond: char) -> bool {
        let rest = self
            .text
            .get(self.at + bond.len_utf8()..)
            .unwrap_or_default();
        rest.starts_with(|c: char| c.is_ascii_uppercase() || matches!(c, '(' | '[' | '{'))
    }

    fn charge(&self, start: usize) -> FormulaError {
        let rest = self.text.get(start..).unwrap_or_default();
        let is_charge = |c: char| {
            matches!(
                c,
                '+' | '-' | '−' | '⁺' | '⁻' | '^' | '⁰'..='⁹' | '¹' | '²' | '³'
            ) || c.is_ascii_digit()
        };
        let length = rest.find(|c| !is_charge(c)).unwrap_or(rest.len());
        self.error(FormulaErrorKind::Charge, start..start + length)
    }

    /// A superscript before an element is an isotope, behind one a charge.
    fn superscript(&self, start: usize) -> FormulaError {
        let rest = self.text.get(start..).unwrap_or_default();
        let is_digit = |c: char| matches!(c, '⁰'..='⁹' | '¹' | '²' | '³');
        let after = rest.trim_start_matches(is_digit);
        let length = rest.len() - after.len();
        if after.starts_with(|c: char| c.is_ascii_uppercase()) {
            let symbol = 1 + after
                .chars()
                .skip(1)
                .take_while(char::is_ascii_lowercase)
                .count();
            self.error(FormulaErrorKind::Isotope, start..start + length + symbol)
        } else {
            self.charge(start)
        }
    }

    fn add(
        &self,
        into: &mut Atoms,
        atoms: &[(&'static Element, u32)],
        times: u32,
        start: usize,
    ) -> Result<(), FormulaError> {
        for (element, count) in atoms {
            let more = count.saturating_mul(times);
            let known = into
                .iter_mut()
                .find(|(known, _)| known.number == element.number);
            let sum = if let Some((_, known)) = known {
                *known = known.saturating_add(more);
                *known
            } else {
                into.push((element, more));
                more
            };
            if MOST_ATOMS < sum {
                return Err(self.error(FormulaErrorKind::Count, start..self.at));
            }
        }
        Ok(())
    }

    fn peek(&self) -> Option<char> {
        self.text.get(self.at..)?.chars().next()
    }

    fn skip_spaces(&mut self) {
        while let Some(space) = self.peek().filter(|c| c.is_whitespace()) {
            self.at += space.len_utf8();
        }
    }

    /// Spaces may stand at the end and about the dot of a hydrate; between atoms they would hide a slip.
    fn skip_spaces_inside(&mut self) -> Result<(), FormulaError> {
        let start = self.at;
        self.skip_spaces();
        match self.peek() {
            None | Some('.' | '·' | '*' | '•' | '⋅' | '∙') => Ok(()),
            Some(_) => Err(self.error(FormulaErrorKind::Unexpected, start..self.at)),
        }
    }

    fn error(&self, kind: FormulaErrorKind, span: Range<usize>) -> FormulaError {
        FormulaError {
            kind,
            text: self.text.to_owned(),
            span,
        }
    }
}

fn partner(bracket: char) -> char {
    match bracket {
        '(' => ')',
        '[' => ']',
        _ => '}',
    }
}

fn digit_of(letter: char) -> Option<u32> {
    match letter {
        '0'..='9' => letter.to_digit(10),
        '₀'..='₉' => Some(u32::from(letter) - u32::from('₀')),
        _ => None,
    }
}
