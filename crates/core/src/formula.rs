//! Chemical formulas and the molar mass that follows from them.

use std::fmt;
use std::str::FromStr;

use crate::MolarMass;
use crate::atomic_weights::{Element, Weight};
use crate::formula_error::FormulaError;
use crate::formula_parser::{Atoms, Parser};

/// A chemical formula of neutral matter with the usual isotopes: which elements, and how many atoms of each.
///
/// Read are element symbols with counts (`NH3`), brackets of any kind in each other (`Ca(OH)2`, `K3[Fe(CN)6]`), hydrates
/// with `.`, `·` or `*` (`CuSO4.5H2O`), bonds (`CH2=CHCN`, `CH3-CH3`), subscript digits (`H₂S`). Refused are charges,
/// isotopes, elements without a standard atomic weight, and whatever is no element.
///
/// Two formulas are equal when they have the same atoms: `CH3OH` is `CH4O`.
///
/// # Example
///
/// ```
/// use stainbook_core::Formula;
///
/// let f: Formula = "CuSO4.5H2O".parse()?;
/// assert_eq!(f.to_string(), "CuH10O9S");
/// assert_eq!(format!("{:.3}", f.molar_mass().g_per_mol()), "249.677");
/// assert!("NH4+".parse::<Formula>().is_err());
/// # Ok::<(), stainbook_core::FormulaError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    /// In Hill order, each element once, each count above zero.
    atoms: Atoms,
}

impl Formula {
    /// A formula of these atoms, each element once.
    pub(crate) fn of(mut atoms: Atoms) -> Self {
        hill_order(&mut atoms);
        Self { atoms }
    }

    /// Reads a formula.
    ///
    /// # Errors
    ///
    /// [`FormulaError`], with the place of what is wrong.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::Formula;
    ///
    /// let ammonia = Formula::parse("NH3")?;
    /// assert!((ammonia.molar_mass().g_per_mol() - 17.031).abs() < 0.001);
    /// assert!(Formula::parse("NH3)").is_err());
    /// # Ok::<(), stainbook_core::FormulaError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, FormulaError> {
        Parser::new(text).formula()
    }

    /// The elements and their counts in Hill order: carbon, hydrogen, then the rest by symbol; without carbon all by
    /// symbol.
    pub fn atoms(&self) -> impl Iterator<Item = (&'static Element, u32)> + '_ {
        self.atoms.iter().copied()
    }

    /// The molar mass: the sum of the standard atomic weights, in g/mol.
    ///
    /// Source of the weights: CIAAW 2021, abridged where the weight is an interval. See
    /// [`atomic_weights`](crate::atomic_weights).
    pub fn molar_mass(&self) -> MolarMass {
        MolarMass::of_g_per_mol(self.sum(|weight| weight.value))
    }

    /// Half-width of the molar mass in g/mol: the sum of the half-widths of the weights.
    ///
    /// Between ordinary samples the isotopes vary; for a gas measured with a tube this is negligible, and this is the
    /// figure that says so.
    pub fn molar_mass_bound(&self) -> f64 {
        self.sum(|weight| weight.uncertainty)
    }

    /// The weights are printed decimals: added up in their last place, in whole numbers, so that `CO` is 28.01 and not
    /// 28.009999999999998.
    fn sum(&self, of: impl Fn(Weight) -> f64) -> f64 {
        const LAST_PLACE: f64 = 1e9;
        let weighed = self.atoms.iter().filter_map(|(element, count)| {
            Some((of(element.weight?) * LAST_PLACE).round() * f64::from(*count))
        });
        weighed.sum::<f64>() / LAST_PLACE
    }
}

impl FromStr for Formula {
    type Err = FormulaError;

    fn from_str(text: &str) -> Result<Self, FormulaError> {
        Self::parse(text)
    }
}

/// In Hill order: `C2H6O`, `H2S` is `H2S`, `HCl` is `ClH`.
impl fmt::Display for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (element, count) in &self.atoms {
            f.write_str(element.symbol)?;
            if *count != 1 {
                write!(f, "{count}")?;
            }
        }
        Ok(())
    }
}

