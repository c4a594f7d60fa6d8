//! `evaluate`.

use serde_json::Value;

use crate::runner::{Folder, keys, repository};

fn demo_survey() -> String {
    repository("catalog/demo/surveys/plant-round-2026-06-16.survey.yaml")
}

#[test]
fn the_contract_of_the_json_answer() {
    let folder = Folder::new("evaluate-json");
    let said = folder.run(&[
        "evaluate",
        &demo_survey(),
        "--catalog",
        &repository("catalog/demo"),
        "--format",
        "json",
    ]);
    let answer = said.json();
    let results = answer["results"].as_array().unwrap();
    assert!(15 <= results.len());
    let refused = results.iter().any(|result| result["status"] == "refused");
    assert_eq!(said.code, Some(i32::from(refused)));
    for result in results {
        for key in [
            "id",
            "status",
            "concentration",
            "also_as",
            "uncertainty",
            "corrections",
            "against",
            "flags",
            "catalog_revision",
            "sheet_digest",
        ] {
            assert!(result.get(key).is_some(), "{key} is not there: {result}");
        }
        let status = result["status"].as_str().unwrap();
        assert!(
            ["measured", "less_than", "more_than", "refused"].contains(&status),
            "{status}"
        );
        assert_eq!(
            result["concentration"].is_null(),
            status == "refused",
            "{result}"
        );
        if status == "measured" {
            measured(result);
        }
        for against in result["against"].as_array().unwrap() {
            for key in ["limit", "source", "probability_above", "verdict"] {
                assert!(against.get(key).is_some(), "{key}: {against}");
            }
            let verdict = &against["verdict"];
            assert!(
                verdict.is_null()
                    || ["below", "above", "cannot_tell"].contains(&verdict.as_str().unwrap())
            );
        }
        for flag in result["flags"].as_array().unwrap() {
            assert_eq!(keys(flag), ["code", "text"]);
        }
    }
}

fn measured(result: &Value) {
    for key in ["value", "unit", "basis"] {
        assert!(!result["concentration"][key].is_null(), "{key}: {result}");
    }
    for key in ["standard", "expanded", "coverage", "interval", "budget"] {
        assert!(!result["uncertainty"][key].is_null(), "{key}: {result}");
    }
    assert!(!result["corrections"].as_array().unwrap().is_empty());
    for correction in result["corrections"].as_array().unwrap() {
        assert!(correction["factor"].is_number() && correction["from"].is_object());
    }
    assert_eq!(result["sheet_digest"].as_str().unwrap().len(), 64);
}

#[test]
fn every_format_ends_alike() {
    let folder = Folder::new("evaluate-formats");
    for survey in [
        "plant-round-2026-06-16.survey.yaml",
        "hatchery-2026-09-10.survey.csv",
    ] {
        let survey = repository(&format!("catalog/demo/surveys/{survey}"));
        let codes: Vec<_> = ["text", "json", "csv"]
            .map(|format| folder.run(&["evaluate", &survey, "--format", format]).code)
            .into();
        assert!(
            codes.iter().all(|code| *code == codes[0]),
            "{survey}: {codes:?}"
        );
    }
}

#[test]
fn the_table_has_a_row_for_each_reading() {
    let folder = Folder::new("evaluate-csv");
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let said = folder.run(&["evaluate", &survey, "--format", "csv"]);
    let mut reader = csv::Reader::from_reader(said.stdout.as_bytes());
    assert!(
        reader
            .headers()
            .unwrap()
            .iter()
            .any(|name| name == "expanded uncertainty")
    );
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let readings = std::fs::read_to_string(&survey).unwrap().lines().count() - 1;
    assert_eq!(rows.len(), readings);
}

#[test]
fn the_text_carries_the_cautions_once() {
    let folder = Folder::new("evaluate-text");
    let text = folder.run(&["evaluate", &demo_survey()]).stdout;
    assert_eq!(text.matches("never clear a confined space").count(), 1);
    for line in text.lines() {
        assert!(line.chars().count() <= 120, "{line}");
    }
}

