//! Finding a tube: what is proposed comes out on evaluating it, every sheet is in one list, and each reason has its cause.
#![cfg(test)]
#![allow(clippy::float_cmp, reason = "a test compares with the very figure")]

#[path = "../../evaluation/tests/support/mod.rs"]
mod support;

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use stainbook_catalog::written::Conditions;
use stainbook_catalog::{Book, EntryKind};
use stainbook_core::elementary::{ln, powf};
use stainbook_core::{Duration, Written};
use stainbook_evaluation::outcome::{Code, Refusal};
use stainbook_evaluation::result::Verdict;
use stainbook_evaluation::{Options, SheetErrors};
use stainbook_tube_search::{Condition, Search, Wanted, Weight, find};
use support::{GOOD, book, book_of, changed, close, one, value};

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/proptest-regressions/finding.txt"
        )))),
        ..ProptestConfig::with_cases(cases)
    }
}

fn air(celsius: &str, humidity: &str, pressure: &str) -> Conditions {
    serde_yaml::from_str(&format!(
        "{{air_temperature: {celsius} °C, humidity: {humidity} %RH, pressure: {pressure} kPa}}"
    ))
    .unwrap()
}

fn at(level: &str) -> Wanted {
    let mut wanted = Wanted::default();
    wanted.substance = "chlorine".to_owned();
    wanted.level = Some(level.parse().unwrap());
    wanted.conditions = air("20", "50", "101.3");
    wanted
}

fn with(wanted: Wanted, yaml: &str) -> Wanted {
    let mut wanted = wanted;
    wanted.present = serde_yaml::from_str(yaml).unwrap();
    wanted
}

fn limits(names: &[&str]) -> Wanted {
    let mut wanted = at("1 ppm");
    wanted.level = None;
    wanted.limits = names.iter().map(|name| (*name).to_owned()).collect();
    wanted
}

#[track_caller]
fn search(book: &Book, wanted: &Wanted) -> Search {
    find(book, wanted, &Options::default()).unwrap_or_else(|refusal| panic!("{refusal:?}"))
}

fn refused(book: &Book, wanted: &Wanted) -> Refusal {
    find(book, wanted, &Options::default()).unwrap_err()
}

/// The code of the first reason why the only sheet cannot serve.
#[track_caller]
fn why_not(book: &Book, wanted: &Wanted) -> String {
    let search = search(book, wanted);
    assert!(search.serve.is_empty(), "{:#?}", search.serve);
    search.cannot[0].why[0].code.to_string()
}

fn seconds(number: f64) -> Duration {
    Duration::from_seconds(number).unwrap()
}

/// A second sheet for the same gas, less precise, and one for another gas.
fn three_sheets() -> Book {
    let rough = changed(
        support::SHEET,
        &[
            ("slip-chlorine", "rough-chlorine"),
            ("rsd: 10 %", "rsd: 25 %"),
            ("within: 20 %", "within: 35 %"),
        ],
    );
    let other = changed(
        support::SHEET,
        &[
            ("slip-chlorine", "pit-hydrogen-sulfide"),
            (
                "measures: {substance: chlorine}",
                "measures: {substance: hydrogen-sulfide}",
            ),
            (
                "    - {substance: hydrogen-sulfide, alone: no stain, together: reads low, matters_from_times: 2}\n",
                "",
            ),
        ],
    );
    book_of(
        &[],
        &[
            ("rough-chlorine-r2.tube.yaml", rough.as_str()),
            ("pit-hydrogen-sulfide-r2.tube.yaml", other.as_str()),
        ],
    )
}

