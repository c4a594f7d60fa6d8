//! The type of a code, and what the registry says of each.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

pub use super::registry::Code;

/// A code that this version does not know: it stands in a record of another one.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct UnknownCode(Box<str>);

/// The row of a code in the registry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Definition {
    /// The word for scripts, kebab-case.
    pub name: &'static str,
    /// As what it is said.
    pub kinds: &'static [CodeKind],
    /// Meaning, in one sentence.
    pub meaning: &'static str,
    /// Remedy, in one sentence.
    pub remedy: &'static str,
    /// Effect where it is a flag; nothing for what is never one.
    pub effect: Option<Effect>,
}

/// As what a code is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum CodeKind {
    /// A doubt about a measurement that was recorded truly.
    Flag,
    /// Something to be known that doubts nothing.
    Statement,
    /// Refusal, if there is no result.
    Refusal,
    /// A reason for or against a tube in a search.
    Reason,
}

impl CodeKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::Flag, Self::Statement, Self::Refusal, Self::Reason];

    /// In words: `flag`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Flag => "flag",
            Self::Statement => "statement",
            Self::Refusal => "refusal",
            Self::Reason => "reason",
        }
    }
}

/// Effect of a flag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Effect {
    /// To a verdict.
    pub may_read: MayRead,
    /// Said in brackets behind a verdict: why there is none, or on what one rests that stands; nothing if it stands without a
    /// word.
    pub in_verdict: Option<&'static str>,
    /// To the search for a tube.
    pub in_search: InSearch,
}

/// Directions in which a result with a flag may be off, by an amount that nobody knows. It is then not called below a
/// limit, or not above one; the probability stays, for what it is worth without the flag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MayRead {
    /// Neither way: a verdict stands.
    AsGiven,
    /// The tube may have read too low: nothing is called below a limit.
    TooLow,
    /// The tube may have read too high: nothing is called above a limit.
    TooHigh,
    /// Either way: there is no verdict.
    EitherWay,
}

impl MayRead {
    /// True if there may be more than the result says.
    pub fn too_low(self) -> bool {
        matches!(self, Self::TooLow | Self::EitherWay)
    }

    /// True if there may be less than the result says.
    pub fn too_high(self) -> bool {
        matches!(self, Self::TooHigh | Self::EitherWay)
    }
}

/// Effect in the search for a tube of a flag that a reading of the tube would carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InSearch {
    /// The sheet cannot serve here, but with this.
    Excludes(&'static str),
    /// The result would not be relied on, or be about something else: the tube stands behind those without it.
    Heavy,
    /// It is to be known.
    Light,
    /// It is about the record of a reading, which does not exist yet: it says nothing about the tube.
    OfTheRecord,
}

impl Code {
    /// The word for scripts, kebab-case.
    pub fn as_str(&self) -> &str {
        match self {
            Self::Unknown(UnknownCode(text)) => text,
            known => known.definition().map_or("", |row| row.name),
        }
    }

    /// Direction in which a result with this flag may be off. An unknown code, and one that is no flag, says nothing.
    pub fn may_read(&self) -> MayRead {
        let effect = self.definition().and_then(|row| row.effect);
        effect.map_or(MayRead::AsGiven, |effect| effect.may_read)
    }

    /// True if a flag of this code withholds a verdict, or is said beside one.
    pub(crate) fn is_in_verdicts(&self) -> bool {
        self.in_verdict().is_some()
    }

    /// Words of this flag in brackets behind a verdict.
    pub(crate) fn in_verdict(&self) -> Option<&'static str> {
        self.definition()?.effect?.in_verdict
    }

    /// Effect of this flag in the search for a tube. An unknown code, and one that is no flag, is to be known.
    pub fn in_search(&self) -> InSearch {
        let effect = self.definition().and_then(|row| row.effect);
        effect.map_or(InSearch::Light, |effect| effect.in_search)
    }
}

impl From<&str> for Code {
    /// The code of this name; one that is not known keeps its name.
    fn from(text: &str) -> Self {
        Self::known(text).unwrap_or_else(|| Self::Unknown(UnknownCode(text.into())))
    }
}

impl Ord for Code {
    /// By name, so that a further row of the registry moves nothing in what is put out in order.
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.as_str().cmp(other.as_str())
    }
}

impl PartialOrd for Code {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl JsonSchema for Code {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Code".into()
    }

    // Not a list of the codes: a record of another version may have further ones.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"})
    }
}

