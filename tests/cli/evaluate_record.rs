//! `evaluate`: what is kept, and whether it still holds.

use serde_json::Value;

use crate::runner::{Folder, repository};

const SURVEY: &str = "survey: quay\ntitle: Quay\nby: KL\nconditions: {air_temperature: 10 °C, humidity: 50 %RH, pressure: 101.3 kPa}\nreadings:\n  - {id: r1, at: \"2026-03-02T07:40+00:00\", tube: brinewash-chlorine-a-r2, strokes: 3, reading: {at: 5 ppm}}\n  - {id: r2, at: \"2026-03-02T07:50+00:00\", tube: brinewash-chlorine-a-r2, strokes: 3, reading: {seen: below first mark}}\n";

/// A catalog of one sheet, with a survey.
fn lab(name: &str) -> Folder {
    let read = |path: &str| std::fs::read_to_string(repository(path)).unwrap();
    Folder::new(name)
        .with("lab/catalog.yaml", "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n")
        .with("lab/harbour-piston.pump-kind.yaml", read("catalog/demo/pumps/harbour-piston.pump-kind.yaml"))
        .with("lab/brinewash-chlorine-a-r2.tube.yaml", read("catalog/demo/tubes/brinewash-chlorine-a-r2.tube.yaml").replace("replaces: brinewash-chlorine-a-r1\n", ""))
        .with("lab/quay.survey.yaml", SURVEY)
}

/// The sheet with another factor at 10 °C, its own checks adapted.
fn revise(folder: Folder) -> Folder {
    let sheet = folder.read("lab/brinewash-chlorine-a-r2.tube.yaml");
    let revised = sheet.replace("[10, 1.10]", "[10, 1.12]");
    assert_ne!(
        sheet, revised,
        "the demo sheet was changed: adapt this test"
    );
    folder.with("lab/brinewash-chlorine-a-r2.tube.yaml", revised)
}

#[test]
fn a_record_holds_until_the_catalog_says_something_else() {
    let folder = lab("record-holds");
    for output in ["kept/quay.json", "kept/quay.jsonl"] {
        std::fs::create_dir_all(folder.root().join("kept")).unwrap();
        folder
            .run(&["evaluate", "lab/quay.survey.yaml", "--output", output])
            .exits(0);
    }
    let verify = ["evaluate", "--verify", "kept", "--catalog", "lab"];
    let said = folder.run(&verify).exits(0);
    assert!(
        said.stdout
            .contains("4 results in 2 records: 4 hold, 0 moved, 0 not reproducible"),
        "{}",
        said.stdout
    );

    let folder = revise(folder);
    let said = folder
        .run(&[&verify[..], &["--despite-findings", "--format", "json"]].concat())
        .exits(1)
        .json();
    for record in said["records"].as_array().unwrap() {
        let moved = &record["results"][0];
        assert_eq!(moved["state"], "moved", "{moved}");
        assert!(moved["not_from_own_facts"].as_array().unwrap().is_empty());
        assert_eq!(moved["because"].as_array().unwrap().len(), 1, "{moved}");
        let field = moved["because"][0]["field"].as_str().unwrap();
        assert!(field.starts_with("correct, temperature"), "{field}");
        assert_eq!(
            [&moved["because"][0]["was"], &moved["because"][0]["is"]],
            ["1.10", "1.12"]
        );
        let by = moved["moved"]["by"].as_f64().unwrap();
        assert!((by - (1.12 / 1.10 - 1.0)).abs() < 1e-6, "{by}");
    }
    let table = folder
        .run(&[&verify[..], &["--format", "csv"]].concat())
        .exits(1)
        .stdout;
    assert_eq!(table.lines().count(), 5, "{table}");
}

/// A record of version 1, of which every interval and some verdicts are other ones by the model alone. Its values follow from
/// its facts as they did, and what no longer stands comes first.
#[test]
fn a_record_of_the_earlier_model_says_so() {
    let kept = repository("tests/cli/kept-by-the-earlier-model.json");
    let kept = std::fs::read_to_string(kept).unwrap();
    let demo = repository("catalog/demo");
    let folder = Folder::new("record-earlier").with("kept/two.json", kept.as_str());
    let verify = ["evaluate", "--verify", "kept", "--catalog", &demo];
    let said = folder.run(&verify).exits(1).stdout;
    assert!(
        said.starts_with("Verdicts that no longer stand:\n  r01 of kept/two.json, plant room"),
        "{said}"
    );
    assert!(said.contains("worked out with the earlier model"), "{said}");
    assert!(said.contains("2 results: 1 holds, 1 moved"), "{said}");

    // A value that somebody changed does not follow in any model.
    let changed = kept.replacen("\"value\": 4.775", "\"value\": 4.375", 1);
    assert!(changed != kept);
    let folder = folder.with("kept/two.json", changed);
    let said = folder.run(&verify).exits(1).stdout;
    assert!(said.contains("1 not reproducible"), "{said}");
}

