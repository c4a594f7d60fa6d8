//! `plan`, and `new survey --plan`.

use crate::runner::Folder;

const PLAN: &str = "\
# a plan
plan: b
title: \"Brine: wash\"
day: 2026-12-02
by: KL
conditions: {air_temperature: 6 °C, humidity: 80 %RH, pressure: 998 hPa}
places:
  # first
  - {id: p1, place: brine wash, substance: chlorine, limits: [{authority: US NIOSH, kind: ceiling}], other_gases: none known, tubes: 2}  # mind the valve
  - id: p2
    place: hold
    substance: amines
    level: 5 ppm
    conditions: {air_temperature: 4 °C}
    pump: pump-04
  - {id: p3, place: container, substance: methyl-bromide, level: 3 ppm, tube: container-methyl-bromide-h-r1, strokes: 5}
";

#[test]
fn tubes_are_chosen_and_nothing_else_is_touched() {
    let folder = Folder::new("plan-drafted").with("b.plan.yaml", PLAN);
    let said = folder.run(&["plan", "--from", "b.plan.yaml"]).exits(0);
    let chosen = PLAN
        .replace(
            "tubes: 2}",
            "tubes: 2, tube: brinewash-chlorine-a-r2, lot: 24-131, strokes: 8, pump: pump-02}",
        )
        .replace(
            "    pump: pump-04\n",
            "    pump: pump-04\n    tube: hold-amines-e-r1\n    lot: 25-055\n    strokes: 7\n",
        );
    assert_eq!(said.stdout, chosen);
    said.says(
        "p1  brinewash-chlorine-a-r2 (number 1 of the search); box box-02, lot 24-131; pump-02",
    )
    .says("p3  has its tube already");
    // What comes out has all its tubes, and goes through unchanged.
    let again = folder
        .with("c.plan.yaml", &chosen)
        .run(&["plan", "--from", "c.plan.yaml"])
        .exits(0);
    assert_eq!(again.stdout, chosen);
}

#[test]
fn a_row_without_a_tube_says_why() {
    let rows = "\
plan: b
title: T
day: 2026-12-02
places:
  - {id: p1, place: x, substance: methane, level: 10 ppm}
  - {id: p2, place: x, substance: chlorine}
  - {id: p3, place: x, substance: chlorine, limits: [{authority: Nobody}]}
  - {id: p4, place: x, substance: carbon-monoxide, level: 60 ppm, pump: pump-05}
  - {id: p5, place: x, substance: hydrogen-sulfide, level: 5 ppm}
";
    let folder = Folder::new("plan-without").with("b.plan.yaml", rows);
    let said = folder.run(&["plan", "--from", "b.plan.yaml"]).exits(1);
    assert!(
        said.stdout
            .starts_with(rows.split("  - {id: p5").next().unwrap())
    );
    said.says("p1  no tube: no sheet of the catalog measures the gas")
        .says("p2  no tube: the row says neither which `limits` nor which `level`")
        .says("p3  no tube: no limit of chlorine is meant by `Nobody`")
        .says("p4  no tube: no tube can serve; `smokehouse-carbon-monoxide-d-r1`")
        .says("p5  pit-hydrogen-sulfide-b-r1 (number 1 of the search); pump-02; mind: no box of it is in stock");
}

#[test]
fn nothing_is_overwritten_and_nothing_half_read() {
    let folder = Folder::new("plan-output")
        .with("b.plan.yaml", PLAN)
        .with("broken.plan.yaml", "plan: broken\nplaces: [\n")
        .with("c.plan.yaml", "plan: c\n");
    folder
        .run(&["plan", "--from", "b.plan.yaml", "--output", "d.plan.yaml"])
        .exits(0);
    assert!(
        folder
            .read("d.plan.yaml")
            .contains("tube: brinewash-chlorine-a-r2")
    );
    for output in ["b.plan.yaml", "c.plan.yaml"] {
        folder
            .run(&["plan", "--from", "b.plan.yaml", "--output", output])
            .exits(2)
            .says("nothing is overwritten");
    }
    assert_eq!(folder.read("b.plan.yaml"), PLAN);
    folder
        .run(&["plan", "--from", "broken.plan.yaml"])
        .exits(2)
        .says("cannot be read without errors");
    folder
        .run(&["plan", "--from", "nowhere.plan.yaml"])
        .exits(2)
        .says("there is no such file");
    folder
        .run(&["plan", "--from", "b.yaml"])
        .exits(2)
        .says("is no plan by its name");
    folder
        .run(&["new", "tube", "x", "--plan", "b.plan.yaml"])
        .exits(2)
        .says("only a survey");
}

#[test]
fn a_survey_begins_with_the_rows_of_a_plan() {
    let folder = Folder::new("plan-survey").with("b.plan.yaml", PLAN);
    folder
        .run(&["plan", "--from", "b.plan.yaml", "--output", "c.plan.yaml"])
        .exits(0);
    folder
        .run(&["new", "survey", "d", "--plan", "c.plan.yaml"])
        .exits(0);
    let survey = folder.read("d.survey.yaml");
    insta::assert_snapshot!(survey, @r#"
    # yaml-language-server: $schema=schemas/survey.draft-07.schema.json
    # The rows of the plan `b`. Fill in what stands empty, and change what was done otherwise than it
    # was planned: another box has another lot and expiry. Then run `stainbook check`.
    survey: d
    title: "Brine: wash"
    by: KL
    # The conditions as they are measured on the day, in the row or here for all.
    # conditions:
    readings:
      # Planned for chlorine, expected 6 °C, 80 %RH, 998 hPa.
      - id: p1
        at:
        place: brine wash
        tube: brinewash-chlorine-a-r2
        lot: 24-131
        expires:
        pump: pump-02
        leak_test:
        strokes: 8
        reading:
        other_gases: none known
      # Planned for chlorine, expected 6 °C, 80 %RH, 998 hPa.
      - id: p1-2
        at:
        repeat_of: p1
        place: brine wash
        tube: brinewash-chlorine-a-r2
        lot: 24-131
        expires:
        pump: pump-02
        leak_test:
        strokes: 8
        reading:
        other_gases: none known
      # Planned for amines, expected 4 °C, 80 %RH, 998 hPa.
      - id: p2
        at:
        place: hold
        tube: hold-amines-e-r1
        lot: 25-055
        expires:
        pump: pump-04
        leak_test:
        strokes: 7
        reading:
        brought_to_ambient:
      # Planned for methyl-bromide, expected 6 °C, 80 %RH, 998 hPa.
      - id: p3
        at:
        place: container
        tube: container-methyl-bromide-h-r1
        lot:
        expires:
        pump:
        leak_test:
        strokes: 5
        reading:
        pre_tube:
    "#);
    // Only what stands empty is wrong with it.
    let said = folder
        .run(&["check", "d.survey.yaml", "--format", "json"])
        .exits(1)
        .json();
    for finding in said["findings"].as_array().unwrap() {
        let (rule, message) = (&finding["rule"], finding["message"].as_str().unwrap());
        assert!(
            message.contains("is empty") || rule == "unresolved-reference",
            "{rule}: {message}"
        );
    }
}
