//! Findings as text, in short, for a pipeline's log and as test results.

use stainbook::check_book;
use stainbook_catalog::{Book, SourceFile};
use stainbook_check::Deny;
use stainbook_document::finding::Finding;
use stainbook_present::findings_junit::{self, Looked};
use stainbook_present::{Colour, Sources, findings_github, findings_short, findings_text};

/// A kind of pump, and what is found in it.
fn checked(text: &str) -> (Book, Vec<Finding>) {
    let (book, report) = check_book(
        [SourceFile::new("quay.pump-kind.yaml", text.to_owned())],
        None,
    );
    (book, report.findings)
}

const SOUND: &str = "pump_kind: quay\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

fn two_slips() -> String {
    SOUND.replace("100 mL", "0,1 L").replace("5 %", "12 %")
}

fn as_text(text: &str) -> String {
    let (book, findings) = checked(text);
    findings_text::render(&findings, &Sources::of_book(&book), 1, Colour::Plain)
}

#[test]
fn as_text_with_carets() {
    insta::assert_snapshot!(as_text(SOUND), @"no findings in 1 file");
    insta::assert_snapshot!(as_text(&two_slips()), @r"
    error[decimal-comma]: `0,1 L` has a comma in its number
     --> quay.pump-kind.yaml:3:9
      |
    3 | stroke: 0,1 L
      |         ^^^^^
      |
      = note: a comma parts decimals in some countries and thousands in others; thousands come in threes, so
              that this one parts decimals
      = help: write a decimal point: `0.1 L`

    warning[volume-tolerance-wide]: this kind of pump may be off by more than pumps for tubes usually are
     --> quay.pump-kind.yaml:5:19
      |
    5 | volume_tolerance: 12 %
      |                   ^^^^ 12 % written, 5 % usual
      |
      = note: a stroke that is too small draws too little gas, and the reading is too low by about as much;
              the tolerance goes into the uncertainty of every result with such a pump
      = help: look at the pump's instructions: a digit may have slipped; if they allow so much, accept the
              finding with that as the reason

    1 error, 1 warning in 1 file
    ");
}

#[test]
fn in_a_line_each() {
    let (book, findings) = checked(&two_slips());
    let sources = Sources::of_book(&book);
    insta::assert_snapshot!(findings_short::render(&findings, &sources), @r"
    quay.pump-kind.yaml:3:9: error[decimal-comma]: `0,1 L` has a comma in its number; write a decimal point: `0.1 L`
    quay.pump-kind.yaml:5:19: warning[volume-tolerance-wide]: this kind of pump may be off by more than pumps for tubes usually are; look at the pump's instructions: a digit may have slipped; if they allow so much, accept the finding with that as the reason
    ");
    insta::assert_snapshot!(findings_github::render(&findings, &sources), @r"
    ::error file=quay.pump-kind.yaml,line=3,endLine=3,col=9,endColumn=14,title=decimal-comma::`0,1 L` has a comma in its number%0Aa comma parts decimals in some countries and thousands in others; thousands come in threes, so that this one parts decimals%0Awrite a decimal point: `0.1 L`
    ::warning file=quay.pump-kind.yaml,line=5,endLine=5,col=19,endColumn=23,title=volume-tolerance-wide::this kind of pump may be off by more than pumps for tubes usually are%0Aa stroke that is too small draws too little gas, and the reading is too low by about as much; the tolerance goes into the uncertainty of every result with such a pump%0Alook at the pump's instructions: a digit may have slipped; if they allow so much, accept the finding with that as the reason
    ");
}

#[test]
fn as_test_results() {
    let junit = |text: &str| {
        let (book, findings) = checked(text);
        let groups = [(findings.as_slice(), Sources::of_book(&book))];
        findings_junit::render(
            &groups,
            &Looked {
                files: &["quay.pump-kind.yaml"],
                failures: &[],
                deny: Deny::Errors,
            },
        )
    };
    insta::assert_snapshot!(junit(SOUND), @r#"
    <?xml version="1.0" encoding="UTF-8"?>
    <testsuites name="stainbook check" tests="1" failures="0" errors="0" time="0">
      <testsuite name="quay.pump-kind.yaml" tests="1" failures="0" errors="0" skipped="0" time="0">
        <testcase name="no findings" classname="quay.pump-kind.yaml" file="quay.pump-kind.yaml" time="0"/>
      </testsuite>
    </testsuites>
    "#);
    insta::assert_snapshot!(junit(&two_slips()), @r#"
    <?xml version="1.0" encoding="UTF-8"?>
    <testsuites name="stainbook check" tests="2" failures="1" errors="0" time="0">
      <testsuite name="quay.pump-kind.yaml" tests="2" failures="1" errors="0" skipped="0" time="0">
        <testcase name="error[decimal-comma] at 3:9" classname="quay.pump-kind.yaml" file="quay.pump-kind.yaml" line="3" time="0">
          <failure type="error" message="`0,1 L` has a comma in its number">quay.pump-kind.yaml:3:9: error[decimal-comma]: `0,1 L` has a comma in its number&#10;a comma parts decimals in some countries and thousands in others; thousands come in threes, so that this one parts decimals&#10;write a decimal point: `0.1 L`</failure>
        </testcase>
        <testcase name="warning[volume-tolerance-wide] at 5:19" classname="quay.pump-kind.yaml" file="quay.pump-kind.yaml" line="5" time="0">
          <system-out>quay.pump-kind.yaml:5:19: warning[volume-tolerance-wide]: this kind of pump may be off by more than pumps for tubes usually are&#10;a stroke that is too small draws too little gas, and the reading is too low by about as much; the tolerance goes into the uncertainty of every result with such a pump&#10;look at the pump&apos;s instructions: a digit may have slipped; if they allow so much, accept the finding with that as the reason</system-out>
        </testcase>
      </testsuite>
    </testsuites>
    "#);
}
