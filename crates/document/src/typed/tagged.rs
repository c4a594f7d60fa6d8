//! Alternatives told apart by one field, read without losing places and digits.
//!
//! Serde reads an internally tagged enum by first copying all fields into a buffer, which knows
//! neither where they stood nor how their numbers were written. Here the deciding field is given
//! first, wherever it stands, and the others go straight to the alternative that it names. Other
//! formats give fields in the order of the file, where the deciding field has to come first: it
//! does in every file that this crate writes.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserializer, Error, MapAccess, Visitor};

use super::TAGGED;

/// An enum told apart by one field; implemented by [`tagged!`](crate::tagged).
pub trait Tagged: Sized {
    /// The deciding field, alone in a list because serde wants one.
    const FIELD: &'static [&'static str];

    /// The values that the field can have.
    const VALUES: &'static [&'static str];

    /// Reads the other fields as the alternative of this name.
    ///
    /// # Errors
    ///
    /// The format's, from reading the fields; or that there is no such alternative.
    fn read<'de, A: MapAccess<'de>>(value: &str, fields: A) -> Result<Self, A::Error>;
}

/// Reads a tagged enum.
///
/// # Errors
///
/// The format's.
pub fn read_tagged<'de, T: Tagged, D: Deserializer<'de>>(deserializer: D) -> Result<T, D::Error> {
    deserializer.deserialize_struct(TAGGED, T::FIELD, TaggedVisitor(PhantomData))
}

struct TaggedVisitor<T>(PhantomData<T>);

impl<'de, T: Tagged> Visitor<'de> for TaggedVisitor<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let field = T::FIELD.first().copied().unwrap_or_default();
        write!(f, "fields that begin with `{field}`")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut fields: A) -> Result<T, A::Error> {
        let field = T::FIELD.first().copied().unwrap_or_default();
        match fields.next_key::<String>()? {
            Some(key) if key == field => {
                let value: String = fields.next_value()?;
                T::read(&value, fields)
            }
            Some(_) => Err(A::Error::custom(format_args!(
                "`{field}` has to come first"
            ))),
            None => Err(A::Error::missing_field(field)),
        }
    }
}

/// Implements [`serde::Deserialize`] for an enum told apart by one field.
///
/// `Serialize` and `JsonSchema` are derived as usual with `#[serde(tag = "…")]` and the same
/// names. Every alternative holds one struct; one without further fields holds an empty struct.
///
/// # Example
///
/// ```
/// use serde::{Deserialize, Serialize};
/// use stainbook_document::tagged;
///
/// #[derive(Debug, PartialEq, Serialize)]
/// #[serde(tag = "method")]
/// enum Moisture {
///     #[serde(rename = "none needed")]
///     NoneNeeded(Nothing),
///     #[serde(rename = "one factor")]
///     OneFactor(OneFactor),
/// }
///
/// #[derive(Debug, PartialEq, Serialize, Deserialize)]
/// struct Nothing {}
///
/// #[derive(Debug, PartialEq, Serialize, Deserialize)]
/// struct OneFactor {
///     factor: f64,
/// }
///
/// tagged!(Moisture, "method" {
///     "none needed" => NoneNeeded,
///     "one factor" => OneFactor,
/// });
/// ```
#[macro_export]
macro_rules! tagged {
    ($type:ty, $field:literal { $($value:literal => $variant:ident),+ $(,)? }) => {
        impl $crate::typed::Tagged for $type {
            const FIELD: &'static [&'static str] = &[$field];
            const VALUES: &'static [&'static str] = &[$($value),+];

            fn read<'de, A: ::serde::de::MapAccess<'de>>(
                value: &str,
                fields: A,
            ) -> ::core::result::Result<Self, A::Error> {
                let fields = ::serde::de::value::MapAccessDeserializer::new(fields);
                match value {
                    $($value => ::serde::Deserialize::deserialize(fields).map(Self::$variant),)+
                    _ => ::core::result::Result::Err(::serde::de::Error::unknown_variant(
                        value,
                        <Self as $crate::typed::Tagged>::VALUES,
                    )),
                }
            }
        }

        impl<'de> ::serde::Deserialize<'de> for $type {
            fn deserialize<D: ::serde::Deserializer<'de>>(
                deserializer: D,
            ) -> ::core::result::Result<Self, D::Error> {
                $crate::typed::read_tagged(deserializer)
            }
        }
    };
}