proptest! {
    #![proptest_config(cases(24))]

    /// Every proposal is confirmed by the evaluation, whatever the air and whatever else is in it.
    #[test]
    fn the_level_comes_back(
        share in 0.0..1.0_f64,
        celsius in 0..40_i32,
        kilopascals in 80..105_i32,
        dioxide in prop::option::of(1..30_i32),
    ) {
        let book = book();
        // From well below what the tube measures to well above it.
        let level = 0.2 * powf(300.0, share);
        let level = format!("{level:.4} ppm");
        let mut wanted = at(&level); wanted.conditions = air(&celsius.to_string(), "50", &kilopascals.to_string());
        let present = dioxide.map_or("[]".to_owned(), |tenths| {
            format!("[{{substance: chlorine-dioxide, level: {} ppm}}]", f64::from(tenths) / 10.0)
        });
        let found = search(&book, &with(wanted, &present));
        prop_assert_eq!(found.serve.len() + found.cannot.len(), 1);
        let sought = level.parse::<Written<stainbook_core::Concentration>>().unwrap().number();
        // The bands adjoin, and no air of these moves their ends further in than this.
        if dioxide.is_none() && (0.7..37.0).contains(&sought) {
            prop_assert_eq!(found.serve.len(), 1, "{:?}", found.cannot);
        }
        for at in found.serve.iter().flat_map(|found| &found.levels) {
            for way in at.best.iter().chain(&at.others) {
                prop_assert!(way.lowest <= sought * (1.0 + 1e-9) && sought <= way.highest * (1.0 + 1e-9));
                prop_assert!((0.0..=1.0).contains(&way.position));
                let result = one(&book, &format!(
                    "{GOOD}, strokes: {}, reading: {{at: {} ppm}}, present: {present}, conditions: {{air_temperature: {celsius} °C, humidity: 50 %RH, pressure: {kilopascals} kPa}}",
                    way.strokes, way.reading
                ));
                prop_assert!((value(&result) / sought - 1.0).abs() < 1e-9, "{} for {}", value(&result), sought);
                let uncertainty = result.uncertainty.unwrap();
                prop_assert!((uncertainty.expanded / way.expanded - 1.0).abs() < 1e-6);
                // Nothing is proposed that the leaflet does not vouch for.
                prop_assert!(!result.flags.iter().any(|flag| flag.code == Code::OutsidePrintedRange));
            }
        }
    }

    /// The same sheets in any order of the files give the same answer.
    #[test]
    fn the_order_of_the_files_does_not_count(order in Just(vec![0, 1, 2, 3, 4, 5]).prop_shuffle()) {
        let mut entries: Vec<Option<_>> = three_sheets().into_entries().into_iter().map(Some).collect();
        prop_assert_eq!(entries.len(), order.len());
        let shuffled = order.into_iter().filter_map(|index: usize| entries[index].take()).collect();
        let wanted = limits(&["all"]);
        prop_assert_eq!(search(&Book::assemble(shuffled), &wanted), search(&three_sheets(), &wanted));
    }
}

#[test]
fn every_sheet_of_the_demo_is_in_one_list_for_every_gas_that_it_knows() {
    let (book, _) = Book::demo();
    let all: Vec<&str> = book.ids(EntryKind::Tube);
    for gas in [
        "chlorine",
        "bromine",
        "ammonia",
        "amines",
        "n-hexane",
        "phosphine",
        "methane",
    ] {
        let search = search(&book, &{
            let mut wanted = at("10 ppm");
            wanted.substance = gas.to_owned();
            wanted
        });
        let mut seen: Vec<&str> = search
            .serve
            .iter()
            .map(|found| found.sheet.as_str())
            .chain(search.cannot.iter().map(|sheet| sheet.sheet.as_str()))
            .collect();
        seen.sort_unstable();
        assert_eq!(seen, all, "{gas}");
        let ranks: Vec<usize> = search.serve.iter().map(|found| found.rank).collect();
        assert_eq!(ranks, (1..=search.serve.len()).collect::<Vec<_>>());
        for sheet in &search.cannot {
            assert!(!sheet.why.is_empty());
            for why in &sheet.why {
                assert!(!why.text.is_empty() && !why.remedy.is_empty(), "{why:?}");
            }
        }
    }
}

/// 2 strokes, worked by hand: at 10 °C and 95 kPa a reading is multiplied by 1.10 · 101.3 / 95.
#[test]
fn the_ends_are_those_of_the_air() {
    let mut wanted = at("5 ppm");
    wanted.conditions = air("10", "50", "95");
    let found = search(&book(), &wanted);
    let way = found.serve[0].levels[0].best.as_ref().unwrap();
    let factor = 1.10 * 101.3 / 95.0;
    assert!(close(way.strokes, 2.0) && close(way.seconds, 80.0));
    assert!(close(way.reading, 5.0 / factor), "{}", way.reading);
    assert!(close(way.lowest, factor) && close(way.highest, 20.0 * factor));
    assert_eq!(way.between_marks.map(f64::round), [2.0, 5.0]);
    assert!(close(way.position, ln(5.0 / factor) / ln(20.0)));
}

