//! Spellings that are no unit, or not one that is wanted.

use std::fmt;

use crate::dimension::Dimension;
use crate::spelling;
use crate::unit::Unit;

/// A spelling that stands in no row that was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownUnit {
    spelling: String,
    wanted: Option<Dimension>,
    reason: UnknownUnitReason,
}

/// Reason for which a spelling was not accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum UnknownUnitReason {
    /// No unit is spelled so; the nearest unit, if one is near.
    NotInTable {
        /// The nearest unit, as it is printed.
        nearest: Option<&'static str>,
    },
    /// The spelling is a unit, but of another dimension.
    OtherDimension {
        /// The unit it is.
        unit: &'static Unit,
    },
    /// The spelling is known, and known to mislead.
    Misleading {
        /// The ambiguity, and the spelling to write instead.
        because: &'static str,
    },
    /// A letter of another alphabet that looks like a Latin one.
    LookAlike {
        /// The letter as typed.
        letter: char,
        /// The alphabet it belongs to.
        alphabet: &'static str,
        /// The accepted spelling that was probably meant, if the rest makes one.
        meant: Option<&'static str>,
    },
}

impl UnknownUnit {
    /// The spelling as it was given.
    pub fn spelling(&self) -> &str {
        &self.spelling
    }

    /// The dimension that was asked for, if one was.
    pub fn wanted(&self) -> Option<Dimension> {
        self.wanted
    }

    /// Reason for which it was not accepted.
    pub fn reason(&self) -> &UnknownUnitReason {
        &self.reason
    }

    /// The spelling to write instead, where there is one that can only be meant.
    pub fn suggestion(&self) -> Option<&'static str> {
        match self.reason {
            UnknownUnitReason::NotInTable { nearest } => nearest,
            UnknownUnitReason::LookAlike { meant, .. } => meant,
            UnknownUnitReason::OtherDimension { .. } | UnknownUnitReason::Misleading { .. } => None,
        }
    }
}

impl fmt::Display for UnknownUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let spelling = &self.spelling;
        match &self.reason {
            UnknownUnitReason::NotInTable {
                nearest: Some(nearest),
            } => {
                write!(f, "unknown unit `{spelling}`, did you mean `{nearest}`?")
            }
            UnknownUnitReason::NotInTable { nearest: None } => {
                write!(f, "unknown unit `{spelling}`")?;
                if let Some(wanted) = self.wanted {
                    write!(
                        f,
                        ", {} is written in {}",
                        crate::words::a(wanted.name()),
                        crate::words::or(wanted.usual_units())
                    )?;
                }
                Ok(())
            }
            UnknownUnitReason::OtherDimension { unit } => {
                write!(f, "`{spelling}` is a unit of {}", unit.dimension)?;
                if let Some(wanted) = self.wanted {
                    write!(
                        f,
                        ", but {} is wanted here, written in {}",
                        crate::words::a(wanted.name()),
                        crate::words::or(wanted.usual_units())
                    )?;
                }
                Ok(())
            }
            UnknownUnitReason::Misleading { because } => write!(f, "`{spelling}` {because}"),
            UnknownUnitReason::LookAlike {
                letter,
                alphabet,
                meant,
            } => {
                write!(
                    f,
                    "`{letter}` in `{spelling}` is a {alphabet} letter that only looks like a Latin one"
                )?;
                if let Some(meant) = meant {
                    write!(f, ", write `{meant}`")?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for UnknownUnit {}

#[cold]
pub(crate) fn unknown(spelling: &str, wanted: Option<Dimension>) -> UnknownUnit {
    let reason = if let Some(unit) = spelling::find(&Dimension::WITH_UNITS, spelling) {
        UnknownUnitReason::OtherDimension { unit }
    } else if let Some(because) = misleading(spelling, wanted) {
        UnknownUnitReason::Misleading { because }
    } else if let Some((letter, alphabet)) = spelling::look_alike(spelling) {
        let latin = spelling::latinised(spelling);
        let members = wanted.map_or(&Dimension::WITH_UNITS[..], Dimension::members);
        let meant = spelling::find(members, &latin).map(Unit::canonical);
        UnknownUnitReason::LookAlike {
            letter,
            alphabet,
            meant,
        }
    } else {
        let members = wanted.map_or(&Dimension::WITH_UNITS[..], Dimension::members);
        UnknownUnitReason::NotInTable {
            nearest: spelling::nearest(members, spelling),
        }
    };
    UnknownUnit {
        spelling: spelling.to_owned(),
        wanted,
        reason,
    }
}

/// Spellings that people write and that must neither be guessed at nor be put right to something near them.
fn misleading(spelling: &str, wanted: Option<Dimension>) -> Option<&'static str> {
    let lower = spelling.to_lowercase();
    let has = |parts: &[&str]| parts.iter().any(|part| lower.contains(part));
    let is = |whole: &[&str]| whole.contains(&lower.as_str());
    if lower == "ppt" {
        Some(
            "means parts per trillion to some and parts per thousand to others, write `pmol/mol` or `mmol/mol`",
        )
    } else if has(&["nm3", "nm³", "nm^3", "m3n", "m³n", "m3(n)"]) {
        Some(
            "is per normal cubic metre (0 °C and 101.325 kPa), write `mg/m³` and state those conditions beside it",
        )
    } else if has(&["lel", "uel", "ueg", "lie"]) && has(&["%"]) {
        Some(
            "is a share of an explosion limit, which is another for each gas, write the concentration in `% by volume`",
        )
    } else if is(&[
        "psig", "psi g", "psi(g)", "barg", "bar g", "bar(g)", "mbarg", "kpag", "kpa(g)",
    ]) {
        Some("is a pressure above that of the air, write the absolute pressure")
    } else if is(&["deg", "degree", "degrees", "°", "º"])
        && wanted
            .is_none_or(|d| matches!(d, Dimension::Temperature | Dimension::TemperatureDifference))
    {
        Some("does not say which scale, write `°C` or `°F`")
    } else {
        None
    }
}
