//! Chemical formulas and the molar mass that follows from them.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use crate::MolarMass;
use crate::atomic_weights::{ELEMENTS, Element, element_of};
use crate::nearest::nearest;

/// How many atoms of one element a formula may have. More is a slip: the largest molecule that is a gas or vapour at a
/// work place has fewer than a hundred.
const MOST_ATOMS: u32 = 100_000;

/// How deep brackets may stand in each other.
const DEEPEST: usize = 16;

/// A chemical formula of neutral matter with the usual isotopes: which elements, and how many atoms of each.
///
/// Read are element symbols with counts (`NH3`), brackets of any kind in each other (`Ca(OH)2`, `K3[Fe(CN)6]`), hydrates
/// with `.`, `·` or `*` (`CuSO4.5H2O`), bonds (`CH2=CHCN`, `CH3-CH3`), subscript digits (`H₂S`). Refused are charges,
/// isotopes, elements without a standard atomic weight, and whatever is no element.
///
/// Two formulas are equal when they have the same atoms: `CH3OH` is `CH4O`.
///
/// # Example
///
/// ```
/// use stainbook_core::Formula;
///
/// let f: Formula = "CuSO4.5H2O".parse()?;
/// assert_eq!(f.to_string(), "CuH10O9S");
/// assert_eq!(format!("{:.3}", f.molar_mass().g_per_mol()), "249.677");
/// assert!("NH4+".parse::<Formula>().is_err());
/// # Ok::<(), stainbook_core::FormulaError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    /// In Hill order, each element once, each count above zero.
    atoms: Atoms,
}

impl Formula {
    /// Reads a formula.
    ///
    /// # Errors
    ///
    /// [`FormulaError`], with the place of what is wrong.
    pub fn parse(text: &str) -> Result<Self, FormulaError> {
        Parser::new(text).formula()
    }

    /// The elements and their counts in Hill order: carbon, hydrogen, then the rest by symbol; without carbon all by
    /// symbol.
    pub fn atoms(&self) -> impl Iterator<Item = (&'static Element, u32)> + '_ {
        self.atoms.iter().copied()
    }

    /// The molar mass: the sum of the standard atomic weights, in g/mol.
    ///
    /// Source of the weights: CIAAW 2021, abridged where the weight is an interval. See
    /// [`atomic_weights`](crate::atomic_weights).
    pub fn molar_mass(&self) -> MolarMass {
        MolarMass::of_g_per_mol(self.sum(|weight| weight.value))
    }

    /// How far the molar mass may be off, in g/mol: the sum of what the weights may each be off.
    ///
    /// Between ordinary samples the isotopes vary; for a gas measured with a tube this is negligible, and this is the
    /// figure that says so.
    pub fn molar_mass_bound(&self) -> f64 {
        self.sum(|weight| weight.uncertainty)
    }

    fn sum(&self, of: impl Fn(crate::atomic_weights::Weight) -> f64) -> f64 {
        self.atoms
            .iter()
            .filter_map(|(element, count)| Some(of(element.weight?) * f64::from(*count)))
            .sum()
    }
}

impl FromStr for Formula {
    type Err = FormulaError;

    fn from_str(text: &str) -> Result<Self, FormulaError> {
        Self::parse(text)
    }
}

/// In Hill order: `C2H6O`, `H2S` is `H2S`, `HCl` is `ClH`.
impl fmt::Display for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (element, count) in &self.atoms {
            f.write_str(element.symbol)?;
            if *count != 1 {
                write!(f, "{count}")?;
            }
        }
        Ok(())
    }
}

/// Carbon and hydrogen first if there is carbon, the rest by symbol.
fn hill_order(atoms: &mut [(&'static Element, u32)]) {
    let organic = atoms.iter().any(|(element, _)| element.symbol == "C");
    atoms.sort_by_key(|(element, _)| {
        let rank = match element.symbol {
            "C" if organic => 0,
            "H" if organic => 1,
            _ => 2,
        };
        (rank, element.symbol)
    });
}

/// A text that is no formula, or one of matter that is not handled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormulaError {
    kind: FormulaErrorKind,
    text: String,
    span: Range<usize>,
}

/// Why a text is refused as a formula.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum FormulaErrorKind {
    /// Nothing is written.
    Empty,
    /// No element has this symbol.
    UnknownElement {
        /// The symbol that was probably meant.
        nearest: Option<&'static str>,
    },
    /// The element has no standard atomic weight.
    NoStandardWeight {
        /// Its name.
        name: &'static str,
    },
    /// An isotope is written: the standard weights are those of ordinary mixtures.
    Isotope,
    /// A charge is written: there are no ions in the air.
    Charge,
    /// A bracket is closed that was not opened, or with another kind, or not at all.
    Bracket,
    /// A bracket or a part of a hydrate has nothing in it.
    EmptyGroup,
    /// A count is zero, begins with a zero, or is too large.
    Count,
    /// A number before the whole formula, as in an equation.
    LeadingCount,
    /// A letter or sign that has no place in a formula.
    Unexpected,
}