#[test]
fn why_a_sheet_cannot_serve() {
    let with_air = |celsius, humidity| {
        let mut wanted = at("5 ppm");
        wanted.conditions = air(celsius, humidity, "101.3");
        wanted
    };
    let pump = |name: &str| {
        let mut wanted = at("5 ppm");
        wanted.pump = Some(name.to_owned());
        wanted
    };
    let other_kind = changed(
        support::KIND,
        &[("pump_kind: quay", "pump_kind: wharf"), ("Quay", "Wharf")],
    );
    let no_halves = changed(
        support::KIND,
        &[("half_strokes: true", "half_strokes: false")],
    );
    for (book, wanted, code) in [
        (book(), at("0.1 ppm"), "level-below-range"),
        (book(), at("80 ppm"), "level-above-range"),
        (
            book(),
            {
                let mut wanted = at("5 ppm");
                wanted.within = Some(seconds(60.0));
                wanted
            },
            "time-too-short",
        ),
        (book(), with_air("20", "95"), "outside-usable-humidity"),
        (book(), with_air("-2", "50"), "outside-usable-temperature"),
        (
            book_of(&[], &[("wharf.pump-kind.yaml", other_kind.as_str())]),
            pump("wharf"),
            "pump-not-allowed",
        ),
        (
            book_of(&[], &[("quay.pump-kind.yaml", no_halves.as_str())]),
            {
                let mut wanted = at("30 ppm");
                wanted.pump = Some("pump-1".to_owned());
                wanted
            },
            "half-stroke-impossible",
        ),
        (
            book_of(
                &[(
                    "measures:",
                    "withdrawn: {since: 2026-01-31, because: leaflet recalled}\nmeasures:",
                )],
                &[],
            ),
            at("5 ppm"),
            "sheet-withdrawn",
        ),
        (
            book(),
            {
                let mut wanted = at("5 ppm");
                wanted.substance = "ammonia".to_owned();
                wanted
            },
            "other-gas-only",
        ),
        (
            book_of(
                &[(
                    "measures: {substance: chlorine}",
                    "measures: {group: amines, expressed_as: methylamine}",
                )],
                &[],
            ),
            {
                let mut wanted = at("5 ppm");
                wanted.substance = "ethylamine".to_owned();
                wanted
            },
            "group-member-only",
        ),
        (
            book(),
            with(
                at("1 ppm"),
                "[{substance: chlorine-dioxide, level: 200 ppm}]",
            ),
            "other-gas-dominates",
        ),
    ] {
        assert_eq!(why_not(&book, &wanted), code);
    }
    // The same half stroke serves with the usual pump, and enough time makes the other serve.
    assert_eq!(search(&book(), &at("30 ppm")).serve.len(), 1);
    let mut enough = at("5 ppm");
    enough.within = Some(seconds(80.0));
    assert_eq!(search(&book(), &enough).serve.len(), 1);
    let errors = |_: &str| SheetErrors::own(2);
    let options = Options::default().with_sheet_errors(&errors);
    let faulty = find(&book(), &at("5 ppm"), &options).unwrap();
    assert_eq!(faulty.cannot[0].why[0].code, Code::SheetHasErrors);
    assert!(faulty.cannot[0].measures_it);
}

