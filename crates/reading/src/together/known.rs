//! What is known of a figure, with the sources of its uncertainty by name, so that sources which several readings have in
//! common are added as one.
//!
//! Source: JCGM 100:2008, 5.2: of correlated inputs the contributions are added before they are squared. Which inputs are
//! correlated is our own judgement, towards the larger uncertainty where a sum is made:
//!
//! - shared, fully: accuracy of scale and lot (the same sheet), stroke volume (the same pump), multiplier and tables (the
//!   same sheet), thermometer, hygrometer and barometer (of the survey), the response to a disturbing gas (the same sheet);
//! - each by itself: reading the end of the stain, the front, repeatability.

use std::collections::BTreeMap;

use stainbook_catalog::written::Reading;
use stainbook_core::print;

use super::result::{EndsOf, Outcome, SharedLine, TogetherUncertainty};
use crate::defaults;
use crate::judgement::{Estimate, Span};
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
        }
    }

    /// The sum of figures, each times its weight.
    pub(crate) fn sum<'k>(terms: impl IntoIterator<Item = (f64, &'k Self)>) -> Self {
        let mut sum = Self::default();
        for (weight, known) in terms {
            sum.value += weight * known.value;
            for (source, part) in &known.sources {
                let slot = sum.sources.entry(source.clone()).or_insert_with(|| Part {
                    amount: 0.0,
                    words: part.words.clone(),
                    readings: 0,
                });
                slot.amount += weight * part.amount;
                slot.readings += part.readings;
            }
        }
        sum
    }

    /// The uncertainty as it is put out.
    pub(crate) fn uncertainty(&self) -> TogetherUncertainty {
        let standard = self.standard();
        let expanded = standard * defaults::COVERAGE_FACTOR;
        let variance = standard * standard;
        let mut budget: Vec<SharedLine> = self
            .by_code()
            .into_iter()
            .map(|(source, words, square)| SharedLine {
                shared: !is_own(&source),
                code: source,
                source: words,
                standard: square.sqrt(),
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
            coverage_factor: defaults::COVERAGE_FACTOR,
            coverage: defaults::COVERAGE,
            interval: [(self.value - expanded).max(0.0), self.value + expanded],
            budget,
        }
    }

    /// The variance by kind of source: what is each reading's own stands on one line.
    fn by_code(&self) -> Vec<(String, String, f64)> {
        let mut lines: BTreeMap<(&str, &str), f64> = BTreeMap::new();
        for (source, part) in &self.sources {
            *lines
                .entry((source.code.as_str(), part.words.as_str()))
                .or_insert(0.0) += part.amount * part.amount;
        }
        lines
            .into_iter()
            .filter(|(_, square)| 0.0 < *square)
            .map(|((code, words), square)| (code.to_owned(), words.to_owned(), square))
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
                let (value, expanded) = print::with_uncertainty(
                    known.value,
                    known.standard() * defaults::COVERAGE_FACTOR,
                );
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
        let part = sources
            .entry(Source {
                code: line.code.clone(),
                of,
            })
            .or_insert_with(|| Part {
                amount: 0.0,
                words,
                readings: 1,
            });
        part.amount = part.amount.hypot(line.relative * ppm);
    }
    sources
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
        Known {
            value,
            sources: sources
                .iter()
                .map(|(code, of, amount)| {
                    (
                        Source {
                            code: (*code).to_owned(),
                            of: (*of).to_owned(),
                        },
                        Part {
                            amount: *amount,
                            words: (*code).to_owned(),
                            readings: 1,
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
}
