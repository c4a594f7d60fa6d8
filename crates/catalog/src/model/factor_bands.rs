//! Corrections that hold within bands of conditions.

use stainbook_core::{
    Decimal, Humidity, Pressure, Quantity, Temperature, Unit, Written, WrittenSpan,
};
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::Path;
use stainbook_document::typed::Problem;

use super::correction::CorrectionOf;
use super::{Needed, Unusable};
use crate::written::tube::{Axis, BandSays, Correction as WrittenCorrection, FactorBand, Target};

/// Statements of a leaflet for bands of conditions.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FactorBands {
    /// Target of the factors.
    pub target: Target,
    /// The unit of the condition.
    pub unit: &'static Unit,
    /// The bands, rising.
    pub bands: Vec<ConditionBand>,
    /// Statement for conditions outside all bands, if there is one.
    pub elsewhere: Option<BandFactor>,
}

/// One band of conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct ConditionBand {
    /// Its lower end; −∞ if it has none.
    pub low: f64,
    /// Its upper end; +∞ if it has none.
    pub high: f64,
    /// Lower end of its reach: the same, or the end of the band before it where the two are one printed step apart, as
    /// `30 to 59` and `60 to 90`.
    pub reaches_from: f64,
    /// The same above.
    pub reaches_to: f64,
    /// The statement of the leaflet.
    pub gives: BandFactor,
}

/// A leaflet's statement for a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BandFactor {
    /// A factor.
    Factor(f64),
    /// A factor that changes by a part with each unit of the condition, counted from an end of the band, where it is 1.
    PerUnit {
        /// That end.
        from: f64,
        /// The part; below zero where the factor falls.
        part: f64,
    },
    /// No correction.
    NoneNeeded,
    /// The tube must not be used.
    DoNotUse,
    /// Nothing.
    NotStated,
    /// Calibration pressure over station pressure.
    Proportional,
}

/// Relative tolerance within which a condition lies on an end.
const SAME_END: f64 = 1e-9;

impl ConditionBand {
    /// True if a condition lies in it, ends included.
    pub fn holds(&self, condition: f64) -> bool {
        let margin = SAME_END * condition.abs().max(1.0);
        self.reaches_from - margin <= condition && condition <= self.reaches_to + margin
    }

    /// True if a condition lies in it and on none of its ends.
    pub fn holds_inside(&self, condition: f64) -> bool {
        let margin = SAME_END * condition.abs().max(1.0);
        self.low + margin < condition && condition < self.high - margin
    }

    /// True if any condition between two lies in it.
    pub fn meets(&self, low: f64, high: f64) -> bool {
        self.reaches_from <= high && low <= self.reaches_to
    }
}

impl BandFactor {
    /// The factor at a condition, with the calibration pressure over the station pressure for [`Proportional`](Self::Proportional);
    /// nothing where the tube must not be used.
    pub fn factor(self, condition: f64, proportional: f64) -> Option<f64> {
        match self {
            Self::Factor(factor) => Some(factor),
            Self::PerUnit { from, part } => Some(1.0 + part * (condition - from).abs()),
            Self::NoneNeeded | Self::NotStated => Some(1.0),
            Self::Proportional => Some(proportional),
            Self::DoNotUse => None,
        }
    }
}

impl FactorBands {
    /// The bands in which a condition lies, each with its place; two where they share an end.
    pub fn at(&self, condition: f64) -> impl Iterator<Item = (usize, &ConditionBand)> {
        self.bands
            .iter()
            .enumerate()
            .filter(move |(_, band)| band.holds(condition))
    }

    /// From the lowest to the highest condition of all bands; nothing if they are open or something is said of all others.
    pub fn span(&self) -> Option<(f64, f64, &'static Unit)> {
        let low = self.bands.first()?.low;
        let high = self.bands.iter().map(|band| band.high).fold(low, f64::max);
        (self.elsewhere.is_none()).then_some((low, high, self.unit))
    }

    pub(super) fn from_written(
        written: &WrittenCorrection,
        of: &CorrectionOf<'_>,
        path: &Path,
    ) -> Result<Self, Unusable> {
        let axis = of.axis;
        let at = |key: &'static str| path.clone().key(key);
        if written.bands.is_empty() {
            return Err(Unusable::missing(at("bands")));
        }
        let mut unit = None;
        let mut steps = Vec::new();
        let mut bands = Vec::new();
        for (index, band) in written.bands.iter().enumerate() {
            let at_band = at("bands").index(index);
            let span = span(band, axis, &at_band)?;
            let unit = *unit.get_or_insert(span.unit);
            if unit.dimension() != span.unit.dimension() {
                return Err(Unusable::new(
                    at_band.key("within"),
                    "not in a unit of the kind of the other bands",
                ));
            }
            let span = span.converted(unit);
            let (low, high) = (span.low, span.high);
            steps.push(2.0 * span.half_step);
            bands.push(ConditionBand {
                low,
                high,
                reaches_from: low,
                reaches_to: high,
                gives: gives(band, of, (low, high), unit, &at_band)?,
            });
        }
        let unit = unit.ok_or_else(|| Unusable::missing(at("bands")))?;
        bands.sort_by(|a, b| a.low.total_cmp(&b.low).then(a.high.total_cmp(&b.high)));
        // A printed step: the coarsest, as `30 to 59` beside `60 to 90` leaves 59.5 to neither and means both.
        let step = steps.into_iter().fold(0.0, f64::max);
        for index in 1..bands.len() {
            if let Some([before, after]) = bands.get_mut(index - 1..=index)
                && before.high < after.low
                && after.low - before.high <= step * (1.0 + SAME_END)
            {
                (before.reaches_to, after.reaches_from) = (after.low, before.high);
            }
        }
        let elsewhere = written
            .elsewhere
            .map(|says| in_words(says, axis, &at("elsewhere")))
            .transpose()?;
        Ok(Self {
            target: written.multiply.unwrap_or(Target::Reading),
            unit,
            bands,
            elsewhere,
        })
    }
}