/// Limits are compared with the air as it is, which holds less of a gas than the same air dry.
#[test]
fn a_scale_in_dry_air_says_what_it_is_judged_at() {
    let folder = Folder::new("evaluate-dry");
    let json = folder
        .run(&["evaluate", &demo_survey(), "--format", "json"])
        .stdout;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let mut of_dry_air = json["results"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|result| result["concentration"]["basis"] == "dry air");
    let result = of_dry_air.next().unwrap();
    let (value, judged) = (&result["concentration"]["value"], &result["as_ppm"]);
    assert!(judged.as_f64() < value.as_f64(), "{judged} {value}");
    let text = folder.run(&["evaluate", &demo_survey()]).stdout;
    let said = format!(
        "judged at     {:.4} ppm in the air as it is",
        judged.as_f64().unwrap()
    );
    assert!(text.contains(&said), "{said}");
    assert_eq!(text.matches("judged at ").count(), 1 + of_dry_air.count());
}

#[test]
fn standard_input_is_a_table_unless_it_has_a_name() {
    let folder = Folder::new("evaluate-stdin");
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let text = std::fs::read(&survey).unwrap();
    let demo = repository("catalog/demo");
    let piped = |further: &[&str]| {
        let mut arguments = vec!["evaluate", "-", "--catalog", &demo, "--format", "json"];
        arguments.extend(further);
        folder.run_with(&arguments, &text)
    };
    let direct = folder.run(&["evaluate", &survey, "--catalog", &demo, "--format", "json"]);
    let named = piped(&["--stdin-filename", "hatchery-2026-09-10.survey.csv"]);
    assert_eq!(named.stdout, direct.stdout);
    // Without a name it is a table all the same, and has none.
    let (piped, direct) = (piped(&[]).json(), direct.json());
    assert_eq!(piped["results"], direct["results"]);
    assert!(piped["survey"].is_null() && piped["title"].is_null());
}

#[test]
fn what_cannot_be_evaluated_at_all() {
    let folder = Folder::new("evaluate-refusals")
        .with("latin.csv", b"id,caf\xe9\n")
        .with("columns.csv", "id,colour\n1,red\n")
        .with("note.yaml", "a: 1\n");
    for (survey, words) in [
        (
            "missing.survey.yaml",
            "cannot read `missing.survey.yaml`: there is no such file",
        ),
        (
            "note.yaml",
            "`note.yaml` is no survey\n  help: a survey's name ends in `.survey.yaml`, `.csv`, `.xlsx` or `.ods`",
        ),
        (
            "latin.csv",
            "`latin.csv`, line 1, column 2: the column's name is not UTF-8",
        ),
        ("columns.csv", "`columns.csv`, line 1, column 2: "),
    ] {
        folder.run(&["evaluate", survey]).exits(2).says(words);
    }
}

#[test]
fn a_survey_with_errors_is_shown_with_its_place() {
    let folder = Folder::new("evaluate-broken").with(
        "quay.survey.yaml",
        "survey: quay\ntitle: Quay\nby: KL\nreadings:\n  - {id: r1, at: \"2026-03-02T07:40+00:00\", tube: brinewash-chlorine-a, strokes: three, reading: {at: 5 ppm}}\n",
    );
    folder
        .run(&["evaluate", "quay.survey.yaml"])
        .exits(1)
        .says("quay.survey.yaml:5:")
        .says("`strokes` is the text `three`, and has to be a number");
    let folder = Folder::new("evaluate-broken-head").with(
        "quay.survey.yaml",
        "survey: quay\ntitel: Quay\nby: KL\nreadings: []\n",
    );
    folder
        .run(&["evaluate", "quay.survey.yaml"])
        .exits(1)
        .says("quay.survey.yaml:2:")
        .says("--despite-findings");
}

