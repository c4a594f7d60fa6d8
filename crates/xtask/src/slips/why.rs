//! Slips that pass all checks of one sheet even with control figures and examples, and why.

use super::SlipClass;

/// Reason for which slips of some classes pass in some fields.
pub(super) struct Why {
    /// The beginning of the field.
    pub(super) field: &'static str,
    /// The classes; all if none is named.
    pub(super) classes: &'static [SlipClass],
    /// The reason.
    pub(super) because: &'static str,
}

impl Why {
    /// True if this is the reason for such a slip.
    pub(super) fn explains(&self, class: SlipClass, field: &str) -> bool {
        field.starts_with(self.field) && (self.classes.is_empty() || self.classes.contains(&class))
    }
}

/// The reasons; for a slip the first that fits.
pub(super) const WHY: &[Why] = &[
    Why {
        field: "before_use.pump_kinds",
        classes: &[SlipClass::WrongReference],
        because: "both kinds exist and draw the same stroke; nothing else on a sheet says which the tube was calibrated with",
    },
    Why {
        field: "correct.temperature.read_off_within",
        classes: &[],
        because: "how well a graph could be read is the typist's own estimate; the paper does not have it",
    },
    Why {
        field: "correct.humidity",
        classes: &[SlipClass::BlockCopied],
        because: "`none needed` and `not stated` have no number",
    },
    Why {
        field: "correct.pressure",
        classes: &[SlipClass::BlockCopied],
        because: "`proportional`, `none needed` and `not stated` have no number",
    },
    Why {
        field: "doubt.other_gases",
        classes: &[SlipClass::WrongReference],
        because: "a group has no number of its own, and nothing else on the sheet says which gases are meant",
    },
    Why {
        field: "doubt.other_gases",
        classes: &[SlipClass::RowsSwapped],
        because: "two gases that changed places leave all numbers where they are, and either effect is possible for either gas",
    },
    Why {
        field: "doubt.other_gases",
        classes: &[SlipClass::BlockCopied],
        because: "the other sheet's gases have the same numbers",
    },
];