impl FormulaError {
    /// Why it was refused.
    pub fn kind(&self) -> &FormulaErrorKind {
        &self.kind
    }

    /// The text as it was given.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The bytes of the text that are wrong.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The whole text as it should be written, where only one thing can be meant.
    pub fn suggestion(&self) -> Option<String> {
        let FormulaErrorKind::UnknownElement {
            nearest: Some(symbol),
        } = self.kind
        else {
            return None;
        };
        let before = self.text.get(..self.span.start)?;
        let after = self.text.get(self.span.end..)?;
        Some(format!("{before}{symbol}{after}")).filter(|better| Formula::parse(better).is_ok())
    }
}

impl fmt::Display for FormulaError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = &self.text;
        let part = self.text.get(self.span.clone()).unwrap_or_default();
        match &self.kind {
            FormulaErrorKind::Empty => f.write_str("a formula is missing"),
            FormulaErrorKind::UnknownElement {
                nearest: Some(nearest),
            } => {
                write!(
                    f,
                    "`{part}` in `{text}` is no element, did you mean `{nearest}`?"
                )
            }
            FormulaErrorKind::UnknownElement { nearest: None } => {
                write!(f, "`{part}` in `{text}` is no element")
            }
            FormulaErrorKind::NoStandardWeight { name } => write!(
                f,
                "{name} (`{part}`) has no standard atomic weight, so the molar mass of `{text}` cannot be worked out"
            ),
            FormulaErrorKind::Isotope => {
                write!(
                    f,
                    "`{part}` in `{text}` is an isotope, write the formula with the plain elements"
                )
            }
            FormulaErrorKind::Charge => write!(
                f,
                "`{part}` in `{text}` is a charge, write the formula of the neutral gas"
            ),
            FormulaErrorKind::Bracket => {
                write!(f, "the bracket `{part}` in `{text}` has no partner")
            }
            FormulaErrorKind::EmptyGroup => write!(f, "`{part}` in `{text}` has nothing in it"),
            FormulaErrorKind::Count => write!(f, "`{part}` in `{text}` is no count of atoms"),
            FormulaErrorKind::LeadingCount => {
                write!(
                    f,
                    "`{part}` stands before the formula in `{text}`, write the formula of one molecule"
                )
            }
            FormulaErrorKind::Unexpected => {
                write!(f, "`{part}` in `{text}` has no place in a formula")
            }
        }
    }
}

impl std::error::Error for FormulaError {}

/// Elements with their counts.
type Atoms = Vec<(&'static Element, u32)>;

/// Reads from left to right with a stack of open brackets; nothing recurses.
struct Parser<'a> {
    text: &'a str,
    at: usize,
    /// The groups that are open, the outermost first: where each began, and its atoms so far.
    open: Vec<(usize, char, Atoms)>,
}

impl<'a> Parser<'a> {
    fn new(text: &'a str) -> Self {
        Self {
            text,
            at: 0,
            open: Vec::new(),
        }
    }