#[test]
fn a_record_with_draws_is_drawn_again() {
    let folder = lab("record-draws");
    std::fs::create_dir_all(folder.root().join("kept")).unwrap();
    let evaluate = "evaluate lab/quay.survey.yaml --draws 20000 --seed 3 --output kept/quay.json";
    let words: Vec<&str> = evaluate.split(' ').collect();
    folder.run(&words).exits(0);
    let verify = ["evaluate", "--verify", "kept", "--catalog", "lab"];
    let said = folder.run(&verify).exits(0);
    assert!(said.stdout.contains("2 results: 2 hold"), "{}", said.stdout);

    let record = folder.read("kept/quay.json");
    let mut record: Value = serde_json::from_str(&record).unwrap();
    record["results"][0]["uncertainty"]["monte_carlo"]["median"] = 4.0.into();
    let folder = folder.with("kept/quay.json", record.to_string());
    let said = folder.run(&verify).exits(1);
    assert!(
        said.stdout.contains("/uncertainty/monte_carlo/median"),
        "{}",
        said.stdout
    );
}

#[test]
fn a_record_that_was_changed_by_hand_is_found_out() {
    let folder = lab("record-by-hand");
    folder
        .run(&["evaluate", "lab/quay.survey.yaml", "-o", "quay.json"])
        .exits(0);
    let kept: Value = serde_json::from_str(&folder.read("quay.json")).unwrap();
    let digest = kept["results"][0]["sheet_digest"].as_str().unwrap();
    let edits: [(String, Value); 3] = [
        ("/results/0/concentration/value".to_owned(), 3.9.into()),
        ("/results/0/against/0/verdict".to_owned(), "below".into()),
        (
            format!("/facts/{digest}/sheet/correct/temperature/rows/1/1"),
            "1.00".into(),
        ),
    ];
    for (pointer, value) in edits {
        let mut edited = kept.clone();
        let slot = edited
            .pointer_mut(&pointer)
            .unwrap_or_else(|| panic!("{pointer}"));
        assert_ne!(*slot, value);
        *slot = value;
        let name = "edited.json";
        std::fs::write(folder.root().join(name), edited.to_string()).unwrap();
        let said = folder
            .run(&["evaluate", "--verify", name, "--catalog", "lab"])
            .exits(1);
        assert!(
            said.stdout
                .contains("does not follow from the record's own facts"),
            "{pointer}: {}",
            said.stdout
        );
    }
}

/// A shift, a mixture's part, a solved pair and more: the demo's second survey, kept.
fn kept_shift(name: &str) -> Folder {
    let folder = Folder::new(name);
    copy_dir(&repository("catalog/demo"), &folder.root().join("lab"));
    std::fs::create_dir_all(folder.root().join("kept")).unwrap();
    folder
        .run(&[
            "evaluate",
            "lab/surveys/shift-2026-06-17.survey.yaml",
            "--output",
            "kept/shift.json",
            "--quiet",
        ])
        .exits(0);
    folder
}

