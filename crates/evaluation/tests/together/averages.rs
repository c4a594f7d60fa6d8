//! Averages over a shift and over a quarter of an hour.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use stainbook_catalog::written::LimitKind;
use stainbook_core::elementary::powi;
use stainbook_core::{Duration, VolumeFraction, exposure};
use stainbook_evaluation::result::{GroupStatus, Verdict};

use crate::plant::{codes, plant, refused, round, row};

fn a(id: &str, seen: &str, stands_for: &str) -> String {
    format!(
        "id: {id}, tube: ta, lot: '1', reading: {{{seen}}}, reads_to: tenth, stands_for: {stands_for}"
    )
}

fn average(readings: &[String], rest: &str) -> stainbook_evaluation::Evaluation {
    let ids: Vec<&str> = readings
        .iter()
        .map(|r| r.trim_start_matches("id: ").split(',').next().unwrap())
        .collect();
    let readings: Vec<&str> = readings.iter().map(String::as_str).collect();
    round(
        &plant(),
        &readings,
        &format!(
            "together:\n  - {{id: m, method: average, readings: [{}]{rest}}}",
            ids.join(", ")
        ),
    )
}

/// 29 CFR 1910.1000(d)(1)(ii), from memory: 2 h at 150 ppm, 2 h at 75 ppm and 4 h at 50 ppm make 81.25 ppm, below a limit of
/// 100 ppm. The same example is a row of `tests/published/other_examples.csv`.
#[test]
fn the_rule_s_own_example() {
    let evaluation = average(
        &[
            a("r1", "at: 150 ppm", "2 h"),
            a("r2", "at: 75 ppm", "2 h"),
            a("r3", "at: 50 ppm", "4 h"),
        ],
        ", over: 8 h",
    );
    let m = row(&evaluation, "m");
    assert_eq!(m.status, GroupStatus::Measured);
    assert!((m.value.unwrap() - 81.25).abs() < 1e-9, "{m:#?}");
    assert!(m.indicative && codes(&m.flags).contains(&"indicative-long-period"));
    let against = &m.against[0];
    assert_eq!(
        (against.limit.text.as_str(), &against.limit.kind),
        ("100 ppm", &LimitKind::EightHours.into())
    );
    assert!(!against.directly_comparable);
    assert!(against.probability_above.unwrap() < 0.05);
    assert_eq!(against.verdict, Some(Verdict::Below));
    assert_eq!(
        against.reason.as_deref(),
        Some("indicative: an average over more than 15 minutes from short-term tubes")
    );
    // The short-term limit and the 10-hour one are averages over other periods, and the ceiling is for none.
    let others: Vec<_> = m.against[1..]
        .iter()
        .map(|a| (a.limit.kind.to_string(), a.verdict))
        .collect();
    assert_eq!(
        others,
        [
            ("short-term".to_owned(), None),
            ("8-hour average".to_owned(), None)
        ]
    );
    assert_eq!(
        m.against[2].reason.as_deref(),
        Some("the limit is an average over 10 h, this one is over 8 h")
    );
    assert_eq!(m.text.as_deref(), Some("81 (71 to 94)"));
}

/// By hand, for two readings of 100 ppm for 4 h each: accuracy within 10 % with 95 % (10 / 1.96 = 5.102 %) and strokes
/// within 5 % by the pump's check (see the budget of the reading) are in common, reading and repeatability are not.
#[test]
fn what_is_in_common_does_not_average_out() {
    let evaluation = average(
        &[a("r1", "at: 100 ppm", "4 h"), a("r2", "at: 100 ppm", "4 h")],
        "",
    );
    let m = row(&evaluation, "m");
    let of_one = evaluation.results[0].uncertainty.as_ref().unwrap();
    let part = |code: &str| {
        of_one
            .budget
            .iter()
            .find(|line| line.code == code)
            .map_or(0.0, |line| line.relative)
    };
    let common: f64 = ["accuracy", "stroke-volume"]
        .iter()
        .map(|code| powi(part(code), 2))
        .sum();
    let own: f64 = ["reading", "repeatability"]
        .iter()
        .map(|code| powi(part(code), 2))
        .sum();
    assert!((common + own - powi(of_one.relative, 2)).abs() < 1e-12);
    let expected = 100.0 * (common + own / 2.0).sqrt();
    let uncertainty = m.uncertainty.as_ref().unwrap();
    assert!(
        (uncertainty.standard - expected).abs() < 1e-9,
        "{} {expected}",
        uncertainty.standard
    );
    assert!(
        uncertainty
            .budget
            .iter()
            .all(|line| line.shared == matches!(line.code.as_str(), "accuracy" | "stroke-volume"))
    );
    let total: f64 = uncertainty
        .budget
        .iter()
        .map(|line| line.contribution)
        .sum();
    assert!((total - 100.0).abs() < 1e-9);
}

