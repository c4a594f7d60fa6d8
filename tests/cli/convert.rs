//! `convert` of one value.

use crate::runner::{Folder, keys};

/// Carbon monoxide at the conditions of United States limits.
const AT_25: [&str; 4] = ["--temperature", "25 °C", "--pressure", "101.325 kPa"];

#[test]
fn the_contract_of_the_json_answer() {
    let folder = Folder::new("convert-json");
    let mut arguments = vec![
        "convert",
        "25 ppm",
        "--substance",
        "630-08-0",
        "--to",
        "mg/m3",
        "--format",
        "json",
    ];
    arguments.extend(AT_25);
    let answer = folder.run(&arguments).exits(0).json();
    assert_eq!(
        keys(&answer),
        [
            "assumptions",
            "basis",
            "catalog",
            "conditions",
            "from",
            "molar_mass",
            "molar_volume",
            "result",
            "substance",
            "water"
        ]
    );
    for amount in ["result", "from", "molar_mass", "molar_volume"] {
        assert_eq!(keys(&answer[amount]), ["text", "unit", "value"], "{amount}");
    }
    assert_eq!(keys(&answer["conditions"]), ["pressure", "temperature"]);
    // 1.15 mg/m³ per ppm is printed in the NIOSH Pocket Guide, which rounds the molar volume to 24.45 L/mol.
    let value = answer["result"]["value"].as_f64().unwrap();
    assert!((value / 25.0 - 1.15).abs() < 0.015, "{value}");
    assert_eq!(answer["result"]["unit"], "mg/m³");
    assert_eq!(answer["result"]["text"], "28.6 mg/m³");
    assert_eq!(answer["conditions"]["pressure"]["value"], 101.325);
    assert_eq!(answer["substance"]["name"], "carbon monoxide");
    for assumption in answer["assumptions"].as_array().unwrap() {
        assert_eq!(keys(assumption), ["code", "text"]);
    }
}

#[test]
fn all_the_ways_to_type_it() {
    let folder = Folder::new("convert-spellings");
    let mut answers = Vec::new();
    for value in [
        &["25 ppm"][..],
        &["25ppm"],
        &["25", "ppm"],
        &["0.025", "‰"],
        &["0.0025", "%"],
        &["25000 ppb"],
    ] {
        let mut arguments = vec!["convert"];
        arguments.extend(value);
        arguments.extend([
            "--to",
            "mg/m3",
            "-s",
            "CO",
            "--temperature=-5C",
            "--altitude",
            "1600m",
            "--format",
            "json",
        ]);
        let outcome = folder.run(&arguments);
        // Not every one of these has to be a unit; those that are have to agree.
        if outcome.code == Some(0) {
            answers.push(outcome.json()["result"]["value"].as_f64().unwrap());
        }
    }
    assert!(5 <= answers.len());
    for answer in &answers {
        assert!((answer / answers[0] - 1.0).abs() < 1e-12);
    }
    let spaced = folder.run(&[
        "convert",
        "25ppm",
        "--to",
        "µg/m3",
        "-s",
        "carbon monoxide",
        "--temperature",
        "-5C",
        "--altitude",
        "1600 m",
    ]);
    assert!(
        spaced
            .exits(0)
            .stdout
            .starts_with("25 ppm carbon monoxide = 26200 µg/m³ at -5 °C and 83.52 kPa\n")
    );
}

#[test]
fn an_altitude_is_said_to_stand_in_for_the_pressure() {
    let folder = Folder::new("convert-altitude");
    let answer = folder
        .run(&[
            "convert",
            "25ppm",
            "--to",
            "mg/m3",
            "-s",
            "CO",
            "--temperature=20C",
            "--altitude",
            "1600m",
            "--format=json",
        ])
        .exits(0)
        .json();
    assert_eq!(answer["assumptions"][0]["code"], "standard-atmosphere");
    // ISO 2533: 83.52 kPa at 1,600 m.
    let pressure = answer["conditions"]["pressure"]["value"].as_f64().unwrap();
    assert!((pressure - 83.52).abs() < 0.01);
}

#[test]
fn between_two_units_of_one_kind_nothing_else_is_asked() {
    let folder = Folder::new("convert-same-kind");
    let answer = folder
        .run(&["convert", "35ppb", "--to", "ppm", "--format", "json"])
        .exits(0)
        .json();
    assert_eq!(answer["result"]["value"], 0.035);
    assert!(
        answer["conditions"].is_null()
            && answer["molar_mass"].is_null()
            && answer["basis"].is_null()
    );
    assert_eq!(answer["assumptions"][0]["code"], "no-conditions-needed");
}