#[test]
fn a_sheet_with_errors_is_refused_unless_asked_for() {
    let tube = std::fs::read_to_string(repository(
        "catalog/demo/tubes/brinewash-chlorine-a-r2.tube.yaml",
    ))
    .unwrap();
    let broken = tube.replace(
        "marks: [0.7, 1.5, 3, 5, 9, 13]",
        "marks: [0.7, 1.5, 5, 3, 9, 13]",
    );
    assert_ne!(tube, broken, "the demo sheet was changed: adapt this test");
    let pump = std::fs::read_to_string(repository(
        "catalog/demo/pumps/harbour-piston.pump-kind.yaml",
    ))
    .unwrap();
    let folder = Folder::new("evaluate-faulty")
        .with("catalog.yaml", "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n")
        .with("harbour-piston.pump-kind.yaml", pump)
        .with("brinewash-chlorine-a-r2.tube.yaml", broken)
        .with("quay.survey.yaml", "survey: quay\ntitle: Quay\nby: KL\nconditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}\nreadings:\n  - {id: r1, at: \"2026-03-02T07:40+00:00\", tube: brinewash-chlorine-a-r2, strokes: 3, reading: {at: 5 ppm}}\n");
    let refused = folder
        .run(&["evaluate", "quay.survey.yaml", "--format", "json"])
        .exits(1)
        .json();
    assert_eq!(refused["results"][0]["status"], "refused");
    assert!(refused["results"][0]["refusal"]["instead"].is_string());
}

fn shift() -> [String; 4] {
    [
        "evaluate".to_owned(),
        repository("catalog/demo/surveys/shift-2026-06-17.survey.yaml"),
        "--catalog".to_owned(),
        repository("catalog/demo"),
    ]
}

fn of_shift(name: &str, format: &str) -> crate::runner::CommandOutcome {
    let shift = shift();
    let mut command: Vec<&str> = shift.iter().map(String::as_str).collect();
    command.extend(["--format", format]);
    Folder::new(name).run(&command)
}