#[test]
fn bounds_are_carried() {
    for (readings, outcome, lowest, highest, text, verdict) in [
        // 1 ppm is the first mark, 1000 ppm the last.
        (
            vec![
                a("r1", "at: 40 ppm", "4 h"),
                a("r2", "seen: below first mark", "4 h"),
            ],
            GroupStatus::Between,
            Some(20.0),
            Some(20.5),
            "20.0 to 20.5",
            Verdict::Below,
        ),
        (
            vec![
                a("r1", "seen: no stain", "4 h"),
                a("r2", "seen: below first mark", "4 h"),
            ],
            GroupStatus::LessThan,
            Some(0.0),
            Some(1.0),
            "less than 1.00",
            Verdict::Below,
        ),
        (
            vec![
                a("r1", "at: 40 ppm", "6 h"),
                a("r2", "seen: beyond last mark", "2 h"),
            ],
            GroupStatus::MoreThan,
            Some(280.0),
            None,
            "more than 280",
            Verdict::Above,
        ),
        (
            vec![
                a("r1", "at: 40 ppm", "450 min"),
                a("r2", "seen: beyond last mark", "30 min"),
            ],
            GroupStatus::MoreThan,
            Some(100.0),
            None,
            "more than 100",
            Verdict::CannotTell,
        ),
    ] {
        let evaluation = average(&readings, "");
        let m = row(&evaluation, "m");
        assert_eq!(m.status, outcome);
        let near = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-9,
            (a, b) => a == b,
        };
        assert!(
            near(m.lowest, lowest) && near(m.highest, highest),
            "{:?} {:?}",
            m.lowest,
            m.highest
        );
        let said = m.text.as_deref().unwrap();
        assert!(m.value.is_none() && said.starts_with(text), "{said}");
        assert_eq!(m.against[0].verdict, Some(verdict), "{text}");
        assert_eq!(m.against[0].probability_above, None);
    }
}

#[test]
fn time_without_a_reading_is_never_filled_in_silently() {
    let readings = [a("r1", "at: 40 ppm", "2 h"), a("r2", "at: 60 ppm", "2 h")];
    let unknown = average(&readings, "");
    let m = row(&unknown, "m");
    assert_eq!(
        (m.status, m.lowest.unwrap(), m.highest),
        (GroupStatus::MoreThan, 25.0, None)
    );
    assert!(codes(&m.flags).contains(&"time-not-covered"));
    assert_eq!(m.against[0].verdict, Some(Verdict::CannotTell));
    let period = m.period.as_ref().unwrap();
    assert_eq!(
        (period.over, period.covered, period.not_covered),
        (480.0, 240.0, 240.0)
    );
    assert_eq!(
        (period.rest.to_string(), period.over_covered.lowest),
        ("unknown".to_owned(), Some(50.0))
    );
    for (rest, value, words) in [
        (", rest: without exposure", 25.0, "without exposure"),
        (
            ", rest: like the sampled time",
            50.0,
            "like the sampled time",
        ),
    ] {
        let evaluation = average(&readings, rest);
        let m = row(&evaluation, "m");
        assert_eq!(m.status, GroupStatus::Measured);
        assert!((m.value.unwrap() - value).abs() < 1e-9);
        assert_eq!(m.period.as_ref().unwrap().rest.to_string(), words);
        assert_eq!(m.against[0].verdict, Some(Verdict::Below));
    }
}

#[test]
fn a_long_shift_is_not_averaged_down() {
    let evaluation = average(
        &[a("r1", "at: 90 ppm", "6 h"), a("r2", "at: 60 ppm", "4 h")],
        "",
    );
    let m = row(&evaluation, "m");
    // (90 · 6 + 60 · 4) / 8
    assert!((m.value.unwrap() - 97.5).abs() < 1e-9);
    assert!(codes(&m.flags).contains(&"longer-than-period"));
}

#[test]
fn a_quarter_of_an_hour_speaks_to_the_short_term_limit() {
    let evaluation = average(
        &[
            a("r1", "at: 200 ppm", "5 min"),
            a("r2", "at: 50 ppm", "10 min"),
        ],
        ", over: 15 min",
    );
    let m = row(&evaluation, "m");
    assert!((m.value.unwrap() - 100.0).abs() < 1e-9);
    assert!(!m.indicative);
    let short: Vec<_> = m
        .against
        .iter()
        .map(|a| (a.limit.text.as_str(), a.verdict, a.directly_comparable))
        .collect();
    assert_eq!(
        short,
        [
            ("100 ppm", None, false),
            ("150 ppm", Some(Verdict::Below), true),
            ("80 ppm", None, false)
        ]
    );
    let long = average(
        &[
            a("r1", "at: 200 ppm", "10 min"),
            a("r2", "at: 50 ppm", "10 min"),
        ],
        ", over: 15 min",
    );
    assert_eq!(refused(row(&long, "m")), "longer-than-period");
}