#[test]
fn dry_air_needs_the_humidity() {
    let folder = Folder::new("convert-dry");
    let base = [
        "convert",
        "100ppm",
        "--to",
        "mg/m3",
        "-s",
        "ammonia",
        "--temperature=35C",
        "--pressure=101.325kPa",
        "--format=json",
    ];
    let run = |more: &[&str]| folder.run(&base.iter().chain(more).copied().collect::<Vec<_>>());
    let value = |more: &[&str]| {
        run(more).exits(0).json()["result"]["value"]
            .as_f64()
            .unwrap()
    };
    let ratio = value(&["--basis", "dry", "--humidity", "100%RH"]) / value(&[]);
    assert!((ratio - 0.9444).abs() < 1e-3, "{ratio}");
    assert_eq!(
        run(&["--basis", "dry"]).exits(2).json()["error"]["code"],
        "missing-humidity"
    );
}

#[test]
fn what_cannot_be_carried_out_ends_with_2_and_says_what_to_do() {
    let folder = Folder::new("convert-refusals");
    let long: [(&[&str], &str, &str); 18] = [
        (
            &["25ppm", "--to", "mg/m3", "-s", "CO"],
            "missing-conditions",
            "--temperature \"20 °C\" --pressure \"101.325 kPa\"",
        ),
        (
            &["25ppm", "--to", "mg/m3", "-s", "CO", "--temperature", "20C"],
            "missing-pressure",
            "--altitude",
        ),
        (
            &[
                "25ppm",
                "--to",
                "mg/m3",
                "-s",
                "CO",
                "--pressure",
                "1013hPa",
            ],
            "missing-temperature",
            "--temperature",
        ),
        (
            &[
                "25ppm",
                "--to",
                "mg/m3",
                "--temperature=20C",
                "--pressure=1013hPa",
            ],
            "missing-molar-mass",
            "--molar-mass",
        ),
        (
            &["25ppm", "--to", "mg/m3", "-s", "clorine"],
            "unknown-substance",
            "did you mean `chlorine`",
        ),
        (
            &["25ppm", "--to", "mg/m3", "-s", "630-08-1"],
            "cas-number-wrong",
            "",
        ),
        (&["25", "--to", "mg/m3"], "unit-missing", "write `25 ppm`"),
        (
            &["0,5", "ppm", "--to", "ppb"],
            "decimal-comma",
            "write `0.5`",
        ),
        (&["25ppt", "--to", "ppb"], "unit-unknown", "`pmol/mol`"),
        (&["25 mgm3", "--to", "mg/m3"], "unit-unknown", "`mg/m³`"),
        (
            &["25 mg/kg", "--to", "ppm"],
            "unit-of-another-kind",
            "mg/m³",
        ),
        (&["25 ppm", "--to", "kPa"], "unit-of-another-kind", "mg/m³"),
        (&["-5", "ppm", "--to", "ppb"], "impossible-value", ""),
        (&["120", "%", "--to", "ppb"], "impossible-value", ""),
        (
            &["many ppm", "--to", "ppb"],
            "not-a-number",
            "such as `2.5 ppm`",
        ),
        (
            &[
                "25ppm",
                "--to",
                "mg/m3",
                "-s",
                "CO",
                "--temperature=-300C",
                "--pressure=1013hPa",
            ],
            "impossible-value",
            "",
        ),
        (
            &[
                "25ppm",
                "--to",
                "mg/m3",
                "-s",
                "CO",
                "--temperature=20C",
                "--altitude=20furlongs",
            ],
            "unit-unknown",
            "`m`",
        ),
        (
            &[
                "25ppm",
                "--to",
                "mg/m3",
                "-s",
                "CO",
                "--temperature=20C",
                "--altitude=20km",
            ],
            "altitude-outside",
            "state the pressure",
        ),
    ];
    for (arguments, code, help) in long {
        let mut all = vec!["convert"];
        all.extend(arguments);
        let said = folder.run(&all).exits(2);
        assert!(
            said.stdout.is_empty(),
            "{arguments:?}: data on a failure: {}",
            said.stdout
        );
        assert!(
            said.stderr.starts_with("error: ") && said.stderr.contains(help),
            "{arguments:?}: {}",
            said.stderr
        );
        assert!(
            said.stderr.contains("\n  help: "),
            "{arguments:?}: {}",
            said.stderr
        );
        all.extend(["--format", "json"]);
        let error = folder.run(&all).exits(2).json();
        assert_eq!(keys(&error["error"]), ["code", "help", "message"]);
        assert_eq!(error["error"]["code"], code, "{arguments:?}: {error}");
    }
}

