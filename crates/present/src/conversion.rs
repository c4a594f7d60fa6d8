//! A conversion carried out, with everything that it rests on.

use std::fmt;

/// A number with its unit and the text that is printed for it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Amount {
    /// The number, in full.
    pub value: f64,
    /// Its unit, canonically spelt.
    pub unit: &'static str,
    /// As typed, or as printed.
    pub text: String,
}

/// The temperature and pressure at which a mass concentration holds.
#[derive(Clone, Debug, PartialEq)]
pub struct ConditionsUsed {
    /// The temperature.
    pub temperature: Amount,
    /// The pressure.
    pub pressure: Amount,
}

/// The gas that was converted.
#[derive(Clone, Debug, PartialEq)]
pub struct SubstanceUsed {
    /// Its short name.
    pub id: String,
    /// Its name as printed.
    pub name: String,
    /// Its CAS number.
    pub cas: Option<String>,
    /// Its formula.
    pub formula: String,
}

/// Something that was assumed or chosen and that the asker did not say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumption {
    /// The word for scripts, kebab-case.
    pub code: &'static str,
    /// The words.
    pub text: String,
}

/// One value in another unit. What does not apply is absent: between ppm and ppb there are no conditions.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Conversion {
    /// The converted value.
    pub result: Amount,
    /// The value given.
    pub from: Amount,
    /// Conditions of the mass concentration.
    pub conditions: Option<ConditionsUsed>,
    /// The molar mass that was used.
    pub molar_mass: Option<Amount>,
    /// The volume of a mole of gas at those conditions.
    pub molar_volume: Option<Amount>,
    /// The gas, unless only its molar mass was given.
    pub substance: Option<SubstanceUsed>,
    /// Basis of the volume fraction: `humid` or `dry` air; absent where it makes no difference.
    pub basis: Option<&'static str>,
    /// The volume fraction of water vapour in the air, where the basis needed it.
    pub water: Option<Amount>,
    /// Assumptions and choices.
    pub assumptions: Vec<Assumption>,
    /// The catalog that was looked into, in words.
    pub catalog: String,
}

/// A conversion that cannot be carried out.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ConversionRefused {
    /// The word for scripts, kebab-case.
    pub code: &'static str,
    /// The problem.
    pub message: String,
    /// The remedy.
    pub help: String,
}

impl ConversionRefused {
    /// A refusal with its code, what is the matter and what to do.
    pub fn new(code: &'static str, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            help: help.into(),
        }
    }
}

/// The problem, and its remedy.
impl fmt::Display for ConversionRefused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.message, self.help)
    }
}

impl std::error::Error for ConversionRefused {}
