//! Temperature, humidity and pressure.

use crate::bench::{Changes, Checked, Evaluated, Form};

const FACT: &str = "temperature, humidity, pressure";

const NO_HUMIDITY: &str = "humidity: {method: none needed}";
const NO_TEMPERATURE: &str = "temperature: {method: none needed}";
const AIR: &str = "air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa";

/// Bands of humidity as paper prints them, and a damp day.
const BANDS: Changes = &[
    (
        NO_HUMIDITY,
        "humidity: {method: factor bands, multiply: reading, bands: [{within: 30 to 60 %RH, factor: 1.0}, {within: 60 to 85 %RH, factor: 0.80}]}",
    ),
    (
        AIR,
        "air_temperature: 20 °C, humidity: 75 %RH, pressure: 101.3 kPa",
    ),
];

/// A table against reading and temperature, and a cold day.
const TABLE: Changes = &[
    (
        NO_TEMPERATURE,
        "temperature: {method: table, replace: reading, columns: [0 °C, 10 °C, 20 °C], lines: [{reading: 5 ppm, becomes: [6.5, 5.6, 5.0]}, {reading: 10 ppm, becomes: [13, 11.2, 10]}, {reading: 100 ppm, becomes: [130, 112, 100]}]}",
    ),
    (
        AIR,
        "air_temperature: 5 °C, humidity: 50 %RH, pressure: 101.3 kPa",
    ),
];

/// A factor table, and a cold day.
const FACTORS: Changes = &[
    (
        NO_TEMPERATURE,
        "temperature: {method: factor table, multiply: reading, columns: [°C, factor], rows: [[0, 1.25], [20, 1.00], [40, 0.88]]}",
    ),
    (
        AIR,
        "air_temperature: 10 °C, humidity: 50 %RH, pressure: 101.3 kPa",
    ),
];

/// A table of its own for each stroke count, and a cold day.
const BY_STROKES: Changes = &[
    (
        NO_TEMPERATURE,
        "temperature: {method: by strokes, tables: [{for_strokes: [2], method: factor table, multiply: reading, columns: [°C, factor], rows: [[0, 1.25], [20, 1.00], [40, 0.88]]}, {for_strokes: [6], method: none needed}]}",
    ),
    (
        AIR,
        "air_temperature: 10 °C, humidity: 50 %RH, pressure: 101.3 kPa",
    ),
];

/// Factors for temperature and humidity together, and a cold, damp day.
const TOGETHER: Changes = &[
    (
        NO_TEMPERATURE,
        "temperature: {method: with humidity, multiply: reading, columns: [0 °C, 20 °C, 40 °C], humidities: [{humidity: 10 %RH, factors: [1.20, 1.00, 0.90]}, {humidity: 50 %RH, factors: [1.20, 1.00, 0.90]}, {humidity: 85 %RH, factors: [1.10, 0.90, 0.80]}]}",
    ),
    (NO_HUMIDITY, "humidity: {method: with temperature}"),
    (
        AIR,
        "air_temperature: 0 °C, humidity: 85 %RH, pressure: 101.3 kPa",
    ),
];

const HIGH_UP: (&str, &str) = (
    AIR,
    "air_temperature: 20 °C, humidity: 50 %RH, pressure: 85 kPa",
);