    fn formula(mut self) -> Result<Formula, FormulaError> {
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
                let end = self.at.max(start + self.peek().map_or(0, char::len_utf8));
                return Err(self.error(FormulaErrorKind::EmptyGroup, start.min(end)..end));
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
        hill_order(&mut total);
        Ok(Formula { atoms: total })
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
            let isotope = element
                .is_some_and(|e| (u32::from(e.number)..=3 * u32::from(e.number)).contains(&count));
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn formulas_and_their_hill_order() {
        for (text, hill) in [
            ("NH3", "H3N"),
            ("HCl", "ClH"),
            ("C", "C"),
            ("CO", "CO"),
            ("Co", "Co"),
            ("CH3OH", "CH4O"),
            ("(CH3)2CO", "C3H6O"),
            ("CH2=CHCN", "C3H3N"),
            ("CH3-CH3", "C2H6"),
            ("HC≡CH", "C2H2"),
            ("Ca(OH)2", "CaH2O2"),
            ("K3[Fe(CN)6]", "C6FeK3N6"),
            ("((CH3)2N)3PO", "C6H18N3OP"),
            ("CuSO4.5H2O", "CuH10O9S"),
            ("CuSO4·5H2O", "CuH10O9S"),
            ("CuSO4 * 5 H2O", "CuH10O9S"),
            ("H₂S", "H2S"),
            (" H2O ", "H2O"),
            ("Ni(CO)4", "C4NiO4"),
            ("C10H22", "C10H22"),
        ] {
            let formula = Formula::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_eq!(formula.to_string(), hill, "{text}");
            assert_eq!(Formula::parse(hill).unwrap(), formula, "{text}");
        }
    }

    #[test]
    fn molar_masses() {
        for (text, mass) in [
            ("NH3", "17.031"),
            ("CO", "28.010"),
            ("H2S", "34.076"),
            ("Cl2", "70.900"),
            ("Hg", "200.592"),
            ("C6H6", "78.114"),
        ] {
            let formula = Formula::parse(text).unwrap();
            assert_eq!(
                format!("{:.3}", formula.molar_mass().g_per_mol()),
                mass,
                "{text}"
            );
            assert!(0.0 < formula.molar_mass_bound());
        }
    }

    #[test]
    fn refusals() {
        use FormulaErrorKind as K;
        let meant = |nearest| K::UnknownElement { nearest };
        for (text, kind, part) in [
            ("", K::Empty, ""),
            ("  ", K::Empty, "  "),
            ("Xx2", meant(Some("Xe")), "Xx"),
            ("J", meant(None), "J"),
            ("nh3", meant(None), "nh"),
            ("CL2", meant(None), "L"),
            ("cO", meant(Some("C")), "c"),
            ("Tc2O7", K::NoStandardWeight { name: "technetium" }, "Tc"),
            ("RnF2", K::NoStandardWeight { name: "radon" }, "Rn"),
            ("D2O", K::Isotope, "D"),
            ("HTO", K::Isotope, "T"),
            ("[13C]O2", K::Isotope, "[13C]"),
            ("13CO2", K::Isotope, "13C"),
            ("2NaCl", K::LeadingCount, "2"),
            ("2H2O", K::Isotope, "2H"),
            ("¹³CO2", K::Isotope, "¹³C"),
            ("NH4+", K::Charge, "+"),
            ("SO4^2-", K::Charge, "^2-"),
            ("Ca2+", K::Charge, "+"),
            ("Cl-", K::Charge, "-"),
            ("Cl⁻", K::Charge, "⁻"),
            ("Ca²⁺", K::Charge, "²⁺"),
            ("Ca(OH2", K::Bracket, "("),
            ("CaOH)2", K::Bracket, ")"),
            ("Ca(OH]2", K::Bracket, "]"),
            ("Ca()2", K::EmptyGroup, "()"),
            ("H0", K::Count, "0"),
            ("H02", K::Count, "02"),
            ("H999999999999", K::Count, "999999999999"),
            ("H2 O", K::Unexpected, " "),
            ("H2,O", K::Unexpected, ","),
            ("H2O!", K::Unexpected, "!"),
        ] {
            let error = Formula::parse(text).expect_err(text);
            assert_eq!(error.kind(), &kind, "{text}: {error}");
            assert_eq!(&text[error.span()], part, "{text}");
        }
        assert_eq!(
            Formula::parse("cO2").unwrap_err().suggestion().as_deref(),
            Some("CO2")
        );
        for text in ["CuSO4.", ".H2O", "H2O..H2O", "H2O.5"] {
            assert_eq!(
                Formula::parse(text).unwrap_err().kind(),
                &K::EmptyGroup,
                "{text}"
            );
        }
        assert!(Formula::parse(&"(".repeat(1_000_000)).is_err());
        assert!(Formula::parse(&format!("{}H{}", "(".repeat(16), ")9".repeat(16))).is_err());
    }

    proptest! {
        #[test]
        fn never_panics_and_names_a_part_of_the_text(text in "\\PC{0,24}") {
            if let Err(error) = Formula::parse(&text) {
                prop_assert!(text.get(error.span()).is_some());
                prop_assert!(!error.to_string().is_empty());
            }
        }

        #[test]
        fn likely_texts_never_panic(text in "[CHNOSDT0-9()\\[\\].·*+=₂²⁺ -]{0,16}") {
            if let Err(error) = Formula::parse(&text) {
                prop_assert!(text.get(error.span()).is_some());
            }
        }

        #[test]
        fn the_mass_adds_up(c in 1_u32..40, h in 1_u32..90, o in 1_u32..9) {
            let mass = |text: &str| Formula::parse(text).unwrap().molar_mass().g_per_mol();
            let whole = mass(&format!("C{c}H{h}O{o}"));
            let parts = f64::from(c) * mass("C") + f64::from(h) * mass("H") + f64::from(o) * mass("O");
            prop_assert!((whole / parts - 1.0).abs() < 1e-14);
        }
    }
}
