use serde::{Deserialize, Serialize};

use super::*;
use crate::document::ReadOptions;
use crate::finding::Fault;
use crate::place::{FileId, Path};
use crate::tagged;

/// A text that has to be `digits unit`.
#[derive(Debug, PartialEq, Serialize)]
struct Quantity(String);

impl FromText for Quantity {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str = "a number with a unit";

    fn read(text: &str) -> Result<Self, Problem> {
        match text.split_once(' ') {
            Some((number, "mol")) if number.parse::<f64>().is_ok() => Ok(Self(text.to_owned())),
            Some((number, unit)) => Err(Problem::new(format!("`{unit}` is not a unit"))
                .help("write `mol`")
                .label("this unit")
                .within(number.len() + 1..text.len())
                .instead(format!("{number} mol"))),
            None => Err(Problem::new(format!("`{text}` has no unit"))),
        }
    }
}

impl<'de> Deserialize<'de> for Quantity {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer)
    }
}

#[derive(Debug, PartialEq, Serialize)]
struct Digits(String);

impl FromText for Digits {
    const NEWTYPE: &'static str = NUMBER;
    const EXPECTED: &'static str = "a number";

    fn read(text: &str) -> Result<Self, Problem> {
        match text.parse::<f64>() {
            Ok(_) => Ok(Self(text.to_owned())),
            Err(_) => Err(Problem::new(format!("`{text}` is not a number"))),
        }
    }
}

impl<'de> Deserialize<'de> for Digits {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer)
    }
}

#[derive(Debug, PartialEq, Deserialize)]
struct Lamp {
    #[serde(rename = "lamp")]
    name: String,
    lowest: Option<Quantity>,
    #[serde(default)]
    marks: Option<Vec<Digits>>,
    #[serde(default)]
    ranges: Vec<Interval>,
    moisture: Option<Moisture>,
    front: Option<Front>,
}

#[derive(Debug, PartialEq, Deserialize)]
struct Interval {
    from: Quantity,
    handles: Option<u8>,
}

#[derive(Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Front {
    Sharp,
    SlightlyOblique,
}

#[derive(Debug, PartialEq, Serialize)]
#[serde(tag = "method")]
enum Moisture {
    #[serde(rename = "none needed")]
    NoneNeeded(Nothing),
    #[serde(rename = "one factor")]
    OneFactor(OneFactor),
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Nothing {}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct OneFactor {
    factor: Digits,
}

tagged!(Moisture, "method" { "none needed" => NoneNeeded, "one factor" => OneFactor });

fn read(text: &str) -> (Option<Lamp>, Vec<Finding>) {
    let (document, mut findings) =
        Document::read(FileId(0), "t", text.as_bytes(), &ReadOptions::default());
    let mut reported = ReportedNodes::by_reading(&document);
    let lamp = read_typed(&document, &[], &mut reported, &mut findings);
    (lamp, findings)
}

fn pointers(findings: &[Finding]) -> Vec<String> {
    findings
        .iter()
        .map(|finding| finding.place().path().map(Path::pointer).unwrap())
        .collect()
}

#[test]
fn digits_are_kept_and_the_deciding_field_may_stand_anywhere() {
    let (lamp, findings) = read(
        "lamp: a\nlowest: 0.10 mol\nmarks: [0.70, 05, 1e3]\nmoisture: {factor: 1.10, method: one factor}\n\
         front: slightly-oblique\nunknown: {x: [1]}\n",
    );
    assert_eq!(
        findings
            .iter()
            .filter(|f| f.rule() != "yaml-1-1-word")
            .count(),
        0,
        "{findings:?}"
    );
    let lamp = lamp.unwrap();
    assert_eq!(lamp.lowest, Some(Quantity("0.10 mol".into())));
    assert_eq!(lamp.marks.unwrap()[0], Digits("0.70".into()));
    assert_eq!(
        lamp.moisture,
        Some(Moisture::OneFactor(OneFactor {
            factor: Digits("1.10".into())
        }))
    );
    assert_eq!(lamp.front, Some(Front::SlightlyOblique));
}

#[test]
fn each_unreadable_value_is_reported_and_the_rest_is_kept() {
    let (lamp, findings) = read(
        "lamp: a\nlowest: 5 mg\nmarks: [1, x, 2, z]\nmoisture: {method: one factor, factor: z}\n\
         ranges:\n- {from: 1 mol}\n- {from: 2 l}\n- {from: 3}\n- {from: 4 mol}\nfront: sharp\n",
    );
    assert_eq!(
        pointers(&findings),
        [
            "/lowest",
            "/marks/1",
            "/marks/3",
            "/moisture/factor",
            "/ranges/1/from",
            "/ranges/2/from"
        ]
    );
    assert!(
        findings
            .iter()
            .all(|finding| finding.fault() == Fault::Author)
    );
    let lamp = lamp.unwrap();
    assert_eq!(lamp.front, Some(Front::Sharp));
    assert_eq!((lamp.lowest, lamp.marks, lamp.moisture), (None, None, None));
    assert!(lamp.ranges.is_empty());
}

#[test]
fn a_problem_keeps_its_parts() {
    let text = "lamp: a\nlowest: 5 mg\n";
    let (document, _) = Document::read(FileId(0), "t", text.as_bytes(), &ReadOptions::default());
    let (_, findings) = read(text);
    let [finding] = &findings[..] else {
        panic!("{findings:?}")
    };
    assert_eq!(finding.message_text(), "`mg` is not a unit");
    assert_eq!(finding.help_text(), Some("write `mol`"));
    assert_eq!(finding.label_text(), Some("this unit"));
    assert_eq!(&text[document.locate(finding.place())], "mg");
    assert_eq!(finding.edits()[0].replacement, "5 mol");
    assert_eq!(&text[document.locate(&finding.edits()[0].place)], "5 mg");
}

#[test]
fn what_is_proposed_keeps_the_quotes_that_stand_there() {
    for (written, proposed) in [("'5 mg'", "'5 mol'"), ("\"5 mg\"", "\"5 mol\"")] {
        let (_, findings) = read(&format!("lamp: a\nlowest: {written}  # c\n"));
        assert_eq!(findings[0].edits()[0].replacement, proposed);
    }
}

#[test]
fn what_the_schema_should_have_found_is_our_fault() {
    let (lamp, findings) = read("lowest: 5 mol\nfront: sharp\n");
    assert!(lamp.is_none());
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0].fault(), Fault::Ours);
    // Something missing in a mapping that was read only in part is nobody's fault.
    let (_, findings) = read("lowest: 5 mol\nfront: \"sharp\n");
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0].rule(), "yaml-syntax");
}

#[test]
fn a_long_list_of_bad_entries_does_not_take_for_ever() {
    let mut text = String::from("lamp: a\nmarks:\n");
    for _ in 0..2_000 {
        text.push_str("- x\n- 1\n");
    }
    let (lamp, findings) = read(&text);
    assert_eq!(findings.len(), 2_000);
    assert_eq!(lamp.unwrap().marks, None);
}

#[test]
fn ordinary_serde_reads_the_same() {
    let text = "lamp: a\nlowest: 0.10 mol\nmarks: [0.7, 5]\nmoisture: {method: one factor, factor: 1.1}\nfront: sharp\n";
    let ordinary: Lamp = serde_yaml::from_str(text).unwrap();
    assert_eq!(read(text).0, Some(ordinary));
    let error = serde_yaml::from_str::<Lamp>("lamp: a\nlowest: 5 mg\n")
        .unwrap_err()
        .to_string();
    assert!(error.contains("`mg` is not a unit; write `mol`"), "{error}");
}