#[test]
fn what_speaks_for_and_against() {
    let book = book();
    let codes = |wanted: &Wanted, heavy: bool| -> Vec<String> {
        let search = search(&book, wanted);
        let weight = if heavy { Weight::Heavy } else { Weight::Light };
        search.serve[0]
            .against
            .iter()
            .filter(|reason| reason.weight == weight)
            .map(|reason| reason.code.to_string())
            .collect()
    };
    let none: [&str; 0] = [];
    assert_eq!(codes(&at("5 ppm"), true), none);
    assert_eq!(codes(&at("5 ppm"), false), none);
    for (wanted, code, heavy) in [
        (
            with(at("5 ppm"), "[{substance: nitrogen-dioxide, level: 3 ppm}]"),
            "indicative-reads-high",
            true,
        ),
        (
            with(at("5 ppm"), "[{substance: phosphine}]"),
            "other-gas-not-on-sheet",
            true,
        ),
        (
            with(at("5 ppm"), "[{substance: chlorine-dioxide, level: 1 ppm}]"),
            "other-gas-subtracted",
            false,
        ),
        (at("30 ppm"), "half-strokes", false),
        (at("1.01 ppm"), "near-end-of-range", false),
        (
            limits(&["NIOSH ceiling"]),
            "part-of-limit-not-reached",
            false,
        ),
    ] {
        let found = codes(&wanted, heavy);
        assert!(found.iter().any(|found| found == code), "{code}: {found:?}");
    }
    let quiet = with(
        at("5 ppm"),
        "[{substance: nitrogen-dioxide, level: 0.5 ppm}]",
    );
    let said: Vec<String> = search(&book, &quiet).serve[0]
        .pro
        .iter()
        .map(|reason| reason.code.to_string())
        .collect();
    assert!(said.contains(&"other-gas-no-effect".to_owned()), "{said:?}");
}

/// Nobody is told to break a half stroke off after half of the time that its row prints.
#[test]
fn half_a_stroke_takes_the_time_that_its_row_prints() {
    let time = "to: 50, seconds_per_stroke: 40, ";
    for (whose, expected) in [
        ("", 40.0),
        ("seconds_for: half stroke, ", 40.0),
        ("seconds_for: whole stroke, ", 20.0),
    ] {
        let said = format!("{time}{whose}");
        let book = book_of(&[(time, said.as_str())], &[]);
        let found = search(&book, &at("30 ppm"));
        let way = found.serve[0].levels[0].best.as_ref().unwrap();
        assert!(
            close(way.strokes, 0.5) && close(way.seconds, expected),
            "{whose}"
        );
        let mut hurried = at("30 ppm");
        hurried.within = Some(seconds(30.0));
        assert_eq!(search(&book, &hurried).serve.is_empty(), 30.0 < expected);
    }
}

/// At calibration the sheet measures 0.4 to 50 ppm with 6, 2 and half a stroke.
#[test]
fn how_much_around_a_limit() {
    let found = search(&book(), &limits(&["OSHA ceiling"]));
    let coverage = found.serve[0].levels[0].coverage.as_ref().unwrap();
    assert!(close(coverage.from_times, 0.4) && close(coverage.to_times, 50.0));
    assert_eq!(coverage.strokes, [0.5, 2.0, 6.0]);
    assert_eq!(coverage.whole, Some(true));
    // In 80 s there is no time for the 6 strokes, and half the limit is out of reach.
    let mut hurried = limits(&["OSHA ceiling"]);
    hurried.within = Some(seconds(80.0));
    let found = search(&book(), &hurried);
    let coverage = found.serve[0].levels[0].coverage.as_ref().unwrap();
    assert!(close(coverage.from_times, 1.0));
    assert_eq!(coverage.whole, Some(false));
}

/// The thresholds are where the evaluation's verdict turns.
#[test]
fn the_thresholds_are_where_the_verdict_turns() {
    let book = book();
    let mut wanted = at("9 ppm");
    wanted.limits = vec!["IDLH".to_owned()];
    let found = search(&book, &wanted);
    let judged = found.serve[0].levels[0].best.as_ref().unwrap().judged[0].clone();
    assert_eq!(judged.verdict, Some(Verdict::CannotTell));
    let (below, above) = (judged.below_up_to.unwrap(), judged.above_from.unwrap());
    assert!(below < 10.0 && 10.0 < above, "{below} {above}");
    for (level, verdict) in [
        (below * 0.999, Verdict::Below),
        (below * 1.001, Verdict::CannotTell),
        (above * 0.999, Verdict::CannotTell),
        (above * 1.001, Verdict::Above),
    ] {
        let mut there = at(&format!("{level:.6} ppm"));
        there.limits = vec!["IDLH".to_owned()];
        let found = search(&book, &there);
        let way = found.serve[0].levels[0].best.as_ref().unwrap();
        assert!(close(way.strokes, 2.0));
        assert_eq!(way.judged[0].verdict, Some(verdict), "{level}");
    }
    // 10 ppm is far above the lowest visible concentration, and 0.2 ppm is not far below 0.5 ppm.
    assert!(judged.no_stain_says_below);
}

