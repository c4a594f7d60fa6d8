//! Errors between the tree and a typed value.

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

use serde::de;

use crate::document::NodeId;
use crate::finding::ReaderRule;
use crate::offer::{Help, Offer};

/// A type's account of a text that it cannot read.
///
/// Given to [`serde::de::Error::custom`] it is a plain message to every serde format, and keeps
/// its parts when this crate's reader catches it: serde hands errors on as nothing but something
/// that can be printed, so the alternate form (`{:#}`) carries the parts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problem(Box<ProblemParts>);

/// The parts of a problem, boxed because most texts have none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct ProblemParts {
    /// The problem, one sentence without a full stop.
    pub(crate) message: String,
    /// The remedy.
    pub(crate) help: Option<Help>,
    /// A few words for the caret.
    pub(crate) label: Option<String>,
    /// Bytes of the text that are at fault; all of it if not stated.
    pub(crate) within: Option<Range<usize>>,
    /// The whole text as it should be.
    pub(crate) instead: Option<String>,
    /// The name of the rule it is reported under; `not-a-quantity` if none is named.
    pub(crate) rule: Option<Cow<'static, str>>,
}

/// Parts in the alternate form are set apart by this character, which no text of ours holds.
const BETWEEN: char = '\u{1f}';
/// The parts of an offer by this one, and offers by the next.
const IN_OFFER: char = '\u{1e}';
const BETWEEN_OFFERS: char = '\u{1d}';

impl Problem {
    /// A problem with the text as a whole.
    #[must_use]
    pub fn new(message: impl Into<String>) -> Self {
        Self(Box::new(ProblemParts {
            message: message.into(),
            ..ProblemParts::default()
        }))
    }

    /// Adds what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<Help>) -> Self {
        self.0.help = Some(help.into());
        self
    }

    /// Adds the words at the caret.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.0.label = Some(label.into());
        self
    }

    /// Narrows the problem to these bytes of the text.
    #[must_use]
    pub fn within(mut self, range: Range<usize>) -> Self {
        self.0.within = Some(range);
        self
    }

    /// Adds the whole text as it should be.
    #[must_use]
    pub fn instead(mut self, text: impl Into<String>) -> Self {
        self.0.instead = Some(text.into());
        self
    }

    /// Names the rule, which [`read_typed`](super::read_typed) has to be given where it is none of any document.
    #[must_use]
    pub fn under(mut self, rule: ReaderRule) -> Self {
        self.0.rule = Some(Cow::Borrowed(rule.name));
        self
    }

    pub(crate) fn parts(&self) -> &ProblemParts {
        &self.0
    }

    /// The problem, one sentence without a full stop.
    pub fn message(&self) -> &str {
        &self.0.message
    }

    /// The remedy.
    pub fn help_text(&self) -> Option<&str> {
        self.0.help.as_ref().map(Help::words)
    }

    /// True if a comma stands where a point is meant, or may be meant.
    pub fn is_decimal_comma(&self) -> bool {
        self.0
            .rule
            .as_ref()
            .is_some_and(|rule| rule == crate::rules::DECIMAL_COMMA.name)
    }

    /// The remedy with what it offers.
    pub fn remedy(&self) -> Option<&Help> {
        self.0.help.as_ref()
    }

    /// All that the remedy offers to write.
    pub fn offers(&self) -> &[Offer] {
        self.0.help.as_ref().map(Help::offers).unwrap_or_default()
    }

    fn from_parts(text: &str) -> Option<Self> {
        let mut parts = text.split(BETWEEN);
        let message = parts.next()?.to_owned();
        let mut next = || {
            let part = parts.next()?;
            Some((!part.is_empty()).then(|| part.to_owned()))
        };
        let help = next()?;
        let offers = next()?.unwrap_or_default();
        let offers = offers
            .split(BETWEEN_OFFERS)
            .filter_map(|packed| Offer::unpacked(packed, IN_OFFER));
        let help = help.map(|help| Help::from_parts(help, offers.collect()));
        let label = next()?;
        let instead = next()?;
        let rule = next()?.map(Cow::Owned);
        let within = next()?.and_then(|range| {
            let (start, end) = range.split_once("..")?;
            Some(start.parse().ok()?..end.parse().ok()?)
        });
        Some(Self(Box::new(ProblemParts {
            message,
            help,
            label,
            within,
            instead,
            rule,
        })))
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let part =
            |part: &Option<String>| part.as_deref().unwrap_or_default().replace(BETWEEN, " ");
        if f.alternate() {
            let message = self.0.message.replace(BETWEEN, " ");
            let help = self.help_text().unwrap_or_default().replace(BETWEEN, " ");
            let offers: Vec<String> = self
                .offers()
                .iter()
                .map(|offer| {
                    let packed = offer.packed(IN_OFFER);
                    packed.replace([BETWEEN, BETWEEN_OFFERS], " ")
                })
                .collect();
            let offers = offers.join(&BETWEEN_OFFERS.to_string());
            let (label, instead) = (part(&self.0.label), part(&self.0.instead));
            let rule = self.0.rule.as_deref().unwrap_or_default();
            write!(
                f,
                "{message}{BETWEEN}{help}{BETWEEN}{offers}{BETWEEN}{label}{BETWEEN}{instead}{BETWEEN}{rule}{BETWEEN}"
            )?;
            match &self.0.within {
                Some(range) => write!(f, "{}..{}", range.start, range.end),
                None => Ok(()),
            }
        } else {
            f.write_str(&self.0.message)?;
            match self.help_text() {
                Some(help) => write!(f, "; {help}"),
                None => Ok(()),
            }
        }
    }
}

