//! A tube's sheet as text.

use stainbook_catalog::Book;
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::tube::SecondsFor;
use stainbook_present::{Colour, sheet_text};

use crate::bench::book;

#[test]
fn a_sheet() {
    let book = book();
    let (_, sheet) = book.tubes().next().unwrap();
    insta::assert_snapshot!(sheet_text::render(sheet, &book, Colour::Plain), @r#"
    Quay chlorine tube: chlorine
    sheet quay-chlorine-r1, typed from "Sheet 3, quay", revision 1 of 2024-03, for
    lots from 24-100
    typed in by KL on 2026-02-11, read against the paper by MT on 2026-02-12

    Before use
      pump          Quay piston pump, 100 mL a stroke; no other kind
      works at      0 to 40 °C, 10 to 85 %RH

    Drawing
      stroke        100 mL
        strokes  reading         measures  wait each  wait in all
              1    × 3.1     13 to 40 ppm       40 s         40 s
              3      × 1    0.7 to 13 ppm       40 s        2 min
              8   × 0.37  0.26 to 0.7 ppm       45 s        6 min

    Reading
      scale         0.7, 1.5, 3, 5, 9, 13 ppm
                    printed for 3 strokes
      seen from     0.1 ppm with 8 strokes

    Correcting
      right at      20 °C, 101.3 kPa, 50 %RH
      temperature   reading × the factor
        °C         0    10    20    30    40
        factor  1.25  1.10  1.00  0.93  0.88
      humidity      none needed
      pressure      × calibration pressure / station pressure

    Doubt
      repeatability 12 % up to 3 ppm, 8 % up to 13 ppm (relative standard deviation)
      accuracy      within 25 % up to 13 ppm
      other gases   bromine: reads high; alone stains; one part reads as 0.6

    Afterwards
                    not on the sheet

    Limits of chlorine
        harbour office  8-hour average  0.5 ppm (1.5 mg/m³)
        harbour office  ceiling             1 ppm (3 mg/m³)

    Means: A leaflet's "within 25 %" speaks of what is there, not of what was read:
           the same air shows a longer stain on one tube and a shorter one on the
           next. So an interval holds every concentration that would show this stain
           in the middle 95 % of what it shows, and reaches further up than down.
           "Below" a limit is said only if the limit itself would show so short a
           stain, read at the upper end of what the reading stands for, in less than
           5 of 100 cases; "above" only if it would show so long a one, at the lower
           end; where a survey states other parts under `judge`, those count.
           Everything between is "cannot tell". The reader meant is one who divides
           the space between two marks evenly by eye; `reads_to` says how finely.

    Mind: Detector tubes alone never clear a confined space, nor an atmosphere that
          is short of oxygen or can explode. The limits and procedures of the local
          code prevail over what is compared here. A competent person decides; these
          figures do not. Used tubes are broken glass with reactive chemicals
          inside.
    "#);
}

/// A leaflet's row for half a stroke prints the time of the half stroke: 22 s are 22 s, not 11 s.
#[test]
fn half_a_stroke_is_waited_as_its_row_prints_it() {
    let (demo, _) = Book::demo();
    let mut sheet = demo.tube("pit-hydrogen-sulfide-b-r1").unwrap().clone();
    let wait = |sheet: &TubeEntry| {
        let text = sheet_text::render(sheet, &demo, Colour::Plain);
        let row = text
            .lines()
            .find(|line| line.trim_start().starts_with("0.5 "))
            .unwrap();
        let (_, wait) = row.split_once(" ppm ").unwrap();
        wait.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(wait(&sheet), "22 s (half stroke) 22 s coarse");
    let row = &mut sheet.draw.as_mut().unwrap().ranges[0];
    row.seconds_for = None;
    assert_eq!(wait(&sheet), "22 s 22 s coarse");
    let row = &mut sheet.draw.as_mut().unwrap().ranges[0];
    row.seconds_for = Some(SecondsFor::WholeStroke);
    assert_eq!(wait(&sheet), "22 s (whole stroke) 11 s coarse");
}

#[test]
fn a_sheet_that_says_nothing() {
    let text = sheet_text::render(&TubeEntry::default(), &book(), Colour::Plain);
    insta::assert_snapshot!(text, @r#"
    (no short name): substance not on the sheet
    sheet (no short name)
    typed in by nobody named, read against the paper by NOBODY ELSE YET

    Before use
                    not on the sheet

    Drawing
                    not on the sheet

    Reading
                    not on the sheet

    Correcting
                    not on the sheet

    Doubt
                    not on the sheet

    Afterwards
                    not on the sheet

    Means: A leaflet's "within 25 %" speaks of what is there, not of what was read:
           the same air shows a longer stain on one tube and a shorter one on the
           next. So an interval holds every concentration that would show this stain
           in the middle 95 % of what it shows, and reaches further up than down.
           "Below" a limit is said only if the limit itself would show so short a
           stain, read at the upper end of what the reading stands for, in less than
           5 of 100 cases; "above" only if it would show so long a one, at the lower
           end; where a survey states other parts under `judge`, those count.
           Everything between is "cannot tell". The reader meant is one who divides
           the space between two marks evenly by eye; `reads_to` says how finely.

    Mind: Detector tubes alone never clear a confined space, nor an atmosphere that
          is short of oxygen or can explode. The limits and procedures of the local
          code prevail over what is compared here. A competent person decides; these
          figures do not. Used tubes are broken glass with reactive chemicals
          inside.
    "#);
}
