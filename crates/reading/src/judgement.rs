//! The comparison with limits: as volume fractions, at each limit's own conditions, with the uncertainty.

use stainbook_catalog::model::{Limit, Measured, Substance};
use stainbook_catalog::written::LimitKind;
use stainbook_core::{Concentration, convert};

use crate::defaults::GUARD;
use crate::normal;
use crate::result::{Against, LimitUsed, Remark, Status, Verdict};

/// Flags of what may have made the tube read too low, by an amount that nobody knows: such a result is not called below a
/// limit. The probability stays, for what it is worth without them.
const MAY_READ_LOW: [&str; 14] = [
    "indicative-reads-low",
    "indicative-stain-may-be-missed",
    "indicative-other-colour",
    "indicative-direction-unknown",
    "other-gas-not-on-sheet",
    "other-gas-above-tested",
    "other-gas-level-not-comparable",
    "leak-test-failed",
    "lot-expired",
    "pre-tube-expired",
    "pre-tube-missing",
    "pump-not-allowed",
    "sheet-withdrawn",
    "sheet-has-errors",
];

/// The same for too high, and above a limit.
const MAY_READ_HIGH: [&str; 8] = [
    "indicative-reads-high",
    "indicative-other-colour",
    "indicative-direction-unknown",
    "other-gas-not-on-sheet",
    "other-gas-above-tested",
    "other-gas-level-not-comparable",
    "sheet-withdrawn",
    "sheet-has-errors",
];

/// What is compared.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Judged<'r> {
    /// Measured or a bound.
    pub(crate) status: Status,
    /// The concentration or the bound, as a volume fraction in ppm; nothing if it cannot be given as one.
    pub(crate) ppm: Option<f64>,
    /// Its relative standard uncertainty; for a bound that of a reading on the bound.
    pub(crate) relative: f64,
    /// The gas whose limits these are.
    pub(crate) substance: &'r Substance,
    /// What the tube measures.
    pub(crate) measured: &'r Measured,
    /// Whether the gas is another one than the sheet's own.
    pub(crate) other_gas: bool,
    /// What is doubtful about the measurement.
    pub(crate) flags: &'r [Remark],
}

/// Compares with every limit of the gas, in the order of its entry.
pub(crate) fn against(judged: &Judged<'_>) -> Vec<Against> {
    judged
        .substance
        .limits
        .iter()
        .map(|limit| one(judged, limit))
        .collect()
}