impl std::error::Error for Problem {}

/// Kinds of failure.
#[derive(Clone, Debug)]
pub(crate) enum TypedFailure {
    /// A type could not read its text, and says so in parts.
    Problem(Problem),
    /// A type could not read its text.
    Message(String),
    /// The value has not the shape that the type asks for, which the schema should have found.
    Shape(String),
}

/// An error of the typed reader, and the node at which it arose.
#[derive(Clone, Debug)]
pub(crate) struct TypedError(Box<(TypedFailure, Option<NodeId>)>);

impl TypedError {
    fn of(what: TypedFailure) -> Self {
        Self(Box::new((what, None)))
    }

    fn shape(message: String) -> Self {
        Self::of(TypedFailure::Shape(message))
    }

    /// Names the node, unless one further inside was named before.
    pub(crate) fn at(mut self, id: NodeId) -> Self {
        self.0.1.get_or_insert(id);
        self
    }

    pub(crate) fn node(&self) -> Option<NodeId> {
        self.0.1
    }

    pub(crate) fn what(&self) -> &TypedFailure {
        &self.0.0
    }
}

impl fmt::Display for TypedError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.what() {
            TypedFailure::Problem(problem) => problem.fmt(f),
            TypedFailure::Message(message) | TypedFailure::Shape(message) => f.write_str(message),
        }
    }
}

impl std::error::Error for TypedError {}

impl de::Error for TypedError {
    fn custom<T: fmt::Display>(message: T) -> Self {
        let text = format!("{message:#}");
        match Problem::from_parts(&text) {
            Some(problem) => Self::of(TypedFailure::Problem(problem)),
            None => Self::of(TypedFailure::Message(text)),
        }
    }

    fn invalid_type(found: de::Unexpected<'_>, expected: &dyn de::Expected) -> Self {
        Self::shape(format!("found {found}, expected {expected}"))
    }

    fn invalid_value(found: de::Unexpected<'_>, expected: &dyn de::Expected) -> Self {
        Self::shape(format!("found {found}, expected {expected}"))
    }

    fn invalid_length(length: usize, expected: &dyn de::Expected) -> Self {
        Self::shape(format!("found {length} entries, expected {expected}"))
    }

    fn unknown_variant(variant: &str, expected: &'static [&'static str]) -> Self {
        Self::shape(format!("`{variant}` is none of {expected:?}"))
    }

    fn unknown_field(field: &str, _: &'static [&'static str]) -> Self {
        Self::shape(format!("no field `{field}`"))
    }

    fn missing_field(field: &'static str) -> Self {
        Self::shape(format!("`{field}` is missing"))
    }

    fn duplicate_field(field: &'static str) -> Self {
        Self::shape(format!("`{field}` is given twice"))
    }
}
