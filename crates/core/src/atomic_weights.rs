//! Standard atomic weights.
//!
//! Source: IUPAC Commission on Isotopic Abundances and Atomic Weights (CIAAW), Standard Atomic Weights 2021; Prohaska et
//! al., Pure and Applied Chemistry 2022, doi 10.1515/pac-2019-0603. For the elements whose weight is an interval (H, Li,
//! B, C, N, O, Mg, Si, S, Cl, Ar, Br, Tl, Pb) the abridged value for users who need one number. Read from the table that
//! the package periodictable 2.1.0 quotes from ciaaw.org as of 2023-07-06.
//!
//! CIAAW changed Gd, Lu and Zr in 2024 (from memory); this is the 2021 table, as documented.

/// An element: its symbol, its English name, and its standard atomic weight if it has one.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Element {
    /// Atomic number.
    pub number: u8,
    /// Symbol.
    pub symbol: &'static str,
    /// English name, in IUPAC spelling.
    pub name: &'static str,
    /// Standard atomic weight (relative, numerically g/mol), or `None` for an element that has no stable isotopes
    /// and no characteristic composition on Earth.
    pub weight: Option<Weight>,
}

/// A standard atomic weight as the table prints it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Weight {
    /// The value.
    pub value: f64,
    /// The printed uncertainty, a bound that covers normal materials.
    pub uncertainty: f64,
}

const fn element(
    number: u8,
    symbol: &'static str,
    name: &'static str,
    value: f64,
    uncertainty: f64,
) -> Element {
    Element {
        number,
        symbol,
        name,
        weight: Some(Weight { value, uncertainty }),
    }
}

const fn without(number: u8, symbol: &'static str, name: &'static str) -> Element {
    Element {
        number,
        symbol,
        name,
        weight: None,
    }
}

/// The element with this symbol.
///
/// # Example
///
/// ```
/// use stainbook_core::atomic_weights::element_of;
/// assert_eq!(element_of("Cl").map(|e| e.name), Some("chlorine"));
/// assert!(element_of("Tc").is_some_and(|e| e.weight.is_none()));
/// ```
pub fn element_of(symbol: &str) -> Option<&'static Element> {
    ELEMENTS.iter().find(|element| element.symbol == symbol)
}

