//! Fields in which a slip can pass all checks of one sheet, and why.

/// Each with the beginning of its field.
pub(super) const WHY: &[(&str, &str)] = &[
    (
        "before_use.pump_kinds",
        "both kinds exist and draw the same stroke; nothing else on a sheet says which the tube was calibrated with",
    ),
    (
        "before_use.storage",
        "the control figure adds up numbers without their units, and `24 months` is as likely as `24 days` to the arithmetic",
    ),
    (
        "before_use.usable",
        "a little more or less is as plausible, and no other number depends on the unit",
    ),
    (
        "correct.calibrated_at",
        "humidity enters no other number where no correction is needed for it",
    ),
    (
        "correct.humidity",
        "another tube's table is as smooth, and a sheet that needs none has no control figure for one",
    ),
    (
        "correct.temperature.read_off_within",
        "how well a graph could be read stands nowhere else",
    ),
    (
        "doubt.accuracy",
        "a claim of the leaflet: nothing else on the sheet depends on it, and its unit is not in the control figure",
    ),
    (
        "doubt.other_gases.*.matters_from",
        "thresholds of other gases are printed in whatever unit; the control figure has the number, not the unit",
    ),
    ("doubt.other_gases.*.tested_to", "as for `matters_from`"),
    (
        "doubt.other_gases.*.response_uncertainty",
        "stands nowhere else; the control figure has the number, not the unit",
    ),
    (
        "doubt.other_gases",
        "two gases that changed places add up to the same, and either effect is possible for either gas",
    ),
    (
        "doubt.repeatability",
        "bands are free between the ends of the scale; the control figure has the number, not the unit",
    ),
    (
        "draw.stroke",
        "no control figure is given for it; a few millilitres more are within what kinds of pump may differ",
    ),
    (
        "read.lowest_visible",
        "an estimate that no other number fixes; the control figure has the number, not the unit",
    ),
    (
        "read.scales",
        "a scale given twice under one name is taken for the same scale",
    ),
];