#[test]
fn the_better_sheet_comes_first_and_the_other_gas_last() {
    let found = search(&three_sheets(), &at("5 ppm"));
    let order: Vec<&str> = found
        .serve
        .iter()
        .map(|found| found.sheet.as_str())
        .collect();
    assert_eq!(order, ["slip-chlorine-r2", "rough-chlorine-r2"]);
    assert_eq!(found.cannot[0].sheet, "pit-hydrogen-sulfide-r2");
    assert!(!found.cannot[0].measures_it);
    let relative = |index: usize| {
        let found: &stainbook_tube_search::SuitableTube = &found.serve[index];
        found.levels[0].best.as_ref().unwrap().relative_expanded
    };
    assert!(relative(0) < relative(1));
}

#[test]
fn what_is_not_stated_is_said_to_be_assumed() {
    let mut wanted = at("5 ppm");
    wanted.conditions = Conditions::default();
    let found = search(&book(), &wanted);
    let assumed: Vec<(Condition, &str)> = found.serve[0]
        .assumed
        .iter()
        .map(|assumed| (assumed.condition, assumed.value.as_str()))
        .collect();
    assert_eq!(
        assumed,
        [
            (Condition::AirTemperature, "20 °C"),
            (Condition::Humidity, "50 %RH"),
            (Condition::Pressure, "101.3 kPa")
        ]
    );
    assert!(
        found
            .statements
            .iter()
            .any(|s| s.code == Code::ConditionsAssumed)
    );
    assert!(search(&book(), &at("5 ppm")).serve[0].assumed.is_empty());
}

#[test]
fn questions_that_cannot_be_answered() {
    let book = book();
    let of = |substance: &str| {
        let mut wanted = at("5 ppm");
        wanted.substance = substance.to_owned();
        wanted
    };
    let mut without_air = at("5 mg/m³");
    without_air.conditions = Conditions::default();
    for (wanted, code, says) in [
        (of("clorine"), "unknown-substance", "`chlorine`"),
        (of("xylene"), "ambiguous-substance", "name one of them"),
        (without_air, "missing-conditions", "--temperature"),
        (
            {
                let mut wanted = at("5 ppm");
                wanted.level = None;
                wanted
            },
            "level-missing",
            "US OSHA ceiling 1 ppm",
        ),
        (limits(&["ceiling"]), "limit-ambiguous", "US OSHA ceiling"),
        (
            {
                let mut wanted = limits(&["OSHA"]);
                wanted.substance = "amines".to_owned();
                wanted
            },
            "group-without-limits",
            "--level",
        ),
        (
            {
                let mut wanted = at("5 ppm");
                wanted.pump = Some("pump-9".to_owned());
                wanted
            },
            "pump-unknown",
            "`pump-1`",
        ),
        (
            with(at("5 ppm"), "[{substance: phosphin}]"),
            "unknown-substance",
            "`phosphine`",
        ),
    ] {
        let refusal = refused(&book, &wanted);
        assert_eq!(refusal.code.as_str(), code);
        assert!(refusal.remedy.contains(says), "{refusal:?}");
    }
}

/// 5 mg/m³ of chlorine (70.90 g/mol) at 20 °C and 101.3 kPa are 5 · 24.0614 / 70.90 ppm, by hand.
#[test]
fn a_level_in_mass_is_read_in_the_air_of_the_place() {
    let found = search(&book(), &at("5 mg/m³"));
    let ppm = found.levels[0].ppm.unwrap();
    assert!((ppm - 5.0 * 24.0614 / 70.90).abs() < 1e-3, "{ppm}");
    let way = found.serve[0].levels[0].best.as_ref().unwrap();
    assert!((way.reading - ppm).abs() < 1e-6);
    assert!(close(way.lowest, 5.0 / ppm), "{}", way.lowest);
}
