//! Tubes without a scale: a colour or none, and counted strokes.

use crate::bench::{Changes, Checked, Evaluated, Form};

const FACT: &str = "no scale";

const RANGES: &str = "  ranges:
    - {strokes: 2, multiply_by: 1, from: 1, to: 100, seconds_per_stroke: 40, uses: whole scale}
    - {strokes: 6, multiply_by: 0.35, from: 0.4, to: 1, seconds_per_stroke: 45, uses: extension}
";
const READ: &str = "  scales:
    - {unit: ppm, marks: [1, 2, 5, 10, 20, 50, 100], printed_for_strokes: 2}
  lowest_visible: {concentration: 0.2 ppm, strokes: 6}
  also_measures:
    - {substance: bromine, multiply: reading, by: 1.5, uncertainty: 10 %, from: 1.5, to: 150, strokes: 2}
";
const SEEN: &str = "strokes: 2, reading: {at: 7.5 ppm}, reads_to: half,";

const COLOUR: Changes = &[
    (RANGES, ""),
    (
        READ,
        "  indicates:
    unit: ppm
    rows:
      - {strokes: 2, colour_at_least: 10, no_colour_less_than: 15, seconds_per_stroke: 30}
      - {strokes: 6, colour_at_least: 4, no_colour_less_than: 6, seconds_per_stroke: 30}
",
    ),
    (SEEN, "strokes: 2, reading: {seen: colour},"),
];

const WHITE: Changes = &[
    COLOUR[0],
    COLOUR[1],
    (SEEN, "strokes: 2, reading: {seen: no stain},"),
];

const COUNTED: Changes = &[
    (RANGES, ""),
    (
        READ,
        "  counts: {unit: ppm, until: the layer has turned, seconds_per_stroke: 30, rows: [[1, 100], [2, 50], [5, 20]]}
",
    ),
    (SEEN, "strokes: 2, reading: {seen: colour},"),
];

pub(crate) const FORMS: &[Form] = &[
    Form {
        fact: FACT,
        on_paper: "indicating: a colour says that at least about c is there",
        held: "read, indicates, rows",
        first: COLOUR,
        typed: ("colour_at_least: 10", "colour_at_least: 12"),
        seen: Evaluated("12 ppm by the leaflet's thresholds"),
        shown: "2 12 ppm",
    },
    Form {
        fact: FACT,
        on_paper: "indicating: no colour says less than c'",
        held: "read, indicates, rows",
        first: WHITE,
        typed: ("no_colour_less_than: 15", "no_colour_less_than: 18"),
        seen: Evaluated("less than 18.0 ppm"),
        shown: "18 ppm",
    },
    Form {
        fact: FACT,
        on_paper: "white means nothing here",
        held: "read, indicates, rows",
        first: WHITE,
        typed: (", no_colour_less_than: 15", ""),
        seen: Evaluated("no colour after 2 strokes says nothing on this sheet"),
        shown: "says nothing",
    },
    Form {
        fact: FACT,
        on_paper: "thresholds that change with temperature",
        held: "read, indicates, rows",
        first: COLOUR,
        typed: (
            "no_colour_less_than: 15, seconds_per_stroke: 30}",
            "no_colour_less_than: 15, seconds_per_stroke: 30, temperature: above 25 °C}",
        ),
        seen: Evaluated("what a colour means after 2 strokes at this temperature and pressure"),
        shown: "above 25 °C",
    },
    Form {
        fact: FACT,
        on_paper: "more strokes at low pressure",
        held: "read, indicates, rows",
        first: COLOUR,
        typed: (
            "no_colour_less_than: 15, seconds_per_stroke: 30}",
            "no_colour_less_than: 15, seconds_per_stroke: 30, pressure: below 900 hPa}",
        ),
        seen: Evaluated("what a colour means after 2 strokes at this temperature and pressure"),
        shown: "below 900 hPa",
    },
    Form {
        fact: FACT,
        on_paper: "indicating, with a slip",
        held: "read, indicates, rows",
        first: COLOUR,
        typed: ("no_colour_less_than: 15", "no_colour_less_than: 1.5"),
        seen: Checked("thresholds-contradict", "contradict"),
        shown: "1.5 ppm",
    },
    Form {
        fact: FACT,
        on_paper: "counting: a table of strokes and concentrations",
        held: "read, counts, rows",
        first: COUNTED,
        typed: ("[2, 50]", "[2, 40]"),
        seen: Evaluated("chlorine 70 ("),
        shown: "2 40 ppm",
    },
    Form {
        fact: FACT,
        on_paper: "a pressure correction of the count",
        held: "read, counts, count_by_pressure",
        first: &[
            COUNTED[0],
            COUNTED[1],
            (SEEN, "strokes: 3, reading: {seen: colour},"),
            ("pressure: 101.3 kPa}}", "pressure: 60 kPa}}"),
            (
                "pressure: {method: proportional}",
                "pressure: {method: none needed}",
            ),
        ],
        typed: (
            "rows: [[1, 100], [2, 50], [5, 20]]",
            "rows: [[1, 100], [2, 50], [5, 20]], count_by_pressure: times station pressure over calibration pressure",
        ),
        seen: Evaluated("chlorine 75 ("),
        shown: "times station pressure over calibration pressure",
    },
];
