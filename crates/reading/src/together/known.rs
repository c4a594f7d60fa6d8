//! What is known of a figure, with the sources of its uncertainty by name, so that sources which several readings have in
//! common are added as one.
//!
//! Source: JCGM 100:2008, 5.2: of correlated inputs the contributions are added before they are squared. Which inputs are
//! correlated is our own judgement, towards the larger uncertainty where a sum is made:
//!
//! - shared, fully: accuracy of scale and lot (the same sheet), stroke volume (the same pump), multiplier and tables (the
//!   same sheet), thermometer, hygrometer and barometer (of the survey), the response to a disturbing gas (the same sheet);
//! - each by itself: reading the end of the stain, the front, repeatability, how much single strokes of a pump differ.
//!
//! How far the standard uncertainty itself can be relied on follows after Welch and Satterthwaite (JCGM 100:2008, G.4.1),
//! whose terms have to be independent. So the terms are the figures that rest on few readings, not the errors: what repeated
//! readings of one sheet add is each reading's own, but the standard deviation is the sheet's, found once. Were it too small
//! it would be so for all of them, and ten readings give it no more degrees of freedom than one.

use std::collections::BTreeMap;

use stainbook_catalog::written::Reading;
use stainbook_core::elementary::hypot;
use stainbook_core::print;

use super::result::{EndsOf, Outcome, SharedLine, TogetherUncertainty};
use crate::budget_words::finite;
use crate::defaults;
use crate::judgement::{Estimate, Span};
use crate::propagation::{self, Term};
use crate::result::{BudgetLine, ReadingResult, Status, Uncertainty};

/// A figure with what each source makes in it, signed, in the figure's unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Known {
    pub(crate) value: f64,
    pub(crate) sources: BTreeMap<Source, Part>,
}

/// A source of uncertainty: two with the same key are one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Source {
    /// The word of the budget.
    pub(crate) code: String,
    /// What it belongs to: a sheet, a pump, a reading.
    pub(crate) of: String,
}

/// What a source makes in a figure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Part {
    /// In the figure's unit; signed.
    pub(crate) amount: f64,
    /// The source in words.
    pub(crate) words: String,
    /// How many readings it came in with.
    pub(crate) readings: usize,
    /// What the standard deviation was found for: a sheet.
    pub(crate) found_for: String,
    /// The degrees of freedom of that; infinite where it is taken as exact.
    pub(crate) degrees_of_freedom: f64,
}

impl Known {
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

    pub(crate) fn estimate(&self) -> Estimate {
        Estimate {
            value: self.value,
            standard: self.standard(),
            degrees_of_freedom: self.degrees_of_freedom(),
        }
    }

    /// The effective degrees of freedom of the standard uncertainty; infinite if no source has finite ones.
    pub(crate) fn degrees_of_freedom(&self) -> f64 {
        // Of one figure in several places the fewest count, towards the larger uncertainty.
        let mut figures: BTreeMap<(&str, &str), (f64, f64)> = BTreeMap::new();
        for (source, part) in &self.sources {
            let figure = figures
                .entry((source.code.as_str(), part.found_for.as_str()))
                .or_insert((0.0, f64::INFINITY));
            figure.0 += part.amount * part.amount;
            figure.1 = figure.1.min(part.degrees_of_freedom);
        }
        let terms = figures
            .into_values()
            .map(|(variance, degrees_of_freedom)| Term {
                sensitivity: 1.0,
                standard: variance.sqrt(),
                degrees_of_freedom,
            });
        propagation::combine_independent(terms).effective_degrees_of_freedom
    }

    /// The coverage factor for about 95 %: 2, or Student's t where the degrees of freedom are finite.
    pub(crate) fn coverage_factor(&self) -> f64 {
        propagation::coverage_factor(self.degrees_of_freedom())
    }

    pub(crate) fn expanded(&self) -> f64 {
        self.standard() * self.coverage_factor()
    }

