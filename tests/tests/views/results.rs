//! Results as text, tables, lines of JSON and the field record.

use stainbook_evaluation::Evaluation;
use stainbook_present::results_text::{Detail, render};
use stainbook_present::{Colour, results_csv, results_html, results_jsonl, together_csv};

use crate::bench::{FLAGGED, GOOD, REFUSED, averaged, book_of, cells, results};

fn of(readings: &str) -> Evaluation {
    results(&book_of(readings))
}

/// The text from a line on, without the cautions at its end, which are the same everywhere.
fn text_from(start: &str, readings: &str, detail: Detail) -> String {
    let text = render(&of(readings), detail, Colour::Plain);
    let from = text.find(start).unwrap();
    let to = text.find("\nMind: ").unwrap();
    text[from..to].trim_end().to_owned()
}

#[test]
fn a_good_one_as_text() {
    insta::assert_snapshot!(text_from("", GOOD, Detail::Compact), @r"
    A round on the quay
    survey round, drawn and read by RS, evaluated with catalog base of 2026-03-01

      good  quay  chlorine  5.1 (3.8 to 7.9) ppm  ABOVE 1
    1 reading: 1 measured

    good  quay  2026-02-20T07:40+00:00
      result        chlorine 5.1 (3.8 to 7.9) ppm, with 95 % coverage
      also as       15.1 mg/m³ at 18 °C and 101.3 kPa (of the survey)
      reading       5 ppm on the scale
        strokes         × 1  = 5.00  draw.ranges, row 2, for 3 strokes
        temperature  × 1.02  = 5.10  correct.temperature, rows 10 and 20 °C, linear, at 18 °C
        pressure        × 1  = 5.10  correct.pressure, calibration pressure over station pressure,
                                     at 101.3 kPa
      uncertainty   how far scale and lot may be from the truth 52 %, reading the end of the stain
                    between the marks 24 %, how much repeated readings differ 21 %, volume of the
                    strokes 3 %
      ABOVE         harbour office ceiling 1 ppm, by base (above it with >99.9 %)
      not compared  harbour office 8-hour average 0.5 ppm, by base
      note          The uncertainty of the molar mass is below 0.1 % and left out of the budget.
      note          The uncertainty covers the air that was drawn, not how the air varies in place
                    and time.
      note          Nobody says how finely was read; to half the space between two marks was
                    assumed.
      note          Not compared: a tube draws for seconds to minutes: for an average over a shift
                    several readings over the day are combined, and the figure is indicative
      sheet         quay-chlorine-r1, revision 1 (by lot and leaflet revision)
    ");
}

#[test]
fn what_is_added_in_full() {
    let text = text_from("  sheet  ", GOOD, Detail::Full);
    let (text, digest) = text.split_once("digest  ").unwrap();
    assert_eq!(digest.trim().len(), 64);
    insta::assert_snapshot!(text, @r"
    sheet         quay-chlorine-r1, revision 1 (by lot and leaflet revision)
      reading the end of the stain between the marks: 0.433 ppm (rectangular), 8.7 % of the
      result, 24 % of the variance; default: read to half the space between two marks, as nobody
      says
      how far scale and lot may be from the truth: 0.128 (normal), 13 % of the result, 52 % of the
      variance; sheet, doubt.accuracy row 1
      how much repeated readings differ: 0.0800 (normal), 8 % of the result, 21 % of the variance;
      sheet, doubt.repeatability row 2
      volume of the strokes: 0.0289 (rectangular), 2.9 % of the result, 3 % of the variance; pump
      kind `quay-piston`, volume_tolerance 5 %
      temperature of the tube: 0.577 K (rectangular), 0.57 % of the result, 0 % of the variance;
      default: within 1 K (common practice)
      pressure at the place: 0.292 kPa (rectangular), 0.29 % of the result, 0 % of the variance;
      default: within 0.5 % (common practice), as stated
      printed digits of the correction: 0.00283 (rectangular), 0.28 % of the result, 0 % of the
      variance; sheet, correct.temperature
      all together: 0.90 ppm at the reading; the interval takes 1.96 times what each of its ends
      would show (no part rests on few readings)
    ");
}

#[test]
fn a_flagged_one_as_text() {
    insta::assert_snapshot!(text_from("", FLAGGED, Detail::Compact), @r"
    A round on the quay
    survey round, drawn and read by RS, evaluated with catalog base of 2026-03-01

      flagged  hold  chlorine  3.1 (2.1 to 4.6) ppm  1 flag  ABOVE 1
    1 reading: 1 measured; 1 carries flags

    flagged  hold  2026-02-20T07:50+00:00
      result        chlorine 3.1 (2.1 to 4.6) ppm, with 95 % coverage
      also as       9.1 mg/m³ at 18 °C and 101.3 kPa (of the survey)
      FLAG          the tube had expired on the day of the reading (2026-01, read on 2026-02-20)
                    [lot-expired]
      reading       3 ppm on the scale
        strokes         × 1  = 3.00  draw.ranges, row 2, for 3 strokes
        temperature  × 1.02  = 3.06  correct.temperature, rows 10 and 20 °C, linear, at 18 °C
        pressure        × 1  = 3.06  correct.pressure, calibration pressure over station pressure,
                                     at 101.3 kPa
      uncertainty   how far scale and lot may be from the truth 42 %, how much repeated readings
                    differ 37 %, reading the end of the stain between the marks 18 %, volume of the
                    strokes 2 %
      ABOVE         harbour office ceiling 1 ppm, by base (above it with >99.9 %)
      not compared  harbour office 8-hour average 0.5 ppm, by base
      note          The uncertainty of the molar mass is below 0.1 % and left out of the budget.
      note          The uncertainty covers the air that was drawn, not how the air varies in place
                    and time.
      note          Nobody says how finely was read; to half the space between two marks was
                    assumed.
      note          Not compared: a tube draws for seconds to minutes: for an average over a shift
                    several readings over the day are combined, and the figure is indicative
      sheet         quay-chlorine-r1, revision 1 (by lot and leaflet revision)
    ");
}

#[test]
fn a_refused_one_as_text() {
    insta::assert_snapshot!(text_from("", REFUSED, Detail::Compact), @r"
    A round on the quay
    survey round, drawn and read by RS, evaluated with catalog base of 2026-03-01

      refused  quay  chlorine  none
    1 reading: 1 refused

    refused  quay  2026-02-20T08:00+00:00
      result        chlorine NONE: `5` is not a stroke count of sheet `quay-chlorine-r1`, which has
                    1, 3, 8
      instead       repeat with one of these counts; nothing is worked out for a count that the
                    leaflet does not print
      sheet         quay-chlorine-r1, revision 1 (by lot and leaflet revision)
    ");
}

#[test]
fn readings_together_as_text() {
    let readings = averaged();
    let glance = text_from("  good", &readings, Detail::Compact);
    insta::assert_snapshot!(glance.split("\n\n").next().unwrap(), @r"
      good   quay  chlorine  5.1 (3.8 to 7.9) ppm  ABOVE 1
      later  quay  chlorine  3.1 (2.1 to 4.6) ppm  ABOVE 1
      together
      shift  8 h average of chlorine  1.85 (1.38 to 2.65) ppm  ABOVE 1 (indicative over so long a period)
    2 readings: 2 measured; 1 judged together
    ");
    let average = text_from("\nshift", &readings, Detail::Compact);
    insta::assert_snapshot!(average.trim(), @r"
    shift  8 h average of chlorine  average
      result        1.85 (1.38 to 2.65) ppm, with 95 % coverage, indicative
      FLAG          tubes for short-term measurement are not meant for reference periods above
                    15 minutes (scope of ISO 17621): the average is indicative
                    [indicative-long-period]
      made of       good 5.10 ppm for 2 h; later 3.06 ppm for 90 min
      time          readings stand for 3.5 h of 8 h; the other 4.5 h: without exposure; over the
                    sampled time alone 4.23 ppm
      uncertainty   how far scale and lot may be from the truth (sheet quay-chlorine-r1), in common
                    63 %, how much repeated readings differ 17 %, reading the end of the stain
                    between the marks 16 %, volume of the strokes (pump-01), in common 3 %
      ABOVE         (indicative over so long a period) harbour office 8-hour average 0.5 ppm, by
                    base (above it with >99.9 %)

    Note: Nobody says how finely was read; to half the space between two marks was assumed. (all)
    Note: Not compared: a tube draws for seconds to minutes: for an average over a shift several
          readings over the day are combined, and the figure is indicative (all)
    Note: The uncertainty covers the air that was drawn, not how the air varies in place and time.
          (all)
    Note: The uncertainty of the molar mass is below 0.1 % and left out of the budget. (all)
    ");
}

#[test]
fn rows_of_the_table() {
    let table = |readings| cells(&results_csv::render(&of(readings)).unwrap());
    insta::assert_snapshot!(table(GOOD), @r"
    id: good
    at: 2026-02-20T07:40+00:00
    place: quay
    substance: chlorine
    cas: 7782-50-5
    sheet: quay-chlorine-r1
    revision: 1
    status: measured
    value: 5.1
    unit: ppm
    basis: air as it is
    expanded uncertainty: 1.76141
    coverage: 0.95
    from: 3.80099
    to: 7.87767
    standard uncertainty: 0.898694
    also value: 15.1313
    also unit: mg/m³
    also temperature [°C]: 18
    also pressure [kPa]: 101.3
    limits: harbour office ceiling 1 ppm, by base: above
    catalog revision: 2026-03-01
    software: stainbook 0.1.0
    ");
    insta::assert_snapshot!(table(FLAGGED), @r"
    id: flagged
    at: 2026-02-20T07:50+00:00
    place: hold
    substance: chlorine
    cas: 7782-50-5
    sheet: quay-chlorine-r1
    revision: 1
    status: measured
    value: 3.06
    unit: ppm
    basis: air as it is
    expanded uncertainty: 1.17894
    coverage: 0.95
    from: 2.12553
    to: 4.59531
    standard uncertainty: 0.601511
    also value: 9.07875
    also unit: mg/m³
    also temperature [°C]: 18
    also pressure [kPa]: 101.3
    limits: harbour office ceiling 1 ppm, by base: above
    flags: lot-expired
    catalog revision: 2026-03-01
    software: stainbook 0.1.0
    ");
    insta::assert_snapshot!(table(REFUSED), @r"
    id: refused
    at: 2026-02-20T08:00+00:00
    place: quay
    substance: chlorine
    cas: 7782-50-5
    sheet: quay-chlorine-r1
    revision: 1
    status: refused
    refused because: `5` is not a stroke count of sheet `quay-chlorine-r1`, which has 1, 3, 8
    instead: repeat with one of these counts; nothing is worked out for a count that the leaflet does not print
    catalog revision: 2026-03-01
    software: stainbook 0.1.0
    ");
}

#[test]
fn readings_together_in_their_table() {
    let table = together_csv::render(&of(&averaged())).unwrap();
    insta::assert_snapshot!(cells(&table), @r"
    id: shift
    method: average
    what: 8 h average of chlorine
    made of: good later
    substance: chlorine
    cas: 7782-50-5
    status: measured
    value: 1.84875
    unit: ppm
    lowest: 1.84875
    highest: 1.84875
    expanded uncertainty: 0.582384
    coverage: 0.95
    from: 1.38520
    to: 2.64657
    indicative: true
    over [min]: 480
    covered [min]: 210
    limits: harbour office 8-hour average 0.5 ppm: above (indicative over so long a period)
    flags: indicative-long-period
    ");
}

/// A line begins with what all have in common; facts and figures are as in JSON.
#[test]
fn a_line_of_json() {
    let lines = results_jsonl::render(&of(REFUSED)).unwrap();
    assert_eq!(lines.lines().count(), 1);
    let line: serde_json::Value = serde_json::from_str(&lines).unwrap();
    let keys: Vec<&str> = line
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    insta::assert_snapshot!(keys.join(" "), @"schema_version software catalog survey facts id at place sheet substance status concentration also_as uncertainty as_ppm on_the_bound reading corrections air_drawn against before_use flags refusal repeat_with other_gases statements catalog_revision sheet_digest inputs");
    insta::assert_snapshot!(line["refusal"], @r#"{"code":"strokes-not-on-sheet","text":"`5` is not a stroke count of sheet `quay-chlorine-r1`, which has 1, 3, 8","instead":"repeat with one of these counts; nothing is worked out for a count that the leaflet does not print","field":"/reading/strokes"}"#);
}

/// The field record from one text to another, tags and all, without its digests.
fn record(readings: &str, from: &str, to: &str) -> String {
    let html = results_html::render(&of(readings)).unwrap();
    let start = html.find(from).unwrap();
    let end = start + html[start..].find(to).unwrap();
    let lines = html[start..end].lines().map(str::trim_end);
    let kept = lines.filter(|line| !line.trim().is_empty() && !line.contains("digest"));
    kept.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_page_of_the_field_record() {
    insta::assert_snapshot!(record(GOOD, "<article>", "</article>"), @r#"
    <article>
    <div class="title"><h2>good &middot; quay</h2><span class="keep">2026-02-20T07:40+00:00</span></div>
    <div class="columns">
    <div>
    <section>
    <h3>Before use</h3>
    <table>
    <tr><td class="mark">&#9745;</td><td>tube within its date<span class="small"> (lot 24-117, expires 2027-01)</span></td></tr>
    <tr><td class="mark">&#9745;</td><td>pump leak-tested with an unbroken tube<span class="small"> (held)</span></td></tr>
    <tr><td class="mark">&#9745;</td><td>pump volume checked, and not overdue<span class="small"> (pump-01: 99.1 mL on 2025-05-06)</span></td></tr>
    </table>
    </section>
    <section>
    <h3>Drawn and read</h3>
    <table class="typed">
    <tr><td>tube</td><td>Quay chlorine tube, leaflet revision 1<span class="small"> (sheet quay-chlorine-r1, by lot and leaflet revision)</span></td></tr>
    <tr><td>pump, strokes</td><td>pump-01, <b>3</b></td></tr>
    <tr><td>reading</td><td><b>5 ppm</b></td></tr>
    <tr><td>air</td><td><span class="keep">air temperature 18 °C</span>, <span class="keep">humidity 60 %RH</span>, <span class="keep">pressure 1013 hPa</span></td></tr>
    </table>
    </section>
    </div>
    <div>
    <div class="result">
    <p class="value">chlorine: 5.1 (3.8 to 7.9) ppm</p>
    <p>95 % coverage: 3.8 to 7.9 ppm</p>
    <p>15.1 mg&#x2f;m³ at 18 °C and 101 kPa (of the survey)</p>
    </div>
    <section>
    <h3>From the reading to the result</h3>
    <table>
    <thead><tr><th>step</th><th class="number">factor</th><th class="number">ppm</th><th>from</th></tr></thead>
    <tbody>
    <tr><td>reading</td><td></td><td class="number">5</td><td class="small">on the scale</td></tr><tr><td class="keep">strokes</td><td class="number">&times; 1.00</td><td class="number">5.00</td><td class="small">draw.ranges, row 2, for 3 strokes</td></tr>
    <tr><td class="keep">temperature</td><td class="number">&times; 1.02</td><td class="number">5.10</td><td class="small">correct.temperature, rows 10 and 20 °C, linear, at 18 °C</td></tr>
    <tr><td class="keep">pressure</td><td class="number">&times; 1.00</td><td class="number">5.10</td><td class="small">correct.pressure, calibration pressure over station pressure, at 101.3 kPa</td></tr>
    </tbody>
    </table>
    </section>
    </div>
    </div>
    <section>
    <h3>Where the uncertainty comes from</h3>
    <p><b>24.2 %</b> reading the end of the stain between the marks <span class="small">(default: read to half the space between two marks, as nobody says)</span>; <b>52.4 %</b> how far scale and lot may be from the truth <span class="small">(sheet, doubt.accuracy row 1)</span>; <b>20.6 %</b> how much repeated readings differ <span class="small">(sheet, doubt.repeatability row 2)</span>; <b>2.68 %</b> volume of the strokes <span class="small">(pump kind `quay-piston`, volume_tolerance 5 %)</span></p>
    </section>
    <section>
    <h3>Against the limits</h3>
    <p class="small">The air drawn from 07:38 to 07:40.</p><table class="limits">
    <thead><tr><th>limit</th><th>verdict</th><th class="number">above it with</th><th>source, and what the verdict rests on</th></tr></thead>
    <tbody>
    <tr><td>harbour office ceiling 1 ppm</td><td><span class="verdict">ABOVE</span><span class="small"></span></td><td class="number">&gt;99.9 %</td><td class="small">pocket-guide, third; an average over 2 min, where the limit is for every moment</td></tr>
    </tbody>
    </table>
    <p class="small">Not compared: harbour office 8-hour average 0.5 ppm &ndash; a tube draws for seconds to minutes: for an average over a shift several readings over the day are combined, and the figure is indicative.</p>
    </section>
    "#);
}

#[test]
fn what_is_doubtful_in_the_field_record() {
    insta::assert_snapshot!(record(FLAGGED, "<h3>What is doubtful", "</article>"), @r"
    <h3>What is doubtful</h3>
    <ul><li>the tube had expired on the day of the reading (2026-01, read on 2026-02-20)</li></ul>
    </section>
    ");
}

#[test]
fn a_refusal_in_the_field_record() {
    insta::assert_snapshot!(record(REFUSED, "<div class=\"result\">", "</article>"), @r#"
    <div class="result">
    <p class="value">chlorine: no result</p>
    <p><b>`5` is not a stroke count of sheet `quay-chlorine-r1`, which has 1, 3, 8</b></p><p>What to do: repeat with one of these counts; nothing is worked out for a count that the leaflet does not print</p>
    </div>
    </div>
    </div>
    "#);
}

#[test]
fn readings_together_in_the_field_record() {
    let record = record(&averaged(), "<article class=\"together\">", "</body>");
    insta::assert_snapshot!(record.split("</article>").next().unwrap(), @r#"
    <article class="together">
    <h2>Readings together</h2>
    <table>
    <thead><tr><th>what</th><th>made of</th><th>says</th><th>against the limits, doubts</th></tr></thead>
    <tbody>
    <tr>
    <td><b>shift</b><br>8 h average of chlorine</td>
    <td>good, later</td>
    <td><b>1.85 (1.38 to 2.65) ppm</b><br>indicative</td>
    <td class="small">
    <b>ABOVE</b> (indicative over so long a period) harbour office 8-hour average 0.5 ppm (above it with &gt;99.9 %)<br>tubes for short-term measurement are not meant for reference periods above 15 minutes (scope of ISO 17621): the average is indicative<br>The average rests on each reading standing for its time; its uncertainty does not cover how the air varied in between.<br>Accuracy of scale and lot, the strokes of one pump, the sheet&#x27;s tables and factors, thermometer, hygrometer and barometer are taken as common to all readings that share them and do not average out; reading, front and repeatability are each reading&#x27;s own.<br></td>
    </tr>
    </tbody>
    </table>
    "#);
}
