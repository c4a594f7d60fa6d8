//! Faults of a formula.

use std::fmt;
use std::ops::Range;

use crate::Formula;

/// A text that is no formula, or one of matter that is not handled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormulaError {
    pub(crate) kind: FormulaErrorKind,
    pub(crate) text: String,
    pub(crate) span: Range<usize>,
}

/// Kind of fault that makes a text no formula.
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
    /// Kind of fault.
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
