//! Types that are written as one text or one number, and keep it.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserializer, Error, Visitor};

use super::Problem;

/// A type that is read from a scalar's text as its author wrote it.
///
/// Implement it and let `Deserialize` call [`from_text`].
///
/// # Example
///
/// ```
/// use serde::{Deserialize, Deserializer};
/// use stainbook_document::typed::{FromText, NUMBER, Problem, from_text};
///
/// #[derive(Debug, PartialEq)]
/// struct Digits(String);
///
/// impl FromText for Digits {
///     const NEWTYPE: &'static str = NUMBER;
///     const EXPECTED: &'static str = "a number";
///
///     fn read(text: &str) -> Result<Self, Problem> {
///         match text.parse::<f64>() {
///             Ok(_) => Ok(Self(text.to_owned())),
///             Err(_) => Err(Problem::new(format!("`{text}` is not a number"))),
///         }
///     }
/// }
///
/// impl<'de> Deserialize<'de> for Digits {
///     fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
///         from_text(deserializer)
///     }
/// }
/// ```
pub trait FromText: Sized {
    /// [`QUANTITY`](super::QUANTITY) or [`NUMBER`](super::NUMBER).
    const NEWTYPE: &'static str;

    /// The expected text, in a few words for readers other than ours: `a volume with its unit`.
    const EXPECTED: &'static str;

    /// Reads the text.
    ///
    /// # Errors
    ///
    /// The problem, and the text to write instead.
    fn read(text: &str) -> Result<Self, Problem>;
}

/// Reads a type from a scalar, with the digits as written where the format keeps them.
///
/// # Errors
///
/// The type's [`Problem`], as the format's error.
pub fn from_text<'de, T: FromText, D: Deserializer<'de>>(deserializer: D) -> Result<T, D::Error> {
    deserializer.deserialize_newtype_struct(T::NEWTYPE, TextVisitor(PhantomData))
}

struct TextVisitor<T>(PhantomData<T>);

impl<'de, T: FromText> Visitor<'de> for TextVisitor<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(T::EXPECTED)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        T::read(text).map_err(E::custom)
    }

    // An ordinary format has no text for numbers: the shortest digits that read as the same
    // number stand in for those written.
    fn visit_i64<E: Error>(self, number: i64) -> Result<T, E> {
        self.visit_str(&number.to_string())
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<T, E> {
        self.visit_str(&number.to_string())
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<T, E> {
        self.visit_str(&number.to_string())
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, deserializer: D) -> Result<T, D::Error> {
        deserializer.deserialize_any(self)
    }
}
