//! Pairs of ppm and mg/m³: does what is printed agree with the molar mass at the source's own conditions?

/// The gas constant, J/(mol·K), exact since the SI of 2019.
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Temperature and pressure at which a source states mass.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stated {
    pub(crate) celsius: f64,
    pub(crate) kilopascal: f64,
}

impl Stated {
    /// 25 °C and 760 mmHg: 29 CFR 1910.1000, and the NIOSH Pocket Guide.
    pub(crate) const UNITED_STATES: Self = Self { celsius: 25.0, kilopascal: 101.325 };
    /// 20 °C and 101.3 kPa: the European texts.
    pub(crate) const EUROPE: Self = Self { celsius: 20.0, kilopascal: 101.3 };

    /// The volume of a mole of gas, in L/mol.
    pub(crate) fn molar_volume(self) -> f64 {
        GAS_CONSTANT * (self.celsius + 273.15) / self.kilopascal
    }
}

/// What became of comparing a pair.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Comparison {
    /// ppm × M / Vm, in mg/m³.
    pub(crate) computed: f64,
    /// Printed over computed, less 1, in percent.
    pub(crate) deviation_percent: f64,
    /// True if half a step of the printed digits of both explains the deviation.
    pub(crate) within_printed_digits: bool,
    /// True if rounding the computed value explains the printed one.
    pub(crate) rounded: bool,
}

impl Comparison {
    /// True if nothing explains the printed value.
    pub(crate) fn disagrees(&self) -> bool {
        !self.within_printed_digits && !self.rounded
    }
}

/// Compares a pair of printed numbers.
pub(crate) fn compare(ppm: &str, mg_m3: &str, molar_mass: f64, stated: Stated) -> Option<Comparison> {
    let (fraction, mass) = (ppm.parse::<f64>().ok()?, mg_m3.parse::<f64>().ok()?);
    let factor = molar_mass / stated.molar_volume();
    let computed = fraction * factor;
    let low = (fraction - half_step(ppm)) * factor - half_step(mg_m3);
    let high = (fraction + half_step(ppm)) * factor + half_step(mg_m3);
    Some(Comparison {
        computed,
        deviation_percent: 100.0 * (mass / computed - 1.0),
        within_printed_digits: low <= mass && mass <= high,
        rounded: rounding_gives(computed, mass),
    })
}

/// Half of one in the last printed place: 0.05 for `2.5`, 0.5 for `250`.
fn half_step(number: &str) -> f64 {
    let places = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    (0..places).fold(0.5, |step, _| step / 10.0)
}

/// The ways in which authorities round: to 1 to 4 significant digits, or to a step of 5 or 2.5 in the last or the
/// last but one of them.
fn rounding_gives(computed: f64, printed: f64) -> bool {
    let top = computed.abs().log10().floor();
    let decades = [0.0, -1.0, -2.0, -3.0].map(|down| 10_f64.powf(top + down));
    let steps = decades.iter().flat_map(|decade| [1.0, 0.5, 0.25].map(|part| part * decade));
    steps.into_iter().any(|step| {
        let rounded = (computed / step).round() * step;
        (rounded - printed).abs() <= 1e-9 * printed.abs()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_molar_volume_is_the_published_one() {
        // NIOSH works with 24.45 L/mol; 24.465 and 24.055 (at 101.325 kPa) are the exact ideal-gas values.
        assert!((Stated::UNITED_STATES.molar_volume() - 24.465).abs() < 0.001);
        assert!((Stated::EUROPE.molar_volume() - 24.061).abs() < 0.001);
    }

    #[test]
    fn a_pair_is_explained_by_digits_or_rounding_or_not_at_all() {
        for (name, ppm, mass, molar_mass, stated, disagrees) in [
            // Source: NIOSH Pocket Guide and Table Z-1, the rows carried in the tables.
            ("ammonia, short-term, NIOSH", "35", "27", 17.031, Stated::UNITED_STATES, true),
            ("acetaldehyde, Z-1", "200", "360", 44.053, Stated::UNITED_STATES, false),
            ("acrolein, Z-1", "0.1", "0.25", 56.064, Stated::UNITED_STATES, false),
            // Far apart, but `3` may stand for anything from 2.5 to 3.5 and `6` for 5.5 to 6.5.
            ("ethanolamine, Z-1", "3", "6", 61.084, Stated::UNITED_STATES, false),
            ("naphthalene, short-term, NIOSH", "15", "75", 128.174, Stated::UNITED_STATES, true),
            // Source: Code du travail, article R4412-149.
            ("benzene, France", "1", "3.25", 78.114, Stated::EUROPE, false),
            ("hydrogen cyanide, France", "2", "2", 27.026, Stated::EUROPE, false),
            ("acetone, France", "1000", "2420", 58.08, Stated::EUROPE, true),
            // Made up: a slip of the decimal point.
            ("slip", "50", "550", 28.010, Stated::UNITED_STATES, true),
        ] {
            let comparison = compare(ppm, mass, molar_mass, stated).unwrap();
            assert_eq!(comparison.disagrees(), disagrees, "{name}: {comparison:?}");
        }
    }
}