fn one(judged: &Judged<'_>, limit: &Limit) -> Against {
    let as_ppm = limit_in_ppm(limit, judged.substance);
    let mut against = Against {
        limit: LimitUsed {
            text: limit.at_most.text().to_owned(),
            value: limit.at_most.number(),
            unit: limit.at_most.unit().canonical().to_owned(),
            kind: kind_name(limit.kind).to_owned(),
            averaged_over: limit
                .averaged_over
                .as_ref()
                .map(|period| period.text().to_owned()),
            authority: limit.authority.clone(),
            catalog: limit.catalog.clone(),
            replaces: limit.replaces.clone(),
            edition: limit.edition.clone(),
            as_ppm,
        },
        source: limit.source.clone(),
        directly_comparable: limit.kind != LimitKind::EightHours,
        probability_above: None,
        verdict: None,
        reason: None,
    };
    let not_compared = |mut against: Against, reason: String| {
        against.directly_comparable = false;
        against.reason = Some(reason);
        against
    };
    if let (Measured::Group { name, expressed_as }, false) = (judged.measured, judged.other_gas) {
        return not_compared(
            against,
            format!(
                "the tube answers to the group {name} together, stated as {}; the limit is that of {} alone",
                expressed_as.name, expressed_as.name
            ),
        );
    }
    if limit.kind == LimitKind::EightHours {
        return not_compared(
            against,
            "a tube draws for seconds to minutes: for an average over a shift several readings over the day are combined, and the figure is indicative".to_owned(),
        );
    }
    let Some(limit_ppm) = as_ppm else {
        return not_compared(
            against,
            "the source of the limit does not say at which temperature and pressure its mg/m³ are meant".to_owned(),
        );
    };
    let Some(ppm) = judged.ppm else {
        return not_compared(
            against,
            "the result cannot be given as a volume fraction: air temperature and station pressure are needed".to_owned(),
        );
    };
    let above = probability_above(ppm, judged.relative, limit_ppm);
    let (verdict, reason) = match judged.status {
        Status::Measured => {
            against.probability_above = Some(above);
            let verdict = if above < GUARD {
                Verdict::Below
            } else if 1.0 - GUARD < above {
                Verdict::Above
            } else {
                Verdict::CannotTell
            };
            (verdict, None)
        }
        Status::LessThan if above < GUARD => {
            (Verdict::Below, Some("even a reading on the bound would be below the limit with more than 95 % probability".to_owned()))
        }
        Status::LessThan => {
            (Verdict::CannotTell, Some("the bound, with the uncertainty of a reading on it, is not clearly below the limit".to_owned()))
        }
        Status::MoreThan if 1.0 - GUARD < above => {
            (Verdict::Above, Some("even a reading on the bound would be above the limit with more than 95 % probability".to_owned()))
        }
        Status::MoreThan => {
            (Verdict::CannotTell, Some("the bound, with the uncertainty of a reading on it, is not clearly above the limit".to_owned()))
        }
        Status::Refused => return against,
    };
    let doubtful = match verdict {
        Verdict::Below => doubt(judged.flags, &MAY_READ_LOW),
        Verdict::Above => doubt(judged.flags, &MAY_READ_HIGH),
        Verdict::CannotTell => None,
    };
    let (verdict, reason) = match doubtful {
        Some(flag) => {
            let side = if verdict == Verdict::Below {
                "below"
            } else {
                "above"
            };
            (
                Verdict::CannotTell,
                Some(format!(
                    "the figure is {side} the limit, but not to be relied on: {}",
                    flag.text
                )),
            )
        }
        None => (verdict, reason),
    };
    against.verdict = Some(verdict);
    against.reason = reason;
    against
}

fn doubt<'f>(flags: &'f [Remark], doubtful: &[&str]) -> Option<&'f Remark> {
    flags
        .iter()
        .find(|flag| doubtful.contains(&flag.code.as_str()))
}

/// The probability that the true value is above a limit (JCGM 106:2012, 7.2), for a normal distribution about the result.
pub(crate) fn probability_above(value: f64, relative: f64, limit: f64) -> f64 {
    let standard = value * relative;
    if standard > 0.0 {
        // Not 1 − P(below): a small probability keeps its digits.
        return normal::probability_below((value - limit) / standard);
    }
    if value > limit { 1.0 } else { 0.0 }
}

/// The limit as a volume fraction at its own conditions, ppm.
pub(crate) fn limit_in_ppm(limit: &Limit, substance: &Substance) -> Option<f64> {
    match limit.at_most.value() {
        Concentration::VolumeFraction(x) => Some(x.ppm()),
        Concentration::MassConcentration(c) => {
            convert::volume_fraction(c, substance.molar_mass, limit.mass_stated_at?)
                .ok()
                .map(stainbook_core::VolumeFraction::ppm)
        }
    }
}

/// What a limit limits, as in a substance's entry.
pub(crate) fn kind_name(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::EightHours => "8-hour average",
        LimitKind::ShortTerm => "short-term",
        LimitKind::Ceiling => "ceiling",
        LimitKind::Danger => "danger to life or health",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn probability() {
        for (value, relative, limit, expected) in [
            (10.0, 0.1, 10.0, 0.5),
            (10.0, 0.1, 12.0, 0.022_750),
            (10.0, 0.1, 8.0, 0.977_250),
            (1.0, 0.0, 2.0, 0.0),
        ] {
            assert!(
                (probability_above(value, relative, limit) - expected).abs() < 1e-6,
                "{value} {limit}"
            );
        }
    }
}