    /// The sum of figures, each times its weight.
    pub(crate) fn sum<'k>(terms: impl IntoIterator<Item = (f64, &'k Self)>) -> Self {
        let mut sum = Self::default();
        for (weight, known) in terms {
            sum.value += weight * known.value;
            for (source, part) in &known.sources {
                let slot = sum.sources.entry(source.clone()).or_insert_with(|| Part {
                    amount: 0.0,
                    readings: 0,
                    ..part.clone()
                });
                slot.degrees_of_freedom = slot.degrees_of_freedom.min(part.degrees_of_freedom);
                slot.amount += weight * part.amount;
                slot.readings += part.readings;
            }
        }
        sum
    }

    /// The uncertainty as it is put out.
    pub(crate) fn uncertainty(&self) -> TogetherUncertainty {
        let standard = self.standard();
        let coverage_factor = self.coverage_factor();
        let expanded = standard * coverage_factor;
        let variance = standard * standard;
        let mut budget: Vec<SharedLine> = self
            .by_code()
            .into_iter()
            .map(|(source, words, square, degrees_of_freedom)| SharedLine {
                shared: !is_own(&source),
                code: source,
                source: words,
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
            expanded,
            coverage_factor,
            effective_degrees_of_freedom: finite(self.degrees_of_freedom()),
            coverage: defaults::COVERAGE,
            interval: [(self.value - expanded).max(0.0), self.value + expanded],
            budget,
        }
    }

    /// The variance by kind of source: what is each reading's own stands on one line.
    fn by_code(&self) -> Vec<(String, String, f64, f64)> {
        let mut lines: BTreeMap<(&str, &str), (f64, f64)> = BTreeMap::new();
        for (source, part) in &self.sources {
            let line = lines
                .entry((source.code.as_str(), part.words.as_str()))
                .or_insert((0.0, f64::INFINITY));
            line.0 += part.amount * part.amount;
            line.1 = line.1.min(part.degrees_of_freedom);
        }
        lines
            .into_iter()
            .filter(|(_, (square, _))| 0.0 < *square)
            .map(|((code, words), (square, degrees_of_freedom))| {
                (
                    code.to_owned(),
                    words.to_owned(),
                    square,
                    degrees_of_freedom,
                )
            })
            .collect()
    }
}

/// What is known of a figure: where it is, or between which ends. No end is no bound.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Ends {
    pub(crate) lowest: Option<Known>,
    pub(crate) highest: Option<Known>,
}

impl Ends {
    /// A value.
    pub(crate) fn value(known: Known) -> Self {
        Self {
            lowest: Some(known.clone()),
            highest: Some(known),
        }
    }

    /// The value, if it is one.
    pub(crate) fn as_value(&self) -> Option<&Known> {
        self.lowest
            .as_ref()
            .filter(|lowest| Some(*lowest) == self.highest.as_ref())
    }

    /// Of a reading, in ppm; nothing if it was refused or cannot be given in ppm.
    pub(crate) fn of(result: &ReadingResult, reading: &Reading) -> Option<Self> {
        let ppm = result.as_ppm?;
        let known = |uncertainty: Option<&Uncertainty>| Known {
            value: ppm,
            sources: sources(uncertainty, ppm, result, reading),
        };
        match result.status {
            Status::Measured => Some(Self::value(known(result.uncertainty.as_ref()))),
            Status::LessThan => Some(Self {
                lowest: Some(Known::nothing()),
                highest: Some(known(result.on_the_bound.as_ref())),
            }),
            Status::MoreThan => Some(Self {
                lowest: Some(known(result.on_the_bound.as_ref())),
                highest: None,
            }),
            Status::Refused => None,
        }
    }

    /// The sum of figures, each times its weight, which is not negative: lower ends with lower ends, upper with upper.
    pub(crate) fn sum<'k>(terms: &[(f64, &'k Self)]) -> Self {
        let end = |of: fn(&'k Self) -> Option<&'k Known>| {
            terms
                .iter()
                .map(|(weight, ends)| Some((*weight, of(ends)?)))
                .collect::<Option<Vec<_>>>()
                .map(Known::sum)
        };
        Self {
            lowest: end(|ends| ends.lowest.as_ref()),
            highest: end(|ends| ends.highest.as_ref()),
        }
    }

    pub(crate) fn span(&self) -> Span {
        Span {
            lowest: self.lowest.as_ref().map(Known::estimate),
            highest: self.highest.as_ref().map(Known::estimate),
        }
    }

    pub(crate) fn numbers(&self) -> EndsOf {
        EndsOf {
            lowest: self.lowest.as_ref().map(|known| known.value),
            highest: self.highest.as_ref().map(|known| known.value),
        }
    }

    /// The ends less and more their expanded uncertainties: what the figure lies between with at least the coverage of these.
    pub(crate) fn with_uncertainty(&self) -> EndsOf {
        EndsOf {
            lowest: self
                .lowest
                .as_ref()
                .map(|known| (known.value - known.expanded()).max(0.0)),
            highest: self
                .highest
                .as_ref()
                .map(|known| known.value + known.expanded()),
        }
    }

    /// A value or which bounds.
    pub(crate) fn outcome(&self) -> Outcome {
        match (&self.lowest, &self.highest) {
            _ if self.as_value().is_some() => Outcome::Measured,
            (_, None) => Outcome::MoreThan,
            (Some(lowest), Some(_)) if 0.0 < lowest.value => Outcome::Between,
            _ => Outcome::LessThan,
        }
    }

    /// As printed, without the unit: `12 ± 4`, `less than 5`, `2.1 to 6.4`.
    pub(crate) fn text(&self) -> String {
        let bound = |known: Option<&Known>| {
            known.map_or_else(String::new, |known| print::to_significant(known.value, 3))
        };
        let (lowest, highest) = (bound(self.lowest.as_ref()), bound(self.highest.as_ref()));
        match self.outcome() {
            Outcome::Measured => self.as_value().map_or_else(String::new, |known| {
                let (value, expanded) = print::with_uncertainty(known.value, known.expanded());
                format!("{value} ± {expanded}")
            }),
            Outcome::LessThan => format!("less than {highest}"),
            Outcome::MoreThan => format!("more than {lowest}"),
            Outcome::Between => format!("{lowest} to {highest}"),
            Outcome::Refused => String::new(),
        }
    }

    /// The status of a reading that this could be.
    pub(crate) fn status(&self) -> Status {
        match self.outcome() {
            Outcome::LessThan => Status::LessThan,
            Outcome::MoreThan => Status::MoreThan,
            Outcome::Measured | Outcome::Between | Outcome::Refused => Status::Measured,
        }
    }
}