/// Carbon and hydrogen first if there is carbon, the rest by symbol.
fn hill_order(atoms: &mut [(&'static Element, u32)]) {
    let organic = atoms.iter().any(|(element, _)| element.symbol == "C");
    atoms.sort_by_key(|(element, _)| {
        let rank = match element.symbol {
            "C" if organic => 0,
            "H" if organic => 1,
            _ => 2,
        };
        (rank, element.symbol)
    });
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::FormulaErrorKind;

    #[test]
    fn formulas_and_their_hill_order() {
        for (text, hill) in [
            ("NH3", "H3N"),
            ("HCl", "ClH"),
            ("C", "C"),
            ("CO", "CO"),
            ("Co", "Co"),
            ("CH3OH", "CH4O"),
            ("(CH3)2CO", "C3H6O"),
            ("CH2=CHCN", "C3H3N"),
            ("CH3-CH3", "C2H6"),
            ("HC≡CH", "C2H2"),
            ("Ca(OH)2", "CaH2O2"),
            ("K3[Fe(CN)6]", "C6FeK3N6"),
            ("((CH3)2N)3PO", "C6H18N3OP"),
            ("CuSO4.5H2O", "CuH10O9S"),
            ("CuSO4·5H2O", "CuH10O9S"),
            ("CuSO4 * 5 H2O", "CuH10O9S"),
            ("H₂S", "H2S"),
            (" H2O ", "H2O"),
            ("Ni(CO)4", "C4NiO4"),
            ("C10H22", "C10H22"),
        ] {
            let formula = Formula::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_eq!(formula.to_string(), hill, "{text}");
            assert_eq!(Formula::parse(hill).unwrap(), formula, "{text}");
        }
    }

    #[test]
    fn molar_masses() {
        for (text, mass) in [
            ("NH3", "17.031"),
            ("CO", "28.010"),
            ("H2S", "34.076"),
            ("Cl2", "70.900"),
            ("Hg", "200.592"),
            ("C6H6", "78.114"),
        ] {
            let formula = Formula::parse(text).unwrap();
            assert_eq!(
                format!("{:.3}", formula.molar_mass().g_per_mol()),
                mass,
                "{text}"
            );
            assert!(0.0 < formula.molar_mass_bound());
            assert_eq!(
                formula.molar_mass().g_per_mol(),
                mass.parse::<f64>().unwrap(),
                "{text}"
            );
        }
    }

    #[test]
    fn refusals() {
        use FormulaErrorKind as K;
        let meant = |nearest| K::UnknownElement { nearest };
        for (text, kind, part) in [
            ("", K::Empty, ""),
            ("  ", K::Empty, "  "),
            ("Xx2", meant(Some("Xe")), "Xx"),
            ("J", meant(None), "J"),
            ("nh3", meant(None), "nh"),
            ("CL2", meant(None), "L"),
            ("cO", meant(Some("C")), "c"),
            ("Tc2O7", K::NoStandardWeight { name: "technetium" }, "Tc"),
            ("RnF2", K::NoStandardWeight { name: "radon" }, "Rn"),
            ("D2O", K::Isotope, "D"),
            ("HTO", K::Isotope, "T"),
            ("[13C]O2", K::Isotope, "[13C]"),
            ("13CO2", K::Isotope, "13C"),
            ("2NaCl", K::LeadingCount, "2"),
            ("2H2O", K::Isotope, "2H"),
            ("2 H2O", K::LeadingCount, "2 "),
            ("¹³CO2", K::Isotope, "¹³C"),
            ("NH4+", K::Charge, "+"),
            ("SO4^2-", K::Charge, "^2-"),
            ("Ca2+", K::Charge, "+"),
            ("Cl-", K::Charge, "-"),
            ("Cl⁻", K::Charge, "⁻"),
            ("Ca²⁺", K::Charge, "²⁺"),
            ("Ca(OH2", K::Bracket, "("),
            ("CaOH)2", K::Bracket, ")"),
            ("Ca(OH]2", K::Bracket, "]"),
            ("Ca()2", K::EmptyGroup, "()"),
            ("H0", K::Count, "0"),
            ("H02", K::Count, "02"),
            ("H999999999999", K::Count, "999999999999"),
            ("H2 O", K::Unexpected, " "),
            ("H2,O", K::Unexpected, ","),
            ("H2O!", K::Unexpected, "!"),
        ] {
            let error = Formula::parse(text).expect_err(text);
            assert_eq!(error.kind(), &kind, "{text}: {error}");
            assert_eq!(&text[error.span()], part, "{text}");
        }
        assert_eq!(
            Formula::parse("cO2").unwrap_err().suggestion().as_deref(),
            Some("CO2")
        );
        for text in ["CuSO4.", ".H2O", "H2O..H2O", "H2O.5", "C.1·", "C··H"] {
            let error = Formula::parse(text).unwrap_err();
            assert_eq!(error.kind(), &K::EmptyGroup, "{text}");
            assert!(text.get(error.span()).is_some(), "{text}");
        }
        assert!(Formula::parse(&"(".repeat(1_000_000)).is_err());
        assert!(Formula::parse(&format!("{}H{}", "(".repeat(16), ")9".repeat(16))).is_err());
    }

    proptest! {
        #[test]
        fn never_panics_and_names_a_part_of_the_text(text in "\\PC{0,24}") {
            if let Err(error) = Formula::parse(&text) {
                prop_assert!(text.get(error.span()).is_some());
                prop_assert!(!error.to_string().is_empty());
            }
        }

        #[test]
        fn likely_texts_never_panic(text in "[CHNOSDT0-9()\\[\\].·*+=₂²⁺ -]{0,16}") {
            if let Err(error) = Formula::parse(&text) {
                prop_assert!(text.get(error.span()).is_some());
            }
        }

        #[test]
        fn the_mass_adds_up(c in 1_u32..40, h in 1_u32..90, o in 1_u32..9) {
            let mass = |text: &str| Formula::parse(text).unwrap().molar_mass().g_per_mol();
            let whole = mass(&format!("C{c}H{h}O{o}"));
            let parts = f64::from(c) * mass("C") + f64::from(h) * mass("H") + f64::from(o) * mass("O");
            prop_assert!((whole / parts - 1.0).abs() < 1e-14);
        }
    }
}
