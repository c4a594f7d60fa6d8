//! `find`.

use crate::runner::{CommandOutcome, Folder, keys};

fn find(name: &str, arguments: &str) -> CommandOutcome {
    let mut words = vec!["find"];
    // A bar stands between arguments, as a level has a blank in it.
    words.extend(arguments.split('|').map(str::trim));
    Folder::new(name).run(&words)
}

/// The lines from the one that begins so to the next blank one.
#[track_caller]
fn part(text: &str, begin: &str) -> String {
    let lines: Vec<&str> = text
        .lines()
        .skip_while(|line| !line.starts_with(begin))
        .take_while(|line| !line.is_empty())
        .collect();
    assert!(!lines.is_empty(), "no `{begin}` in\n{text}");
    lines.join("\n")
}

#[test]
fn the_question_and_the_answer_at_a_glance() {
    let said = find(
        "find-glance",
        "-s|chlorine|--limit|NIOSH ceiling|--temperature|6C|--humidity|80%RH|--pressure|99.8kPa|--within|7 min",
    )
    .exits(0)
    .stdout;
    insta::assert_snapshot!(part(&said, "A tube for"), @r"
    A tube for chlorine at US NIOSH ceiling over 15 min 0.5 ppm
    air of 6 °C, 80 %RH, 99.8 kPa; within 7 min
    catalog harbour-demo of 2026-10-12: 2 of 17 sheets can serve
    ");
    // By hand: from 0.25 · 1.16 · 101.3 / 99.8 ppm on, and 0.5 ppm is 0.5 / 0.35 / 1.16 · 99.8 / 101.3 on the scale.
    insta::assert_snapshot!(part(&said, "      sheet"), @r"
        sheet                      level       draw        time            measures    reading     ±
    1.  brinewash-chlorine-a-r2  0.5 ppm  8 strokes       6 min  0.294 to 0.824 ppm   1.21 ppm  40 %
    2.  brinewash-chlorine-a-r1  0.5 ppm  6 strokes  4 min 30 s  0.423 to 0.847 ppm  0.827 ppm  48 %
    ");
    let hurried = find("find-hurried", "-s|chlorine|--level|0.3 ppm|--within|3 min").exits(1);
    insta::assert_snapshot!(part(&hurried.stdout, "Cannot serve"), @r"
    Cannot serve
      brinewash-chlorine-a-r1
          `0.3 ppm` is below what it measures in this air, 0.700 to 39.0 ppm; needed: a level from
          0.700 ppm on; a stain shows from 0.20 ppm on with 6 strokes, without a value
      brinewash-chlorine-a-r2
          8 strokes would read it and take 6 min, and there are 3 min; needed: 6 min for drawing
    ");
    for line in said.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn reasons_and_what_it_could_say() {
    let said = find(
        "find-reasons",
        "-s|chlorine|--level|3 ppm|--limit|OSHA ceiling|--limit|IDLH|--present|nitrogen dioxide=5 ppm",
    )
    .exits(0)
    .stdout;
    insta::assert_snapshot!(part(&said, "  3 ppm"), @r"
    3 ppm       3 strokes in 2 min: the stain ends at 3.00 ppm, on the mark 3, in the middle third
                of 0.700 to 13.0 ppm; ± 1.2 ppm (39 %)
                US OSHA ceiling 1 ppm: cannot tell at this level, no stain says below
                US NIOSH danger to life or health 10 ppm: says below at this level, below up to
                6.5 ppm, no stain says below
    pump        of the kind harbour-piston
    for         the scale is printed for chlorine
                two people have read the leaflet
                keeps 2 years, stored below 25 °C
    AGAINST     nitrogen dioxide is present and makes the tube read too high; it is above 1 ppm,
                from where it matters, and the sheet does not say how much it changes the reading:
                the result is indicative
    watch for   chlorine dioxide makes it read high; bromine makes it read high
    ");
}

#[test]
fn json_has_every_key() {
    let folder = Folder::new("find-json");
    let json = folder
        .run(&[
            "find", "-s", "amines", "--level", "10 ppm", "--format", "json",
        ])
        .exits(0)
        .json();
    assert_eq!(
        keys(&json),
        [
            "cannot",
            "catalog",
            "catalog_revision",
            "cautions",
            "conditions",
            "levels",
            "present",
            "pump",
            "ranked_by",
            "serve",
            "statements",
            "substance",
            "within_seconds"
        ]
    );
    let found = &json["serve"][0];
    assert_eq!(
        keys(found),
        [
            "against",
            "assumed",
            "by",
            "for",
            "levels",
            "lots",
            "name",
            "pump_kinds",
            "rank",
            "revision",
            "sheet",
            "watch_for"
        ]
    );
    assert_eq!(
        keys(&found["levels"][0]),
        ["best", "coverage", "level", "others", "why_not"]
    );
    assert_eq!(
        keys(&found["levels"][0]["best"]),
        [
            "between_marks",
            "coverage",
            "expanded",
            "highest",
            "judged",
            "lowest",
            "position",
            "reading",
            "reading_unit",
            "relative_expanded",
            "scale",
            "seconds",
            "strokes"
        ]
    );
    assert_eq!(found["by"], "group");
    let error = folder
        .run(&[
            "find", "-s", "clorine", "--level", "1 ppm", "--format", "json",
        ])
        .exits(2)
        .json();
    assert_eq!(error["error"]["code"], "unknown-substance");
}

#[test]
fn the_table_has_a_row_for_every_sheet() {
    let said = find("find-csv", "-s|bromine|--level|2 ppm|--format|csv")
        .exits(0)
        .stdout;
    let mut rows = csv::Reader::from_reader(said.as_bytes());
    let head = rows.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    // Bromine has two limits, and so two rows for the one sheet that serves; the others are those that cannot.
    assert_eq!(rows.len(), 18);
    let cell = |name: &str| {
        let place = head.iter().position(|head| head == name).unwrap();
        rows[0][place].to_owned()
    };
    assert_eq!(cell("sheet"), "brinewash-chlorine-a-r2");
    assert_eq!(cell("by"), "other gas");
    assert_eq!(cell("strokes"), "3");
    assert!(cell("against").contains("by-factor"));
}

#[test]
fn the_table_has_a_row_for_every_limit() {
    let arguments =
        "-s|chlorine|--level|1 ppm|--temperature|20 °C|--humidity|50 %RH|--pressure|101.3 kPa";
    let json = find(
        "find-csv-limits-json",
        &format!("{arguments}|--format|json"),
    )
    .json();
    let said = find("find-csv-limits", &format!("{arguments}|--format|csv"))
        .exits(0)
        .stdout;
    let mut rows = csv::Reader::from_reader(said.as_bytes());
    let head = rows.headers().unwrap().clone();
    let place = |name: &str| head.iter().position(|head| head == name).unwrap();
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    let first = &json["serve"][0];
    let judged = first["levels"][0]["best"]["judged"].as_array().unwrap();
    assert!(2 <= judged.len(), "{judged:?}");
    let of_first: Vec<_> = rows
        .iter()
        .filter(|row| row[place("sheet")] == *first["sheet"].as_str().unwrap())
        .collect();
    assert_eq!(of_first.len(), judged.len());
    for (row, judged) in of_first.iter().zip(judged) {
        assert_eq!(row[place("limit")], *judged["limit"].as_str().unwrap());
        let figure = |name: &str| row[place(name)].parse::<f64>().ok();
        assert_eq!(figure("below up to"), judged["below_up_to"].as_f64());
        assert_eq!(figure("above from"), judged["above_from"].as_f64());
        assert_eq!(figure("limit value"), judged["value"].as_f64());
    }
}

#[test]
fn exit_codes_and_what_is_said_about_bad_input() {
    // Nothing serves: 1. The question cannot be put: 2.
    find("find-none", "-s|chlorine|--level|500 ppm").exits(1);
    for (index, (arguments, says)) in [
        ("-s|chlorine|--level|5", "write `5 ppm`"),
        ("-s|chlorine|--level|5 mg/m3", "--temperature"),
        ("-s|chlorine", "US OSHA ceiling 1 ppm"),
        ("-s|chlorine|--limit|ceiling", "say which"),
        ("-s|xylene|--level|5 ppm", "o-xylene"),
        (
            "-s|chlorine|--level|5 ppm|--pump|harbor-piston",
            "`harbour-piston`",
        ),
        ("-s|chlorine|--level|5 ppm|--present|=5 ppm", "names no gas"),
        (
            "-s|chlorine|--level|5 ppm|--sea-level-pressure|101 kPa",
            "--altitude",
        ),
        ("-s|chlorine|--level|5 ppm|--within|5 ppm", "--within"),
    ]
    .into_iter()
    .enumerate()
    {
        find(&format!("find-bad-{index}"), arguments)
            .exits(2)
            .says(says);
    }
}
