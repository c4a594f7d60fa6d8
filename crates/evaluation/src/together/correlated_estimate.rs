//! A figure that several readings make, with the sources of its uncertainty, so that sources which several readings have in
//! common are added as one.
//!
//! Source: JCGM 100:2008, 5.2: of correlated inputs the contributions are added before they are squared. What is common to
//! readings follows from [`Source::shared_by`].
//!
//! The effective degrees of freedom of the standard uncertainty follow after Welch and Satterthwaite (JCGM 100:2008, G.4.1),
//! whose terms have to be independent. So the terms are the figures that rest on few readings, not the errors: what repeated
//! readings of one sheet add is each reading's own, but the standard deviation is the sheet's, found once. Were it too small
//! it would be so for all of them, and ten readings give it no more degrees of freedom than one.

use std::collections::BTreeMap;

use super::result::{SharedLine, TogetherUncertainty};
use crate::budget::{Contribution, FoundFor, Role, SharedBy, Source};
use crate::budget_words::finite;
use crate::cell::Middle;
use crate::defaults;
use crate::interval::{self, Covers, Spread, Variance};
use crate::judgement::Estimate;
use stainbook_uncertainty::distribution::Distribution;

/// A figure with the contribution of each source to its uncertainty, signed, in the figure's unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct CorrelatedEstimate {
    pub(crate) value: f64,
    /// Distance to what it would be if every reading stood at the upper end of what it stands for.
    pub(crate) up: f64,
    /// The same at the lower ends.
    pub(crate) down: f64,
    pub(crate) sources: BTreeMap<SourceKey, SharedContribution>,
    /// The results that it is made of, each with its weight: what it is drawn from.
    pub(crate) made_of: BTreeMap<FigureTerm, f64>,
}

/// A result that a figure is made of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum FigureTerm {
    /// That of a reading, by its name, in the unit of its scale.
    Reading(String),
    /// That of a gas that was solved for: the place of its system, and of its tube there.
    Solved(usize, usize),
}

/// The identity of a source of uncertainty: two with the same key are one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct SourceKey {
    code: &'static str,
    of: String,
}

impl SourceKey {
    /// A source of what has it: a sheet, a pump, a reading.
    pub(crate) fn new(source: GroupSource, of: impl Into<String>) -> Self {
        Self {
            code: source.code(),
            of: of.into(),
        }
    }
}

/// A source of the uncertainty of a figure that several readings make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum GroupSource {
    /// One that its readings have.
    OfReadings(Source),
    /// The spread of repeats, beyond what their own sources explain.
    SpreadOfRepeats,
}

impl GroupSource {
    /// The word of a budget for scripts.
    pub(crate) const fn code(self) -> &'static str {
        match self {
            Self::OfReadings(source) => source.code(),
            Self::SpreadOfRepeats => "spread",
        }
    }

    /// True if readings can have it in common.
    pub(crate) fn is_shared(self) -> bool {
        match self {
            Self::OfReadings(source) => source.shared_by() != SharedBy::Reading,
            Self::SpreadOfRepeats => false,
        }
    }

    /// True if it is expected to make repeats differ.
    pub(crate) const fn explains_repeats(self) -> bool {
        match self {
            Self::OfReadings(source) => source.explains_repeats(),
            Self::SpreadOfRepeats => false,
        }
    }
}

/// The contribution of a source to a figure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SharedContribution {
    /// The source.
    pub(crate) source: GroupSource,
    /// In the figure's unit; signed.
    pub(crate) amount: f64,
    /// The source in words.
    pub(crate) words: String,
    /// Number of readings that it came in with.
    pub(crate) readings: usize,
    /// Scope of the standard deviation: a sheet.
    pub(crate) found_for: String,
    /// The degrees of freedom of that; infinite where it is taken as exact.
    pub(crate) degrees_of_freedom: f64,
    /// The way in which it changes with what is there.
    pub(crate) grows: Grows,
}

/// The way in which a deviation changes with what is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Grows {
    /// Not at all, and it is what the eye leaves open between two marks: a verdict takes its ends instead.
    BetweenMarks,
    /// Not at all.
    Not,
    /// In proportion.
    InProportion,
    /// At most in proportion, and where there is less, perhaps not less: what the error of another gas makes in one that was
    /// solved for. Taken so that both verdicts are on the safe side.
    AtMostInProportion,
}

