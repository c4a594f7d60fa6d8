//! Results in each of their views, on the surveys of the embedded demo.

#![cfg(test)]

use stainbook_catalog::Book;
use stainbook_core::print::without_noise;
use stainbook_evaluation::{Evaluation, MonteCarloOptions, Options, Status, evaluate};
use stainbook_present::results_text::{self, Detail};
use stainbook_present::{Colour, results_csv, results_json};
use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another};

fn demo() -> Vec<Evaluation> {
    let (book, findings) = Book::demo();
    assert!(findings.is_empty(), "{findings:?}");
    book.surveys()
        .map(|(_, survey)| evaluate(&book, survey, &Options::default()))
        .collect()
}

/// The text without line breaks and indents, so that a sentence can be looked for.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn nothing_of_a_result_is_left_out() {
    for evaluation in demo() {
        let text = results_text::render(&evaluation, Detail::Compact, Colour::Plain);
        let text = flat(&text);
        for result in &evaluation.results {
            assert!(text.contains(&result.id));
            for flag in &result.flags {
                assert!(
                    text.contains(&flat(&flag.text)) && text.contains(&format!("[{}]", flag.code)),
                    "{}",
                    flag.text
                );
            }
            for remark in result.statements.iter().map(|statement| &statement.text) {
                assert!(text.contains(&flat(remark)), "{remark}");
            }
            if let Some(refusal) = &result.refusal {
                assert!(
                    text.contains(&flat(&refusal.text)) && text.contains(&flat(&refusal.remedy)),
                    "{refusal:?}"
                );
            }
            for correction in &result.corrections {
                assert!(
                    text.contains(&flat(&correction.from.words)),
                    "{correction:?}"
                );
            }
            for against in &result.against {
                assert!(
                    text.contains(&format!(
                        "{} {}",
                        against.limit.authority, against.limit.kind
                    )),
                    "{against:?}"
                );
            }
        }
        for caution in &evaluation.cautions {
            assert_eq!(text.matches(&flat(&caution.text)).count(), 1);
        }
    }
}

#[test]
fn in_full_every_source_of_uncertainty_has_its_figures() {
    for evaluation in demo() {
        let text = flat(&results_text::render(
            &evaluation,
            Detail::Full,
            Colour::Plain,
        ));
        for result in &evaluation.results {
            for line in result
                .uncertainty
                .iter()
                .flat_map(|uncertainty| &uncertainty.budget)
            {
                assert!(text.contains(&flat(&line.origin)), "{line:?}");
            }
            if let Some(digest) = &result.sheet_digest {
                assert!(text.contains(digest));
            }
        }
    }
}

#[test]
fn the_table_and_the_json_hold_the_same_figures() {
    for evaluation in demo() {
        let json: serde_json::Value =
            serde_json::from_str(&results_json::render(&evaluation).unwrap()).unwrap();
        assert_eq!(json["schema_version"], 2);
        let csv = results_csv::render(&evaluation).unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        assert_eq!(reader.headers().unwrap(), &results_csv::columns()[..]);
        let value_at = results_csv::columns()
            .iter()
            .position(|name| *name == "value")
            .unwrap();
        let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), evaluation.results.len());
        for ((row, result), json) in rows
            .iter()
            .zip(&evaluation.results)
            .zip(json["results"].as_array().unwrap())
        {
            assert_eq!(&row[0], result.id);
            assert_eq!(json["status"], result.status.name());
            match &result.concentration {
                Some(concentration) => {
                    let printed: f64 = row[value_at].parse().unwrap();
                    assert!((printed - without_noise(concentration.value)).abs() <= 0.0);
                    assert_eq!(json["concentration"]["value"].as_f64(), Some(printed));
                }
                None => assert_eq!((&row[value_at], result.status), ("", Status::Refused)),
            }
        }
    }
}

/// Columns of the Monte Carlo method in the table of results, empty where nothing was drawn.
#[test]
fn draws_have_columns_of_their_own() {
    let (book, _) = Book::demo();
    let (_, survey) = book.surveys().next().unwrap();
    let drawn = Options::default().with_monte_carlo(MonteCarloOptions::new(
        Settings::new(Draws::Exactly(2_000), 7),
        &one_after_another,
    ));
    for (options, draws) in [(drawn, true), (Options::default(), false)] {
        let evaluation = evaluate(&book, survey, &options);
        let csv = results_csv::render(&evaluation).unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let head = reader.headers().unwrap().clone();
        for (row, result) in reader.records().zip(&evaluation.results) {
            let row = row.unwrap();
            let cell = |name: &str| &row[head.iter().position(|head| head == name).unwrap()];
            let of = result
                .uncertainty
                .as_ref()
                .and_then(|u| u.monte_carlo.as_ref());
            assert_eq!(of.is_some(), draws && result.status == Status::Measured);
            let ends = |of: [Option<f64>; 2]| {
                of.map(|end| end.map_or_else(String::new, |end| without_noise(end).to_string()))
            };
            let expected = of.map_or_else(Default::default, |of| {
                let [[a, b], [c, d]] = [ends(of.interval_symmetric), ends(of.interval_shortest)];
                [
                    of.draws.to_string(),
                    of.seed.to_string(),
                    without_noise(of.median).to_string(),
                    a,
                    b,
                    c,
                    d,
                ]
            });
            let found = [
                "draws",
                "seed",
                "median of the draws",
                "symmetric from",
                "symmetric to",
                "shortest from",
                "shortest to",
            ]
            .map(|name| cell(name).to_owned());
            assert_eq!(found, expected, "{}", result.id);
        }
    }
}

#[test]
fn results_come_back_from_json_as_they_were() {
    for evaluation in demo() {
        let json = results_json::render(&evaluation).unwrap();
        let back: Evaluation = serde_json::from_str(&json).unwrap();
        // But for the noise of binary arithmetic.
        assert_eq!(results_json::render(&back).unwrap(), json);
        for number in json.split_whitespace() {
            let number = number.trim_matches(',').split('e').next().unwrap();
            let digits = number.trim_start_matches(['0', '.', '-']);
            if number.parse::<f64>().is_ok() {
                let digits = digits.chars().filter(char::is_ascii_digit).count();
                assert!(digits <= 14, "{number}");
            }
            assert!(!number.contains("00000000"), "{number}");
        }
        let values = |of: &Evaluation| -> Vec<Option<f64>> {
            let results = of.results.iter();
            let values = results.map(|result| result.concentration.as_ref().map(|c| c.value));
            values.map(|value| value.map(without_noise)).collect()
        };
        assert_eq!(values(&back), values(&evaluation));
    }
}