/// All elements in the order of their numbers.
#[rustfmt::skip]
pub static ELEMENTS: [Element; 118] = [
    element(1, "H", "hydrogen", 1.008_0, 0.000_2),
    element(2, "He", "helium", 4.002_602, 0.000_002),
    element(3, "Li", "lithium", 6.94, 0.06),
    element(4, "Be", "beryllium", 9.012_183_1, 0.000_000_5),
    element(5, "B", "boron", 10.81, 0.02),
    element(6, "C", "carbon", 12.011, 0.002),
    element(7, "N", "nitrogen", 14.007, 0.001),
    element(8, "O", "oxygen", 15.999, 0.001),
    element(9, "F", "fluorine", 18.998_403_162, 0.000_000_005),
    element(10, "Ne", "neon", 20.179_7, 0.000_6),
    element(11, "Na", "sodium", 22.989_769_28, 0.000_000_02),
    element(12, "Mg", "magnesium", 24.305, 0.002),
    element(13, "Al", "aluminium", 26.981_538_4, 0.000_000_3),
    element(14, "Si", "silicon", 28.085, 0.001),
    element(15, "P", "phosphorus", 30.973_761_998, 0.000_000_005),
    element(16, "S", "sulfur", 32.06, 0.02),
    element(17, "Cl", "chlorine", 35.45, 0.01),
    element(18, "Ar", "argon", 39.95, 0.16),
    element(19, "K", "potassium", 39.098_3, 0.000_1),
    element(20, "Ca", "calcium", 40.078, 0.004),
    element(21, "Sc", "scandium", 44.955_907, 0.000_004),
    element(22, "Ti", "titanium", 47.867, 0.001),
    element(23, "V", "vanadium", 50.941_5, 0.000_1),
    element(24, "Cr", "chromium", 51.996_1, 0.000_6),
    element(25, "Mn", "manganese", 54.938_043, 0.000_002),
    element(26, "Fe", "iron", 55.845, 0.002),
    element(27, "Co", "cobalt", 58.933_194, 0.000_003),
    element(28, "Ni", "nickel", 58.693_4, 0.000_4),
    element(29, "Cu", "copper", 63.546, 0.003),
    element(30, "Zn", "zinc", 65.38, 0.02),
    element(31, "Ga", "gallium", 69.723, 0.001),
    element(32, "Ge", "germanium", 72.630, 0.008),
    element(33, "As", "arsenic", 74.921_595, 0.000_006),
    element(34, "Se", "selenium", 78.971, 0.008),
    element(35, "Br", "bromine", 79.904, 0.003),
    element(36, "Kr", "krypton", 83.798, 0.002),
    element(37, "Rb", "rubidium", 85.467_8, 0.000_3),
    element(38, "Sr", "strontium", 87.62, 0.01),
    element(39, "Y", "yttrium", 88.905_838, 0.000_002),
    element(40, "Zr", "zirconium", 91.224, 0.002),
    element(41, "Nb", "niobium", 92.906_37, 0.000_01),
    element(42, "Mo", "molybdenum", 95.95, 0.01),
    without(43, "Tc", "technetium"),
    element(44, "Ru", "ruthenium", 101.07, 0.02),
    element(45, "Rh", "rhodium", 102.905_49, 0.000_02),
    element(46, "Pd", "palladium", 106.42, 0.01),
    element(47, "Ag", "silver", 107.868_2, 0.000_2),
    element(48, "Cd", "cadmium", 112.414, 0.004),
    element(49, "In", "indium", 114.818, 0.001),
    element(50, "Sn", "tin", 118.710, 0.007),
    element(51, "Sb", "antimony", 121.760, 0.001),
    element(52, "Te", "tellurium", 127.60, 0.03),
    element(53, "I", "iodine", 126.904_47, 0.000_03),
    element(54, "Xe", "xenon", 131.293, 0.006),
    element(55, "Cs", "caesium", 132.905_451_96, 0.000_000_06),
    element(56, "Ba", "barium", 137.327, 0.007),
    element(57, "La", "lanthanum", 138.905_47, 0.000_07),
    element(58, "Ce", "cerium", 140.116, 0.001),
    element(59, "Pr", "praseodymium", 140.907_66, 0.000_01),
    element(60, "Nd", "neodymium", 144.242, 0.003),
    without(61, "Pm", "promethium"),
    element(62, "Sm", "samarium", 150.36, 0.02),
    element(63, "Eu", "europium", 151.964, 0.001),
    element(64, "Gd", "gadolinium", 157.25, 0.03),
    element(65, "Tb", "terbium", 158.925_354, 0.000_007),
    element(66, "Dy", "dysprosium", 162.500, 0.001),
    element(67, "Ho", "holmium", 164.930_329, 0.000_005),
    element(68, "Er", "erbium", 167.259, 0.003),
    element(69, "Tm", "thulium", 168.934_219, 0.000_005),
    element(70, "Yb", "ytterbium", 173.045, 0.010),
    element(71, "Lu", "lutetium", 174.966_8, 0.000_1),
    element(72, "Hf", "hafnium", 178.486, 0.006),
    element(73, "Ta", "tantalum", 180.947_88, 0.000_02),
    element(74, "W", "tungsten", 183.84, 0.01),
    element(75, "Re", "rhenium", 186.207, 0.001),
    element(76, "Os", "osmium", 190.23, 0.03),
    element(77, "Ir", "iridium", 192.217, 0.002),
    element(78, "Pt", "platinum", 195.084, 0.009),
    element(79, "Au", "gold", 196.966_570, 0.000_004),
    element(80, "Hg", "mercury", 200.592, 0.003),
    element(81, "Tl", "thallium", 204.38, 0.01),
    element(82, "Pb", "lead", 207.2, 1.1),
    element(83, "Bi", "bismuth", 208.980_40, 0.000_01),
    without(84, "Po", "polonium"),
    without(85, "At", "astatine"),
    without(86, "Rn", "radon"),
    without(87, "Fr", "francium"),
    without(88, "Ra", "radium"),
    without(89, "Ac", "actinium"),
    element(90, "Th", "thorium", 232.037_7, 0.000_4),
    element(91, "Pa", "protactinium", 231.035_88, 0.000_01),
    element(92, "U", "uranium", 238.028_91, 0.000_03),
    without(93, "Np", "neptunium"),
    without(94, "Pu", "plutonium"),
    without(95, "Am", "americium"),
    without(96, "Cm", "curium"),
    without(97, "Bk", "berkelium"),
    without(98, "Cf", "californium"),
    without(99, "Es", "einsteinium"),
    without(100, "Fm", "fermium"),
    without(101, "Md", "mendelevium"),
    without(102, "No", "nobelium"),
    without(103, "Lr", "lawrencium"),
    without(104, "Rf", "rutherfordium"),
    without(105, "Db", "dubnium"),
    without(106, "Sg", "seaborgium"),
    without(107, "Bh", "bohrium"),
    without(108, "Hs", "hassium"),
    without(109, "Mt", "meitnerium"),
    without(110, "Ds", "darmstadtium"),
    without(111, "Rg", "roentgenium"),
    without(112, "Cn", "copernicium"),
    without(113, "Nh", "nihonium"),
    without(114, "Fl", "flerovium"),
    without(115, "Mc", "moscovium"),
    without(116, "Lv", "livermorium"),
    without(117, "Ts", "tennessine"),
    without(118, "Og", "oganesson"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_run_without_a_gap_and_symbols_stand_once() {
        for (index, element) in ELEMENTS.iter().enumerate() {
            assert_eq!(usize::from(element.number), index + 1, "{}", element.symbol);
            assert_eq!(element_of(element.symbol), Some(element));
        }
    }

    #[test]
    fn eighty_four_have_a_weight_that_nearly_rises_with_the_number() {
        let weights: Vec<f64> = ELEMENTS
            .iter()
            .filter_map(|e| e.weight)
            .map(|w| w.value)
            .collect();
        assert_eq!(weights.len(), 84);
        // Ar/K, Co/Ni, Te/I and Th/Pa are the known inversions.
        let falls = weights.windows(2).filter(|pair| pair[1] < pair[0]).count();
        assert_eq!(falls, 4);
    }
}