impl Grows {
    /// Of a contribution to the uncertainty of a reading.
    pub(crate) fn of(contribution: &Contribution) -> Self {
        match (Role::of(contribution.source), contribution.distribution) {
            (Role::Stain, Distribution::Rectangular { .. })
                if contribution.source == Source::Reading =>
            {
                Self::BetweenMarks
            }
            (Role::Stain | Role::Share, _) => Self::Not,
            _ => Self::InProportion,
        }
    }
}

impl CorrelatedEstimate {
    /// None of it, and no doubt about that.
    pub(crate) fn nothing() -> Self {
        Self::default()
    }

    /// The standard uncertainty.
    pub(crate) fn standard(&self) -> f64 {
        self.sources
            .values()
            .map(|part| part.amount * part.amount)
            .sum::<f64>()
            .sqrt()
    }

    /// The figure as it is held against limits.
    pub(crate) fn estimate(&self) -> Estimate {
        Estimate {
            value: self.value,
            up: self.up,
            down: self.down,
            absolute: self.variance(|grows| grows == Grows::Not),
            relative: self.variance(|grows| grows == Grows::InProportion),
            relative_above: self.variance(|grows| grows == Grows::AtMostInProportion),
        }
    }

    /// The variance of those sources that grow so.
    fn variance(&self, wanted: impl Fn(Grows) -> bool) -> Variance {
        // Of one figure in several places the fewest count, towards the larger uncertainty.
        let mut figures: BTreeMap<(&str, &str), (f64, f64)> = BTreeMap::new();
        for (source, part) in &self.sources {
            if wanted(part.grows) {
                let figure = figures
                    .entry((source.code, part.found_for.as_str()))
                    .or_insert((0.0, f64::INFINITY));
                figure.0 += part.amount * part.amount;
                figure.1 = figure.1.min(part.degrees_of_freedom);
            }
        }
        let mut variance = Variance::default();
        for (square, degrees_of_freedom) in figures.into_values() {
            variance.add_square(square, degrees_of_freedom);
        }
        variance
    }

    /// The effective degrees of freedom of the standard uncertainty; infinite if no source has finite ones.
    pub(crate) fn degrees_of_freedom(&self) -> f64 {
        self.variance(|_| true).deviation().degrees_of_freedom
    }

    /// The coverage factor for 95 %: 1.960, or Student's t where the degrees of freedom are finite.
    pub(crate) fn coverage_factor(&self) -> f64 {
        Covers::Central.factor(self.degrees_of_freedom())
    }

    pub(crate) fn expanded(&self) -> f64 {
        self.standard() * self.coverage_factor()
    }

    /// Reach of the figure to both sides, with deviations as they are at each end: nothing is too much where there is no upper end.
    pub(crate) fn ends(&self, covers: Covers) -> (f64, Option<f64>) {
        let spread = |relative: fn(Grows) -> bool| {
            let parts = self.variance(relative);
            Spread {
                whole: if 0.0 < self.value {
                    Variance::default().sum(1.0, parts, 1.0 / self.value)
                } else {
                    Variance::default()
                },
                share: self.variance(|grows| !relative(grows)).square,
                ..Spread::default()
            }
        };
        let seen = Middle {
            at: self.value,
            variance: 0.0,
        };
        let ends = |spread: Spread| {
            let anywhere = std::iter::once((0.0, f64::INFINITY));
            interval::ends(seen, covers, anywhere, |_| spread).unwrap_or((0.0, f64::INFINITY))
        };
        let (low, _) = ends(spread(|grows| grows == Grows::InProportion));
        let (_, high) = ends(spread(|grows| Grows::InProportion <= grows));
        (low, high.is_finite().then_some(high))
    }