/// The terms that are wrong, with the code, what is proposed and what `--implausible` makes of 25 ppm of carbon monoxide.
const IMPLAUSIBLE: [(&[&str], &str, &str, &str); 7] = [
    // Ten times the mass concentration of 1013 hPa.
    (
        &["--temperature=25C", "--pressure=1013kPa"],
        "implausible-pressure",
        "`1013 hPa` may be meant",
        "286",
    ),
    (
        &["--temperature=25C", "--pressure=101.3 hPa"],
        "implausible-pressure",
        "`101.3 kPa` may be meant",
        "2.86",
    ),
    (
        &["--temperature=77C", "--pressure=1013hPa"],
        "implausible-temperature",
        "`77 °F` may be meant",
        "24.4",
    ),
    (
        &["--temperature=298C", "--pressure=1013hPa"],
        "implausible-temperature",
        "`298 K` may be meant",
        "14.9",
    ),
    (
        &["--temperature=25C", "--altitude=8000m"],
        "implausible-altitude",
        "`8000 ft` may be meant",
        "10.1",
    ),
    // Already the station's own.
    (
        &[
            "--temperature=15C",
            "--altitude=1600m",
            "--sea-level-pressure=847hPa",
        ],
        "implausible-sea-level-pressure",
        "look at the number and its unit again",
        "20.5",
    ),
    (
        &["--temperature=25C", "--pressure=5kPa"],
        "implausible-pressure",
        "look at the number and its unit again",
        "1.41",
    ),
];

#[test]
fn conditions_in_which_nobody_works_are_refused_unless_asked_for() {
    let folder = Folder::new("convert-implausible");
    for (terms, code, help, value) in IMPLAUSIBLE {
        let mut arguments = vec!["convert", "25ppm", "-s", "CO", "--to", "mg/m3"];
        arguments.extend(terms);
        arguments.extend(["--format", "json"]);
        let error = folder.run(&arguments).exits(2).json();
        assert_eq!(error["error"]["code"], code, "{terms:?}: {error}");
        let said = error["error"]["help"].as_str().unwrap();
        assert!(
            said.contains(help) && said.ends_with("if it is right, add `--implausible`"),
            "{terms:?}: {said}"
        );
        arguments.push("--implausible");
        let answer = folder.run(&arguments).exits(0).json();
        assert_eq!(
            answer["result"]["text"],
            format!("{value} mg/m³"),
            "{terms:?}"
        );
        let named = answer["assumptions"].as_array().unwrap();
        assert!(
            named
                .iter()
                .any(|assumption| assumption["code"] == "implausible-accepted"),
            "{terms:?}: {answer}"
        );
    }
    // At the bounds themselves nothing is said, and nothing where conditions do not matter.
    for terms in [
        ["--temperature=-40C", "--pressure=500hPa"],
        ["--temperature=70C", "--pressure=1300hPa"],
    ] {
        let mut arguments = vec!["convert", "25ppm", "-s", "CO", "--to", "mg/m3"];
        arguments.extend(terms);
        folder.run(&arguments).exits(0);
    }
    folder
        .run(&["convert", "25ppm", "--to", "ppb", "--pressure=1013kPa"])
        .exits(0);
}

#[test]
fn reference_conditions_of_a_catalog_are_no_less_doubted() {
    let folder = Folder::new("convert-implausible-reference").with(
        "catalog.yaml",
        "catalog: quay\ntitle: Quay\nrevision: 2026-03-02\nformat: 1\nbuilds_on: [stainbook-reference]\nreference_conditions: {temperature: 20 °C, pressure: 1013 kPa}\n",
    );
    folder
        .run(&["convert", "25ppm", "-s", "CO", "--to", "mg/m3"])
        .exits(2)
        .says("`1013 hPa` may be meant");
}

#[test]
fn the_pressure_of_a_weather_report_is_brought_to_the_altitude() {
    let folder = Folder::new("convert-sea-level");
    let base = ["convert", "25ppm", "-s", "CO", "--to", "mg/m3"];
    let run = |more: &[&str]| folder.run(&base.iter().chain(more).copied().collect::<Vec<_>>());
    let answer = run(&[
        "--temperature=15C",
        "--altitude=1600m",
        "--sea-level-pressure=1020hPa",
        "--format=json",
    ])
    .exits(0)
    .json();
    // 1020 hPa · (1 + 0.0065·1600/288.15)^−5.25588, worked out apart from the program.
    let here = 84.658;
    let pressure = answer["conditions"]["pressure"]["value"].as_f64().unwrap();
    assert!((pressure - here).abs() < 1e-3, "{pressure} {here}");
    let at_place = format!("--pressure={here} kPa");
    let same = run(&["--temperature=15C", &at_place, "--format=json"]).exits(0);
    let value = |answer: &serde_json::Value| answer["result"]["value"].as_f64().unwrap();
    assert!((value(&answer) / value(&same.json()) - 1.0).abs() < 1e-5);
    assert_eq!(answer["assumptions"][0]["code"], "sea-level-pressure");
    let text = answer["assumptions"][0]["text"].as_str().unwrap();
    for words in ["1600 m", "1020 hPa at sea level", "15 °C at the place"] {
        assert!(text.contains(words), "{text}");
    }
    run(&["--temperature=15C", "--sea-level-pressure=1020hPa"])
        .exits(2)
        .says("--altitude");
    run(&[
        "--temperature=15C",
        "--altitude=1600m",
        "--pressure=847hPa",
        "--sea-level-pressure=1020hPa",
    ])
    .exits(2);
}