impl<'de> Deserialize<'de> for Code {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'_, str>::deserialize(deserializer)?;
        Ok(Self::from(&*text))
    }
}

/// Makes the type of the codes, and the definition of each, from the rows of the registry.
macro_rules! codes {
    ($(
        #[doc = $meaning:literal]
        $variant:ident $name:literal $($kind:ident)|+
            $(, reads $reads:ident $(says $says:literal)?, search $search:ident $(($with:literal))?)?;
            $remedy:literal
    )*) => {
        /// The word for scripts under which a flag, a statement, a refusal or a reason is said. Output has it as text.
        #[derive(Clone, Debug, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum Code {
            $(
                #[doc = $meaning]
                $variant,
            )*
            /// A code of another version.
            Unknown($crate::outcome::UnknownCode),
        }

        impl Code {
            /// Every code of the registry, in its order.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// Definition of this code in the registry; nothing for one that it does not know.
            pub fn definition(&self) -> Option<&'static $crate::outcome::Definition> {
                use $crate::outcome::{Definition, Effect, InSearch, CodeKind, MayRead};
                match self {
                    $(
                        Self::$variant => {
                            const ROW: &Definition = &Definition {
                                name: $name,
                                kinds: &[$(CodeKind::$kind),+],
                                meaning: $meaning.trim_ascii_start(),
                                remedy: $remedy,
                                effect: $crate::outcome::code::first(&[$(Effect {
                                    may_read: MayRead::$reads,
                                    in_verdict: $crate::outcome::code::first_words(&[$($says)?]),
                                    in_search: InSearch::$search $(($with))?,
                                })?]),
                            };
                            Some(ROW)
                        }
                    )*
                    Self::Unknown(_) => None,
                }
            }

            /// The code of a name in the registry.
            pub fn known(name: &str) -> Option<Self> {
                match name {
                    $($name => Some(Self::$variant),)*
                    _ => None,
                }
            }
        }
    };
}

pub(super) use codes;

/// The words of a row that has some.
pub(super) const fn first_words(stated: &[&'static str]) -> Option<&'static str> {
    match stated {
        [words, ..] => Some(words),
        [] => None,
    }
}

/// The effect of a row that states one.
pub(super) const fn first(stated: &[Effect]) -> Option<Effect> {
    match stated {
        [effect, ..] => Some(*effect),
        [] => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_whole() {
        let mut names = std::collections::BTreeSet::new();
        for code in Code::ALL {
            let row = code.definition().unwrap();
            assert!(names.insert(row.name), "{} twice", row.name);
            assert_eq!(code.as_str(), row.name);
            assert_eq!(Code::known(row.name).as_ref(), Some(code));
            let kebab = |c: char| c == '-' || c.is_ascii_lowercase();
            assert!(row.name.chars().all(kebab), "{}", row.name);
            for sentence in [row.meaning, row.remedy] {
                let first = sentence.chars().next().unwrap();
                assert!(first.is_uppercase(), "{}: {sentence}", row.name);
                assert!(sentence.ends_with('.'), "{}: {sentence}", row.name);
            }
            assert_eq!(
                row.effect.is_some(),
                row.kinds.contains(&CodeKind::Flag),
                "{}: an effect is stated for flags, and for nothing else",
                row.name
            );
            if let Some(effect) = row
                .effect
                .filter(|effect| effect.may_read != MayRead::AsGiven)
            {
                assert!(
                    effect.in_verdict.is_some(),
                    "{}: a verdict that it withholds says so in the same line",
                    row.name
                );
                assert!(
                    effect.in_search != InSearch::Light,
                    "{}: what a verdict cannot rely on weighs in a search",
                    row.name
                );
            }
        }
    }

    #[test]
    fn a_code_of_another_version_reads_on() {
        let code: Code = serde_json::from_str("\"moon-phase-wrong\"").unwrap();
        assert!(matches!(code, Code::Unknown(_)));
        assert_eq!(
            serde_json::to_string(&code).unwrap(),
            "\"moon-phase-wrong\""
        );
        assert_eq!(code.may_read(), MayRead::AsGiven);
        let known: Code = serde_json::from_str("\"cold-tube\"").unwrap();
        assert_eq!(known, Code::ColdTube);
        let owned: Code = serde_json::from_value("cold-tube".into()).unwrap();
        assert_eq!(owned, Code::ColdTube);
    }
}
