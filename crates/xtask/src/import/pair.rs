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
    /// True if half a step of the printed mass explains the deviation, at the molar volume itself or at the one of handbooks.
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

/// Molar volumes in L/mol with which authorities compute at 20 °C (24.06 itself) and at 25 °C (24.47 itself). Common practice,
/// no source; 24.45 is the one that reproduces the factors of the NIOSH Pocket Guide.
const OF_HANDBOOKS: [f64; 2] = [24.0, 24.45];
/// Part of the molar volume itself within which one of the handbooks stands for it.
const SAME_CONDITIONS: f64 = 0.003;

/// Compares a pair of printed numbers. The ppm is the limit and exact: a limit of 3 ppm is not one of 2.5. Only the mass was
/// computed from it, and rounded.
pub(crate) fn compare(
    ppm: &str,
    mg_m3: &str,
    molar_mass: MolarMass,
    stated: Conditions,
) -> Option<PairComparison> {
    let (fraction, mass) = (ppm.parse::<f64>().ok()?, mg_m3.parse::<f64>().ok()?);
    let molar_volume = MolarVolume::of_ideal_gas(stated).l_per_mol();
    let computed = fraction * molar_mass.g_per_mol() / molar_volume;
    let by_handbook = OF_HANDBOOKS
        .into_iter()
        .find(|volume| (volume / molar_volume - 1.0).abs() < SAME_CONDITIONS)
        .map_or(computed, |volume| computed * molar_volume / volume);
    Some(PairComparison {
        computed,
        deviation_percent: 100.0 * (mass / computed - 1.0),
        within_printed_digits: computed - half_step(mg_m3) <= mass
            && mass <= by_handbook + half_step(mg_m3),
        rounded: rounding_gives(computed, mass) || rounding_gives(by_handbook, mass),
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
            // A legal limit of 3 ppm is not one of 2.5 ppm.
            ("ethanolamine, Z-1", "3", "6", 61.084, us, true),
            ("decaborane, Z-1", "0.05", "0.3", 122.212, us, true),
            ("diazomethane, Z-1", "0.2", "0.4", 42.041, us, true),
            ("perchloryl fluoride, Z-1", "3", "13.5", 102.445, us, true),
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
            // By 24.0 L/mol.
            ("acetone, France", "1000", "2420", 58.08, eu, false),
            ("dichloromethane, France", "50", "178", 84.927, eu, true),
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
