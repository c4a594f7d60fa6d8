//! What everybody who reads a result has to know.

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

/// What the uncertainty covers and what it does not.
pub fn covers_air_drawn() -> Statement {
    Statement::new(
        Code::CoversAirDrawn,
        "The uncertainty covers the air that was drawn, not how the air varies in place and time.",
    )
}

/// What the budget leaves out.
pub fn molar_mass_negligible() -> Statement {
    Statement::new(
        Code::MolarMassNegligible,
        "The uncertainty of the molar mass is below 0.1 % and left out of the budget.",
    )
}