fn copy_dir(from: &str, to: &std::path::Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy_dir(entry.path().to_str().unwrap(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

const VERIFY: [&str; 6] = [
    "evaluate",
    "--verify",
    "kept",
    "--catalog",
    "lab",
    "--despite-findings",
];

#[test]
fn what_readings_say_together_holds_or_moves() {
    let folder = kept_shift("record-together");
    let said = folder.run(&VERIFY).exits(0);
    assert!(
        said.stdout.contains("6 of readings together: 6 hold"),
        "{}",
        said.stdout
    );

    // The ammonia tube's factor at 20 °C: the average moves, and of the six others only the blank of that lot.
    let path = "lab/tubes/plantroom-ammonia-c-r1.tube.yaml";
    let sheet = folder.read(path);
    let revised = sheet.replace("[20,  1.00]", "[20,  1.20]");
    assert_ne!(
        sheet, revised,
        "the demo sheet was changed: adapt this test"
    );
    let folder = folder.with(path, revised);
    let json = folder
        .run(&[&VERIFY[..], &["--format", "json"]].concat())
        .exits(1)
        .json();
    let together = json["records"][0]["together"].as_array().unwrap();
    let one = |id: &str| together.iter().find(|one| one["id"] == id).unwrap();
    for (id, state) in [
        ("fitter", "moved"),
        ("brine-wash", "holds"),
        ("dippers", "holds"),
    ] {
        assert_eq!(one(id)["state"], state, "{id}");
    }
    let fitter = one("fitter");
    let because = fitter["because"].as_array().unwrap();
    assert_eq!(because.len(), 1, "{fitter}");
    assert_eq!([&because[0]["was"], &because[0]["is"]], ["1.00", "1.20"]);
    assert!(fitter["not_from_own_facts"].as_array().unwrap().is_empty());
    assert!(0.1 < fitter["moved"]["by"].as_f64().unwrap());
    let text = folder.run(&VERIFY).exits(1).stdout;
    assert!(text.contains("of readings together: "), "{text}");
    assert!(text.contains("fitter, 8 h average of ammonia"), "{text}");
    let table = folder
        .run(&[&VERIFY[..], &["--format", "csv"]].concat())
        .exits(1)
        .stdout;
    assert!(
        table
            .lines()
            .any(|line| line.contains(",fitter,") && line.ends_with(",average")),
        "{table}"
    );
}

/// A figure, a decision or a solved value that somebody wrote over.
#[test]
fn what_readings_say_together_was_changed_by_hand() {
    let folder = kept_shift("record-together-by-hand");
    let kept: Value = serde_json::from_str(&folder.read("kept/shift.json")).unwrap();
    let index = |id: &str| {
        let all = kept["together"].as_array().unwrap();
        all.iter().position(|one| one["id"] == id).unwrap()
    };
    for (pointer, value) in [
        (
            format!("/together/{}/value", index("brine-wash-sum")),
            Value::from(0.01),
        ),
        (
            format!("/together/{}/tests/0/decision", index("dippers")),
            "non_compliance".into(),
        ),
        (
            format!("/together/{}/solved/0/value", index("brine-wash")),
            Value::from(9.0),
        ),
    ] {
        let mut edited = kept.clone();
        *edited
            .pointer_mut(&pointer)
            .unwrap_or_else(|| panic!("{pointer}")) = value;
        std::fs::write(folder.root().join("kept/shift.json"), edited.to_string()).unwrap();
        let said = folder.run(&VERIFY).exits(1).stdout;
        assert!(
            said.contains("does not follow from the record's own facts"),
            "{said}"
        );
        assert!(said.contains("1 not reproducible"), "{said}");
    }
}

/// A record of a version that did not know some keys holds as well as any.
#[test]
fn a_record_without_keys_of_today_holds() {
    fn strip(value: &mut Value) {
        match value {
            Value::Object(fields) => {
                for key in [
                    "by",
                    "probability_bound",
                    "with_uncertainty",
                    "effective_degrees_of_freedom",
                ] {
                    fields.remove(key);
                }
                fields.values_mut().for_each(strip);
            }
            Value::Array(items) => items.iter_mut().for_each(strip),
            _ => {}
        }
    }
    let folder = kept_shift("record-of-old");
    let mut kept: Value = serde_json::from_str(&folder.read("kept/shift.json")).unwrap();
    for key in ["results", "together"] {
        strip(&mut kept[key]);
    }
    let folder = folder.with("kept/shift.json", kept.to_string());
    let said = folder.run(&VERIFY).exits(0).stdout;
    assert!(
        said.contains("12 results: 12 hold") && said.contains("6 hold"),
        "{said}"
    );
}

/// Lines of JSON have no room for what several readings say together, and verifying them says so.
#[test]
fn lines_do_not_keep_what_readings_say_together() {
    let folder = kept_shift("record-together-lines");
    std::fs::remove_file(folder.root().join("kept/shift.json")).unwrap();
    folder
        .run(&[
            "evaluate",
            "lab/surveys/shift-2026-06-17.survey.yaml",
            "--output",
            "kept/shift.jsonl",
        ])
        .exits(0);
    let said = folder.run(&VERIFY).exits(0).stdout;
    assert!(said.contains("4 of readings together not kept"), "{said}");
}

/// A record that was made of a sheet with errors follows from its own facts: verdicts that the errors withdrew included.
#[test]
fn a_record_made_despite_errors_holds() {
    let folder = lab("record-despite");
    let path = "lab/brinewash-chlorine-a-r2.tube.yaml";
    let faulty = folder.read(path).replace("[10, 1.10]", "[10, 1.12]");
    let folder = folder.with(path, faulty);
    std::fs::create_dir_all(folder.root().join("kept")).unwrap();
    folder
        .run(&[
            "evaluate",
            "lab/quay.survey.yaml",
            "--despite-findings",
            "--output",
            "kept/quay.json",
        ])
        .exits(0);
    let record: Value = serde_json::from_str(&folder.read("kept/quay.json")).unwrap();
    assert!(
        record["results"][1]["flags"]
            .to_string()
            .contains("sheet-has-errors"),
        "adapt this test"
    );
    let said = folder
        .run(&["evaluate", "--verify", "kept", "--catalog", "lab"])
        .exits(0);
    assert!(said.stdout.contains("2 results: 2 hold"), "{}", said.stdout);
}

#[test]
fn what_is_no_record_is_passed_over_in_a_folder_and_refused_by_name() {
    let folder = lab("record-other").with("kept/other.json", "{\"a\": 1}");
    folder
        .run(&["evaluate", "--verify", "kept", "--catalog", "lab"])
        .exits(2)
        .says("passed over")
        .says("there is no record to verify");
    folder
        .run(&[
            "evaluate",
            "--verify",
            "kept/other.json",
            "--catalog",
            "lab",
        ])
        .exits(2)
        .says("`kept/other.json` is no record: line 1:");
    folder
        .run(&["evaluate", "--verify", "missing", "--catalog", "lab"])
        .exits(2)
        .says("there is no such file");
    folder.run(&["evaluate"]).exits(2);
}

#[test]
fn lines_come_one_a_result_and_name_their_facts_once() {
    let folder = lab("record-lines");
    let said = folder
        .run(&[
            "evaluate",
            "lab/quay.survey.yaml",
            "--format",
            "jsonl",
            "--quiet",
        ])
        .exits(0);
    assert_eq!(said.stderr, "");
    let lines: Vec<Value> = said
        .stdout
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(lines.len(), 2);
    assert!(lines[0]["facts"].is_object() && lines[1]["facts"].is_null());
    for line in &lines {
        assert_eq!(line["schema_version"], 2);
        assert!(line["software"].as_str().unwrap().starts_with("stainbook "));
        assert_eq!(line["survey"]["by"], "KL");
    }
}

#[test]
fn a_field_record_can_have_a_layout_of_ones_own() {
    let folder = lab("record-html")
        .with(
            "own.html",
            "<p>{{ evaluation.results | length }} by {{ evaluation.by }}</p>",
        )
        .with("bad.html", "\n{{ evaluation.nothing.here }}");
    folder
        .run(&["evaluate", "lab/quay.survey.yaml", "-o", "page.html"])
        .exits(0);
    assert!(folder.read("page.html").contains("pump leak-tested"));
    let own = folder
        .run(&[
            "evaluate",
            "lab/quay.survey.yaml",
            "--format",
            "html",
            "--template",
            "own.html",
        ])
        .exits(0);
    assert_eq!(own.stdout.trim(), "<p>2 by KL</p>");
    folder
        .run(&[
            "evaluate",
            "lab/quay.survey.yaml",
            "--format",
            "html",
            "--template",
            "bad.html",
        ])
        .exits(2)
        .says("`bad.html`: line 2: ");
    folder
        .run(&["evaluate", "lab/quay.survey.yaml", "--template", "own.html"])
        .exits(2)
        .says("add --format html");
}

#[test]
fn an_amended_reading_shows_what_it_was() {
    let amended = SURVEY.replace("strokes: 3, reading: {at: 5 ppm}}", "strokes: 3, reading: {at: 5 ppm}, amended: [{by: MT, at: \"2026-03-03T09:10+00:00\", because: miscounted, was: {strokes: 2}}]}");
    let folder = lab("record-amended").with("lab/quay.survey.yaml", amended.clone());
    let said = folder
        .run(&["evaluate", "lab/quay.survey.yaml"])
        .exits(0)
        .stdout;
    assert!(said.contains("before, strokes 2; by MT"), "{said}");
    let folder = folder.with("lab/quay.survey.yaml", amended.replace("by: MT, ", ""));
    folder
        .run(&["evaluate", "lab/quay.survey.yaml"])
        .exits(1)
        .says("quay.survey.yaml:6:");
    let table = Folder::new("record-amended-table")
        .with("quay.csv", "id,tube,strokes,reading [ppm],amended_by\n");
    table
        .run(&["evaluate", "quay.csv"])
        .exits(2)
        .says("line 1, column 5")
        .says("`amended` in a `.survey.yaml`");
}

#[test]
fn bad_conditions_are_named_with_what_to_do() {
    let head = "id,at,tube,lot,strokes,reading [ppm],air_temperature [°C],humidity [%RH],pressure [hPa],altitude [m]\n";
    let row = |rest: &str| {
        format!("{head}r1,2026-06-16T07:15+01:00,brinewash-chlorine-a,24-117,3,5,{rest}\n")
    };
    for (rest, code) in [
        (",50,1009,", "temperature-missing"),
        ("20,50,,", "pressure-missing"),
        ("20,50,1009,3000", "pressure-contradicts-altitude"),
        ("-300,50,1009,", "row-unreadable"),
    ] {
        let folder = Folder::new(&format!("evaluate-bad-{code}")).with("t.csv", row(rest));
        let demo = repository("catalog/demo");
        let said = folder
            .run(&["evaluate", "t.csv", "--catalog", &demo, "--format", "json"])
            .exits(1)
            .json();
        let refusal = &said["results"][0]["refusal"];
        assert_eq!(refusal["code"], code, "{refusal}");
        assert!(
            !refusal["instead"].as_str().unwrap().is_empty(),
            "{refusal}"
        );
    }
}
