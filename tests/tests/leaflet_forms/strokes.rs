//! Strokes, ranges, and the lowest visible concentration.

use crate::bench::{Changes, Checked, Evaluated, Form};

const FACT: &str = "strokes and ranges";

/// A row for half a stroke, and a reading with it.
const HALF_STROKE: Changes = &[
    (
        "  ranges:\n",
        "  ranges:\n    - {strokes: 0.5, multiply_by: 4, from: 100, to: 400, seconds_per_stroke: 80, seconds_for: whole stroke, uses: extension}\n",
    ),
    (
        "strokes: 2, reading: {at: 7.5 ppm}",
        "strokes: 0.5, reading: {at: 50 ppm}",
    ),
];

pub(crate) const FORMS: &[Form] = &[
    Form {
        fact: FACT,
        on_paper: "multiplier and printed range",
        held: "draw, ranges, strokes 6, multiply_by",
        first: &[(
            "strokes: 2, reading: {at: 7.5 ppm}",
            "strokes: 6, reading: {at: 2 ppm}",
        )],
        typed: ("multiply_by: 0.35", "multiply_by: 0.36"),
        seen: Evaluated("× 0.36"),
        shown: "× 0.36",
    },
    Form {
        fact: FACT,
        on_paper: "multiplier and printed range, with a slip",
        held: "draw, ranges, strokes 6, multiply_by",
        first: &[],
        typed: ("multiply_by: 0.35", "multiply_by: 3.5"),
        seen: Checked("multiplier-not-falling", ""),
        shown: "× 3.5",
    },
    Form {
        fact: FACT,
        on_paper: "half strokes whose printed time is the half stroke's own time",
        held: "seconds_for",
        first: HALF_STROKE,
        typed: ("seconds_for: whole stroke", "seconds_for: half stroke"),
        seen: Evaluated("the air drawn from 07:38 to 07:40"),
        shown: "(half stroke)",
    },
];
