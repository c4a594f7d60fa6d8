//! Pairs of ppm and mg/m³: does what is printed agree with the molar mass at the source's own conditions?

use stainbook_core::elementary::{log10, powf};
use stainbook_core::{Conditions, MolarMass, MolarVolume};

/// Result of comparing a pair.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PairComparison {
    /// ppm × M / Vm, in mg/m³.
    pub(crate) computed: f64,
    /// Printed over computed, less 1, in percent.
    pub(crate) deviation_percent: f64,
    /// True if half a step of the printed digits of both explains the deviation.
    pub(crate) within_printed_digits: bool,
    /// True if rounding the computed value explains the printed one.
    pub(crate) rounded: bool,
}

impl PairComparison {
    /// True if nothing explains the printed value.
    pub(crate) fn disagrees(&self) -> bool {
        !self.within_printed_digits && !self.rounded
    }
}

/// Compares a pair of printed numbers.
pub(crate) fn compare(
    ppm: &str,
    mg_m3: &str,
    molar_mass: MolarMass,
    stated: Conditions,
) -> Option<PairComparison> {
    let (fraction, mass) = (ppm.parse::<f64>().ok()?, mg_m3.parse::<f64>().ok()?);
    let factor = molar_mass.g_per_mol() / MolarVolume::of_ideal_gas(stated).l_per_mol();
    let computed = fraction * factor;
    let low = (fraction - half_step(ppm)) * factor - half_step(mg_m3);
    let high = (fraction + half_step(ppm)) * factor + half_step(mg_m3);
    Some(PairComparison {
        computed,
        deviation_percent: 100.0 * (mass / computed - 1.0),
        within_printed_digits: low <= mass && mass <= high,
        rounded: rounding_gives(computed, mass),
    })
}

/// Half of one in the last printed place: 0.05 for `2.5`, 0.5 for `250`.
pub(crate) fn half_step(number: &str) -> f64 {
    let places = number
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    (0..places).fold(0.5, |step, _| step / 10.0)
}

/// The ways in which authorities round: to 1 to 4 significant digits, or to a step of 5 or 2.5 in the last or the
/// last but one of them.
fn rounding_gives(computed: f64, printed: f64) -> bool {
    let top = log10(computed.abs()).floor();
    let decades = [0.0, -1.0, -2.0, -3.0].map(|down| powf(10.0, top + down));
    let steps = decades
        .iter()
        .flat_map(|decade| [1.0, 0.5, 0.25].map(|part| part * decade));
    steps.into_iter().any(|step| {
        let rounded = (computed / step).round() * step;
        (rounded - printed).abs() <= 1e-9 * printed.abs()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use stainbook_core::{Pressure, Temperature};

    #[test]
    fn a_pair_is_explained_by_digits_or_rounding_or_not_at_all() {
        let at = |temperature, kilopascals| Conditions {
            temperature: Temperature::from_celsius(temperature).unwrap(),
            pressure: Pressure::from_kilopascals(kilopascals).unwrap(),
        };
        let (us, eu) = (at(25.0, 101.325), at(20.0, 101.3));
        for (name, ppm, mass, molar_mass, stated, disagrees) in [
            // Source: NIOSH Pocket Guide and Table Z-1, the rows carried in the tables.
            ("ammonia, short-term, NIOSH", "35", "27", 17.031, us, true),
            ("acetaldehyde, Z-1", "200", "360", 44.053, us, false),
            ("acrolein, Z-1", "0.1", "0.25", 56.064, us, false),
            // Far apart, but `3` may stand for anything from 2.5 to 3.5 and `6` for 5.5 to 6.5.
            ("ethanolamine, Z-1", "3", "6", 61.084, us, false),
            (
                "naphthalene, short-term, NIOSH",
                "15",
                "75",
                128.174,
                us,
                true,
            ),
            // Source: Code du travail, article R4412-149.
            ("benzene, France", "1", "3.25", 78.114, eu, false),
            ("hydrogen cyanide, France", "2", "2", 27.026, eu, false),
            ("acetone, France", "1000", "2420", 58.08, eu, true),
            // Made up: a slip of the decimal point.
            ("slip", "50", "550", 28.010, us, true),
        ] {
            let comparison = compare(
                ppm,
                mass,
                MolarMass::from_g_per_mol(molar_mass).unwrap(),
                stated,
            )
            .unwrap();
            assert_eq!(comparison.disagrees(), disagrees, "{name}: {comparison:?}");
        }
    }
}