    /// The sum of figures, each times its weight.
    pub(crate) fn sum<'k>(terms: impl IntoIterator<Item = (f64, &'k Self)>) -> Self {
        let mut sum = Self::default();
        for (weight, known) in terms {
            sum.value += weight * known.value;
            sum.up += weight * known.up;
            sum.down += weight * known.down;
            for (term, of) in &known.made_of {
                *sum.made_of.entry(term.clone()).or_insert(0.0) += weight * of;
            }
            for (source, part) in &known.sources {
                let slot =
                    sum.sources
                        .entry(source.clone())
                        .or_insert_with(|| SharedContribution {
                            amount: 0.0,
                            readings: 0,
                            ..part.clone()
                        });
                slot.degrees_of_freedom = slot.degrees_of_freedom.min(part.degrees_of_freedom);
                slot.amount += weight * part.amount;
                slot.readings += part.readings;
                slot.grows = slot.grows.max(part.grows);
            }
        }
        sum
    }

    /// The uncertainty as it is put out.
    pub(crate) fn uncertainty(&self) -> TogetherUncertainty {
        let standard = self.standard();
        let coverage_factor = self.coverage_factor();
        let (lowest, highest) = self.ends(Covers::Central);
        let variance = standard * standard;
        let mut budget: Vec<SharedLine> = self
            .by_code()
            .into_iter()
            .map(|(source, words, square, degrees_of_freedom)| SharedLine {
                shared: source.is_shared(),
                code: source.code().to_owned(),
                source: words.to_owned(),
                standard: square.sqrt(),
                degrees_of_freedom: finite(degrees_of_freedom),
                contribution: if variance > 0.0 {
                    100.0 * square / variance
                } else {
                    0.0
                },
            })
            .collect();
        budget.sort_by(|a, b| b.contribution.total_cmp(&a.contribution));
        TogetherUncertainty {
            standard,
            expanded: self.expanded(),
            coverage_factor,
            effective_degrees_of_freedom: finite(self.degrees_of_freedom()),
            coverage: defaults::COVERAGE,
            interval: [Some(lowest), highest],
            budget,
        }
    }

    /// The variance by kind of source: what is each reading's own stands on one line.
    fn by_code(&self) -> Vec<(GroupSource, &str, f64, f64)> {
        let mut lines: BTreeMap<(&str, &str), (GroupSource, f64, f64)> = BTreeMap::new();
        for (key, part) in &self.sources {
            let line = lines.entry((key.code, part.words.as_str())).or_insert((
                part.source,
                0.0,
                f64::INFINITY,
            ));
            line.1 += part.amount * part.amount;
            line.2 = line.2.min(part.degrees_of_freedom);
        }
        lines
            .into_iter()
            .filter(|(_, (_, square, _))| 0.0 < *square)
            .map(|((_, words), (source, square, degrees_of_freedom))| {
                (source, words, square, degrees_of_freedom)
            })
            .collect()
    }
}

/// A reading, as far as its sources of uncertainty can be those of others as well.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Whose<'r> {
    /// Its name in the survey.
    pub(crate) reading: &'r str,
    /// The short name of its sheet.
    pub(crate) sheet: &'r str,
    /// The short name of its gas.
    pub(crate) gas: &'r str,
    /// The short name of its pump.
    pub(crate) pump: Option<&'r str>,
    /// Its stroke count, as typed.
    pub(crate) strokes: &'r str,
}

