//! A search for tubes as text and as a table.

use stainbook_evaluation::Options;
use stainbook_present::{Colour, find_csv, find_text};
use stainbook_tube_search::{Search, Wanted, find};

use crate::bench::{book, cells};

fn search(level: &str, temperature: &str) -> Search {
    let air = format!("{{air_temperature: {temperature}, humidity: 50 %RH, pressure: 101.3 kPa}}");
    let mut wanted = Wanted::default();
    wanted.substance = "chlorine".to_owned();
    wanted.level = Some(level.parse().unwrap());
    wanted.conditions = serde_yaml::from_str(&air).unwrap();
    find(&book(), &wanted, &Options::default()).unwrap()
}

#[test]
fn a_tube_that_can_serve() {
    let found = search("1 ppm", "20 °C");
    insta::assert_snapshot!(find_text::render(&found, Colour::Plain), @r"
    A tube for chlorine at 1 ppm
    air of 20 °C, 50 %RH, 101.3 kPa
    catalog base of 2026-03-01: 1 of 1 sheet can serve

          sheet             level       draw   time           measures   reading     ±
      1.  quay-chlorine-r1  1 ppm  3 strokes  2 min  0.700 to 13.0 ppm  1.00 ppm  42 %

    1. quay-chlorine-r1  Quay chlorine tube, revision 1, lots from 24-100
      1 ppm       3 strokes in 2 min: the stain ends at 1.00 ppm, between the marks 0.7 and 1.5, in
                  the lower third of 0.700 to 13.0 ppm; ± 0.42 ppm (42 %)
                  harbour office ceiling 1 ppm: cannot tell at this level, above from 1.6 ppm, no
                  stain says below
      pump        of the kind quay-piston
      for         the scale is printed for chlorine
                  works from 0 °C to 40 °C
                  two people have read the leaflet
      watch for   bromine makes it read high

    Note: Nothing is said about other gases: look at what each tube is to be watched for, and say
          with `--present` what there is, or `none known`.
    Note: The uncertainty covers the air that was drawn, not how the air varies in place and time.
    Mind: Detector tubes alone never clear a confined space, nor an atmosphere that is short of
          oxygen or can explode. The limits and procedures of the local code prevail over what is
          compared here. A competent person decides; these figures do not. Used tubes are broken
          glass with reactive chemicals inside.
    ");
    insta::assert_snapshot!(cells(&find_csv::render(&found).unwrap()), @r"
    rank: 1
    sheet: quay-chlorine-r1
    name: Quay chlorine tube
    revision: 1
    lots: from 24-100
    by: own scale
    level: 1
    unit: ppm
    strokes: 3
    time [s]: 120
    reading: 1.00000
    reading unit: ppm
    lowest: 0.7
    highest: 13
    position: 0.122081
    expanded uncertainty: 0.415204
    limit: harbour office ceiling 1 ppm
    limit value: 1
    verdict: cannot tell
    probability above: 0.500000
    above from: 1.58142
    for: own-scale; usable-temperature; sheet-verified
    ");
}

#[test]
fn a_tube_that_cannot() {
    let found = search("1 ppm", "-15 °C");
    insta::assert_snapshot!(find_text::render(&found, Colour::Plain), @r"
    A tube for chlorine at 1 ppm
    air of -15 °C, 50 %RH, 101.3 kPa
    catalog base of 2026-03-01: 0 of 1 sheet can serve

    Cannot serve
      quay-chlorine-r1
          -15 °C is outside the range in which the tube works, 0 °C to 40 °C; needed: tube and pump
          brought into that range, and said as the temperature of the tube

    Note: Nothing is said about other gases: look at what each tube is to be watched for, and say
          with `--present` what there is, or `none known`.
    Note: The uncertainty covers the air that was drawn, not how the air varies in place and time.
    Mind: Detector tubes alone never clear a confined space, nor an atmosphere that is short of
          oxygen or can explode. The limits and procedures of the local code prevail over what is
          compared here. A competent person decides; these figures do not. Used tubes are broken
          glass with reactive chemicals inside.
    ");
    insta::assert_snapshot!(cells(&find_csv::render(&found).unwrap()), @r"
    sheet: quay-chlorine-r1
    name: Quay chlorine tube
    why not: -15 °C is outside the range in which the tube works, 0 °C to 40 °C (needed: tube and pump brought into that range, and said as the temperature of the tube)
    ");
}
