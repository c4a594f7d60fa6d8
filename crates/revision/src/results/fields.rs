//! The fields of results, type by type, and whether each is a figure or words for people.
//!
//! Fields that are not named are only told: of a limit, which catalog states it and what it replaces, since the facts
//! of a result do not hold that; of gases solved together what is left over, which is nothing but rounding.

use serde::Serialize;
use serde_json::Value;
use stainbook_catalog::written::LimitKind;
use stainbook_catalog::written::tube::Target;
use stainbook_evaluation::outcome::{Code, Flag, Refusal};
use stainbook_evaluation::result::{
    Amount, AppliedStep, Basis, BudgetLine, ConditionsOrigin, ConvertedAmount, CorrectionApplied,
    CorrectionSource, CoverageDistribution, Decision, EffectOnReading, EndsOf, Figure, GroupResult,
    GroupStatus, InterferentEffect, JudgedFrom, LimitComparison, LimitUsed, MonteCarlo,
    NamedFigure, Period, ReadingResult, Recorded, RepeatWith, RestTaken, SharedLine, Solved,
    StatedConditions, Status, SubstanceUsed, Test, TogetherUncertainty, Uncertainty,
    UncertaintyText, Verdict,
};

use super::{Difference, TOLERANCE, Words};

/// A walk over two results, and what it found.
#[derive(Debug)]
pub struct Walk {
    words: Words,
    pointer: String,
    pub(super) found: Vec<Difference>,
}

impl Walk {
    pub(super) fn new(words: Words) -> Self {
        Self {
            words,
            pointer: String::new(),
            found: Vec::new(),
        }
    }

    /// Compares a field, or an entry of a list.
    pub(super) fn field<T: Fields>(&mut self, name: &str, a: &T, b: &T) {
        let parent = self.pointer.len();
        self.pointer.push('/');
        self.pointer.push_str(name);
        a.walk(b, self);
        self.pointer.truncate(parent);
    }

    /// Compares words for people, if they are compared.
    fn words<T: Fields>(&mut self, name: &str, a: &T, b: &T) {
        if self.words == Words::Compared {
            self.field(name, a, b);
        }
    }

    /// Compares draws. Those of another generator are other figures about the same result: that it is another one is all there
    /// is to say.
    #[allow(clippy::ref_option, reason = "a field is handed on as it is")]
    fn draws(&mut self, name: &str, a: &Option<MonteCarlo>, b: &Option<MonteCarlo>) {
        match (a, b) {
            (Some(a), Some(b)) if a.generator != b.generator => {
                self.field(&format!("{name}/generator"), &a.generator, &b.generator);
            }
            _ => self.field(name, a, b),
        }
    }

    /// Compares flags and refusal, which are told apart by their codes.
    pub(super) fn codes(&mut self, a: (&[Flag], Option<&Refusal>), b: (&[Flag], Option<&Refusal>)) {
        let flags =
            |flags: &[Flag]| -> Vec<Code> { flags.iter().map(|f| f.code.clone()).collect() };
        let code = |refusal: Option<&Refusal>| refusal.map(|refusal| refusal.code.clone());
        self.field("flags", &flags(a.0), &flags(b.0));
        self.field("refusal/code", &code(a.1), &code(b.1));
    }

    fn differ<T: Serialize + ?Sized>(&mut self, a: &T, b: &T) {
        let value = |of: &T| serde_json::to_value(of).unwrap_or(Value::Null);
        self.found.push(Difference {
            pointer: self.pointer.clone(),
            recorded: value(a),
            computed: value(b),
        });
    }
}

/// A part of a result.
pub(super) trait Fields: Serialize {
    /// Walks this one and the other side by side.
    fn walk(&self, other: &Self, walk: &mut Walk);
}

impl Fields for f64 {
    fn walk(&self, other: &Self, walk: &mut Walk) {
        // What is not finite is null in a record.
        let same = match (self.is_finite(), other.is_finite()) {
            (true, true) => (self - other).abs() <= TOLERANCE * self.abs().max(other.abs()),
            (one, two) => one == two,
        };
        if !same {
            walk.differ(self, other);
        }
    }
}

impl<T: Fields> Fields for Option<T> {
    fn walk(&self, other: &Self, walk: &mut Walk) {
        match (self, other) {
            (Some(a), Some(b)) => a.walk(b, walk),
            (None, None) => {}
            _ => walk.differ(self, other),
        }
    }
}

impl<T: Fields> Fields for Vec<T> {
    fn walk(&self, other: &Self, walk: &mut Walk) {
        if self.len() != other.len() {
            return walk.differ(self, other);
        }
        for (index, (a, b)) in self.iter().zip(other).enumerate() {
            walk.field(&index.to_string(), a, b);
        }
    }
}

impl<T: Fields> Fields for [T; 2]
where
    Self: Serialize,
{
    fn walk(&self, other: &Self, walk: &mut Walk) {
        for (index, (a, b)) in self.iter().zip(other).enumerate() {
            walk.field(&index.to_string(), a, b);
        }
    }
}

/// Fields compared as a whole.
macro_rules! whole {
    ($($name:ty),* $(,)?) => {$(
        impl Fields for $name {
            fn walk(&self, other: &Self, walk: &mut Walk) {
                if self != other {
                    walk.differ(self, other);
                }
            }
        }
    )*};
}

