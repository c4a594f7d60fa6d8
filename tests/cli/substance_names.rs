//! A substance by name, formula, CAS number, synonym, or its name in another language, wherever the command asks for one.

use serde_json::Value;

use crate::runner::{Folder, repository};

const CONDITIONS: [&str; 4] = ["--temperature", "20C", "--pressure", "101.3 kPa"];

fn convert(name: &str, substance: &str) -> crate::runner::CommandOutcome {
    let mut arguments = vec![
        "convert",
        "25 ppm",
        "--substance",
        substance,
        "--to",
        "mg/m3",
    ];
    arguments.extend(CONDITIONS);
    Folder::new(name).run(&arguments)
}

#[test]
fn one_substance_by_all_its_names() {
    let usual = convert("names-convert-usual", "carbon-monoxide").exits(0);
    assert_eq!(usual.stderr, "");
    for (number, (typed, by)) in [
        ("carbon monoxide", ""),
        ("CARBON MONOXIDE", ""),
        ("CO", "its formula"),
        ("OC", "its formula"),
        ("630-08-0", "its CAS number"),
        ("carbon oxide", "another name of it"),
        ("Kohlenmonoxid", "its name in German"),
        ("monoxyde de carbone", "its name in French"),
        ("monossido di carbonio", "its name in Italian"),
    ]
    .into_iter()
    .enumerate()
    {
        let said = convert(&format!("names-convert-{number}"), typed).exits(0);
        assert_eq!(said.stdout, usual.stdout, "{typed}");
        let told = match by {
            "" => String::new(),
            by => format!("`{typed}` is understood as carbon monoxide, by {by}\n"),
        };
        assert_eq!(said.stderr, told, "{typed}");
    }
}

