//! The kinds of limits, by all the names that authorities print for them.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize};
use stainbook_document::offer::{Help, Offer};
use stainbook_document::typed::{FromText, Problem, QUANTITY, from_text};

use crate::rules;

/// What a limit limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum LimitKind {
    /// The time-weighted average of a shift.
    #[serde(rename = "8-hour average")]
    EightHours,
    /// The average over a short period, usually 15 minutes.
    #[serde(rename = "short-term")]
    ShortTerm,
    /// Never to be exceeded.
    #[serde(rename = "ceiling")]
    Ceiling,
    /// Immediately dangerous to life or health.
    #[serde(rename = "danger to life or health")]
    Danger,
}

/// Each kind with its meaning and the other names that it is understood by, the shortest first. A hyphen and a blank are
/// one, and capitals do not count. The abbreviations are those of the United States' tables.
const KINDS: [(LimitKind, &str, &[&str]); 4] = [
    (
        LimitKind::EightHours,
        "The time-weighted average of a shift.",
        &[
            "TWA",
            "time-weighted average",
            "8-hour TWA",
            "8 h TWA",
            "TWA 8 h",
            "8 h average",
            "8-hour time-weighted average",
        ],
    ),
    (
        LimitKind::ShortTerm,
        "The average over a short period, usually 15 minutes.",
        &[
            "STEL",
            "ST",
            "short-term exposure limit",
            "short-term limit",
        ],
    ),
    (
        LimitKind::Ceiling,
        "Never to be exceeded.",
        &["C", "ceiling limit", "ceiling value"],
    ),
    (
        LimitKind::Danger,
        "Immediately dangerous to life or health.",
        &["IDLH", "immediately dangerous to life or health"],
    ),
];

impl LimitKind {
    /// As written in an entry.
    pub fn name(self) -> &'static str {
        match self {
            Self::EightHours => "8-hour average",
            Self::ShortTerm => "short-term",
            Self::Ceiling => "ceiling",
            Self::Danger => "danger to life or health",
        }
    }

    /// The names that it is understood by, besides its own.
    pub fn also_called(self) -> &'static [&'static str] {
        let of_kind = |(kind, ..): &&(Self, _, &'static [&'static str])| *kind == self;
        KINDS.iter().find(of_kind).map_or(&[], |(.., names)| names)
    }
}

/// A name without capitals, and with one blank for whatever divides its words.
fn folded(name: &str) -> String {
    let lower = name.to_lowercase();
    let words = lower.split(|c: char| c.is_whitespace() || matches!(c, '-' | '‑' | '–' | '_'));
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

impl FromText for LimitKind {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str =
        "a kind of limit: `8-hour average`, `short-term`, `ceiling` or `danger to life or health`";

    fn read(text: &str) -> Result<Self, Problem> {
        // Most files have the usual form.
        if let Some((kind, ..)) = KINDS.iter().find(|(kind, ..)| kind.name() == text) {
            return Ok(*kind);
        }
        let written = folded(text);
        let names = || {
            KINDS.iter().flat_map(|(kind, _, names)| {
                let own = std::iter::once(kind.name());
                own.chain(names.iter().copied()).map(|name| (*kind, name))
            })
        };
        if let Some((kind, _)) = names().find(|(_, name)| folded(name) == written) {
            return Ok(kind);
        }
        // No likely one is put in its place: `10-hour TWA` is one digit from another period.
        Err(Problem::new(format!("`{text}` is no kind of limit"))
            .help(in_words())
            .under(rules::NOT_ALLOWED_VALUE))
    }
}

/// Every kind with its usual form and the shortest of its other names.
fn in_words() -> Help {
    let mut help = Help::default();
    let mut each = Vec::new();
    for (kind, _, names) in &KINDS {
        let usual = help.quote(Offer::yaml(kind.name()));
        each.push(match names.first() {
            Some(short) => format!("{usual} ({short})"),
            None => usual,
        });
    }
    help.in_words(format!("write one of {}", each.join(", ")))
}

impl<'de> Deserialize<'de> for LimitKind {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer)
    }
}

impl JsonSchema for LimitKind {
    fn schema_name() -> Cow<'static, str> {
        "LimitKind".into()
    }

    // Editors offer the usual forms; what else is understood is decided when the text is read.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let names: Vec<&str> = KINDS.iter().map(|(kind, ..)| kind.name()).collect();
        let meanings: Vec<&str> = KINDS.iter().map(|(_, meaning, _)| *meaning).collect();
        let others: Vec<&str> = KINDS
            .iter()
            .flat_map(|(.., names)| names.iter().copied())
            .collect();
        json_schema!({
            "description": "What a limit limits.",
            "type": "string",
            "anyOf": [
                {"type": "string", "enum": names, "enumDescriptions": meanings},
                {"type": "string", "description": format!("Understood as well, in capitals or not: {}.", others.join(", "))},
            ],
        })
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn every_name_of_a_kind() {
        for (texts, kind) in [
            (
                &[
                    "8-hour average",
                    "TWA",
                    "twa",
                    "Time-Weighted Average",
                    "time weighted average",
                    "8 h TWA",
                ][..],
                LimitKind::EightHours,
            ),
            (
                &[
                    "short-term",
                    "STEL",
                    "Stel",
                    "ST",
                    "Short-term exposure limit",
                    "short term",
                ][..],
                LimitKind::ShortTerm,
            ),
            (
                &["ceiling", "C", "c", "Ceiling", "ceiling limit"][..],
                LimitKind::Ceiling,
            ),
            (
                &[
                    "danger to life or health",
                    "IDLH",
                    "idlh",
                    "Immediately dangerous to life or health",
                ][..],
                LimitKind::Danger,
            ),
        ] {
            for text in texts {
                assert_eq!(LimitKind::read(text), Ok(kind), "{text}");
            }
            assert_eq!(serde_json::to_value(kind).unwrap(), json!(kind.name()));
            assert_eq!(
                serde_json::from_value::<LimitKind>(json!(texts[1])).unwrap(),
                kind
            );
        }
    }

    #[test]
    fn no_two_kinds_share_a_name() {
        let mut all: Vec<String> = KINDS
            .iter()
            .flat_map(|(kind, _, names)| std::iter::once(kind.name()).chain(names.iter().copied()))
            .map(folded)
            .collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    #[test]
    fn what_is_no_kind_lists_what_is() {
        for text in ["", "MAC", "10-hour TWA", "TWA or C", "average"] {
            let problem = LimitKind::read(text).unwrap_err();
            assert_eq!(problem.message(), format!("`{text}` is no kind of limit"));
            assert_eq!(
                problem.help_text(),
                Some(
                    "write one of `8-hour average` (TWA), `short-term` (STEL), `ceiling` (C), `danger to life or health` (IDLH)"
                )
            );
        }
    }
}
