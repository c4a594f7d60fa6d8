//! `check` where a file has thousands of faults: what is shown, what is counted, and how much is said.

use crate::check_formats::{FORMATS, counted, lab};
use crate::runner::CommandOutcome;

fn unknown_fields(count: usize) -> String {
    (0..count).fold("pump: p\nkind: quay-piston\n".to_owned(), |text, field| {
        text + &format!("k{field}: 1\n")
    })
}

fn on_one_line(count: usize) -> String {
    let fields = (0..count).fold(String::new(), |text, field| {
        text + &format!(", kk-{field}: 1")
    });
    format!("{{pump: p, kind: quay-piston{fields}}}\n")
}

#[test]
fn a_thousand_of_one_rule_are_shown_of_a_file_and_the_rest_is_counted_in_every_format() {
    let folder = lab("many-findings").with("pumps/p.pump.yaml", unknown_fields(1200));
    let key = ("error".to_owned(), "unknown-key".to_owned());
    for format in FORMATS {
        let said = folder.run(&["check", ".", "--as-of", "2026-03-02", "--format", format]);
        assert_eq!(said.code, Some(1), "{format}");
        assert_eq!(counted(format, &said).get(&key), Some(&1001), "{format}");
        let rest = "200 more findings of `unknown-key` in this file are not shown";
        assert_eq!(
            said.stdout.matches(rest).count(),
            expected(format),
            "{format}"
        );
        let total = match format {
            "text" => &said.stdout,
            "json" => {
                let json = said.json();
                assert_eq!(json["errors"], 1200);
                let last = json["findings"].as_array().unwrap().last().unwrap().clone();
                assert_eq!(last["facts"]["not_shown"]["value"], 200.0);
                continue;
            }
            _ => &said.stderr,
        };
        assert!(total.contains("1200 errors"), "{format}: {}", said.stderr);
    }
}

/// JUnit says a message as an attribute and again in the text.
fn expected(format: &str) -> usize {
    if format == "junit" { 2 } else { 1 }
}

#[test]
fn what_is_only_counted_is_still_in_a_baseline() {
    let folder = lab("many-findings-baseline").with("pumps/p.pump.yaml", unknown_fields(1200));
    let run = |option: &str| -> CommandOutcome {
        folder.run(&[
            "check",
            "pumps",
            "--as-of",
            "2026-03-02",
            option,
            "known.yaml",
        ])
    };
    assert_eq!(run("--write-baseline").code, Some(0));
    assert_eq!(
        folder.read("known.yaml").matches("unknown-key").count(),
        1200
    );
    let again = run("--baseline");
    assert_eq!(again.code, Some(0), "{}", again.stdout);
    assert!(
        again.stderr.contains("1200 known findings passed over"),
        "{}",
        again.stderr
    );
}

#[test]
fn a_report_of_twice_as_many_findings_on_one_line_is_about_twice_as_long() {
    for format in FORMATS {
        let said = |count: usize| {
            let folder = lab(&format!("one-line-{format}-{count}"))
                .with("pumps/p.pump.yaml", on_one_line(count));
            let said = folder.run(&[
                "check",
                "pumps",
                "--as-of",
                "2026-03-02",
                "--format",
                format,
            ]);
            assert_eq!(
                counted(format, &said).values().sum::<usize>(),
                count,
                "{format}"
            );
            said.stdout.len()
        };
        let (once, twice) = (said(400), said(800));
        assert!(twice <= once * 5 / 2, "{format}: {once} and {twice} bytes");
    }
}
