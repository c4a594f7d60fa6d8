//! Averages over a shift, and mixtures of gases with the same effect.

use std::fmt;

use crate::quantity::QuantityError;
use crate::{Concentration, Duration, MassConcentration, Quantity, VolumeFraction};

/// The reference period of an 8-hour limit. Source: 29 CFR 1910.1000(d)(1)(i).
pub const SHIFT_HOURS: f64 = 8.0;

/// A quantity that can be averaged over time: a concentration in one of its two kinds, never a mixture of both.
///
/// ```compile_fail,E0277
/// use stainbook_core::{Duration, Temperature, exposure};
/// let warm = Temperature::from_celsius(30.0).unwrap();
/// let hour = Duration::from_hours(1.0).unwrap();
/// let _ = exposure::time_weighted_average(&[(warm, hour)], hour); // not a concentration
/// ```
pub trait Averaged: Quantity + sealed::Sealed {}

mod sealed {
    pub trait Sealed {
        fn number(self) -> f64;
        fn of(number: f64) -> Result<Self, crate::QuantityError>
        where
            Self: Sized;
    }
}

impl Averaged for VolumeFraction {}
impl Averaged for MassConcentration {}

impl sealed::Sealed for VolumeFraction {
    fn number(self) -> f64 {
        self.ppm()
    }

    fn of(number: f64) -> Result<Self, QuantityError> {
        Self::from_ppm(number)
    }
}

impl sealed::Sealed for MassConcentration {
    fn number(self) -> f64 {
        self.mg_per_m3()
    }

    fn of(number: f64) -> Result<Self, QuantityError> {
        Self::from_mg_per_m3(number)
    }
}

/// The time-weighted average over a reference period: `(C1·T1 + C2·T2 + …) / period`.
///
/// The rest of the period, beyond the samples, counts as without exposure. Source: 29 CFR 1910.1000(d)(1)(i); the same
/// in HSE EH40, where breaks count as zero.
///
/// # Errors
///
/// [`ExposureError`]: the period is zero, or the samples are longer than it (a longer day is averaged over its reference
/// period only when the caller says so, by giving the samples' own length as the period).
///
/// # Example
///
/// ```
/// use stainbook_core::{Duration, MassConcentration, exposure};
///
/// let samples = [
///     (MassConcentration::from_mg_per_m3(0.32)?, Duration::from_hours(2.5)?),
///     (MassConcentration::from_mg_per_m3(0.07)?, Duration::from_hours(2.0)?),
///     (MassConcentration::from_mg_per_m3(0.20)?, Duration::from_hours(2.0)?),
///     (MassConcentration::from_mg_per_m3(0.10)?, Duration::from_hours(1.5)?),
/// ];
/// let average = exposure::time_weighted_average(&samples, Duration::from_hours(8.0)?)?;
/// assert_eq!(format!("{:.2}", average.mg_per_m3()), "0.19");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn time_weighted_average<Q: Averaged>(
    samples: &[(Q, Duration)],
    period: Duration,
) -> Result<Q, ExposureError> {
    let sampled: f64 = samples.iter().map(|(_, duration)| duration.seconds()).sum();
    if period.seconds() <= 0.0 {
        return Err(ExposureError::NoPeriod);
    }
    // Half an hour three times is an hour and a half, whatever the last bit of the sum says.
    if period.seconds() * (1.0 + 1e-12) < sampled {
        return Err(ExposureError::LongerThanPeriod {
            sampled_hours: sampled / 3600.0,
            period_hours: period.hours(),
        });
    }
    let dose: f64 = samples
        .iter()
        .map(|(c, duration)| c.number() * duration.seconds())
        .sum();
    Q::of(dose / period.seconds()).map_err(ExposureError::Impossible)
}

