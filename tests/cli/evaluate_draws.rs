//! `evaluate` with draws.

use crate::runner::{Folder, repository};

fn results(folder: &Folder, arguments: &[&str]) -> Vec<serde_json::Value> {
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let mut all = vec!["evaluate", &survey, "--format", "json"];
    all.extend(arguments);
    folder.run(&all).json()["results"]
        .as_array()
        .unwrap()
        .clone()
}

#[test]
fn the_same_seed_gives_the_same_figures_and_another_one_others() {
    let folder = Folder::new("evaluate-draws");
    let drawn = |seed| results(&folder, &["--draws", "25000", "--seed", seed]);
    let (first, again, other) = (drawn("7"), drawn("7"), drawn("8"));
    assert_eq!(first, again);
    let mut measured = 0;
    for (first, other) in first.iter().zip(&other) {
        let of = |result: &serde_json::Value| result["uncertainty"]["monte_carlo"].clone();
        let (first_drawn, other_drawn) = (of(first), of(other));
        // A bound has no uncertainty, and so nothing to draw.
        assert_eq!(first_drawn.is_null(), first["status"] != "measured");
        if first_drawn.is_null() {
            continue;
        }
        measured += 1;
        assert_eq!(first_drawn["draws"], 25_000);
        assert_eq!(first_drawn["seed"], 7);
        assert_eq!(first_drawn["adaptive"], false);
        assert_ne!(first_drawn["median"], other_drawn["median"]);
        // The two methods are of one model: nowhere in the demo is an end of one more than a third off that of the other.
        for end in 0..2 {
            let of = |ends: &serde_json::Value| ends[end].as_f64().unwrap();
            let drawn = of(&first_drawn["interval_symmetric"]);
            let propagated = of(&first["uncertainty"]["interval"]);
            assert!((drawn / propagated - 1.0).abs() < 0.34, "{first}");
        }
        let symmetric = &first_drawn["interval_symmetric"];
        let width =
            |ends: &serde_json::Value| ends[1].as_f64().unwrap() - ends[0].as_f64().unwrap();
        let shortest = &first_drawn["interval_shortest"];
        assert!(shortest[0].is_null() || width(shortest) <= width(symmetric));
        // That the methods disagree is always said, as a flag where a limit lies between their ends.
        let said = |list: &str| {
            let list = first[list].as_array().unwrap();
            let remark = list.iter().find(|said| said["code"] == "propagation-rough");
            remark.map(|remark| remark["text"].as_str().unwrap().to_owned())
        };
        let (flag, statement) = (said("flags"), said("statements"));
        assert!(flag.is_none() || statement.is_none(), "{first}");
        let text = flag.as_ref().or(statement.as_ref());
        assert_eq!(text.is_some(), first_drawn["agrees"] == false);
        let divides = text.is_some_and(|text| text.contains("inside one of them and outside"));
        assert_eq!(flag.is_some(), divides, "{text:?}");
        let limit_between = first["against"].as_array().unwrap().iter().any(|against| {
            let Some(ppm) = against["limit"]["as_ppm"].as_f64() else {
                return false;
            };
            let value = first["concentration"]["value"].as_f64().unwrap();
            let limit = ppm * value / first["as_ppm"].as_f64().unwrap();
            let inside = |ends: &serde_json::Value| {
                ends[0].as_f64().unwrap() <= limit && limit <= ends[1].as_f64().unwrap()
            };
            !against["verdict"].is_null()
                && inside(&first["uncertainty"]["interval"]) != inside(symmetric)
        });
        assert_eq!(divides, text.is_some() && limit_between, "{first}");
    }
    assert!(3 < measured);
}

#[test]
fn without_being_asked_nothing_is_drawn() {
    let folder = Folder::new("evaluate-no-draws");
    for result in results(&folder, &[]) {
        assert!(result["uncertainty"]["monte_carlo"].is_null());
    }
}

#[test]
fn too_few_draws_are_refused() {
    let folder = Folder::new("evaluate-few-draws");
    let survey = repository("catalog/demo/surveys/hatchery-2026-09-10.survey.csv");
    let said = folder.run(&["evaluate", &survey, "--draws", "10"]);
    assert_eq!(said.code, Some(2));
}