/// The ends of a band in the unit that it is written in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandEnds {
    /// The lower end; −∞ if there is none.
    pub low: f64,
    /// The upper end; +∞ if there is none.
    pub high: f64,
    /// The unit of the first end that is written.
    pub unit: &'static Unit,
    /// Half the last printed digit of the coarser end.
    pub half_step: f64,
}

impl BandEnds {
    /// The same in another unit of its kind.
    #[must_use]
    pub fn converted(self, unit: &'static Unit) -> Self {
        if std::ptr::eq(self.unit, unit) {
            return self;
        }
        let end = |end: f64| {
            if end.is_finite() {
                unit.from_base(self.unit.to_base(end))
            } else {
                end
            }
        };
        Self {
            low: end(self.low),
            high: end(self.high),
            unit,
            half_step: self.unit.step_to_base(self.half_step) / unit.step_to_base(1.0),
        }
    }
}

/// The ends of a band as they are written, in the unit of the first of them.
///
/// # Errors
///
/// The text is no span of such conditions.
pub fn band_ends(within: &str, axis: Axis) -> Result<BandEnds, Problem> {
    fn read<Q: Quantity>(within: &str) -> Result<BandEnds, Problem> {
        let span = WrittenSpan::<Q>::parse(within).map_err(|error| {
            let problem = Problem::new(error.to_string());
            match error.suggestion() {
                Some(better) => problem.help(help!("write {}", Offer::yaml(better))),
                None => problem,
            }
        })?;
        let ends = [span.low(), span.high()];
        let Some(unit) = ends.into_iter().flatten().map(Written::unit).next() else {
            return Err(Problem::new("a band needs an end"));
        };
        let end =
            |end: Option<&Written<Q>>, open: f64| end.map_or(open, |end| end.value().in_unit(unit));
        Ok(BandEnds {
            low: end(span.low(), f64::NEG_INFINITY),
            high: end(span.high(), f64::INFINITY),
            unit,
            half_step: ends
                .into_iter()
                .flatten()
                .map(|end| end.unit().step_to_base(end.half_step()) / unit.step_to_base(1.0))
                .fold(0.0, f64::max),
        })
    }
    match axis {
        Axis::Temperature => read::<Temperature>(within),
        Axis::Humidity => read::<Humidity>(within),
        Axis::Pressure => read::<Pressure>(within),
    }
}

fn span(band: &FactorBand, axis: Axis, path: &Path) -> Result<BandEnds, Unusable> {
    let at = || path.clone().key("within");
    let within = band.within.as_deref().needed(path, "within")?;
    let ends = band_ends(within, axis).map_err(|why| Unusable::new(at(), why.to_string()))?;
    if ends.high < ends.low {
        return Err(Unusable::new(at(), "the lower end comes first"));
    }
    Ok(ends)
}

fn gives(
    band: &FactorBand,
    of: &CorrectionOf<'_>,
    (low, high): (f64, f64),
    unit: &'static Unit,
    path: &Path,
) -> Result<BandFactor, Unusable> {
    let axis = of.axis;
    let positive = |factor: &Decimal| {
        (0.0 < factor.value())
            .then(|| factor.value())
            .ok_or_else(|| {
                Unusable::new(
                    path.clone().key("factor"),
                    "a factor that is not above zero",
                )
            })
    };
    match (&band.factor, &band.per_unit, band.says) {
        (Some(factor), None, None) => positive(factor).map(BandFactor::Factor),
        (None, Some(per_unit), None) => Ok(BandFactor::PerUnit {
            from: of.calibration_in(unit).clamp(low, high),
            part: per_unit.value().fraction(),
        }),
        (None, None, Some(says)) => in_words(says, axis, &path.clone().key("says")),
        _ => Err(Unusable::new(
            path.clone(),
            "one of `factor`, `per_unit` and `says`",
        )),
    }
}

fn in_words(says: BandSays, axis: Axis, path: &Path) -> Result<BandFactor, Unusable> {
    match says {
        BandSays::NoneNeeded => Ok(BandFactor::NoneNeeded),
        BandSays::DoNotUse => Ok(BandFactor::DoNotUse),
        BandSays::NotStated => Ok(BandFactor::NotStated),
        BandSays::Proportional if axis == Axis::Pressure => Ok(BandFactor::Proportional),
        BandSays::Proportional => Err(Unusable::new(
            path.clone(),
            "`proportional` is for pressure",
        )),
    }
}