#[test]
fn what_may_be_two_things_or_another_is_refused() {
    for (number, (typed, said)) in [
        ("Co", "`Co` is cobalt, and carbon monoxide is `CO`"),
        (
            "co",
            "formulas are written with their capitals, and carbon monoxide is `CO`",
        ),
        (
            "no",
            "formulas are written with their capitals, and nitric oxide is `NO`",
        ),
        (
            "C2H6O",
            "`C2H6O` may be any of dimethyl-ether (C2H6O), ethanol (C2H6O)",
        ),
        (
            "Benzin",
            "`Benzin` may be any of benzene (C6H6), petrol-vapour (a group)",
        ),
        (
            "benzina",
            "`benzina` may be any of benzene (C6H6), petrol-vapour (a group)",
        ),
        (
            "630-08-1",
            "`630-08-1` has the check digit `1` where its other digits ask for `0`",
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let converted = convert(&format!("names-refused-{number}"), typed).exits(2);
        assert!(
            converted.stderr.contains(said),
            "{typed}: {}",
            converted.stderr
        );
        let found = Folder::new(&format!("names-not-found-{number}"))
            .run(&["find", "-s", typed, "--level", "5 ppm"])
            .exits(2);
        let start = said.split(" has the").next().unwrap();
        assert!(found.stderr.contains(start), "{typed}: {}", found.stderr);
    }
    // `NO` is nitric oxide, whatever other readers of YAML make of the word.
    let said = convert("names-no", "NO").exits(0);
    assert!(
        said.stdout.starts_with("25 ppm nitric oxide = "),
        "{}",
        said.stdout
    );
}

#[test]
fn a_search_by_other_names_is_the_same_search() {
    let find = |name: &str, gas: &str, other: &str| {
        let present = format!("{other}=0.1 ppm");
        let mut arguments = vec![
            "find",
            "-s",
            gas,
            "--level",
            "0.5 ppm",
            "--present",
            &present,
        ];
        arguments.extend([
            "--temperature",
            "6C",
            "--humidity",
            "80%RH",
            "--pressure",
            "99.8kPa",
        ]);
        Folder::new(name).run(&arguments).exits(0)
    };
    let usual = find("names-find-usual", "chlorine", "chlorine-dioxide");
    let other = find("names-find-other", "Chlor", "ClO2");
    assert_eq!(other.stdout, usual.stdout);
    for told in [
        "`Chlor` is understood as chlorine, by its name in Czech, German and Polish",
        "`ClO2` is understood as chlorine dioxide, by its formula",
    ] {
        assert_eq!(other.stderr.matches(told).count(), 1, "{}", other.stderr);
        assert!(!usual.stderr.contains(told));
    }
}

fn survey(gas: &str, other: &str) -> String {
    let reading = |id: &str| {
        format!(
            "  - {{id: {id}, at: \"2026-06-16T07:22+01:00\", place: quay, tube: brinewash-chlorine-a-r2, lot: 24-131, expires: 2027-09, pump: pump-02, leak_test: held, strokes: 3, substance: {gas}, reading: {{at: 1.5 ppm}}, present: [{{substance: {other}, level: 0.1 ppm}}]}}\n"
        )
    };
    format!(
        "survey: quay\ntitle: Quay\nby: KL\nconditions: {{air_temperature: 6 °C, humidity: 80 %RH, pressure: 998 hPa}}\nreadings:\n{}{}",
        reading("r1"),
        reading("r2"),
    )
}

fn results(said: &str) -> Value {
    let said: Value = serde_json::from_str(said).unwrap();
    said["results"].clone()
}

#[test]
fn a_survey_by_other_names_has_the_same_results_and_records() {
    let demo = repository("catalog/demo");
    let evaluated = |name: &str, gas: &str, other: &str| {
        let folder = Folder::new(name).with("quay.survey.yaml", survey(gas, other));
        let said = folder.run(&[
            "evaluate",
            "quay.survey.yaml",
            "--catalog",
            &demo,
            "--format",
            "json",
            "--output",
            "record.json",
        ]);
        (folder, said)
    };
    let (usual, said) = evaluated("names-survey-usual", "bromine", "chlorine-dioxide");
    assert!(!said.stderr.contains("understood"), "{}", said.stderr);
    let wanted = results(&usual.read("record.json"));
    assert!(wanted[0]["concentration"]["value"].is_number(), "{wanted}");
    for (number, (gas, other)) in [
        ("Br2", "ClO2"),
        ("7726-95-6", "10049-04-4"),
        ("Brom", "Chlordioxid"),
        ("Bromo", "chlorine dioxide"),
    ]
    .into_iter()
    .enumerate()
    {
        let (folder, said) = evaluated(&format!("names-survey-{number}"), gas, other);
        // Records hold short names, so that they need no names of this catalog.
        assert_eq!(results(&folder.read("record.json")), wanted, "{gas}");
        let told = format!("`{gas}` is understood as `bromine`");
        assert!(said.stderr.contains(&told), "{}", said.stderr);
        folder
            .run(&["evaluate", "--verify", "record.json", "--catalog", &demo])
            .exits(0);
        // The usual form is written where it is asked for, and nothing else is.
        folder
            .run(&["check", "quay.survey.yaml", "--catalog", &demo, "--fix"])
            .exits(0);
        assert_eq!(
            folder.read("quay.survey.yaml"),
            survey("bromine", "chlorine-dioxide")
        );
    }
}

#[test]
fn a_table_by_other_names_says_once_what_was_understood() {
    let demo = repository("catalog/demo");
    let table = |gas: &str| {
        let mut table = String::from(
            "id,at,place,tube,lot,expires,pump,leak_test,strokes,substance,reading [ppm],air_temperature [°C],humidity [%RH],pressure [hPa]\n",
        );
        for id in ["r1", "r2", "r3"] {
            table.push_str(&format!("{id},2026-06-16T07:22+01:00,quay,brinewash-chlorine-a-r2,24-131,2027-09,pump-02,held,3,{gas},1.5,6,80,998\n"));
        }
        table
    };
    let evaluated = |name: &str, gas: &str| {
        Folder::new(name).with("quay.csv", table(gas)).run(&[
            "evaluate",
            "quay.csv",
            "--catalog",
            &demo,
            "--format",
            "json",
        ])
    };
    let usual = evaluated("names-table-usual", "bromine");
    for (number, gas) in ["Br2", "7726-95-6", "Brom"].into_iter().enumerate() {
        let said = evaluated(&format!("names-table-{number}"), gas);
        assert_eq!(results(&said.stdout), results(&usual.stdout), "{gas}");
        let told = format!("`{gas}` is understood as `bromine`");
        assert_eq!(said.stderr.matches(&told).count(), 1, "{}", said.stderr);
    }
    // A cell that looks like a word for "no" is no substance, and the capitals of a formula count.
    for (number, (gas, said_of)) in [("no", "`no`"), ("Co", "`Co`"), ("NO", "`nitric-oxide`")]
        .into_iter()
        .enumerate()
    {
        let said = evaluated(&format!("names-table-other-{number}"), gas).exits(1);
        let refused = said.json()["results"][0]["refusal"].to_string();
        assert!(refused.contains(said_of), "{refused}");
    }
}

#[test]
fn a_lab_s_own_names_count_with_those_of_the_reference() {
    let folder = Folder::new("names-lab")
        .with(
            "lab/catalog.yaml",
            "catalog: lab\ntitle: Lab\nrevision: 2026-11-25\nformat: 1\nbuilds_on: [stainbook-reference]\n",
        )
        .with(
            "lab/quay-gas.substance.yaml",
            "substance: quay-gas\nname: quay gas\nalso_called: [carbon oxide]\nformula: N2\nidentified_by: niosh-pocket-guide\n",
        );
    let convert = |gas: &str| {
        let mut arguments = vec![
            "convert",
            "25 ppm",
            "--catalog",
            "lab",
            "--substance",
            gas,
            "--to",
            "mg/m3",
        ];
        arguments.extend(CONDITIONS);
        folder.run(&arguments)
    };
    assert!(
        convert("Quay gas")
            .exits(0)
            .stdout
            .starts_with("25 ppm quay gas = ")
    );
    let both = convert("carbon oxide").exits(2);
    assert!(
        both.stderr
            .contains("`carbon oxide` may be any of quay-gas (N2), carbon-monoxide (CO)"),
        "{}",
        both.stderr
    );
    let both = convert("N2").exits(2);
    assert!(both.stderr.contains("may be any of"), "{}", both.stderr);
}
