//! A figure that is known to lie between two bounds, each with its own uncertainty.

use std::collections::BTreeMap;

use stainbook_catalog::written::Reading;
use stainbook_core::elementary::hypot;

use super::correlated_estimate::{
    CorrelatedEstimate, FigureTerm, GroupSource, Grows, SharedContribution, SourceKey, Whose,
};
use super::result::{EndsOf, GroupStatus};
use crate::budget::Contribution;
use crate::ends_words;
use crate::evaluated::Evaluated;
use crate::interval::Covers;
use crate::judgement::Span;
use crate::one_reading::IntervalEnds;
use crate::result::Status;

/// Bounds of a figure: the figure itself, or the ends that it lies between. No end is no bound.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Bounds {
    pub(crate) lowest: Option<CorrelatedEstimate>,
    pub(crate) highest: Option<CorrelatedEstimate>,
}

impl Bounds {
    /// A value.
    pub(crate) fn value(known: CorrelatedEstimate) -> Self {
        Self {
            lowest: Some(known.clone()),
            highest: Some(known),
        }
    }

    /// The value, if it is one.
    pub(crate) fn as_value(&self) -> Option<&CorrelatedEstimate> {
        self.lowest
            .as_ref()
            .filter(|lowest| Some(*lowest) == self.highest.as_ref())
    }

    /// Of a reading, in ppm; nothing if it was refused or cannot be given in ppm.
    pub(crate) fn of(evaluated: &Evaluated<'_>, reading: &Reading) -> Option<Self> {
        let ppm = evaluated.ppm()?;
        let out = evaluated.worked_out()?;
        let per_unit = ppm / out.value;
        let known = CorrelatedEstimate {
            value: ppm,
            up: (out.cell_ends[1] - out.value).max(0.0) * per_unit,
            down: (out.value - out.cell_ends[0]).max(0.0) * per_unit,
            sources: sources(evaluated, ppm, reading),
            made_of: BTreeMap::from([(FigureTerm::Reading(evaluated.id.clone()), per_unit)]),
        };
        match evaluated.status() {
            Status::Measured => Some(Self::value(known)),
            Status::LessThan => Some(Self {
                lowest: Some(CorrelatedEstimate::nothing()),
                highest: Some(known),
            }),
            Status::MoreThan => Some(Self {
                lowest: Some(known),
                highest: None,
            }),
            Status::Refused => None,
        }
    }

    /// The sum of figures, each times its weight, which is not negative: lower ends with lower ends, upper with upper.
    pub(crate) fn sum<'k>(terms: &[(f64, &'k Self)]) -> Self {
        let end = |of: fn(&'k Self) -> Option<&'k CorrelatedEstimate>| {
            terms
                .iter()
                .map(|(weight, ends)| Some((*weight, of(ends)?)))
                .collect::<Option<Vec<_>>>()
                .map(CorrelatedEstimate::sum)
        };
        Self {
            lowest: end(|ends| ends.lowest.as_ref()),
            highest: end(|ends| ends.highest.as_ref()),
        }
    }

    pub(crate) fn span(&self) -> Span {
        Span {
            lowest: self.lowest.as_ref().map(CorrelatedEstimate::estimate),
            highest: self.highest.as_ref().map(CorrelatedEstimate::estimate),
        }
    }

    pub(crate) fn numbers(&self) -> EndsOf {
        EndsOf {
            lowest: self.lowest.as_ref().map(|known| known.value),
            highest: self.highest.as_ref().map(|known| known.value),
        }
    }

    /// Reach of the figure, or of each end of it.
    pub(crate) fn with_uncertainty(&self) -> EndsOf {
        let covers = if self.as_value().is_some() {
            Covers::Central
        } else {
            Covers::OneSided
        };
        EndsOf {
            lowest: self.lowest.as_ref().map(|known| known.ends(covers).0),
            highest: self.highest.as_ref().and_then(|known| known.ends(covers).1),
        }
    }

    /// A value or which bounds.
    pub(crate) fn outcome(&self) -> GroupStatus {
        match (&self.lowest, &self.highest) {
            _ if self.as_value().is_some() => GroupStatus::Measured,
            (_, None) => GroupStatus::MoreThan,
            (Some(lowest), Some(_)) if 0.0 < lowest.value => GroupStatus::Between,
            _ => GroupStatus::LessThan,
        }
    }

    /// As printed, without the unit: `12 (9 to 17)`, `less than 5 (with 95 %: less than 6.8)`, `2.1 to 6.4`.
    pub(crate) fn text(&self) -> String {
        let reached = self.with_uncertainty();
        let EndsOf { lowest, highest } = self.numbers();
        let (lowest, highest) = (lowest.unwrap_or_default(), highest.unwrap_or_default());
        let ends = IntervalEnds {
            lowest: reached.lowest.unwrap_or_default(),
            highest: reached.highest,
        };
        match self.outcome() {
            GroupStatus::Measured => self.as_value().map_or_else(String::new, |known| {
                ends_words::value(known.value, known.expanded(), ends)
            }),
            GroupStatus::LessThan => ends_words::less_than(highest, ends.highest),
            GroupStatus::MoreThan => ends_words::more_than(lowest, ends.lowest),
            GroupStatus::Between => ends_words::between([lowest, highest], ends),
            GroupStatus::Refused => String::new(),
        }
    }

    /// The status of a reading that this could be.
    pub(crate) fn status(&self) -> Status {
        match self.outcome() {
            GroupStatus::LessThan => Status::LessThan,
            GroupStatus::MoreThan => Status::MoreThan,
            GroupStatus::Measured | GroupStatus::Between | GroupStatus::Refused => Status::Measured,
        }
    }
}

