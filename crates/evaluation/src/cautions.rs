//! Cautions for everybody who reads a result.

use crate::outcome::{Code, Statement};

/// The cautions of every evaluation.
pub fn cautions() -> Vec<Statement> {
    [
        (
            Code::NoClearance,
            "Detector tubes alone never clear a confined space, nor an atmosphere that is short of oxygen or can explode.",
        ),
        (Code::LocalCode, "The limits and procedures of the local code prevail over what is compared here."),
        (Code::CompetentPerson, "A competent person decides; these figures do not."),
        (Code::UsedTubes, "Used tubes are broken glass with reactive chemicals inside."),
    ]
    .into_iter()
    .map(|(code, text)| Statement::new(code, text))
    .collect()
}

/// Scope of the uncertainty.
pub(crate) const COVERS_AIR_DRAWN: &str =
    "The uncertainty covers the air that was drawn, not how the air varies in place and time.";

/// The same as a statement.
pub fn covers_air_drawn() -> Statement {
    Statement::new(Code::CoversAirDrawn, COVERS_AIR_DRAWN)
}