/// The sum of the shares that gases with the same effect take of their limits: `C1/L1 + C2/L2 + …`.
///
/// Above 1 the limit of the mixture is exceeded. Source: 29 CFR 1910.1000(d)(2)(i). Each pair is a concentration and its
/// limit, both in the same kind.
///
/// # Errors
///
/// [`ExposureError`]: a concentration and its limit are of two kinds, or a limit is zero.
///
/// # Example
///
/// ```
/// use stainbook_core::{Concentration, VolumeFraction, exposure};
///
/// let ppm = |x| VolumeFraction::from_ppm(x).map(Concentration::from);
/// let sum = exposure::mixture_sum(&[
///     (ppm(500.0)?, ppm(1000.0)?),
///     (ppm(45.0)?, ppm(200.0)?),
///     (ppm(40.0)?, ppm(200.0)?),
/// ])?;
/// assert!((sum - 0.925).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn mixture_sum(shares: &[(Concentration, Concentration)]) -> Result<f64, ExposureError> {
    shares.iter().try_fold(0.0, |sum, (concentration, limit)| {
        Ok(sum + share(*concentration, *limit)?)
    })
}

/// The share that a concentration takes of its limit.
///
/// # Errors
///
/// [`ExposureError`]: the two are of two kinds, or the limit is zero.
///
/// # Example
///
/// ```
/// use stainbook_core::{Concentration, MassConcentration, VolumeFraction, exposure::share};
///
/// let ppm = |x| VolumeFraction::from_ppm(x).map(Concentration::from);
/// assert_eq!(share(ppm(5.0)?, ppm(20.0)?)?, 0.25);
/// let mass = Concentration::from(MassConcentration::from_mg_per_m3(5.0)?);
/// assert!(share(mass, ppm(20.0)?).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn share(concentration: Concentration, limit: Concentration) -> Result<f64, ExposureError> {
    let (part, whole) = match (concentration, limit) {
        (Concentration::VolumeFraction(x), Concentration::VolumeFraction(l)) => (x.ppm(), l.ppm()),
        (Concentration::MassConcentration(c), Concentration::MassConcentration(l)) => {
            (c.mg_per_m3(), l.mg_per_m3())
        }
        _ => return Err(ExposureError::TwoKinds),
    };
    if whole <= 0.0 {
        Err(ExposureError::ZeroLimit)
    } else {
        Ok(part / whole)
    }
}

/// A limit that allows short excursions: an average over the shift, a ceiling that may be passed for a while, and a peak that
/// may never be passed.
///
/// Source: 29 CFR 1910.1000(b)(2) and (b)(3), for the substances of Table Z-2.
///
/// # Example
///
/// ```
/// use stainbook_core::{Duration, VolumeFraction, exposure::{Excursion, ExcursionLimit}};
///
/// let limit = ExcursionLimit {
///     average: VolumeFraction::from_ppm(10.0)?,
///     ceiling: VolumeFraction::from_ppm(25.0)?,
///     peak: VolumeFraction::from_ppm(50.0)?,
///     longest_above_ceiling: Duration::from_minutes(10.0)?,
/// };
/// let shift = [(VolumeFraction::from_ppm(40.0)?, Duration::from_minutes(12.0)?)];
/// assert_eq!(limit.passed_by(&shift, Duration::from_hours(8.0)?)?, [Excursion::TooLongAboveCeiling]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExcursionLimit<Q> {
    /// The limit of the time-weighted average.
    pub average: Q,
    /// Level that may be passed only for [`longest_above_ceiling`](Self::longest_above_ceiling).
    pub ceiling: Q,
    /// Level that may never be passed.
    pub peak: Q,
    /// Longest time above the ceiling, all times of the period together.
    pub longest_above_ceiling: Duration,
}

/// In which way an [`ExcursionLimit`] is passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Excursion {
    /// The average over the period is above its limit.
    Average,
    /// The ceiling was passed for longer than allowed.
    TooLongAboveCeiling,
    /// The peak was passed.
    AbovePeak,
}