/// The sources of a reading's uncertainty by what has them in common, in ppm.
fn sources(
    uncertainty: Option<&Uncertainty>,
    ppm: f64,
    result: &ReadingResult,
    reading: &Reading,
) -> BTreeMap<Source, Part> {
    let mut sources: BTreeMap<Source, Part> = BTreeMap::new();
    for line in uncertainty
        .iter()
        .flat_map(|uncertainty| &uncertainty.budget)
    {
        let (of, words) = belongs_to(line, result, reading);
        let degrees_of_freedom = line.degrees_of_freedom.unwrap_or(f64::INFINITY);
        let part = sources
            .entry(Source {
                code: line.code.clone(),
                of,
            })
            .or_insert_with(|| Part {
                amount: 0.0,
                words,
                readings: 1,
                found_for: found_for(&line.code, result, reading.pump.as_deref()),
                degrees_of_freedom,
            });
        part.degrees_of_freedom = part.degrees_of_freedom.min(degrees_of_freedom);
        part.amount = hypot(part.amount, line.relative * ppm);
    }
    sources
}

/// What a standard deviation of a result was found for: the pump, or the sheet.
pub(super) fn found_for(code: &str, result: &ReadingResult, pump: Option<&str>) -> String {
    if matches!(code, "stroke-volume" | "stroke-spread") {
        return pump.unwrap_or_default().to_owned();
    }
    result
        .sheet
        .as_ref()
        .map(|sheet| sheet.id.clone())
        .unwrap_or_default()
}

/// Sources that each reading has for itself.
fn is_own(code: &str) -> bool {
    !matches!(
        code,
        "accuracy"
            | "stroke-volume"
            | "multiplier"
            | "temperature-table"
            | "humidity-table"
            | "pressure-table"
            | "temperature"
            | "air-temperature"
            | "humidity"
            | "pressure"
            | "other-gas-factor"
            | "other-gas"
    )
}