impl Whose<'_> {
    /// Owner of a source of this reading, and the source in words with it. `words` is the source alone.
    pub(crate) fn owner(&self, source: Source, words: &str) -> (String, String) {
        let sheet = self.sheet;
        let of_sheet = || format!("{words} (sheet {sheet})");
        match source.shared_by() {
            SharedBy::Sheet => (sheet.to_owned(), of_sheet()),
            SharedBy::StrokeCount => (format!("{sheet} {}", self.strokes), of_sheet()),
            SharedBy::Gas => (format!("{sheet} {}", self.gas), of_sheet()),
            SharedBy::DisturbingGas => (format!("{sheet} {words}"), of_sheet()),
            SharedBy::Pump => match self.pump {
                Some(pump) => (pump.to_owned(), format!("{words} ({pump})")),
                None => (String::new(), format!("{words} (pump not named)")),
            },
            SharedBy::Instrument => (String::new(), words.to_owned()),
            SharedBy::Reading => (self.reading.to_owned(), words.to_owned()),
        }
    }

    /// Scope of a source's standard uncertainty: the pump, or the sheet.
    pub(crate) fn found_for(&self, source: Source) -> String {
        match source.found_for() {
            FoundFor::Pump => self.pump.unwrap_or_default().to_owned(),
            FoundFor::Sheet => self.sheet.to_owned(),
        }
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(in super::super) fn known(
        value: f64,
        sources: &[(Source, &str, f64)],
    ) -> CorrelatedEstimate {
        let exact: Vec<_> = sources
            .iter()
            .map(|(source, of, amount)| (*source, *of, *amount, f64::INFINITY))
            .collect();
        known_from(value, &exact)
    }

    /// The same with degrees of freedom; the figures are those of one sheet.
    fn known_from(value: f64, sources: &[(Source, &str, f64, f64)]) -> CorrelatedEstimate {
        CorrelatedEstimate {
            value,
            up: 0.0,
            down: 0.0,
            made_of: BTreeMap::new(),
            sources: sources
                .iter()
                .map(|(source, of, amount, degrees_of_freedom)| {
                    let source = GroupSource::OfReadings(*source);
                    (
                        SourceKey::new(source, *of),
                        SharedContribution {
                            source,
                            amount: *amount,
                            words: source.code().to_owned(),
                            readings: 1,
                            found_for: "s".to_owned(),
                            degrees_of_freedom: *degrees_of_freedom,
                            grows: Grows::InProportion,
                        },
                    )
                })
                .collect(),
        }
    }

    /// By hand: accuracy in common 0.5 · 3 + 0.5 · 1 = 2, readings by themselves √(0.5² · 4² + 0.5² · 2²) = √5: √(4 + 5) = 3.
    #[test]
    fn shared_sources_do_not_average_out() {
        let a = known(
            10.0,
            &[(Source::Accuracy, "s", 3.0), (Source::Reading, "a", 4.0)],
        );
        let b = known(
            4.0,
            &[(Source::Accuracy, "s", 1.0), (Source::Reading, "b", 2.0)],
        );
        let mean = CorrelatedEstimate::sum([(0.5, &a), (0.5, &b)]);
        assert_eq!(mean.value, 7.0);
        assert!((mean.standard() - 3.0).abs() < 1e-12, "{mean:?}");
        let uncertainty = mean.uncertainty();
        assert_eq!(uncertainty.budget.len(), 2);
        assert_eq!(uncertainty.budget[0].code, "reading");
        assert!(!uncertainty.budget[0].shared);
        assert!((uncertainty.budget[0].contribution - 500.0 / 9.0).abs() < 1e-9);
        assert!(uncertainty.budget[1].shared);
    }

    /// By hand. Accuracy in common, 0.5 · 3 + 0.5 · 1 = 2, known with 8 degrees of freedom; repeatability of one sheet with 4,
    /// 0.5 · 4 and 0.5 · 2 in the two: variance 4 + 1 = 5 with 4, not 8. ν = (4 + 5)² / (4²/8 + 5²/4) = 81 / 8.25.
    #[test]
    fn one_figure_gains_nothing_by_being_used_twice() {
        let a = known_from(
            10.0,
            &[
                (Source::Accuracy, "s", 3.0, 8.0),
                (Source::Repeatability, "a", 4.0, 4.0),
            ],
        );
        let b = known_from(
            4.0,
            &[
                (Source::Accuracy, "s", 1.0, 8.0),
                (Source::Repeatability, "b", 2.0, 4.0),
            ],
        );
        let mean = CorrelatedEstimate::sum([(0.5, &a), (0.5, &b)]);
        assert!((mean.standard() - 3.0).abs() < 1e-12);
        assert!(
            (mean.degrees_of_freedom() - 81.0 / 8.25).abs() < 1e-9,
            "{mean:?}"
        );
        let uncertainty = mean.uncertainty();
        // JCGM 100:2008, table G.2, 95 % at 9 degrees of freedom, from memory: 2.26.
        assert!(
            (uncertainty.coverage_factor - 2.26).abs() < 0.005,
            "{uncertainty:?}"
        );
        assert!((uncertainty.expanded - 3.0 * uncertainty.coverage_factor).abs() < 1e-12);
        assert_eq!(uncertainty.budget[0].degrees_of_freedom, Some(4.0));
        // Ten readings of one sheet's repeatability have its 4.
        let many: Vec<CorrelatedEstimate> = (0..10)
            .map(|i| known_from(1.0, &[(Source::Repeatability, &i.to_string(), 0.1, 4.0)]))
            .collect();
        let mean = CorrelatedEstimate::sum(many.iter().map(|known| (0.1, known)));
        assert!((mean.degrees_of_freedom() - 4.0).abs() < 1e-9, "{mean:?}");
        assert!(
            known(1.0, &[(Source::Reading, "a", 0.1)])
                .degrees_of_freedom()
                .is_infinite()
        );
    }
}