#[test]
fn usage_errors_speak_json_as_well() {
    let folder = Folder::new("convert-usage");
    let error = folder
        .run(&["convert", "25ppm", "--format", "json"])
        .exits(2)
        .json();
    assert_eq!(error["error"]["code"], "usage");
    folder
        .run(&["convert", "25ppm"])
        .exits(2)
        .says("--to <UNIT>");
    folder.run(&["nonsense"]).exits(2);
}

#[test]
fn the_answer_for_people() {
    let folder = Folder::new("convert-text");
    let mut arguments = vec!["convert", "25ppm", "-s", "CO", "--to", "mg/m3"];
    arguments.extend(AT_25);
    let text = folder.run(&arguments).exits(0).stdout;
    let stable: Vec<&str> = text
        .lines()
        .filter(|line| !line.contains("catalog"))
        .collect();
    insta::assert_snapshot!(stable.join("\n"), @r"
    25 ppm carbon monoxide = 28.6 mg/m³ at 25 °C and 101.325 kPa
      molar mass    28.01 g/mol, from the formula CO
      molar volume  24.465 L/mol, R·T/p
      in full       28.622049677634 mg/m³
      assumed       the volume fraction is of the air as it is, water vapour
                    included
    ");
}

#[test]
fn zeros_at_the_end_of_a_whole_number_are_no_digits() {
    let folder = Folder::new("convert-zeros");
    for (value, text) in [
        ("1000 ppm", "1140 mg/m³"),
        ("1e3 ppm", "1140 mg/m³"),
        ("1110000 ppb", "1270 mg/m³"),
        ("1000.0 ppm", "1144.9 mg/m³"),
    ] {
        let mut arguments = vec!["convert", value, "--substance", "CO", "--to", "mg/m3"];
        arguments.extend(["--format", "json"]);
        arguments.extend(AT_25);
        let answer = folder.run(&arguments).exits(0).json();
        assert_eq!(answer["result"]["text"], text, "{value}");
    }
}

#[test]
fn no_answer_shows_what_binary_arithmetic_leaves_behind() {
    let folder = Folder::new("convert-noise");
    for (value, to, expected) in [
        ("0.055 ppm", "ppb", "55"),
        ("0.0055 %", "ppm", "55"),
        ("0.29 mg/m3", "µg/m3", "290"),
        ("70 ppb", "%", "7e-6"),
        ("1.1 ppm", "ppb", "1100"),
    ] {
        let run = folder.run(&["convert", value, "--to", to, "--format", "json"]);
        let answer = run.exits(0).json();
        assert_eq!(
            answer["result"]["value"].to_string(),
            format!("{:?}", expected.parse::<f64>().unwrap()),
            "{value}"
        );
    }
}

#[test]
fn an_altitude_beyond_the_atmosphere_is_refused_as_it_was_typed() {
    let folder = Folder::new("convert-feet");
    folder
        .run(&[
            "convert",
            "25 ppm",
            "--substance",
            "CO",
            "--to",
            "mg/m3",
            "--temperature",
            "8 °C",
            "--altitude",
            "36090 ft",
        ])
        .exits(2)
        .says("`36090 ft` is outside");
}

#[test]
fn humidity_below_freezing_says_what_it_counts_over() {
    let folder = Folder::new("convert-frost");
    let at = |temperature| {
        folder
            .run(&[
                "convert",
                "25 ppm",
                "--substance",
                "CO",
                "--to",
                "mg/m3",
                "--temperature",
                temperature,
                "--pressure",
                "101.3 kPa",
                "--basis",
                "dry",
                "--humidity",
                "50 %RH",
            ])
            .exits(0)
            .stdout
    };
    assert!(at("-5 °C").contains("supercooled water"));
    assert!(!at("5 °C").contains("supercooled water"));
}
