//! Demands of standards on a procedure that is compared with a limit.
//!
//! Source: EN 482:2021 and ISO 20581:2016, by whose classes ISO 17621:2015 judges detector tubes: an expanded
//! uncertainty of at most 50 % from 0.5 to 2 times a short-term limit; for a long-term limit at most 50 % from 0.1 to 0.5
//! and at most 30 % from 0.5 to 2 times. The figures are from memory, as is that ISO 17621 follows these classes.

use stainbook_catalog::written::LimitKind;

/// In words, with the figures' standing.
pub(crate) const SOURCE: &str =
    "EN 482 and ISO 20581, which ISO 17621 follows for detector tubes (figures from memory)";

/// The same in the shortest words.
pub(crate) const SHORT_SOURCE: &str = "EN 482";

/// Demand on the measuring range and the uncertainty at a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Demand {
    /// From and to how many times the limit.
    pub(crate) cover: [f64; 2],
    /// The expanded uncertainty at the limit, as a part of it.
    pub(crate) uncertainty: f64,
}

/// Demand at a limit of this kind; none at a danger level, which nobody stays below to comply with.
pub(crate) fn demand(kind: LimitKind) -> Option<Demand> {
    match kind {
        LimitKind::EightHours => Some(Demand {
            cover: [0.1, 2.0],
            uncertainty: 0.30,
        }),
        LimitKind::ShortTerm | LimitKind::Ceiling => Some(Demand {
            cover: [0.5, 2.0],
            uncertainty: 0.50,
        }),
        LimitKind::Danger => None,
    }
}