#[test]
fn refusals() {
    let b = "id: r2, tube: tb, lot: '1', reading: {at: 40 ppm}, stands_for: 1 h".to_owned();
    let first = a("r1", "at: 40 ppm", "1 h");
    let without_time = "id: r2, tube: ta, lot: '1', reading: {at: 40 ppm}".to_owned();
    let off = a("r2", "at: 4000 ppm", "1 h");
    let blank = format!("{}, blank: true", a("r2", "seen: no stain", "1 h"));
    for (second, code) in [
        (b, "several-gases"),
        (without_time, "time-missing"),
        (off, "reading-refused"),
        (blank, "blank-among-readings"),
        (first.clone(), "id-repeated"),
    ] {
        let evaluation = average(&[first.clone(), second.clone()], "");
        let m = row(&evaluation, "m");
        let code_of = if code == "id-repeated" {
            "reading-named-twice"
        } else {
            code
        };
        let got = m.refusal.as_ref().unwrap().code.as_str();
        assert!(got == code || got == code_of, "{second}: {got}");
        assert!(!evaluation.is_complete());
    }
    let unknown = round(
        &plant(),
        &[&first],
        "together:\n  - {id: m, method: average, readings: [r1, r9]}",
    );
    assert_eq!(refused(row(&unknown, "m")), "reading-unknown");
}

/// A doubtful reading makes a doubtful average.
#[test]
fn doubts_are_carried() {
    let leaked = a("r2", "at: 20 ppm", "4 h").replace("lot:", "leak_test: leaked, lot:");
    let text = format!("id: x, {leaked}").replace("id: x, ", "");
    let readings = [a("r1", "at: 20 ppm", "4 h"), text];
    let rows: Vec<&str> = readings.iter().map(String::as_str).collect();
    let evaluation = round_without_leak_test(&rows);
    let m = row(&evaluation, "m");
    assert!(
        codes(&m.flags).contains(&"leak-test-failed"),
        "{:?}",
        m.flags
    );
    assert_eq!(m.against[0].verdict, Some(Verdict::CannotTell));
    // The other reading says nothing of a leak test, and every flag that withholds the verdict is said with it.
    assert!(m.against[0].reason.as_ref().unwrap().contains("r1: "));
    assert_eq!(
        m.against[0].in_words(),
        "cannot tell (no leak test recorded; pump leaked)"
    );
}

/// A pump that leaked with one reading makes what was read with it that day doubtful.
#[test]
fn a_pump_that_leaked_is_doubtful_all_day() {
    let with = |id: &str, test: &str, more: &str| {
        a(id, "at: 20 ppm", "4 h").replace("lot:", &format!("leak_test: {test}, {more}lot:"))
    };
    let readings = [with("r1", "held", ""), with("r2", "leaked", "")];
    let rows: Vec<&str> = readings.iter().map(String::as_str).collect();
    let evaluation = round_without_leak_test(&rows);
    let [first, second] = evaluation.results.as_slice() else {
        panic!("two readings")
    };
    let text = |result: &stainbook_evaluation::ReadingResult| {
        let leaked = result
            .flags
            .iter()
            .find(|flag| flag.code.as_str() == "leak-test-failed");
        leaked.unwrap().text.clone()
    };
    assert!(text(first).contains("see reading r2"), "{}", text(first));
    assert!(!text(second).contains("see reading"));
    assert!(
        first
            .against
            .iter()
            .all(|against| against.verdict != Some(Verdict::Below))
    );
    let step = first
        .before_use
        .iter()
        .find(|step| step.code == "leak-test")
        .unwrap();
    assert_eq!(step.on_record.as_deref(), Some("leaked, see reading r2"));
    let held = [with("r1", "held", ""), with("r2", "held", "")];
    let rows: Vec<&str> = held.iter().map(String::as_str).collect();
    let evaluation = round_without_leak_test(&rows);
    assert!(
        evaluation
            .results
            .iter()
            .all(|result| !codes(&result.flags).contains(&"leak-test-failed"))
    );
}