/// What a source belongs to, and the source in words.
fn belongs_to(line: &BudgetLine, result: &ReadingResult, reading: &Reading) -> (String, String) {
    let sheet = result.sheet.as_ref().map_or("", |sheet| sheet.id.as_str());
    let gas = result
        .substance
        .as_ref()
        .map_or("", |substance| substance.id.as_str());
    let source = &line.source;
    match line.code.as_str() {
        "accuracy" | "temperature-table" | "humidity-table" | "pressure-table" => {
            (sheet.to_owned(), format!("{source} (sheet {sheet})"))
        }
        "multiplier" => {
            let strokes = reading
                .strokes
                .as_ref()
                .map_or("", |strokes| strokes.text());
            (
                format!("{sheet} {strokes}"),
                format!("{source} (sheet {sheet})"),
            )
        }
        "other-gas-factor" => (
            format!("{sheet} {gas}"),
            format!("{source} (sheet {sheet})"),
        ),
        "other-gas" => (
            format!("{sheet} {source}"),
            format!("{source} (sheet {sheet})"),
        ),
        "stroke-volume" => match reading.pump.as_deref() {
            Some(pump) => (pump.to_owned(), format!("{source} ({pump})")),
            None => (String::new(), format!("{source} (pump not named)")),
        },
        "temperature" | "air-temperature" | "humidity" | "pressure" => {
            (String::new(), source.clone())
        }
        _ => (result.id.clone(), source.clone()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(value: f64, sources: &[(&str, &str, f64)]) -> Known {
        let exact: Vec<_> = sources
            .iter()
            .map(|(code, of, amount)| (*code, *of, *amount, f64::INFINITY))
            .collect();
        known_from(value, &exact)
    }

    /// The same with degrees of freedom; the figures are those of one sheet.
    fn known_from(value: f64, sources: &[(&str, &str, f64, f64)]) -> Known {
        Known {
            value,
            sources: sources
                .iter()
                .map(|(code, of, amount, degrees_of_freedom)| {
                    (
                        Source {
                            code: (*code).to_owned(),
                            of: (*of).to_owned(),
                        },
                        Part {
                            amount: *amount,
                            words: (*code).to_owned(),
                            readings: 1,
                            found_for: "s".to_owned(),
                            degrees_of_freedom: *degrees_of_freedom,
                        },
                    )
                })
                .collect(),
        }
    }

    /// By hand: accuracy in common 0.5 · 3 + 0.5 · 1 = 2, readings by themselves √(0.5² · 4² + 0.5² · 2²) = √5: √(4 + 5) = 3.
    #[test]
    fn shared_sources_do_not_average_out() {
        let a = known(10.0, &[("accuracy", "s", 3.0), ("reading", "a", 4.0)]);
        let b = known(4.0, &[("accuracy", "s", 1.0), ("reading", "b", 2.0)]);
        let mean = Known::sum([(0.5, &a), (0.5, &b)]);
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
                ("accuracy", "s", 3.0, 8.0),
                ("repeatability", "a", 4.0, 4.0),
            ],
        );
        let b = known_from(
            4.0,
            &[
                ("accuracy", "s", 1.0, 8.0),
                ("repeatability", "b", 2.0, 4.0),
            ],
        );
        let mean = Known::sum([(0.5, &a), (0.5, &b)]);
        assert!((mean.standard() - 3.0).abs() < 1e-12);
        assert!(
            (mean.degrees_of_freedom() - 81.0 / 8.25).abs() < 1e-9,
            "{mean:?}"
        );
        let uncertainty = mean.uncertainty();
        // JCGM 100:2008, table G.2, 95.45 % at 9 degrees of freedom, from memory: 2.32.
        assert!(
            (uncertainty.coverage_factor - 2.32).abs() < 0.005,
            "{uncertainty:?}"
        );
        assert!((uncertainty.expanded - 3.0 * uncertainty.coverage_factor).abs() < 1e-12);
        assert_eq!(uncertainty.budget[0].degrees_of_freedom, Some(4.0));
        // Ten readings of one sheet's repeatability have its 4.
        let many: Vec<Known> = (0..10)
            .map(|i| known_from(1.0, &[("repeatability", &i.to_string(), 0.1, 4.0)]))
            .collect();
        let mean = Known::sum(many.iter().map(|known| (0.1, known)));
        assert!((mean.degrees_of_freedom() - 4.0).abs() < 1e-9, "{mean:?}");
        assert!(
            known(1.0, &[("reading", "a", 0.1)])
                .degrees_of_freedom()
                .is_infinite()
        );
    }

    #[test]
    fn ends_stay_ends() {
        let value = Ends::value(known(10.0, &[]));
        let less = Ends {
            lowest: Some(Known::nothing()),
            highest: Some(known(2.0, &[])),
        };
        let more = Ends {
            lowest: Some(known(40.0, &[])),
            highest: None,
        };
        for (terms, outcome, text) in [
            (vec![&value, &value], Outcome::Measured, "10 ± 0"),
            (vec![&value, &less], Outcome::Between, "5.00 to 6.00"),
            (vec![&less, &less], Outcome::LessThan, "less than 2.00"),
            (vec![&value, &more], Outcome::MoreThan, "more than 25.0"),
            (vec![&less, &more], Outcome::MoreThan, "more than 20.0"),
        ] {
            let terms: Vec<(f64, &Ends)> = terms.into_iter().map(|ends| (0.5, ends)).collect();
            let mean = Ends::sum(&terms);
            assert_eq!(mean.outcome(), outcome);
            assert_eq!(mean.text(), text);
        }
    }

    /// By hand, k = 2: from 10 ± 2·3 and nothing, half of each: 5 − 3 and 5 + 2·√(1.5² + 0.5²) + 1.
    #[test]
    fn ends_have_uncertainties() {
        let value = Ends::value(known(10.0, &[("reading", "a", 3.0)]));
        let less = Ends {
            lowest: Some(Known::nothing()),
            highest: Some(known(2.0, &[("reading", "b", 1.0)])),
        };
        let mean = Ends::sum(&[(0.5, &value), (0.5, &less)]);
        let with = mean.with_uncertainty();
        assert!((with.lowest.unwrap() - 2.0).abs() < 1e-12, "{with:?}");
        let highest = 6.0 + 2.0 * (1.5_f64 * 1.5 + 0.25).sqrt();
        assert!((with.highest.unwrap() - highest).abs() < 1e-12, "{with:?}");
        let more = Ends {
            highest: None,
            ..value
        };
        assert_eq!(more.with_uncertainty().highest, None);
    }
}
