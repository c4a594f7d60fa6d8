//! Precision, and other gases measured or present.

use crate::bench::{Changes, Checked, Evaluated, Form, Instruction};

const PRECISION: &str = "precision";
const ALSO: &str = "other gases measured";
const PRESENT: &str = "interferences";
const MARKS: &str = "marks";

const REPEATABILITY: &str = "repeatability: [{up_to: 100 ppm, rsd: 5 %}]";
const BROMINE: &str = "by: 1.5, uncertainty: 10 %, from: 1.5, to: 150, strokes: 2}";
const NONE_KNOWN: &str = "other_gases: none known";

/// A reading of the other gas that the tube measures.
const OF_BROMINE: Changes = &[(
    "strokes: 2, reading:",
    "strokes: 2, substance: bromine, reading:",
)];

/// A reading of chlorine with the gas present that the sheet names.
const WITH_DIOXIDE: Changes = &[(
    NONE_KNOWN,
    "present: [{substance: chlorine-dioxide, level: 1 ppm, uncertainty: 0.1 ppm}]",
)];

/// The sheet with its scale in mg/m³ at calibration conditions.
const IN_MILLIGRAMS: Changes = &[
    ("unit: ppm, marks", "unit: mg/m³, marks"),
    ("{concentration: 0.2 ppm", "{concentration: 0.2 mg/m³"),
    (
        "repeatability: [{up_to: 100 ppm",
        "repeatability: [{up_to: 100 mg/m³",
    ),
    ("accuracy: [{up_to: 100 ppm", "accuracy: [{up_to: 100 mg/m³"),
    ("{at: 7.5 ppm}", "{at: 7.5 mg/m³}"),
    (
        "printed_for_strokes: 2}",
        "printed_for_strokes: 2, mass_stated: at calibration conditions}",
    ),
];

