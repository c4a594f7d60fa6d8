//! The draws that a record was made with.

use stainbook_evaluation::Evaluation;
use stainbook_evaluation::result::MonteCarlo;
use stainbook_uncertainty::monte_carlo::Settings;

/// The first draws in a record; all of its results have the same settings.
pub(super) fn of(kept: &Evaluation) -> Option<&MonteCarlo> {
    let mut uncertainties = kept
        .results
        .iter()
        .filter_map(|result| result.uncertainty.as_ref());
    uncertainties.find_map(|uncertainty| uncertainty.monte_carlo.as_ref())
}

/// Settings with which the same draws come again.
#[cfg(feature = "monte-carlo")]
#[allow(
    clippy::unnecessary_wraps,
    reason = "without the feature there are none"
)]
pub(super) fn settings(drawn: &MonteCarlo) -> Option<Settings> {
    use stainbook_uncertainty::monte_carlo::Draws;
    Some(Settings::new(
        if drawn.adaptive {
            Settings::default().draws
        } else {
            Draws::Exactly(drawn.draws)
        },
        drawn.seed,
    ))
}

/// None: without the feature `monte-carlo` nothing can be drawn again.
#[cfg(not(feature = "monte-carlo"))]
pub(super) fn settings(_: &MonteCarlo) -> Option<Settings> {
    None
}