pub(crate) const FORMS: &[Form] = &[
    Form {
        fact: FACT,
        on_paper: "none needed from … to …",
        held: "correct, humidity",
        first: &[(
            AIR,
            "air_temperature: 20 °C, humidity: 75 %RH, pressure: 101.3 kPa",
        )],
        typed: (
            NO_HUMIDITY,
            "humidity: {method: factor bands, bands: [{within: 10 to 60 %RH, says: none needed}]}",
        ),
        seen: Evaluated("75 %RH is outside correct.humidity, which goes from 10 to 60 %RH"),
        shown: "10 to 60 %RH: none needed",
    },
    Form {
        fact: FACT,
        on_paper: "one factor in bands",
        held: "correct, humidity, bands, within 60 to 85 %RH, factor",
        first: BANDS,
        typed: ("factor: 0.80", "factor: 0.70"),
        seen: Evaluated("× 0.7 = 5.25 correct.humidity, band 60 to 85 %RH, at 75 %RH"),
        shown: "60 to 85 %RH: × 0.70",
    },
    Form {
        fact: FACT,
        on_paper: "one factor in bands, at an end that two bands share",
        held: "correct, humidity, bands, within 30 to 60 %RH, factor",
        first: &[
            BANDS[0],
            (
                AIR,
                "air_temperature: 20 °C, humidity: 62 %RH, pressure: 101.3 kPa",
            ),
        ],
        typed: ("factor: 1.0}", "factor: 1.02}"),
        seen: Checked("correction-not-one-at-calibration", "humidity"),
        shown: "30 to 60 %RH: × 1.02",
    },
    Form {
        fact: FACT,
        on_paper: "rows with straight lines between",
        held: "correct, temperature, rows, at 0 °C, factor",
        first: FACTORS,
        typed: ("[0, 1.25]", "[0, 1.35]"),
        seen: Evaluated("× 1.175"),
        shown: "1.35",
    },
    Form {
        fact: FACT,
        on_paper: "two-dimensional, with empty cells",
        held: "correct, temperature, lines, reading 5 ppm, becomes, at 0 °C",
        first: TABLE,
        typed: ("becomes: [6.5, 5.6", "becomes: [none, 5.6"),
        seen: Evaluated("correct.temperature prints nothing in a cell that is needed here"),
        shown: "5 ppm –",
    },
    Form {
        fact: FACT,
        on_paper: "two-dimensional, with a first row above the first mark",
        held: "correct, temperature, lines, reading 1 ppm",
        first: &[
            (
                NO_TEMPERATURE,
                "temperature: {method: table, replace: reading, columns: [0 °C, 10 °C, 20 °C], lines: [{reading: 1 ppm, becomes: [1.4, 1.15, 1]}, {reading: 5 ppm, becomes: [6.5, 5.6, 5.0]}, {reading: 100 ppm, becomes: [130, 112, 100]}]}",
            ),
            TABLE[1],
            ("reading: {at: 7.5 ppm}", "reading: {seen: no stain}"),
        ],
        typed: ("{reading: 1 ppm, becomes: [1.4, 1.15, 1]}, ", ""),
        seen: Evaluated(
            "1 ppm lies below the first row of the temperature table, 5 ppm: only a bound is known there, worked out with 1.21, the largest factor of that column",
        ),
        shown: "at 20 °C 5 ppm",
    },
    Form {
        fact: FACT,
        on_paper: "a line that holds factors among lines that hold concentrations",
        held: "correct, temperature, lines",
        first: &[
            TABLE[0],
            (
                AIR,
                "air_temperature: 0 °C, humidity: 50 %RH, pressure: 101.3 kPa",
            ),
            ("reading: {at: 7.5 ppm}", "reading: {at: 10 ppm}"),
        ],
        typed: ("becomes: [13, 11.2, 10]", "factors: [1.4, 1.12, 1]"),
        seen: Evaluated("× 1.4"),
        shown: "× 1.4",
    },
    Form {
        fact: FACT,
        on_paper: "a stroke count for which a table does not hold",
        held: "correct, temperature, not_for_strokes",
        first: FACTORS,
        typed: ("[40, 0.88]]}", "[40, 0.88]], not_for_strokes: [2]}"),
        seen: Evaluated("correct.temperature does not hold for 2 strokes"),
        shown: "NOT for 2 strokes",
    },
    Form {
        fact: FACT,
        on_paper: "a column for which a table does not hold",
        held: "correct, temperature, lines, reading 10 ppm, becomes, at 0 °C",
        first: TABLE,
        typed: ("becomes: [13, 11.2, 10]", "becomes: [none, 11.2, 10]"),
        seen: Evaluated("prints nothing in a cell"),
        shown: "10 ppm –",
    },
    Form {
        fact: FACT,
        on_paper: "a curve read off at points",
        held: "correct, temperature, read_off_within",
        first: &[
            (
                NO_TEMPERATURE,
                "temperature: {method: curve points, multiply: reading, columns: [°C, factor], rows: [[0, 1.25], [20, 1.00], [40, 0.88]]}",
            ),
            FACTORS[1],
        ],
        typed: ("[40, 0.88]]}", "[40, 0.88]], read_off_within: 3 %}"),
        seen: Evaluated("how closely the correction could be read off the graph"),
        shown: "to within 3 %",
    },
    Form {
        fact: FACT,
        on_paper: "a formula",
        held: "correct, temperature, coefficients",
        first: &[
            (
                NO_TEMPERATURE,
                "temperature: {method: polynomial, multiply: reading, of: °C, coefficients: [1.24, -0.012]}",
            ),
            FACTORS[1],
        ],
        typed: ("[1.24, -0.012]", "[1.22, -0.011]"),
        seen: Evaluated("× 1.11"),
        shown: "1.22",
    },
    Form {
        fact: FACT,
        on_paper: "+1 % per degree above 20 °C",
        held: "correct, temperature, bands, within above 20 °C, per_unit",
        first: &[
            (
                NO_TEMPERATURE,
                "temperature: {method: factor bands, multiply: reading, bands: [{within: up to 20 °C, says: none needed}, {within: above 20 °C, per_unit: 1 %}]}",
            ),
            (
                AIR,
                "air_temperature: 30 °C, humidity: 50 %RH, pressure: 101.3 kPa",
            ),
        ],
        typed: ("per_unit: 1 %", "per_unit: 2 %"),
        seen: Evaluated("× 1.2"),
        shown: "above 20 °C: 2 % for each unit",
    },
    Form {
        fact: FACT,
        on_paper: "multiply by 0.9 above 30 °C",
        held: "correct, temperature",
        first: &[(
            AIR,
            "air_temperature: 35 °C, humidity: 50 %RH, pressure: 101.3 kPa",
        )],
        typed: (
            NO_TEMPERATURE,
            "temperature: {method: factor bands, multiply: reading, bands: [{within: above 30 °C, factor: 0.9}], elsewhere: none needed}",
        ),
        seen: Evaluated("× 0.9"),
        shown: "elsewhere: none needed",
    },
    Form {
        fact: FACT,
        on_paper: "do not use below …",
        held: "correct, temperature",
        first: &[(
            AIR,
            "air_temperature: 4 °C, humidity: 50 %RH, pressure: 101.3 kPa",
        )],
        typed: (
            NO_TEMPERATURE,
            "temperature: {method: factor bands, bands: [{within: below 5 °C, says: do not use}], elsewhere: none needed}",
        ),
        seen: Evaluated("the tube must not be used"),
        shown: "below 5 °C: DO NOT USE",
    },
    Form {
        fact: FACT,
        on_paper: "absolute humidity",
        held: "correct, humidity, bands",
        first: BANDS,
        typed: (
            "bands: [{within: 30 to 60 %RH, factor: 1.0}, {within: 60 to 85 %RH, factor: 0.80}]",
            "bands: [{within: 2 to 10 g/m³, factor: 1.0}, {within: 10 to 20 g/m³, factor: 0.9}]",
        ),
        seen: Evaluated("band 10 to 20 g/m³"),
        shown: "10 to 20 g/m³: × 0.9",
    },
    Form {
        fact: FACT,
        on_paper: "a table per stroke count",
        held: "correct, temperature, tables",
        first: BY_STROKES,
        typed: ("[0, 1.25]", "[0, 1.35]"),
        seen: Evaluated("× 1.175"),
        shown: "1.35",
    },
    Form {
        fact: FACT,
        on_paper: "a table valid at a stated humidity only",
        held: "correct, temperature, at_humidity",
        first: &[
            FACTORS[0],
            (
                AIR,
                "air_temperature: 10 °C, humidity: 80 %RH, pressure: 101.3 kPa",
            ),
        ],
        typed: ("[40, 0.88]]}", "[40, 0.88]], at_humidity: 50 %RH}"),
        seen: Evaluated("the leaflet states its correction for temperature at one humidity only"),
        shown: "stated for 50 %RH only",
    },
    Form {
        fact: FACT,
        on_paper: "temperature and humidity together",
        held: "correct, temperature, humidities, humidity 85 %RH",
        first: TOGETHER,
        typed: ("[1.10, 0.90, 0.80]", "[1.30, 0.90, 0.80]"),
        seen: Evaluated("× 1.3"),
        shown: "85 %RH 1.30",
    },
    Form {
        fact: FACT,
        on_paper: "tables by name of another sheet",
        held: "correct, temperature",
        first: &[
            (
                "tube: weir-other-r1\n",
                "tube: weir-other-r1\ncorrect:\n  calibrated_at: {temperature: 20 °C, pressure: 101.3 kPa}\n  temperature: {method: factor table, multiply: reading, columns: [°C, factor], rows: [[0, 1.35], [20, 1.00], [40, 0.88]]}\n",
            ),
            FACTORS[1],
        ],
        typed: (
            NO_TEMPERATURE,
            "temperature: {method: as on another sheet, sheet: weir-other-r1}",
        ),
        seen: Evaluated("× 1.175"),
        shown: "as on sheet weir-other-r1",
    },
    Form {
        fact: FACT,
        on_paper: "pressure: none from 900 to 1100 hPa",
        held: "correct, pressure",
        first: &[HIGH_UP],
        typed: (
            "pressure: {method: proportional}",
            "pressure: {method: factor bands, bands: [{within: 900 to 1100 hPa, says: none needed}], elsewhere: not stated}",
        ),
        seen: Evaluated("the leaflet says nothing of a correction for pressure"),
        shown: "900 to 1100 hPa: none needed",
    },
];
