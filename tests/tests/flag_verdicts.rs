//! What each flag does to a verdict: a reading that raises it clearly below a limit, and one clearly above.
//!
//! The table is written by hand, after the rules that a verdict stands by, and not derived from the registry: a flag that the
//! registry gets wrong fails here, and so does a flag that has no row.

use std::collections::BTreeSet;

use stainbook::check_read;
use stainbook_catalog::{Book, SourceFile, WrittenEntry};
use stainbook_evaluation::outcome::{Code, CodeKind, Flag};
use stainbook_evaluation::result::LimitComparison;
use stainbook_evaluation::survey_faults::SurveyFaults;
use stainbook_evaluation::{Evaluation, FaultySheets, Options, evaluate, evaluate_entry};

/// An invented sheet with one of everything that flags are about.
const SHEET: &str = "\
tube: weir-chlorine-r2
name: Weir chlorine tube
series: weir-chlorine
leaflet: {title: Sheet 3, revision: '2', date: 2024-03, lots: from 24-100}
entered: {by: KL, date: 2026-01-11}
verified: {by: MT, date: 2026-01-12}
measures: {substance: chlorine}
before_use:
  pump_kinds: [quay]
  usable: {temperature: 0 to 40 °C, humidity: 10 to 85 %RH}
draw:
  stroke: 100 mL
  ranges:
    - {strokes: 2, multiply_by: 1, from: 1, to: 100, seconds_per_stroke: 40, uses: whole scale}
    - {strokes: 6, multiply_by: 0.4, from: 0.4, to: 1, seconds_per_stroke: 45, uses: extension}
read:
  scales:
    - {unit: ppm, marks: [1, 2, 5, 10, 20, 50, 100], printed_for_strokes: 2}
  also_measures:
    - {substance: bromine, multiply: reading, by: 1, uncertainty: 10 %, from: 1, to: 100, strokes: 2}
correct:
  calibrated_at: {temperature: 20 °C, pressure: 101.3 kPa, humidity: 50 %RH}
  temperature: {method: none needed}
  humidity: {method: none needed}
  pressure: {method: proportional}
doubt:
  repeatability: [{up_to: 100 ppm, rsd: 5 %}]
  accuracy: [{up_to: 100 ppm, within: 20 %, confidence: 95 %}]
  other_gases:
    - {substance: chlorine-dioxide, alone: stains, together: reads high, response: 0.5, response_uncertainty: 20 %}
    - {substance: nitrogen-dioxide, alone: stains faintly, together: reads high}
    - {substance: sulfur-dioxide, alone: no stain, together: reads low}
    - {substance: hydrogen-sulfide, alone: no stain, together: washes the stain out}
    - {substance: ozone, alone: no stain, together: other colour}
    - {substance: ammonia, alone: no stain, together: not stated}
    - {substance: hydrogen-chloride, alone: no stain, together: no effect, tested_to: 20 ppm}
";

const CATALOG: &str = "catalog: weir\ntitle: Weir\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
const PUMP: &str =
    "pump: pump-1\nkind: quay\nvolume_checks: [{date: 2026-01-14, volume: 99 mL, by: KL}]\n";
const KIND: &str = "\
pump_kind: quay
name: Quay piston pump
stroke: 100 mL
half_strokes: true
volume_tolerance: 5 %
volume_check_every: 1 year
";
const OTHER_PUMP: &str =
    "pump: pump-2\nkind: bilge\nvolume_checks: [{date: 2026-01-14, volume: 99 mL, by: KL}]\n";
const OTHER_KIND: &str = "\
pump_kind: bilge
name: Bilge bellows pump
stroke: 100 mL
half_strokes: false
volume_tolerance: 5 %
volume_check_every: 1 year
";

/// A reading in which nothing is doubtful, clearly below or above 10 ppm, and limits of which it is compared with one.
const SURVEY: &str = "\
survey: a
title: A round
by: KL
judge: {limits: [{authority: US NIOSH, kind: danger to life or health}]}
readings:
  - {id: r1, at: \"2026-03-02T07:40+00:00\", tube: weir-chlorine, lot: 24-117, expires: 2027-01, pump: pump-1,
     leak_test: held, strokes: 2, reading: {at: READ}, other_gases: none known,
     conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}
";

