//! Strokes, ranges, and the lowest visible concentration.

use crate::bench::{Changes, Checked, Evaluated, Form};

const FACT: &str = "strokes and ranges";

const READ: &str = "strokes: 2, reading: {at: 7.5 ppm}";

/// A row for half a stroke, and a reading with it.
const HALF_STROKE: Changes = &[
    (
        "  ranges:\n",
        "  ranges:\n    - {strokes: 0.5, multiply_by: 4, from: 100, to: 400, seconds_per_stroke: 80, seconds_for: whole stroke, uses: extension}\n",
    ),
    (READ, "strokes: 0.5, reading: {at: 50 ppm}"),
];

/// The row of six strokes as the whole scale, and a reading with it.
const SIX_STROKES: Changes = &[
    (
        "multiply_by: 0.35, from: 0.4, to: 1, seconds_per_stroke: 45, uses: extension",
        "multiply_by: 0.35, from: 0.35, to: 35, seconds_per_stroke: 45, uses: whole scale",
    ),
    (READ, "strokes: 6, reading: {at: 2 ppm}"),
];

const SIX_STROKES_NO_STAIN: Changes = &[(READ, "strokes: 6, reading: {seen: no stain}")];

pub(crate) const FORMS: &[Form] = &[
    Form {
        fact: FACT,
        on_paper: "multiplier and printed range",
        held: "draw, ranges, strokes 6, multiply_by",
        first: &[(READ, "strokes: 6, reading: {at: 2 ppm}")],
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
        on_paper: "printed range alone, the whole scale",
        held: "draw, ranges, strokes 6, multiply_by",
        first: SIX_STROKES,
        typed: ("multiply_by: 0.35, ", ""),
        seen: Evaluated(
            "for 6 strokes; not printed, follows from the printed range over the marks",
        ),
        shown: "multiplier with 6 strokes: follows from the printed range over the marks",
    },
    Form {
        fact: FACT,
        on_paper: "printed range alone, whose ends give two multipliers",
        held: "draw, ranges, strokes 6, to",
        first: &[SIX_STROKES[0], ("multiply_by: 0.35, ", "")],
        typed: ("to: 35", "to: 50"),
        seen: Checked("range-incomplete", "no multiplier of 6 strokes gives both"),
        shown: "NOT KNOWN",
    },
    Form {
        fact: FACT,
        on_paper: "printed range alone, of an extension: asked for",
        held: "draw, ranges, strokes 6, multiply_by",
        first: &[],
        typed: ("multiply_by: 0.35, ", ""),
        seen: Checked(
            "range-incomplete",
            "from a part of the scale no multiplier follows",
        ),
        shown: "NOT KNOWN",
    },
    Form {
        fact: FACT,
        on_paper: "a multiplier alone",
        held: "draw, ranges, strokes 6, from",
        first: &[
            SIX_STROKES[0],
            (READ, "strokes: 6, reading: {at: 1 ppm}"),
            ("from: 0.35, to: 35", "from: 0.5, to: 35"),
            ("uses: whole scale}\nread", "uses: extension}\nread"),
        ],
        typed: (
            "multiply_by: 0.35, from: 0.5, to: 35, seconds_per_stroke: 45, uses: extension",
            "multiply_by: 0.35, seconds_per_stroke: 45, uses: whole scale",
        ),
        seen: Evaluated("ppm below 1"),
        shown: "range with 6 strokes: follows from the marks times the multiplier",
    },
    Form {
        fact: FACT,
        on_paper: "total volume instead of strokes",
        held: "volume",
        first: &[
            (READ, "strokes: 6, reading: {at: 2 ppm}"),
            ("strokes: 6, multiply_by", "volume: 500 mL, multiply_by"),
            ("strokes: 6}", "strokes: 2}"),
        ],
        typed: ("volume: 500 mL", "volume: 600 mL"),
        seen: Evaluated("draw.ranges, row 2, for 6 strokes"),
        shown: "strokes with 6 strokes: follows from the volume over that of a stroke",
    },
    Form {
        fact: FACT,
        on_paper: "a total volume that no strokes make",
        held: "volume",
        first: &[("strokes: 6, multiply_by", "volume: 600 mL, multiply_by")],
        typed: ("volume: 600 mL", "volume: 620 mL"),
        seen: Checked("range-incomplete", "620 mL is 6.2 strokes of 100 mL"),
        shown: "NOT KNOWN",
    },
    Form {
        fact: FACT,
        on_paper: "n = 2 to 5",
        held: "up_to_strokes",
        first: &[("multiply_by: 1, from: 1, to: 100, ", "")],
        typed: (
            "strokes: 2, seconds_per_stroke: 40,",
            "strokes: 2, up_to_strokes: 5, seconds_per_stroke: 40,",
        ),
        seen: Evaluated(
            "draw.ranges, row 1, for 2 strokes; not printed, follows from the strokes of the scale over those drawn",
        ),
        shown: "multiplier with 2, 3, 4, 5 strokes: follows from the strokes of the scale over those drawn",
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
    Form {
        fact: FACT,
        on_paper: "a pause between strokes",
        held: "draw, pause",
        first: &[],
        typed: ("  stroke: 100 mL\n", "  stroke: 100 mL\n  pause: 60 s\n"),
        seen: Evaluated("the air drawn from 07:37 to 07:40"),
        shown: "pause 60 s between two strokes, counted into the time in all",
    },
    Form {
        fact: FACT,
        on_paper: "a total time",
        held: "seconds_in_all",
        first: &[],
        typed: (
            "to: 100, seconds_per_stroke: 40",
            "to: 100, seconds_in_all: 240",
        ),
        seen: Evaluated("the air drawn from 07:36 to 07:40"),
        shown: "not said 4 min",
    },
    Form {
        fact: FACT,
        on_paper: "a total time that does not rise with the strokes",
        held: "seconds_in_all",
        first: &[("seconds_per_stroke: 45", "seconds_in_all: 270")],
        typed: ("seconds_in_all: 270", "seconds_in_all: 27"),
        seen: Checked("sampling-time-not-rising", "take less time"),
        shown: "not said 27 s",
    },
    Form {
        fact: FACT,
        on_paper: "strokes that may be more than printed, without a stain",
        held: "more_strokes_if_no_stain",
        first: &[(READ, "strokes: 10, reading: {seen: no stain}")],
        typed: (
            "  stroke: 100 mL\n",
            "  stroke: 100 mL\n  more_strokes_if_no_stain: 10\n",
        ),
        seen: Evaluated("less than 0.200 ppm"),
        shown: "up to 10 strokes; without a stain no less follows",
    },
    Form {
        fact: FACT,
        on_paper: "strokes that may be more than printed, with a stain",
        held: "more_strokes_if_no_stain",
        first: &[(READ, "strokes: 10, reading: {at: 2 ppm}")],
        typed: (
            "  stroke: 100 mL\n",
            "  stroke: 100 mL\n  more_strokes_if_no_stain: 10\n",
        ),
        seen: Evaluated(
            "prints no multiplier beyond 6 strokes: nothing follows from a stain there",
        ),
        shown: "up to 10 strokes; without a stain no less follows",
    },
    Form {
        fact: FACT,
        on_paper: "lowest visible as a number",
        held: "lowest_visible, concentration",
        first: SIX_STROKES_NO_STAIN,
        typed: ("concentration: 0.2 ppm", "concentration: 0.3 ppm"),
        seen: Evaluated("less than 0.300 ppm"),
        shown: "seen from 0.3 ppm with 6 strokes",
    },
    Form {
        fact: FACT,
        on_paper: "lowest visible as a part of the first mark",
        held: "part_of_first_mark",
        first: &[(READ, "strokes: 2, reading: {seen: no stain}")],
        typed: (
            "concentration: 0.2 ppm, strokes: 6",
            "part_of_first_mark: 1/2",
        ),
        seen: Evaluated("less than 0.500 ppm"),
        shown: "seen from 1/2 of the first mark",
    },
    Form {
        fact: FACT,
        on_paper: "lowest visible by strokes",
        held: "by_strokes",
        first: &[(READ, "strokes: 2, reading: {seen: no stain}")],
        typed: (
            "concentration: 0.2 ppm, strokes: 6",
            "by_strokes: [{strokes: 2, concentration: 0.6 ppm}, {strokes: 6, concentration: 0.2 ppm}]",
        ),
        seen: Evaluated("less than 0.600 ppm"),
        shown: "seen from 0.6 ppm with 2 strokes, 0.2 ppm with 6 strokes",
    },
    Form {
        fact: "temperature, humidity, pressure",
        on_paper: "a stroke count barred below a temperature",
        held: "usable",
        first: &[],
        typed: (
            "to: 100, seconds_per_stroke: 40,",
            "to: 100, usable: above 25 °C, seconds_per_stroke: 40,",
        ),
        seen: Evaluated("the leaflet allows 2 strokes above 25 °C only, and it was 20 °C"),
        shown: "2 strokes: above 25 °C",
    },
];
