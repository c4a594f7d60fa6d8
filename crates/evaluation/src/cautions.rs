//! What everybody who reads a result has to know.

use crate::result::Remark;

/// The cautions of every evaluation.
pub(crate) fn cautions() -> Vec<Remark> {
    [
        (
            "no-clearance",
            "Detector tubes alone never clear a confined space, nor an atmosphere that is short of oxygen or can explode.",
        ),
        ("local-code", "The limits and procedures of the local code prevail over what is compared here."),
        ("competent-person", "A competent person decides; these figures do not."),
        ("used-tubes", "Used tubes are broken glass with reactive chemicals inside."),
    ]
    .into_iter()
    .map(|(code, text)| Remark::new(code, text))
    .collect()
}

/// What the uncertainty covers and what it does not.
pub(crate) fn covers_air_drawn() -> Remark {
    Remark::new(
        "covers-air-drawn",
        "The uncertainty covers the air that was drawn, not how the air varies in place and time.",
    )
}

/// What the budget leaves out.
pub(crate) fn molar_mass_negligible() -> Remark {
    Remark::new(
        "molar-mass-negligible",
        "The uncertainty of the molar mass is below 0.1 % and left out of the budget.",
    )
}