pub(crate) const FORMS: &[Form] = &[
    Form {
        fact: PRECISION,
        on_paper: "deviation for the scale",
        held: "repeatability",
        first: &[],
        typed: (REPEATABILITY, "repeatability: [{rsd: 9 %}]"),
        seen: Evaluated("how much repeated readings differ: 0.0900"),
        shown: "9 % over the whole scale",
    },
    Form {
        fact: PRECISION,
        on_paper: "deviation by third",
        held: "repeatability",
        first: &[],
        typed: (
            REPEATABILITY,
            "repeatability: [{up_to: first third, rsd: 9 %}, {up_to: second third, rsd: 7 %}, {up_to: last third, rsd: 5 %}]",
        ),
        seen: Evaluated("how much repeated readings differ: 0.0900"),
        shown: "9 % up to the end of the first third",
    },
    Form {
        fact: PRECISION,
        on_paper: "deviation by third, in a wrong order",
        held: "repeatability",
        first: &[(
            REPEATABILITY,
            "repeatability: [{up_to: first third, rsd: 9 %}, {up_to: last mark, rsd: 7 %}]",
        )],
        typed: (
            "{up_to: first third, rsd: 9 %}, {up_to: last mark, rsd: 7 %}",
            "{up_to: last mark, rsd: 9 %}, {up_to: first third, rsd: 7 %}",
        ),
        seen: Checked("repeatability-does-not-cover", "do not rise"),
        shown: "9 % up to the last mark",
    },
    Form {
        fact: PRECISION,
        on_paper: "deviation by level",
        held: "repeatability",
        first: &[],
        typed: (
            REPEATABILITY,
            "repeatability: [{up_to: 10 ppm, rsd: 9 %}, {up_to: 100 ppm, rsd: 5 %}]",
        ),
        seen: Evaluated("how much repeated readings differ: 0.0900"),
        shown: "9 % up to 10 ppm",
    },
    Form {
        fact: PRECISION,
        on_paper: "accuracy with a confidence",
        held: "accuracy, up_to 100 ppm, confidence",
        first: &[],
        typed: (
            "within: 20 %, confidence: 95 %",
            "within: 20 %, confidence: 90 %",
        ),
        seen: Evaluated("how far scale and lot may be from the truth: 0.122"),
        shown: "for 90 % of readings",
    },
    Form {
        fact: PRECISION,
        on_paper: "accuracy without a confidence",
        held: "accuracy, up_to 100 ppm, confidence",
        first: &[(
            "within: 20 %, confidence: 95 %",
            "within: 20 %, confidence: 90 %",
        )],
        typed: (", confidence: 90 %", ""),
        seen: Evaluated("how far scale and lot may be from the truth: 0.102"),
        shown: "within 20 % up to 100 ppm other gases",
    },
    Form {
        fact: PRECISION,
        on_paper: "± 2 ppm or ± 20 %, whichever is greater",
        held: "at_least",
        first: &[],
        typed: (
            "within: 20 %, confidence",
            "within: 20 %, at_least: 3 ppm, confidence",
        ),
        seen: Evaluated("how far scale and lot may be from the truth: 0.20"),
        shown: "within 20 % or 3 ppm, whichever is greater,",
    },
    Form {
        fact: PRECISION,
        on_paper: "of full scale",
        held: "accuracy, up_to 100 ppm, of",
        first: &[("within: 20 %, confidence", "within: 5 %, confidence")],
        typed: (
            "within: 5 %, confidence",
            "within: 5 %, of: full scale, confidence",
        ),
        seen: Evaluated("how far scale and lot may be from the truth: 0.34"),
        shown: "within 5 % of full scale",
    },
    Form {
        fact: PRECISION,
        on_paper: "half a mark",
        held: "within_spaces",
        first: &[],
        typed: ("within: 20 %, confidence", "within_spaces: 1/2, confidence"),
        seen: Evaluated("how far scale and lot may be from the truth: 0.17"),
        shown: "within 1/2 of the space between two marks",
    },
    Form {
        fact: PRECISION,
        on_paper: "in mm of the stain",
        held: "within_mm",
        first: &[(
            "printed_for_strokes: 2}",
            "printed_for_strokes: 2, length_mm: 60}",
        )],
        typed: ("within: 20 %, confidence", "within_mm: 5, confidence"),
        seen: Evaluated("how far scale and lot may be from the truth: 0.17"),
        shown: "within 5 mm of the stain",
    },
    Form {
        fact: PRECISION,
        on_paper: "in mm of the stain, without the length of the scale",
        held: "within_mm",
        first: &[],
        typed: ("within: 20 %, confidence", "within_mm: 5, confidence"),
        seen: Checked("accuracy-unclear", "length"),
        shown: "within 5 mm of the stain",
    },
    Form {
        fact: PRECISION,
        on_paper: "a span, of which the larger counts",
        held: "repeatability, up_to 100 ppm, rsd",
        first: &[],
        typed: ("rsd: 5 %", "rsd: 5 to 9 %"),
        seen: Evaluated("how much repeated readings differ: 0.0900"),
        shown: "5 to 9 % (9 % counts)",
    },
    Form {
        fact: PRECISION,
        on_paper: "± 20 % with nothing said",
        held: "accuracy, up_to 100 ppm, kind",
        first: &[(", confidence: 95 %}]", "}]")],
        typed: ("within: 20 %}]", "within: 20 %, kind: not said}]"),
        seen: Evaluated("[accuracy-kind-not-said]"),
        shown: "the leaflet does not say what this is",
    },
    Form {
        fact: PRECISION,
        on_paper: "none",
        held: "repeatability",
        first: &[],
        typed: ("  repeatability: [{up_to: 100 ppm, rsd: 5 %}]\n", ""),
        seen: Evaluated("[repeatability-assumed]"),
        shown: "the leaflet says nothing: results name the default that is used",
    },
    Form {
        fact: ALSO,
        on_paper: "a factor alone",
        held: "also_measures, bromine",
        first: OF_BROMINE,
        typed: (BROMINE, "by: 1.5, uncertainty: 12 %}"),
        seen: Evaluated("factor for another gas than the scale's: 0.120"),
        shown: "bromine: reading × 1.5, (1.5) to (150) ppm with (2 strokes); the range follows from the marks times the factor; the strokes are those of the scale",
    },
    Form {
        fact: ALSO,
        on_paper: "a factor from … to …",
        held: "also_measures, bromine, by",
        first: &[OF_BROMINE[0], (BROMINE, "by: 1.5}")],
        typed: ("by: 1.5}", "by: 1.4 to 1.8}"),
        seen: Evaluated("other gas × 1.6"),
        shown: "reading × 1.4 to 1.8 (the middle, 1.6, counts)",
    },
    Form {
        fact: ALSO,
        on_paper: "about",
        held: "also_measures, bromine, by",
        first: &[OF_BROMINE[0], (BROMINE, "by: 1.4 to 1.8}")],
        typed: ("by: 1.4 to 1.8}", "by: about 1.5}"),
        seen: Evaluated("[other-gas-factor-assumed]"),
        shown: "reading × about 1.5",
    },
    Form {
        fact: ALSO,
        on_paper: "a factor with its own strokes and range",
        held: "also_measures, bromine strokes 2, to",
        first: &[OF_BROMINE[0]],
        typed: ("to: 150, strokes: 2}", "to: 9, strokes: 2}"),
        seen: Evaluated("[outside-printed-range]"),
        shown: "1.5 to 9 ppm with 2 strokes",
    },
    Form {
        fact: ALSO,
        on_paper: "a table or curve",
        held: "also_measures, bromine strokes 2, rows",
        first: OF_BROMINE,
        typed: (
            "by: 1.5, uncertainty",
            "rows: [[1, 1.5], [100, 1.7]], uncertainty",
        ),
        seen: Evaluated("rows 1 and 100, linear"),
        shown: "reading × 1.5 at 1, 1.7 at 100",
    },
    Form {
        fact: ALSO,
        on_paper: "qualitatively only",
        held: "also_measures, bromine",
        first: OF_BROMINE,
        typed: (BROMINE, "qualitatively: true}"),
        seen: Evaluated("qualitatively only: a stain says that it is there, and not how much"),
        shown: "bromine: qualitatively only",
    },
    Form {
        fact: PRESENT,
        on_paper: "with its response: a span",
        held: "chlorine-dioxide, response",
        first: WITH_DIOXIDE,
        typed: (
            "response: 0.5, response_uncertainty: 20 %",
            "response: 0.4 to 1.0",
        ),
        seen: Evaluated("6.8"),
        shown: "one part reads as 0.4 to 1.0 (the middle, 0.7, counts)",
    },
    Form {
        fact: PRESENT,
        on_paper: "about the same sensitivity",
        held: "chlorine-dioxide, response",
        first: WITH_DIOXIDE,
        typed: (
            "response: 0.5, response_uncertainty: 20 %",
            "response: about 1",
        ),
        seen: Evaluated("[other-gas-response-assumed]"),
        shown: "one part reads as about 1",
    },
    Form {
        fact: PRESENT,
        on_paper: "nothing but the name",
        held: "other_gases, sulfur-dioxide",
        first: &[(NONE_KNOWN, "present: [{substance: sulfur-dioxide}]")],
        typed: (
            "response_uncertainty: 20 %}\n",
            "response_uncertainty: 20 %}\n    - {substance: sulfur-dioxide}\n",
        ),
        seen: Evaluated("[indicative-direction-unknown]"),
        shown: "sulfur dioxide: not stated; alone not stated",
    },
    Form {
        fact: PRESENT,
        on_paper: "only above a humidity",
        held: "only_above_humidity",
        first: WITH_DIOXIDE,
        typed: (
            "response_uncertainty: 20 %}",
            "response_uncertainty: 20 %, only_above_humidity: 70 %RH}",
        ),
        seen: Evaluated("matters above 70 %RH only; the air is drier"),
        shown: "; only above 70 %RH",
    },
    Form {
        fact: PRESENT,
        on_paper: "from a part of the gas measured",
        held: "matters_from_times",
        first: &[
            (
                NONE_KNOWN,
                "present: [{substance: chlorine-dioxide, level: 1 ppm}]",
            ),
            (", response: 0.5, response_uncertainty: 20 %", ""),
        ],
        typed: (
            "together: reads high}",
            "together: reads high, matters_from_times: 0.5}",
        ),
        seen: Evaluated("matters from 0.5 times the gas measured on"),
        shown: "matters from 0.5 times the gas measured",
    },
    Form {
        fact: PRESENT,
        on_paper: "bleaches",
        held: "chlorine-dioxide, together",
        first: &[
            (NONE_KNOWN, "present: [{substance: chlorine-dioxide}]"),
            (", response: 0.5, response_uncertainty: 20 %", ""),
        ],
        typed: ("together: reads high", "together: bleaches the stain"),
        seen: Evaluated("bleaches the stain: there may be much more"),
        shown: "bleaches the stain",
    },
    Form {
        fact: PRESENT,
        on_paper: "fades",
        held: "chlorine-dioxide, together",
        first: &[
            (NONE_KNOWN, "present: [{substance: chlorine-dioxide}]"),
            (", response: 0.5, response_uncertainty: 20 %", ""),
        ],
        typed: ("together: reads high", "together: fades the stain"),
        seen: Evaluated("[indicative-reads-low]"),
        shown: "fades the stain",
    },
    Form {
        fact: PRESENT,
        on_paper: "a group, present as such",
        held: "other_gases, weir-oxidants",
        first: &[(NONE_KNOWN, "present: [{group: weir-oxidants}]")],
        typed: (
            "{substance: chlorine-dioxide, alone: stains, together: reads high, response: 0.5, response_uncertainty: 20 %}",
            "{group: weir-oxidants, together: reads low}",
        ),
        seen: Evaluated("[indicative-reads-low]"),
        shown: "weir oxidants: reads low",
    },
    Form {
        fact: PRESENT,
        on_paper: "a group, present by its name",
        held: "other_gases, weir-oxidants",
        first: &[(NONE_KNOWN, "present: [{substance: weir oxidants}]")],
        typed: (
            "{substance: chlorine-dioxide, alone: stains, together: reads high, response: 0.5, response_uncertainty: 20 %}",
            "{group: weir-oxidants, together: reads low}",
        ),
        seen: Evaluated("[indicative-reads-low]"),
        shown: "weir oxidants: reads low",
    },
    Form {
        fact: MARKS,
        on_paper: "marks in mm with a table on the paper",
        held: "millimetres",
        first: &[("{at: 7.5 ppm}", "{at_mm: 19}")],
        typed: (
            "100], printed_for",
            "100], millimetres: [3, 8, 17, 27, 33, 45, 52], printed_for",
        ),
        // 5 ppm at 17 mm, 10 ppm at 27 mm.
        seen: Evaluated("reading 6 ppm on the scale"),
        shown: "the glass shows millimetres: 3, 8, 17, 27, 33, 45, 52 mm",
    },
    Form {
        fact: MARKS,
        on_paper: "mg/m³ at conditions that the scale prints",
        held: "mass_stated_at",
        first: IN_MILLIGRAMS,
        typed: (
            "mass_stated: at calibration conditions",
            "mass_stated_at: {temperature: 0 °C, pressure: 1013 hPa}",
        ),
        // 7.5 mg/m³ × 22.420 L/mol / 70.90 g/mol, and not × 24.06 L/mol as at 20 °C.
        seen: Evaluated("also as 2.37 ppm at 0 °C and 101.3 kPa"),
        shown: "mass at 0 °C and 1013 hPa",
    },
    Form {
        fact: MARKS,
        on_paper: "mg/m³ of an air that is said twice",
        held: "mass_stated_at",
        first: IN_MILLIGRAMS,
        typed: (
            "mass_stated: at calibration conditions",
            "mass_stated: at calibration conditions, mass_stated_at: {temperature: 0 °C, pressure: 1013 hPa}",
        ),
        seen: Checked("scale-mass-not-stated", "is said twice"),
        shown: "mass at 0 °C and 1013 hPa",
    },
    Form {
        fact: MARKS,
        on_paper: "marks in mm, a row of the table left out",
        held: "millimetres",
        first: &[(
            "100], printed_for",
            "100], millimetres: [3, 8, 17, 27, 33, 45, 52], printed_for",
        )],
        typed: ("17, 27, 33, 45, 52]", "17, 27, 33, 45]"),
        seen: Checked(
            "millimetre-marks-unclear",
            "the millimetre marks do not go with the concentrations",
        ),
        shown: "3, 8, 17, 27, 33, 45 mm",
    },
    Form {
        fact: MARKS,
        on_paper: "unnumbered lines",
        held: "unnumbered",
        first: &[],
        typed: ("100], printed_for", "100], unnumbered: [4], printed_for"),
        seen: Evaluated("reading the end of the stain between the marks: 0.144"),
        shown: "4 each unnumbered lines between two marks",
    },
    Form {
        fact: MARKS,
        on_paper: "the colour after alone",
        held: "read, stain, from",
        first: &[(
            "  lowest_visible:",
            "  stain: {from: white, to: red}\n  lowest_visible:",
        )],
        typed: ("{from: white, to: red}", "{to: red}"),
        seen: Instruction,
        shown: "stain turns red",
    },
    Form {
        fact: MARKS,
        on_paper: "read at the longest side",
        held: "stain",
        first: &[
            ("{at: 7.5 ppm}", "{short: 5 ppm, long: 10 ppm}"),
            (
                "  lowest_visible:",
                "  stain: {from: white, to: red}\n  lowest_visible:",
            ),
        ],
        typed: ("to: red}", "to: red, read_at: longest side}"),
        seen: Evaluated("reading 10 ppm on the scale"),
        shown: "read at the longest side",
    },
    Form {
        fact: MARKS,
        on_paper: "read at the end of the faintest colour",
        held: "stain",
        first: &[(
            "  lowest_visible:",
            "  stain: {from: white, to: red}\n  lowest_visible:",
        )],
        typed: ("to: red}", "to: red, read_at: end of the faintest colour}"),
        seen: Evaluated("The leaflet reads the stain at the end of the faintest colour."),
        shown: "read at the end of the faintest colour",
    },
    Form {
        fact: MARKS,
        on_paper: "read in the middle of a faded front",
        held: "stain",
        first: &[(
            "  lowest_visible:",
            "  stain: {from: white, to: red}\n  lowest_visible:",
        )],
        typed: ("to: red}", "to: red, read_at: middle of the faded front}"),
        seen: Evaluated("The leaflet reads the stain in the middle of the faded front."),
        shown: "read at the middle of the faded front",
    },
    Form {
        fact: MARKS,
        on_paper: "read at a second colour",
        held: "stain",
        first: &[(
            "  lowest_visible:",
            "  stain: {from: white, to: red}\n  lowest_visible:",
        )],
        typed: ("to: red}", "to: red, read_at: second colour}"),
        seen: Evaluated("The leaflet reads the stain at the end of the second colour."),
        shown: "read at the second colour",
    },
    Form {
        fact: MARKS,
        on_paper: "unnumbered lines, in a number that does not go with the marks",
        held: "unnumbered",
        first: &[("100], printed_for", "100], unnumbered: [4], printed_for")],
        typed: ("unnumbered: [4]", "unnumbered: [4, 4]"),
        seen: Checked("unnumbered-lines-unclear", "do not go with the marks"),
        shown: "4, 4 unnumbered lines between two marks",
    },
];