const BELOW: &str = "1.5 ppm";
const ABOVE: &str = "60 ppm";

/// What a verdict is called that a flag leaves standing, and one that it does not.
const B: &str = "below";
const A: &str = "above";
const NO: &str = "cannot tell";
const ACT: &str = "cannot tell; reads above: act as if above";

/// A flag, what makes a reading raise it, the verdict of one clearly below and of one clearly above the limit, and whether the
/// verdict that stands says so.
struct Case {
    code: &'static str,
    changes: &'static [(&'static str, &'static str)],
    below: &'static str,
    above: &'static str,
    says: &'static str,
}

const fn case(
    code: &'static str,
    changes: &'static [(&'static str, &'static str)],
    below: &'static str,
    above: &'static str,
    says: &'static str,
) -> Case {
    Case {
        code,
        changes,
        below,
        above,
        says,
    }
}

/// In the texts of sheet, pumps, kinds and survey together: the old text, which stands there, and the new one.
#[rustfmt::skip]
const CASES: &[Case] = &[
    // Leak test and pump.
    case("leak-test-failed", &[("leak_test: held", "leak_test: leaked")], NO, A, ""),
    case("leak-test-missing", &[("leak_test: held, ", "")], NO, A, ""),
    case("pump-missing", &[("pump: pump-1,\n", "")], NO, A, ""),
    case("pump-unknown", &[("pump: pump-1,\n", "pump: pump-9,\n")], NO, A, ""),
    case("pump-not-allowed", &[("pump: pump-1,\n", "pump: pump-2,\n")], NO, ACT, ""),
    case("pump-withdrawn", &[("pump: pump-1\nkind: quay\n", "pump: pump-1\nkind: quay\nwithdrawn: 2026-02-01\n")], NO, ACT, ""),
    case("pump-volume-too-small", &[("kind: quay\nvolume_checks: [{date: 2026-01-14, volume: 99 mL", "kind: quay\nvolume_checks: [{date: 2026-01-14, volume: 90 mL")], NO, A, ""),
    case("pump-volume-too-large", &[("kind: quay\nvolume_checks: [{date: 2026-01-14, volume: 99 mL", "kind: quay\nvolume_checks: [{date: 2026-01-14, volume: 110 mL")], B, ACT, ""),
    case("pump-volume-check-overdue", &[("kind: quay\nvolume_checks: [{date: 2026-01-14", "kind: quay\nvolume_checks: [{date: 2024-01-14")], B, A, "volume check overdue"),
    case("pump-volume-check-missing", &[("kind: quay\nvolume_checks: [{date: 2026-01-14, volume: 99 mL, by: KL}]\n", "kind: quay\n")], B, A, "no volume check on record"),
    // Tube, lot, pre-tube, storage.
    case("date-missing", &[("at: \"2026-03-02T07:40+00:00\", ", "")], NO, A, ""),
    case("lot-missing", &[("lot: 24-117, ", "")], NO, A, ""),
    case("lot-not-comparable", &[("lot: 24-117, ", "lot: A1, ")], NO, A, ""),
    case("expiry-missing", &[("expires: 2027-01, ", "")], NO, A, ""),
    case("expiry-as-in-stock", &[("expires: 2027-01, ", ""), ("lot: 24-999", "lot: 24-117")], B, A, "expiry as the box in stock says"),
    case("lot-expired", &[("expires: 2027-01, ", "expires: 2026-02, ")], NO, A, ""),
    case("pre-tube-missing", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries, has_own_expiry: true}\n")], NO, A, ""),
    case("pre-tube-expiry-missing", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries, has_own_expiry: true}\n"), ("strokes: 2, reading:", "strokes: 2, pre_tube: {lot: P-1}, reading:")], NO, A, ""),
    case("pre-tube-expired", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries, has_own_expiry: true}\n"), ("strokes: 2, reading:", "strokes: 2, pre_tube: {lot: P-1, expires: 2026-02}, reading:")], NO, A, ""),
    case("cold-tube", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  storage: {below: 8 °C, bring_to_ambient: true}\n")], NO, A, ""),
    case("instructions-not-kept", &[("strokes: 2, reading:", "strokes: 2, not_kept: [full draw], reading:")], NO, A, ""),
    case("instructions-not-kept-reads-high", &[("  stroke: 100 mL\n", "  stroke: 100 mL\n  if_not_kept: [{instruction: time to read, reads: too high}]\n"), ("strokes: 2, reading:", "strokes: 2, not_kept: [time to read], reading:")], B, ACT, ""),
    case("instructions-not-kept-no-effect", &[("  stroke: 100 mL\n", "  stroke: 100 mL\n  if_not_kept: [{instruction: pause, reads: as it should}]\n"), ("strokes: 2, reading:", "strokes: 2, not_kept: [pause], reading:")], B, A, ""),
    // Preparation, and what keeps for a time only.
    case("preparation-missing", &[("  stroke: 100 mL\n", "  stroke: 100 mL\n  flush: {strokes: 1}\n")], NO, A, ""),
    case("pre-tube-spent", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries, spent_after: 1}\n"), ("strokes: 2, reading:", "strokes: 2, pre_tube: {lot: P-1, strokes_before: 0}, reading:")], NO, ACT, ""),
    case("pre-tube-use-missing", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries, spent_after: 9}\n"), ("strokes: 2, reading:", "strokes: 2, pre_tube: {lot: P-1}, reading:")], NO, ACT, ""),
    case("opened-missing", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  storage: {opened_keeps: 30 days}\n")], NO, A, ""),
    case("opened-too-long", &[("pump_kinds: [quay]\n", "pump_kinds: [quay]\n  storage: {opened_keeps: 30 days}\n"), ("strokes: 2, reading:", "strokes: 2, opened: 2026-01-01, reading:")], NO, A, ""),
    case("used-before", &[("strokes: 2, reading:", "strokes: 2, used_before: true, reading:")], NO, ACT, ""),
    case("manufacture-date-missing", &[("lots: from 24-100}", "lots: from 24-100, manufactured: from 2024-03}")], NO, A, ""),
    case("manufactured-outside", &[("lots: from 24-100}", "lots: from 24-100, manufactured: from 2024-03}"), ("strokes: 2, reading:", "strokes: 2, manufactured: 2023-03, reading:")], NO, ACT, ""),
    case("erratum-for-lot", &[("lots: from 24-100}", "lots: from 24-100, errata: [{lots: from 24-110, says: read lower}]}")], NO, ACT, ""),
    case("outside-usable-air", &[("humidity: 10 to 85 %RH}", "humidity: 10 to 85 %RH, air: only in air}"), ("pressure: 101.3 kPa}}", "pressure: 101.3 kPa, atmosphere: inert gas}}")], NO, ACT, ""),
    // Nothing of the measurement itself, but of its record.
    case("amended", &[("other_gases: none known", "other_gases: none known, amended: [{by: MT, at: \"2026-03-03T09:10+00:00\", because: misheard, was: {place: quay}}]")], B, A, ""),
    case("amendment-unsigned", &[("other_gases: none known", "other_gases: none known, amended: [{at: \"2026-03-03T09:10+00:00\", was: {place: quay}}]")], B, A, "changed, and not signed for"),
    case("amended-before-read", &[("other_gases: none known", "other_gases: none known, amended: [{by: MT, at: \"2026-03-01T09:10+00:00\", because: misheard, was: {place: quay}}]")], B, A, ""),
    case("assured", &[("leak_test: held, ", ""), ("readings:\n", "assured: [{what: leak tests, for: [pump-1], day: 2026-03-02, where: pump log 3, by: KL}]\nreadings:\n")], B, A, "leak tests assured, see pump log 3, KL"),
    case("id-repeated", &[("conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\n", "conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\n  - {id: r1, at: \"2026-03-02T07:40+00:00\", tube: weir-chlorine, lot: 24-117, expires: 2027-01, pump: pump-1, leak_test: held, strokes: 2, reading: {at: READ}, other_gases: none known, conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\n")], B, A, ""),
    case("certainty-unusable", &[("judge: {limits:", "judge: {certainty: 20 %, limits:")], B, A, ""),
    // The sheet.
    case("sheet-has-errors", &[("title: Sheet 3", "titel: Sheet 3")], NO, ACT, ""),
    case("sheet-not-verified", &[("verified: {by: MT, date: 2026-01-12}\n", "")], B, A, "sheet not verified"),
    case("sheet-withdrawn", &[("measures: {", "withdrawn: {since: 2026-02-01, because: leaflet recalled}\nmeasures: {")], NO, ACT, ""),
    case("accuracy-assumed", &[("  accuracy: [{up_to: 100 ppm, within: 20 %, confidence: 95 %}]\n", "")], B, A, "accuracy assumed"),
    case("repeatability-assumed", &[("  repeatability: [{up_to: 100 ppm, rsd: 5 %}]\n", "")], B, A, "repeatability assumed"),
    case("accuracy-kind-not-said", &[("within: 20 %, confidence: 95 %", "within: 20 %, kind: not said")], B, A, "kind of accuracy not said"),
    case("uncertainty-large", &[("within: 20 %, confidence", "within: 82 %, confidence")], B, A, ""),
    case("upper-end-open", &[("within: 20 %, confidence", "within: 90 %, confidence")], B, A, ""),
    case("correction-not-stated", &[("humidity: {method: none needed}", "humidity: {method: not stated}")], B, A, "a correction not stated"),
    case("correction-at-another-humidity", &[("temperature: {method: none needed}", "temperature: {method: factor table, multiply: reading, columns: [°C, factor], rows: [[0, 1.25], [20, 1.00], [40, 0.88]], at_humidity: 70 to 80 %RH}")], NO, ACT, ""),
    // Of a reading below the first row only a bound is known, so that none is above.
    case("below-first-row", &[("temperature: {method: none needed}", "temperature: {method: table, replace: reading, columns: [0 °C, 20 °C], lines: [{reading: 80 ppm, becomes: [104, 80]}, {reading: 100 ppm, becomes: [130, 100]}]}"), ("air_temperature: 20 °C", "air_temperature: 10 °C")], B, NO, "below the first row of a table"),
    // A reading on a sheet whose every band is printed lower than its scale.
    case("outside-printed-range", &[("from: 1, to: 100, seconds", "from: 2, to: 50, seconds")], B, A, "outside the printed range"),
    case("mass-basis-not-stated", &[("{unit: ppm, marks: [1, 2, 5, 10, 20, 50, 100]", "{unit: mg/m³, marks: [3, 6, 15, 30, 60, 150, 300]"), ("at: READ", "at: MASS"), ("from: 1, to: 100, seconds", "from: 3, to: 300, seconds"), ("from: 0.4, to: 1,", "from: 1.2, to: 3,"), ("from: 1, to: 100, strokes", "from: 3, to: 300, strokes"), ("up_to: 100 ppm, rsd", "up_to: 300 mg/m³, rsd"), ("up_to: 100 ppm, within", "up_to: 300 mg/m³, within")], B, A, "mg/m³ taken as of the air drawn"),
    case("water-vapour-unknown", &[("unit: ppm, marks", "unit: ppm, stated_in: dry air, marks"), (", humidity: 10 to 85 %RH", ""), ("humidity: 50 %RH, pressure: 101.3 kPa}}", "pressure: 101.3 kPa}}")], B, A, "water vapour not known"),
    case("group-expressed-as", &[("measures: {substance: chlorine}", "measures: {group: weir-oxidants, expressed_as: chlorine}")], "not compared", "not compared", ""),
    // The air.
    case("outside-usable-temperature", &[("air_temperature: 20 °C", "air_temperature: 45 °C")], NO, ACT, ""),
    case("outside-usable-humidity", &[("humidity: 50 %RH, pressure: 101.3 kPa}}", "humidity: 95 %RH, pressure: 101.3 kPa}}")], NO, ACT, ""),
    case("temperature-missing", &[("air_temperature: 20 °C, ", "")], NO, A, ""),
    case("humidity-missing", &[("humidity: 50 %RH, pressure: 101.3 kPa}}", "pressure: 101.3 kPa}}")], NO, A, ""),
    case("humidity-not-comparable", &[("air_temperature: 20 °C, humidity: 50 %RH", "humidity: 8 g/m³")], NO, A, ""),
    case("tube-temperature-differs", &[("air_temperature: 20 °C", "air_temperature: 20 °C, tube_temperature: 30 °C")], NO, A, ""),
    case("sea-level-pressure-without-altitude", &[("temperature: {method: none needed}\n  humidity: {method: none needed}\n  pressure: {method: proportional}", "temperature: {method: none needed}\n  humidity: {method: none needed}\n  pressure: {method: none needed}"), ("pressure: 101.3 kPa}}", "sea_level_pressure: 1013 hPa}}")], B, A, ""),
    case("column-temperature-assumed", &[("air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}", "tube_temperature: 20 °C, humidity: 50 %RH, sea_level_pressure: 1013 hPa, altitude: 100 m}}")], B, A, ""),
    case("other-unit-needs-conditions", &[("temperature: {method: none needed}\n  humidity: {method: none needed}\n  pressure: {method: proportional}", "temperature: {method: none needed}\n  humidity: {method: none needed}\n  pressure: {method: none needed}"), (", pressure: 101.3 kPa}}", "}}")], B, A, ""),
    // Other gases.
    case("other-gases-not-stated", &[(", other_gases: none known", "")], B, A, "nothing said about other gases"),
    case("indicative-reads-low", &[("other_gases: none known", "present: [{substance: sulfur-dioxide}]")], NO, A, ""),
    case("indicative-stain-may-be-missed", &[("other_gases: none known", "present: [{substance: hydrogen-sulfide}]")], NO, A, ""),
    case("indicative-reads-high", &[("other_gases: none known", "present: [{substance: nitrogen-dioxide}]")], B, ACT, ""),
    case("indicative-other-colour", &[("other_gases: none known", "present: [{substance: ozone}]")], NO, ACT, ""),
    case("indicative-direction-unknown", &[("other_gases: none known", "present: [{substance: ammonia}]")], NO, ACT, ""),
    case("other-gas-not-on-sheet", &[("other_gases: none known", "present: [{substance: benzene}]")], NO, ACT, ""),
    case("other-gas-above-tested", &[("other_gases: none known", "present: [{substance: hydrogen-chloride, level: 30 ppm}]")], NO, ACT, ""),
    case("other-gas-level-not-comparable", &[("other_gases: none known", "present: [{substance: hydrogen-chloride, level: 3 mg/m³}]")], NO, ACT, ""),
    case("other-gas-response-assumed", &[("response: 0.5, response_uncertainty: 20 %", "response: 0.5"), ("other_gases: none known", "present: [{substance: chlorine-dioxide, level: 0.2 ppm, uncertainty: 0.05 ppm}]")], B, A, "response of another gas assumed"),
    case("other-gas-level-assumed", &[("other_gases: none known", "present: [{substance: chlorine-dioxide, level: 0.2 ppm}]")], B, A, "level of another gas assumed"),
    case("other-gas-dominates", &[("other_gases: none known", "present: [{substance: chlorine-dioxide, level: DOMINATES, uncertainty: 0.1 ppm}]")], B, NO, ""),
    case("other-gas-factor-assumed", &[("by: 1, uncertainty: 10 %", "by: 1"), ("strokes: 2, reading:", "strokes: 2, substance: bromine, reading:")], B, A, "factor's uncertainty assumed"),
    case("other-gas-strokes-differ", &[("from: 1, to: 100, strokes: 2}", "from: 1, to: 100, strokes: 6}"), ("strokes: 2, reading:", "strokes: 2, substance: bromine, reading:")], NO, A, ""),
    // What the checker says of the survey, passed over.
    case("reading-has-errors", &[("pump: pump-1,\n", "pump: pump-9,\n")], NO, ACT, ""),
    case("conditions-have-errors", &[("readings:\n", "conditions: {sea_level_pressure: 101 kPa}\nreadings:\n"), ("temperature: {method: none needed}\n  humidity: {method: none needed}\n  pressure: {method: proportional}", "temperature: {method: none needed}\n  humidity: {method: none needed}\n  pressure: {method: none needed}"), (", pressure: 101.3 kPa}}", "}}")], NO, ACT, ""),
    // Several readings.
    case("blank-stained", &[("readings:\n", "readings:\n  - {id: b1, at: \"2026-03-02T07:30+00:00\", tube: weir-chlorine, lot: 24-117, expires: 2027-01, pump: pump-1, leak_test: held, blank: true, strokes: 2, reading: {at: 2 ppm}, other_gases: none known, conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\n")], B, ACT, ""),
];

/// Of these the checker is asked.
const CHECKED: [&str; 2] = ["reading-has-errors", "conditions-have-errors"];

/// A reading of another gas of the same sheet, which has limits for averages as well, and what is judged of several.
const OF_AMMONIA: [(&str, &str); 3] = [
    (
        "measures: {substance: chlorine}",
        "measures: {substance: ammonia}",
    ),
    (
        "{substance: ammonia, alone: no stain, together: not stated}",
        "{substance: benzene, alone: no stain, together: not stated}",
    ),
    (
        "other_gases: none known",
        "other_gases: none known, stands_for: 8 h",
    ),
];

/// The same for what several readings say together, against one limit of ammonia.
#[rustfmt::skip]
const GROUPS: &[Case] = &[
    case("indicative-long-period", &[("judge: {limits: [{authority: US NIOSH, kind: danger to life or health}]}", "judge: {limits: [{authority: US OSHA, kind: 8-hour average}]}\ntogether: [{id: m, method: average, over: 8 h, readings: [r1]}]")], B, A, "indicative over so long a period"),
    case("longer-than-period", &[("stands_for: 8 h", "stands_for: 9 h"), ("judge: {limits: [{authority: US NIOSH, kind: danger to life or health}]}", "judge: {limits: [{authority: US OSHA, kind: 8-hour average}]}\ntogether: [{id: m, method: average, over: 8 h, readings: [r1]}]")], B, A, "indicative over so long a period"),
    // Nobody knows what was in the last hour: there is no upper end.
    case("time-not-covered", &[("stands_for: 8 h", "stands_for: 7 h"), ("judge: {limits: [{authority: US NIOSH, kind: danger to life or health}]}", "judge: {limits: [{authority: US OSHA, kind: 8-hour average}]}\ntogether: [{id: m, method: average, over: 8 h, readings: [r1]}]")], NO, A, "indicative over so long a period"),
    case("repeats-differ", &[("kind: danger to life or health", "kind: short-term"), ("reading: {at: READ}", "reading: {at: READ, uncertainty: 0.1 ppm}"), ("readings:\n", "readings:\n  - {id: r0, at: \"2026-03-02T07:35+00:00\", tube: weir-chlorine, lot: 24-117, expires: 2027-01, pump: pump-1, leak_test: held, repeat_of: r1, strokes: 2, reading: {at: TWICE, uncertainty: 0.1 ppm}, other_gases: none known, conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\n")], B, NO, ""), // two so far apart leave a mean that is above nothing
];

/// Flags without a row: of tests and not of verdicts, of draws, of a name that nothing has, and of a result that cannot be below
/// anything.
const OF_OTHERS: [&str; 6] = [
    "draws-not-settled",
    "more-than-the-whole",
    "not-lognormal",
    "propagation-rough",
    "read-on-marks-only",
    "repeat-of-unknown",
];

fn files() -> Vec<(&'static str, String)> {
    [
        ("catalog.yaml", CATALOG),
        ("weir-chlorine-r2.tube.yaml", SHEET),
        ("pump-1.pump.yaml", PUMP),
        ("pump-2.pump.yaml", OTHER_PUMP),
        ("quay.pump-kind.yaml", KIND),
        ("bilge.pump-kind.yaml", OTHER_KIND),
        (
            "weir-oxidants.group.yaml",
            "group: weir-oxidants\nname: weir oxidants\nmembers: [chlorine, chlorine-dioxide]\n",
        ),
        (
            "box-1.box.yaml",
            "box: box-1\ntube: weir-chlorine\nlot: 24-999\nexpires: 2026-12\n",
        ),
        ("a.survey.yaml", SURVEY),
    ]
    .map(|(path, text)| (path, text.to_owned()))
    .to_vec()
}

/// The survey evaluated with changes, with `read` as what was read.
fn evaluated(case: &Case, read: &str) -> Evaluation {
    let mut files = files();
    let of_group = GROUPS.iter().any(|group| group.code == case.code);
    let first: &[_] = if of_group { &OF_AMMONIA } else { &[] };
    // The limits of ammonia are higher.
    let at = if of_group && read == ABOVE {
        "95 ppm"
    } else {
        read
    };
    for (old, new) in first.iter().chain(case.changes) {
        let mut times = 0;
        for (_, text) in &mut files {
            times += text.matches(old).count();
            *text = text.replace(old, new);
        }
        assert_eq!(times, 1, "{}: `{old}` stands {times} times", case.code);
    }
    let (mass, dominates, twice) = if read == BELOW {
        ("4.5 mg/m³", "2.8 ppm", "3 ppm")
    } else {
        ("180 mg/m³", "119 ppm", "60 ppm")
    };
    let (book, read_findings) = Book::read(files.into_iter().map(|(path, text)| {
        let text = text
            .replace("READ", at)
            .replace("MASS", mass)
            .replace("DOMINATES", dominates)
            .replace("TWICE", twice);
        SourceFile::new(path, text)
    }));
    let (entry, survey) = book
        .own()
        .find_map(|entry| match &entry.written {
            WrittenEntry::Survey(survey) => Some((entry, survey)),
            _ => None,
        })
        .unwrap();
    let options = Options::default().with_faulty_sheets(FaultySheets::FlagOnly);
    if CHECKED.contains(&case.code) {
        let checked = check_read(&book, read_findings, &stainbook_check::Options::default());
        let faults = SurveyFaults::of(entry, &checked.findings);
        return evaluate_entry(&book, entry, survey, &faults, &options, |_| {});
    }
    evaluate(&book, survey, &options)
}

/// The verdict without what stands in brackets after it, and that.
fn divided(words: &str) -> (&str, &str) {
    match words.split_once(" (") {
        Some((verdict, rest)) => (verdict, rest.trim_end_matches(')')),
        None => (words, ""),
    }
}

/// What is wrong with the flags and the verdict of a reading or a group.
fn judge(case: &Case, read: &str, flags: &[Flag], against: &[LimitComparison]) -> Option<String> {
    let expected = if read == BELOW {
        case.below
    } else {
        case.above
    };
    let flags: Vec<&str> = flags.iter().map(|flag| flag.code.as_str()).collect();
    if !flags.contains(&case.code) {
        return Some(format!("{} {read}: raised are {flags:?}", case.code));
    }
    let said: Vec<String> = against.iter().map(LimitComparison::in_words).collect();
    let [said] = said.as_slice() else {
        return Some(format!("{} {read}: {said:?}", case.code));
    };
    let (found, beside) = divided(said);
    let stands = [A, B].contains(&expected);
    let says = if stands {
        beside == case.says
    } else {
        beside.is_empty() == (expected == "not compared")
    };
    (found != expected || !says).then(|| {
        format!(
            "{} {read}: `{said}`, expected `{expected}`, beside it `{}`; {flags:?}",
            case.code, case.says
        )
    })
}

#[test]
fn a_verdict_stands_or_falls_with_each_flag() {
    let mut wrong = Vec::new();
    for read in [BELOW, ABOVE] {
        for case in CASES {
            let done = evaluated(case, read);
            let result = done.results.last().unwrap();
            wrong.extend(judge(case, read, &result.flags, &result.against));
        }
        for case in GROUPS {
            let done = evaluated(case, read);
            let group = done.together.last().unwrap();
            let named: Vec<LimitComparison> = group
                .against
                .iter()
                .filter(|against| {
                    against.verdict.is_some() && against.limit.authority.starts_with("US")
                })
                .filter(|against| !against.limit.kind.to_string().starts_with("danger"))
                .cloned()
                .collect();
            wrong.extend(judge(case, read, &group.flags, &named));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_flag_has_a_row() {
    let flags: BTreeSet<&str> = Code::ALL
        .iter()
        .filter_map(Code::definition)
        .filter(|row| row.kinds.contains(&CodeKind::Flag))
        .map(|row| row.name)
        .collect();
    let rows: BTreeSet<&str> = CASES
        .iter()
        .chain(GROUPS)
        .map(|case| case.code)
        .chain(OF_OTHERS)
        .collect();
    assert_eq!(flags, rows);
}

/// Without any change nothing is flagged, and both verdicts stand without a word beside them.
#[test]
fn a_good_reading_is_judged_without_a_word() {
    let nothing = case("", &[], B, A, "");
    for (read, expected) in [(BELOW, B), (ABOVE, A)] {
        let done = evaluated(&nothing, read);
        let result = done.results.last().unwrap();
        assert!(result.flags.is_empty(), "{:?}", result.flags);
        let said: Vec<String> = result
            .against
            .iter()
            .map(LimitComparison::in_words)
            .collect();
        assert_eq!(said, [expected]);
    }
}
