//! Limits that are compared with, and the certainty that a verdict has to have.

use stainbook_catalog::model::Limit;
use stainbook_catalog::written::{Judge, LimitChoice, LimitKind};
use stainbook_core::print;

use crate::defaults::GUARD;
use crate::evaluated::record_flag::RecordFlag;
use crate::result::{JudgedBy, Verdict};

/// Settings of the judgement, as the survey states them.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct JudgementSettings {
    guard: f64,
    origin: &'static str,
    limits: Vec<LimitChoice>,
    unusable: Option<RecordFlag>,
}

impl Default for JudgementSettings {
    fn default() -> Self {
        Self::of(&Judge::default())
    }
}

impl JudgementSettings {
    /// Reads what the survey says. A certainty that cannot be is not used, and every result says so.
    pub(crate) fn of(judge: &Judge) -> Self {
        let stated = judge.certainty.as_ref();
        let usable = |certainty: f64| 0.5 < certainty && certainty < 1.0;
        let unusable = stated
            .filter(|certainty| !usable(certainty.value().fraction()))
            .map(|certainty| RecordFlag::CertaintyUnusable {
                stated: certainty.text().to_owned(),
            });
        let certainty = stated
            .map(|certainty| certainty.value().fraction())
            .filter(|certainty| usable(*certainty));
        Self {
            guard: certainty.map_or(GUARD, |certainty| 1.0 - certainty),
            origin: if certainty.is_some() {
                "survey, judge.certainty"
            } else {
                "default (common practice)"
            },
            limits: judge.limits.clone(),
            unusable,
        }
    }

    /// True if a limit is one of those that the survey names, or it names none.
    pub(crate) fn names(&self, limit: &Limit) -> bool {
        self.limits.is_empty() || self.limits.iter().any(|choice| is(choice, limit))
    }

    /// True if the survey names limits.
    pub(crate) fn is_choosy(&self) -> bool {
        !self.limits.is_empty()
    }

    /// Problem of the survey's settings.
    pub(crate) fn unusable(&self) -> Option<&RecordFlag> {
        self.unusable.as_ref()
    }

    /// The verdict for a probability of being above.
    pub(crate) fn verdict(&self, above: f64) -> Verdict {
        if above < self.guard {
            Verdict::Below
        } else if 1.0 - self.guard < above {
            Verdict::Above
        } else {
            Verdict::CannotTell
        }
    }

    /// The certainty as printed: `95 %`.
    pub(crate) fn words(&self) -> String {
        print::percent(1.0 - self.guard, 4)
    }

    /// For the output.
    pub(crate) fn judged_by(&self) -> JudgedBy {
        JudgedBy {
            certainty: 1.0 - self.guard,
            origin: self.origin.to_owned(),
            limits: self.limits.iter().map(words).collect(),
        }
    }
}

/// True if a limit is one that is meant.
pub(crate) fn is(choice: &LimitChoice, limit: &Limit) -> bool {
    let authority = |wanted: &String| wanted.eq_ignore_ascii_case(&limit.authority);
    choice.authority.as_ref().is_none_or(authority)
        && choice
            .source
            .as_ref()
            .is_none_or(|wanted| *wanted == limit.source)
        && choice.kind.is_none_or(|kind| kind == limit.kind)
}

/// `US OSHA short-term`.
pub(crate) fn words(choice: &LimitChoice) -> String {
    [
        choice.authority.as_deref(),
        choice.source.as_deref(),
        choice.kind.map(LimitKind::name),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(" ")
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::written::Stated;
    use stainbook_core::Written;

    use super::*;

    fn certainty(text: &str) -> JudgementSettings {
        JudgementSettings::of(&Judge {
            certainty: Some(Stated::new(text.parse::<Written<_>>().unwrap())),
            ..Judge::default()
        })
    }

    #[test]
    fn what_can_be_is_used() {
        for (text, words, above, verdict) in [
            ("95 %", "95 %", 0.04, Verdict::Below),
            ("99 %", "99 %", 0.04, Verdict::CannotTell),
            ("0.9", "90 %", 0.92, Verdict::Above),
            ("97.5 %", "97.5 %", 0.03, Verdict::CannotTell),
        ] {
            let settings = certainty(text);
            assert_eq!(settings.unusable(), None, "{text}");
            assert_eq!(settings.words(), words);
            assert_eq!(settings.verdict(above), verdict, "{text}");
        }
    }

    #[test]
    fn what_cannot_be_is_said() {
        for text in ["50 %", "100 %", "95", "-95 %"] {
            let settings = certainty(text);
            assert!(settings.unusable().is_some(), "{text}");
            assert_eq!(settings.words(), "95 %");
        }
    }
}
