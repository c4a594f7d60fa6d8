//! The demo's surveys against values that were worked by hand from its sheets (`tests/vectors/demo.csv`).
#![cfg(test)]

use std::collections::BTreeMap;

use stainbook_catalog::{Book, embedded};
use stainbook_evaluation::worked::check_worked;
use stainbook_evaluation::{Options, ReadingResult, evaluate};
use stainbook_survey::table::{DecimalMark, evaluate_csv};

fn results(book: &Book) -> BTreeMap<String, ReadingResult> {
    let options = Options::default();
    let from_yaml = book
        .surveys()
        .flat_map(|(_, survey)| evaluate(book, survey, &options).results);
    let from_tables = embedded::demo_tables().flat_map(|table| {
        evaluate_csv(book, table.text, DecimalMark::Point, &options)
            .unwrap()
            .results
    });
    from_yaml
        .chain(from_tables)
        .map(|result| (result.id.clone(), result))
        .collect()
}

#[test]
fn as_worked_by_hand() {
    let (book, _) = Book::demo();
    let results = results(&book);
    let path =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/vectors/demo.csv");
    let mut rows = csv::Reader::from_path(path).unwrap();
    let mut wrong = Vec::new();
    let mut checked = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let (id, status, value, within) = (&row[1], &row[2], &row[3], &row[4]);
        let Some(result) = results.get(id) else {
            wrong.push(format!("{id} is missing"));
            continue;
        };
        checked += 1;
        if result.status.name() != status {
            wrong.push(format!(
                "{id}: {} and not {status}: {:?}",
                result.status.name(),
                result.refusal
            ));
        }
        if !value.is_empty() {
            let (value, within): (f64, f64) = (value.parse().unwrap(), within.parse().unwrap());
            let found = result
                .concentration
                .as_ref()
                .map_or(f64::NAN, |amount| amount.value);
            if found.is_nan() || (found / value - 1.0).abs() > within {
                wrong.push(format!("{id}: {found} and not {value}: {}", &row[5]));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(
        checked,
        results.len(),
        "a reading of the demo without a value worked by hand"
    );
}

#[test]
fn the_demo_shows_what_it_is_meant_to_show() {
    let (book, _) = Book::demo();
    let results = results(&book);
    for (id, flag) in [
        ("r03", "outside-usable-temperature"),
        ("r05", "lot-expired"),
        ("r08", "indicative-reads-low"),
        ("r11", "leak-test-failed"),
        ("r11", "accuracy-assumed"),
        ("r12", "leak-test-missing"),
        ("r12", "indicative-stain-may-be-missed"),
        ("r14", "tube-temperature-differs"),
        ("r15", "cold-tube"),
        ("r19", "pre-tube-expired"),
        ("r21", "pump-not-allowed"),
        ("r22", "sheet-not-verified"),
        ("r23", "pump-volume-check-overdue"),
        ("r23", "group-expressed-as"),
        ("r24", "leak-test-missing"),
        ("h09", "lot-expired"),
    ] {
        let flags: Vec<&str> = results[id]
            .flags
            .iter()
            .map(|flag| flag.code.as_str())
            .collect();
        assert!(flags.contains(&flag), "{id}: {flags:?}");
    }
    assert_eq!(
        results["r09"].repeat_with.as_ref().unwrap().strokes,
        Some(1.0)
    );
    let clean: Vec<&str> = results["r01"]
        .flags
        .iter()
        .map(|flag| flag.code.as_str())
        .collect();
    assert!(clean.is_empty(), "{clean:?}");
}

#[test]
fn the_demo_sheets_work_out_their_own_examples() {
    let (book, _) = Book::demo();
    let wrong: Vec<String> = check_worked(&book)
        .iter()
        .map(|finding| finding.message_text().to_owned())
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let examples: usize = book.tubes().map(|(_, tube)| tube.worked.len()).sum();
    assert!(examples > 20, "{examples}");
}

/// The shift survey's readings together, by hand: `(18 · 90 + 45 · 40 + 0.44 · 240) / 480` with the last term from
/// zero; the mean of 48, 55 and 52; `(3.6 − 0.6 · 1.2) / (1 − 0.6 · 0.12)` and `(1.2 − 0.12 · 3.6) / (1 − 0.6 · 0.12)`; and
/// these as shares of 10 and of 5 ppm.
#[test]
fn together_as_worked_by_hand() {
    let (book, _) = Book::demo();
    let survey = book.survey("shift-2026-06-17").unwrap();
    let evaluation = evaluate(&book, survey, &Options::default());
    assert!(evaluation.is_complete(), "{:#?}", evaluation.together);
    let row = |id: &str| {
        let found = evaluation.together.iter().find(|row| row.id == id);
        found.unwrap_or_else(|| panic!("no {id}"))
    };
    let near = |a: Option<f64>, b: f64| assert!((a.unwrap() / b - 1.0).abs() < 1e-6, "{a:?} {b}");
    near(row("fitter").lowest, 7.125);
    near(row("fitter").highest, 7.345);
    near(row("s05 s06 s07").value, 155.0 / 3.0);
    let [chlorine, dioxide] = &row("brine-wash").solved[..] else {
        panic!("{:#?}", row("brine-wash"))
    };
    near(chlorine.value, 2.88 / 0.928);
    near(dioxide.value, 0.768 / 0.928);
    near(row("brine-wash-sum").value, 2.88 / 9.28 + 0.768 / 4.64);
    assert_eq!(row("dippers").tests[0].decision.words(), "compliance");
}