#[test]
fn what_several_readings_say_together() {
    let said = of_shift("evaluate-together-text", "text");
    assert_eq!(said.code, Some(0));
    let start = said.stdout.find("\nfitter  8 h").unwrap() + 1;
    let end = said.stdout[start..].find("\n\n").unwrap();
    insta::assert_snapshot!(&said.stdout[start..start + end], @r"
    fitter  8 h average of ammonia  average
      result        7.12 to 7.35 (with 95 %: 5.78 to 9.27) ppm, indicative
      FLAG          tubes for short-term measurement are not meant for reference periods above
                    15 minutes (scope of ISO 17621): the average is indicative
                    [indicative-long-period]
      made of       s01 18.0 ppm for 90 min; s02 45.0 ppm for 40 min; s03 less than 0.440 ppm for
                    4 h
      time          readings stand for 370 min of 8 h; the other 110 min: without exposure; over the
                    sampled time alone 9.24 to 9.53 ppm
      cannot tell   France 8-hour average 10 ppm: the bounds, with their uncertainties, lie on both
                    sides of the limit or too near to it; indicative
      below         (indicative over so long a period) US OSHA 8-hour average 50 ppm
      not compared  US NIOSH 8-hour average over 10 h 25 ppm; US NIOSH short-term 35 ppm; France
                    short-term 20 ppm
      note          Not compared: the limit is an average over 10 h, this one is over 8 h
      note          Not compared: the limit is an average over 15 min, this one is over 8 h
    ");
}

#[test]
fn every_key_of_readings_together_is_there() {
    let answer = of_shift("evaluate-together-json", "json").json();
    assert!((answer["judged_by"]["certainty"].as_f64().unwrap() - 0.9).abs() < 1e-12);
    let together = answer["together"].as_array().unwrap();
    assert_eq!(together.len(), 6);
    for row in together {
        for key in [
            "id",
            "method",
            "what",
            "of",
            "substance",
            "status",
            "unit",
            "value",
            "lowest",
            "highest",
            "text",
            "uncertainty",
            "period",
            "indicative",
            "against",
            "tests",
            "solved",
            "flags",
            "statements",
            "refusal",
        ] {
            assert!(row.get(key).is_some(), "{key}: {row}");
        }
    }
}

#[test]
fn a_table_of_readings_together() {
    let said = of_shift("evaluate-together-csv", "together-csv");
    let mut table = csv::Reader::from_reader(said.stdout.as_bytes());
    let head = table.headers().unwrap().clone();
    let ids: Vec<String> = table
        .records()
        .map(|row| {
            let row = row.unwrap();
            assert_eq!(row.len(), head.len());
            row[0].to_owned()
        })
        .collect();
    assert_eq!(
        ids,
        [
            "s04",
            "s05 s06 s07",
            "fitter",
            "brine-wash s08",
            "brine-wash s09",
            "brine-wash-sum",
            "dippers"
        ]
    );
}

#[test]
fn a_refused_row_together_counts_as_refused() {
    let folder = Folder::new("evaluate-together-refused");
    let text = std::fs::read_to_string(repository(
        "catalog/demo/surveys/shift-2026-06-17.survey.yaml",
    ))
    .unwrap();
    let text = text.replace(
        "represents_reference_period: true",
        "represents_reference_period: false",
    );
    let text = text.replace("survey: shift-2026-06-17", "survey: second-shift");
    let folder = folder.with("second-shift.survey.yaml", &text);
    let said = folder.run(&["evaluate", "second-shift.survey.yaml", "--format", "text"]);
    assert_eq!(said.code, Some(1), "{}", said.stderr);
    assert!(
        said.stdout
            .contains("NONE: the survey does not say that each value stands")
    );
    // The readings themselves, and what else they say together, are worked out.
    assert!(said.stdout.contains("8 h"), "{}", said.stdout);

    // What was written and not understood is not passed over, whatever is asked for.
    let broken = text.replace("represents_reference_period:", "represents_period:");
    let line = 1 + broken
        .lines()
        .take_while(|line| !line.contains("represents_period:"))
        .count();
    let place = format!("NONE: second-shift.survey.yaml:{line}:");
    let folder = folder.with("second-shift.survey.yaml", &broken);
    for more in [&[][..], &["--despite-findings"]] {
        let said = folder.run(&[&["evaluate", "second-shift.survey.yaml"], more].concat());
        assert_eq!(said.code, Some(1), "{}", said.stderr);
        assert!(said.stdout.contains(&place), "{}", said.stdout);
    }
}

/// A table that is written row by row says that its blanks were not held against the other rows.
#[test]
fn blanks_of_a_table() {
    let table = "id,tube,lot,strokes,air_temperature [°C],pressure [hPa],blank,seen,reading [ppm]\n\
                 b1,plantroom-ammonia-c,24-071,1,20,1013,yes,below first mark,\n\
                 r1,plantroom-ammonia-c,24-071,1,20,1013,,,45\n";
    let folder = Folder::new("evaluate-blank-table").with("blank.csv", table);
    let whole = folder
        .run(&["evaluate", "blank.csv", "--format", "json"])
        .json();
    assert_eq!(whole["together"][0]["method"], "blank");
    let flags = whole["results"][1]["flags"].to_string();
    assert!(flags.contains("blank-stained"), "{flags}");
    let by_row = folder.run(&["evaluate", "blank.csv", "--format", "csv"]);
    assert!(
        by_row
            .stderr
            .contains("2 of the rows are blanks, repeats or parts of an average, or lie on a mark"),
        "{}",
        by_row.stderr
    );
}

#[test]
fn what_was_typed_is_no_formula_where_that_is_asked_for() {
    let folder = crate::runner::Folder::new("evaluate-excel").with(
        "x.csv",
        "id,tube,strokes,reading [ppm],place\nr1,brinewash-chlorine-a-r2,3,5,\"=HYPERLINK(\"\"x\"\")\"\n",
    );
    let run = |more: &[&str]| {
        let mut arguments = vec!["evaluate", "x.csv", "--quiet", "--format"];
        arguments.extend(more);
        folder.run(&arguments)
    };
    assert!(run(&["csv"]).stdout.contains(",\"=HYPERLINK(\"\"x\"\")\","));
    assert!(
        run(&["csv", "--excel"])
            .stdout
            .contains(",\"'=HYPERLINK(\"\"x\"\")\",")
    );
    assert_eq!(run(&["text", "--excel"]).code, Some(2));
}