impl<Q: Averaged> ExcursionLimit<Q> {
    /// In which ways the samples of a period pass the limit; none if they keep it.
    ///
    /// # Errors
    ///
    /// [`ExposureError`], as for [`time_weighted_average`].
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Duration, VolumeFraction, exposure::{Excursion, ExcursionLimit}};
    ///
    /// let limit = ExcursionLimit {
    ///     average: VolumeFraction::from_ppm(10.0)?,
    ///     ceiling: VolumeFraction::from_ppm(25.0)?,
    ///     peak: VolumeFraction::from_ppm(50.0)?,
    ///     longest_above_ceiling: Duration::from_minutes(10.0)?,
    /// };
    /// let short_peak = [(VolumeFraction::from_ppm(60.0)?, Duration::from_minutes(1.0)?)];
    /// assert_eq!(limit.passed_by(&short_peak, Duration::from_hours(8.0)?)?, [Excursion::AbovePeak]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn passed_by(
        &self,
        samples: &[(Q, Duration)],
        period: Duration,
    ) -> Result<Vec<Excursion>, ExposureError> {
        let average = time_weighted_average(samples, period)?;
        let above = samples.iter().filter(|(level, _)| self.ceiling < *level);
        let above_ceiling: f64 = above.map(|(_, duration)| duration.seconds()).sum();
        let mut passed = Vec::new();
        if self.average < average {
            passed.push(Excursion::Average);
        }
        if self.longest_above_ceiling.seconds() < above_ceiling {
            passed.push(Excursion::TooLongAboveCeiling);
        }
        if samples.iter().any(|(level, _)| self.peak < *level) {
            passed.push(Excursion::AbovePeak);
        }
        Ok(passed)
    }
}

/// An exposure that cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum ExposureError {
    /// The reference period is zero.
    NoPeriod,
    /// The samples last longer than the reference period.
    LongerThanPeriod {
        /// Duration of all samples together.
        sampled_hours: f64,
        /// The reference period.
        period_hours: f64,
    },
    /// A limit is zero.
    ZeroLimit,
    /// A volume fraction against a mass concentration.
    TwoKinds,
    /// The average cannot be.
    Impossible(QuantityError),
}

impl fmt::Display for ExposureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPeriod => f.write_str("the reference period is zero"),
            Self::LongerThanPeriod { sampled_hours, period_hours } => {
                write!(f, "the samples last `{sampled_hours} h`, longer than the reference period of `{period_hours} h`")
            }
            Self::ZeroLimit => f.write_str("the limit is zero"),
            Self::TwoKinds => f.write_str(
                "a volume fraction cannot be compared with a mass concentration without molar mass and conditions",
            ),
            Self::Impossible(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for ExposureError {}

#[cfg(test)]
mod tests {
    use super::*;

    fn ppm(x: f64) -> VolumeFraction {
        VolumeFraction::from_ppm(x).unwrap()
    }

    fn hours(h: f64) -> Duration {
        Duration::from_hours(h).unwrap()
    }

    #[test]
    fn unsampled_time_counts_as_zero() {
        let average =
            time_weighted_average(&[(ppm(80.0), hours(1.0))], hours(SHIFT_HOURS)).unwrap();
        assert!((average.ppm() - 10.0).abs() < 1e-12);
        assert!(
            time_weighted_average::<VolumeFraction>(&[], hours(8.0))
                .unwrap()
                .ppm()
                <= 0.0
        );
    }

    #[test]
    fn refusals() {
        let nine = [(ppm(1.0), hours(9.0))];
        assert_eq!(
            time_weighted_average(&nine, hours(8.0))
                .unwrap_err()
                .to_string(),
            "the samples last `9 h`, longer than the reference period of `8 h`"
        );
        assert_eq!(
            time_weighted_average(&nine, hours(0.0)),
            Err(ExposureError::NoPeriod)
        );
        let mass = MassConcentration::from_mg_per_m3(1.0).unwrap();
        assert_eq!(
            share(ppm(1.0).into(), mass.into()),
            Err(ExposureError::TwoKinds)
        );
        assert_eq!(
            share(ppm(1.0).into(), ppm(0.0).into()),
            Err(ExposureError::ZeroLimit)
        );
    }
}