whole! {
    bool, u64, String, Code, Flag, Target, AppliedStep, Basis, Decision, EffectOnReading, Recorded<JudgedFrom>, GroupStatus,
    Status, Verdict, Recorded<ConditionsOrigin>, Recorded<CoverageDistribution>, Recorded<LimitKind>, Recorded<RestTaken>,
}

/// The fields of each type in the order in which they are told, each with the function of [`Walk`] that compares it, and by its name in
/// the type where that is not its key.
macro_rules! fields {
    ($($name:ident { $($how:ident $key:ident $(= $field:ident)?),* $(,)? })*) => {
        $(impl Fields for $name {
            fn walk(&self, other: &Self, walk: &mut Walk) {
                $(walk.$how(
                    stringify!($key),
                    &fields!(of self: $key $($field)?),
                    &fields!(of other: $key $($field)?),
                );)*
            }
        })*

        /// The types and the keys of their fields.
        #[cfg(test)]
        const KEYS: &[(&str, &[&str])] = &[$((stringify!($name), &[$(stringify!($key)),*])),*];
    };
    (of $result:ident: $key:ident) => { $result.$key };
    (of $result:ident: $key:ident $field:ident) => { $result.$field };
}

fields! {
    LimitComparison {
        field act_as_if, field by, field directly_comparable, field limit, words other_period, field probability_above,
        words reason, field said_beside, words source, field verdict,
    }
    Amount { words basis, words text, field unit, field value }
    BudgetLine {
        field code, field contribution, field degrees_of_freedom, field distribution, words origin, field relative,
        field sensitivity = sensitivity_coefficient, words source, field unit, field value,
    }
    ConvertedAmount { words basis, field conditions, words text, field unit, field value }
    CorrectionApplied { field after, field argument, field before, field factor, field from, words step }
    CorrectionSource { field pointer, field sheet, words words }
    EndsOf { field highest, field lowest }
    GroupResult {
        field status, field unit, field value, field lowest, field highest, field text, field with_uncertainty,
        field uncertainty, draws monte_carlo, field period, field indicative, field against, field tests, field solved,
    }
    Figure { field unit, field value }
    InterferentEffect {
        field effect, field level, field share_on_scale, field substance, field uncorrected, field unit,
    }
    LimitUsed {
        field as_ppm, field authority, field averaged_over, field edition, field kind, words text, field unit, field value,
    }
    MonteCarlo {
        field adaptive, field agrees, field apart, field coverage, field draws, field generator,
        field held_at_table_end = clamped_at_table_end, field held_at_zero = clamped_at_zero, field interval_shortest,
        field interval_symmetric, field median, field method, field seed, field settled, words text,
        field tolerance,
    }
    NamedFigure { field name, field unit, field value }
    Period { field covered, field not_covered, field over, field over_covered, field rest }
    ReadingResult {
        field status, field concentration, field also_as = converted, field uncertainty, field reading, field corrections,
        field against, field other_gases = interferents, field repeat_with,
    }
    RepeatWith { field scale, field strokes, words text }
    SharedLine {
        field code, field contribution, field degrees_of_freedom, field shared, words source, field standard,
    }
    Solved {
        field against, field correlation_with_first, field coverage_factor, field effective_degrees_of_freedom,
        field expanded, field highest, field lowest, draws monte_carlo, field reading, field standard, field substance, words text,
        field uncorrected, field unit, field value, field with_uncertainty,
    }
    StatedConditions { words origin, field pressure, field temperature }
    SubstanceUsed { field cas, field id, field name, field stands_for_group }
    Test { field decision, field figures, field name, words text }
    TogetherUncertainty {
        field budget, field coverage, field coverage_factor, field effective_degrees_of_freedom, field expanded,
        field interval, field standard,
    }
    Uncertainty {
        field budget, field coverage, field coverage_factor, field distribution, field effective_degrees_of_freedom,
        field expanded, field interval, draws monte_carlo, field relative, field standard, words text, field unit,
    }
    UncertaintyText { field expanded, field interval, field standard }
}

#[cfg(test)]
mod tests {
    use super::KEYS;
    use std::collections::BTreeSet;

    /// A further key of a result has to be named above, or be told from those that are compared here.
    #[test]
    fn every_key_of_the_results_schema_is_compared_or_only_told() {
        let only_told = |name: &str| -> &[&str] {
            match name {
                "GroupResult" => &["id", "method", "what", "of", "substance", "statements"],
                "LimitUsed" => &["catalog", "replaces"],
                "ReadingResult" => &[
                    "id",
                    "at",
                    "place",
                    "sheet",
                    "substance",
                    "air_drawn",
                    "as_ppm",
                    "on_the_bound",
                    "before_use",
                    "statements",
                    "catalog_revision",
                    "sheet_digest",
                    "inputs",
                ],
                "Solved" => &["residual"],
                _ => &[],
            }
        };
        let schema = stainbook_evaluation::result::schema();
        for (name, compared) in KEYS {
            let keys = schema["$defs"][name]["properties"].as_object().unwrap();
            let keys: BTreeSet<&str> = keys.keys().map(String::as_str).collect();
            // Of these the codes are compared.
            let by_code = ["flags", "refusal"]
                .into_iter()
                .filter(|key| keys.contains(key));
            let named = compared
                .iter()
                .chain(only_told(name))
                .copied()
                .chain(by_code);
            assert_eq!(named.collect::<BTreeSet<&str>>(), keys, "{name}");
        }
    }
}