fn round_without_leak_test(rows: &[&str]) -> stainbook_evaluation::Evaluation {
    use stainbook_catalog::{Book, SourceFile};
    let rows: Vec<String> = rows
        .iter()
        .map(|r| format!("  - {{at: \"2026-03-02T07:40+00:00\", expires: 2027-01, strokes: 1, pump: p1, {r}}}\n"))
        .collect();
    let text = format!(
        "survey: s\ntitle: A round\nby: KL\nconditions: {{air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\ntogether:\n  - {{id: m, method: average, readings: [r1, r2]}}\nreadings:\n{}",
        rows.concat()
    );
    let (surveys, _) = Book::read([SourceFile::new("s.survey.yaml", text)]);
    stainbook_evaluation::evaluate(
        &plant(),
        surveys.survey("s").unwrap(),
        &stainbook_evaluation::Options::default(),
    )
}

fn shifts() -> impl Strategy<Value = Vec<(f64, u32)>> {
    // 2 to 6 readings of 1 to 1000 ppm on the tenth, for 10 to 80 min each.
    prop::collection::vec((10_u32..10_000, 10_u32..80), 2..6).prop_map(|rows| {
        rows.into_iter()
            .map(|(c, t)| (f64::from(c) / 10.0, t))
            .collect()
    })
}

fn rows_of(shift: &[(f64, u32)]) -> Vec<String> {
    shift
        .iter()
        .enumerate()
        .map(|(i, (c, t))| {
            a(
                &format!("r{i}"),
                &format!("at: {c} ppm"),
                &format!("{t} min"),
            )
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(env!("CARGO_MANIFEST_DIR"), "/proptest-regressions/averages.txt")))), ..ProptestConfig::default() })]

    /// The average over the sampled time lies between the lowest and the highest reading, is what the core's function gives,
    /// and its uncertainty is never above that of full correlation. Neither depends on the order.
    #[test]
    fn between_least_and_most(shift in shifts()) {
        let evaluation = average(&rows_of(&shift), ", rest: like the sampled time");
        let m = row(&evaluation, "m");
        let value = m.value.unwrap();
        let least = shift.iter().map(|(c, _)| *c).fold(f64::MAX, f64::min);
        let most = shift.iter().map(|(c, _)| *c).fold(0.0, f64::max);
        prop_assert!(least * (1.0 - 1e-12) <= value && value <= most * (1.0 + 1e-12));
        let samples: Vec<_> = shift
            .iter()
            .map(|(c, t)| (VolumeFraction::from_ppm(*c).unwrap(), Duration::from_minutes(f64::from(*t)).unwrap()))
            .collect();
        let covered: u32 = shift.iter().map(|(_, t)| *t).sum();
        let core = exposure::time_weighted_average(&samples, Duration::from_minutes(f64::from(covered)).unwrap()).unwrap();
        prop_assert!((core.ppm() - value).abs() <= 1e-9 * value);
        let full: f64 = shift
            .iter()
            .zip(&evaluation.results)
            .map(|((_, t), result)| f64::from(*t) / f64::from(covered) * result.uncertainty.as_ref().unwrap().standard)
            .sum();
        let standard = m.uncertainty.as_ref().unwrap().standard;
        prop_assert!(standard <= full * (1.0 + 1e-9));

        let mut turned = rows_of(&shift);
        turned.reverse();
        let other = average(&turned, ", rest: like the sampled time");
        let other = row(&other, "m");
        prop_assert!((other.value.unwrap() - value).abs() <= 1e-9 * value);
        prop_assert!((other.uncertainty.as_ref().unwrap().standard - standard).abs() <= 1e-9 * standard);
    }

    /// A greater reading never lowers either end; a bound in place of a reading only widens.
    #[test]
    fn ends_are_monotone(shift in shifts(), which in 0_usize..6, up in 1.0_f64..3.0) {
        let which = which % shift.len();
        let rows = rows_of(&shift);
        let ends = |rows: &[String]| {
            let evaluation = average(rows, ", rest: without exposure");
            let m = row(&evaluation, "m").clone();
            (m.lowest.unwrap_or(0.0), m.highest.unwrap_or(f64::MAX))
        };
        let (low, high) = ends(&rows);
        let mut more = shift.clone();
        more[which].0 = (more[which].0 * up).min(1000.0);
        let (more_low, more_high) = ends(&rows_of(&more));
        prop_assert!(low <= more_low * (1.0 + 1e-12) && high <= more_high * (1.0 + 1e-12));
        let mut bound = rows.clone();
        bound[which] = a(&format!("r{which}"), "seen: below first mark", &format!("{} min", shift[which].1));
        let (bound_low, bound_high) = ends(&bound);
        prop_assert!(bound_low <= low * (1.0 + 1e-12) && bound_high <= high * (1.0 + 1e-12));
    }
}
