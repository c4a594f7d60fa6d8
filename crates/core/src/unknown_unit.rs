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

/// Why a spelling was not accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum UnknownUnitReason {
    /// No unit is spelled so; the nearest accepted spelling, if one is near.
    NotInTable {
        /// The nearest accepted spelling.
        nearest: Option<&'static str>,
    },
    /// The spelling is a unit, but of another dimension.
    OtherDimension {
        /// The unit it is.
        unit: &'static Unit,
    },
    /// `ppt` is parts per trillion to some and parts per thousand to others.
    PartsPerT,
    /// A normal cubic metre hides conditions in the unit.
    NormalVolume,
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

    /// Why it was not accepted.
    pub fn reason(&self) -> &UnknownUnitReason {
        &self.reason
    }

    /// The spelling to write instead, where there is one that can only be meant.
    pub fn suggestion(&self) -> Option<&'static str> {
        match self.reason {
            UnknownUnitReason::NotInTable { nearest } => nearest,
            UnknownUnitReason::LookAlike { meant, .. } => meant,
            UnknownUnitReason::OtherDimension { .. }
            | UnknownUnitReason::PartsPerT
            | UnknownUnitReason::NormalVolume => None,
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
                        ", a {wanted} is written in {}",
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
                        ", but a {wanted} is wanted here, written in {}",
                        crate::words::or(wanted.usual_units())
                    )?;
                }
                Ok(())
            }
            UnknownUnitReason::PartsPerT => write!(
                f,
                "`{spelling}` means parts per trillion to some and parts per thousand to others, \
                 write `pmol/mol` or `mmol/mol`"
            ),
            UnknownUnitReason::NormalVolume => write!(
                f,
                "`{spelling}` is per normal cubic metre (0 °C and 101.325 kPa), write `mg/m³` and state those conditions \
                 beside it"
            ),
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
    } else if spelling.eq_ignore_ascii_case("ppt") {
        UnknownUnitReason::PartsPerT
    } else if ["Nm3", "Nm³", "Nm^3", "m3N", "m³N", "m3(N)"]
        .iter()
        .any(|normal| spelling.contains(normal))
    {
        UnknownUnitReason::NormalVolume
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