/// The sources of a reading's uncertainty by what has them in common, in ppm.
fn sources(
    evaluated: &Evaluated<'_>,
    ppm: f64,
    reading: &Reading,
) -> BTreeMap<SourceKey, SharedContribution> {
    let whose = whose(evaluated, reading);
    let mut sources: BTreeMap<SourceKey, SharedContribution> = BTreeMap::new();
    for (contribution, words) in contributions(evaluated) {
        let (of, words) = whose.owner(contribution.source, &words);
        let degrees_of_freedom = contribution.term.degrees_of_freedom;
        let source = GroupSource::OfReadings(contribution.source);
        let part = sources
            .entry(SourceKey::new(source, of))
            .or_insert_with(|| SharedContribution {
                source,
                amount: 0.0,
                words,
                readings: 1,
                found_for: whose.found_for(contribution.source),
                degrees_of_freedom,
                grows: Grows::of(contribution),
            });
        part.degrees_of_freedom = part.degrees_of_freedom.min(degrees_of_freedom);
        part.amount = hypot(part.amount, contribution.relative * ppm);
    }
    sources
}

/// The contributions to a reading's uncertainty, each with its source in words.
pub(super) fn contributions<'e>(
    evaluated: &'e Evaluated<'_>,
) -> impl Iterator<Item = (&'e Contribution, String)> {
    evaluated.worked_out().into_iter().flat_map(|out| {
        out.contributions.iter().map(|one| {
            let words = out.source_words(one.source, &evaluated.numbers.interferents);
            (one, words)
        })
    })
}

/// A reading, as far as its sources of uncertainty can be those of others as well.
pub(super) fn whose<'r>(evaluated: &'r Evaluated<'_>, reading: &'r Reading) -> Whose<'r> {
    let record = &evaluated.record;
    Whose {
        reading: &evaluated.id,
        sheet: evaluated.sheet_id().unwrap_or_default(),
        gas: record.substance.as_ref().map_or("", |gas| gas.id.as_str()),
        pump: reading.pump.as_deref(),
        strokes: reading
            .strokes
            .as_ref()
            .map_or("", |strokes| strokes.text()),
    }
}

#[cfg(test)]
mod tests {
    use super::super::correlated_estimate::tests::known;
    use super::*;
    use crate::budget::Source;

    #[test]
    fn ends_stay_ends() {
        let value = Bounds::value(known(10.0, &[]));
        let less = Bounds {
            lowest: Some(CorrelatedEstimate::nothing()),
            highest: Some(known(2.0, &[])),
        };
        let more = Bounds {
            lowest: Some(known(40.0, &[])),
            highest: None,
        };
        for (terms, outcome, text) in [
            (vec![&value, &value], GroupStatus::Measured, "10 (10 to 10)"),
            (
                vec![&value, &less],
                GroupStatus::Between,
                "5.00 to 6.00 (with 95 %: 5.00 to 6.00)",
            ),
            (
                vec![&less, &less],
                GroupStatus::LessThan,
                "less than 2.00 (with 95 %: less than 2.00)",
            ),
            (
                vec![&value, &more],
                GroupStatus::MoreThan,
                "more than 25.0 (with 95 %: more than 25.0)",
            ),
            (
                vec![&less, &more],
                GroupStatus::MoreThan,
                "more than 20.0 (with 95 %: more than 20.0)",
            ),
        ] {
            let terms: Vec<(f64, &Bounds)> = terms.into_iter().map(|ends| (0.5, ends)).collect();
            let mean = Bounds::sum(&terms);
            assert_eq!(mean.outcome(), outcome);
            assert_eq!(mean.text(), text);
        }
    }

    /// By hand, k = 1.645 to one side, of parts that do not grow: half of 10 less 1.645·3, and 5 + 1 + 1.645·√(1.5² + 0.5²).
    #[test]
    fn ends_have_uncertainties() {
        let not_growing = |value, of, amount| {
            let mut known = known(value, &[(Source::Reading, of, amount)]);
            known
                .sources
                .values_mut()
                .for_each(|part| part.grows = Grows::Not);
            known
        };
        let value = Bounds::value(not_growing(10.0, "a", 3.0));
        let less = Bounds {
            lowest: Some(CorrelatedEstimate::nothing()),
            highest: Some(not_growing(2.0, "b", 1.0)),
        };
        let mean = Bounds::sum(&[(0.5, &value), (0.5, &less)]);
        let with = mean.with_uncertainty();
        let k = 1.644_853_626_951_472_7;
        assert!(
            (with.lowest.unwrap() - (5.0 - k * 1.5)).abs() < 1e-12,
            "{with:?}"
        );
        let highest = 6.0 + k * (1.5_f64 * 1.5 + 0.25).sqrt();
        assert!((with.highest.unwrap() - highest).abs() < 1e-12, "{with:?}");
        let more = Bounds {
            highest: None,
            ..value
        };
        assert_eq!(more.with_uncertainty().highest, None);
    }
}
