//! Invented leaflets, written as paper first, and the sheets that were typed from them: nothing of the paper is lost, and what the
//! sheet gives was worked by hand.

#![cfg(test)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use stainbook::check_read;
use stainbook_catalog::written::{Conditions, Reading, Seen};
use stainbook_catalog::{Book, EntryKind, SourceFile};
use stainbook_evaluation::{Options, ReadingResult, Status, evaluate};
use stainbook_present::{Colour, sheet_text};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("leaflets")
}

/// The files whose names end so, with that end taken off, and their texts.
fn files(end: &str) -> BTreeMap<String, String> {
    fs::read_dir(folder())
        .unwrap()
        .filter_map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name()?.to_str()?;
            let stem = name.strip_suffix(end)?.to_owned();
            Some((stem, fs::read_to_string(&path).unwrap()))
        })
        .collect()
}

/// A numeral as it is compared: `0,5`, `0.50` and `.5` are one, and `-5` is 5, as a dash stands for much.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Numeral(u64);

impl Numeral {
    fn new(digits: &str) -> Self {
        Self(value(digits).to_bits())
    }
}

impl std::fmt::Display for Numeral {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f64::from_bits(self.0).fmt(f)
    }
}

fn value(digits: &str) -> f64 {
    digits.replace(',', ".").parse().unwrap()
}

/// The numbers of a text, in its order: `0.5`, `0,5`, `1013`. The 3 of `m3` belongs to a unit.
fn numerals(text: &str) -> Vec<Numeral> {
    let mut found = Vec::new();
    let mut current = String::new();
    let text = text.replace("/m3", "/m³");
    let letters: Vec<char> = text.chars().collect();
    for (at, letter) in letters.iter().enumerate() {
        let next_is_digit = letters.get(at + 1).is_some_and(char::is_ascii_digit);
        let is_point = matches!(letter, '.' | ',')
            && !current.is_empty()
            && next_is_digit
            && !current.contains(['.', ',']);
        if letter.is_ascii_digit() || is_point {
            current.push(*letter);
        } else if !current.is_empty() {
            found.push(Numeral::new(&std::mem::take(&mut current)));
        }
    }
    if !current.is_empty() {
        found.push(Numeral::new(&current));
    }
    found
}

fn counted(numerals: impl IntoIterator<Item = Numeral>) -> BTreeMap<Numeral, usize> {
    let mut counts = BTreeMap::new();
    for numeral in numerals {
        *counts.entry(numeral).or_default() += 1;
    }
    counts
}

/// Fields whose numbers say nothing of the tube: who typed it, and words that no result rests on.
const NO_VALUES: &[&str] = &[
    "tube", "entered", "verified", "accept", "because", "remark", "says",
];

/// The numerals of a sheet's values; comments and free words hold none, and some fields are left out.
fn typed_numerals(value: &serde_yaml::Value, without: &[&str], found: &mut Vec<Numeral>) {
    match value {
        serde_yaml::Value::Number(number) => found.extend(numerals(&number.to_string())),
        serde_yaml::Value::String(text) => found.extend(numerals(text)),
        serde_yaml::Value::Sequence(values) => {
            for value in values {
                typed_numerals(value, without, found);
            }
        }
        serde_yaml::Value::Mapping(fields) => {
            for (key, value) in fields {
                if !key.as_str().is_some_and(|key| without.contains(&key)) {
                    typed_numerals(value, without, found);
                }
            }
        }
        _ => {}
    }
}

/// The substances and groups that a sheet names, by their short names.
fn typed_names(value: &serde_yaml::Value, found: &mut BTreeSet<String>) {
    match value {
        serde_yaml::Value::Sequence(values) => {
            for value in values {
                typed_names(value, found);
            }
        }
        serde_yaml::Value::Mapping(fields) => {
            for (key, value) in fields {
                match (key.as_str(), value.as_str()) {
                    (Some("substance" | "group" | "expressed_as"), Some(name)) => {
                        found.insert(name.to_owned());
                    }
                    _ => typed_names(value, found),
                }
            }
        }
        _ => {}
    }
}

/// What is worked by hand of one sheet.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ByHand {
    sheet: String,
    /// What stands on the paper and not in the sheet's values, or more often on the paper than there, each time with the reason.
    not_typed: Vec<NotTyped>,
    air: Conditions,
    readings: Vec<Example>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NotTyped {
    numeral: Option<String>,
    name: Option<String>,
    /// How many times the paper has it more than the sheet; once, if this is left out.
    times: Option<usize>,
    because: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Example {
    strokes: stainbook_catalog::written::Num,
    reading: Seen,
    air: Option<Conditions>,
    substance: Option<String>,
    /// What else is written down of the reading: lot, other gases, what was done.
    #[serde(default)]
    with: Reading,
    gives: String,
    /// The same in the other unit, to the digits that were worked out.
    also: Option<String>,
    /// Codes of the flags that the paper demands, and with a dash before it one that it does not.
    #[serde(default)]
    flags: Vec<String>,
    by_hand: String,
}

fn by_hand() -> Vec<ByHand> {
    files(".worked.yaml")
        .into_values()
        .map(|text| serde_yaml::from_str(&text).unwrap())
        .collect()
}

/// Notes that say what a leaflet is silent about, which is nothing to mend.
const SAID_OF_SILENCE: [&str; 2] = ["accuracy-absent", "repeatability-absent"];

/// The sheets, with which nothing is wrong.
fn book() -> Book {
    let (book, said) = read_with(&|_, text| text);
    assert!(said.is_empty(), "{said:#?}");
    book
}

/// The sheets, each as a change leaves it, and what is found in them but for notes on what leaflets are silent about.
fn read_with(change: &dyn Fn(&str, String) -> String) -> (Book, Vec<String>) {
    let names = [".tube.yaml", ".pump-kind.yaml"].map(|end| {
        files(end)
            .into_iter()
            .map(|(stem, text)| {
                let text = change(&stem, text);
                SourceFile::new(format!("{stem}{end}"), text)
            })
            .collect::<Vec<_>>()
    });
    let catalog = fs::read_to_string(folder().join("catalog.yaml")).unwrap();
    let catalog = SourceFile::new("catalog.yaml", catalog);
    let (book, found) = Book::read(names.into_iter().flatten().chain([catalog]));
    let report = check_read(&book, found, &stainbook_check::Options::default());
    let of_silence = |one: &stainbook::Finding| SAID_OF_SILENCE.contains(&one.rule());
    let said: Vec<String> = report
        .findings
        .iter()
        .filter(|one| !of_silence(one))
        .map(|one| format!("{} {:?}: {}", one.rule(), one.place(), one.message_text()))
        .collect();
    (book, said)
}

/// Every leaflet has a sheet and readings, ten at least, each with its arithmetic.
#[test]
fn each_has_its_sheet_and_its_readings() {
    let papers = files(".txt");
    assert!(!papers.is_empty());
    let names: Vec<&String> = papers.keys().collect();
    assert_eq!(names, files(".tube.yaml").keys().collect::<Vec<_>>());
    assert_eq!(names, files(".worked.yaml").keys().collect::<Vec<_>>());
    for worked in by_hand() {
        assert!(10 <= worked.readings.len(), "{}", worked.sheet);
        assert!(worked.readings.iter().all(|one| !one.by_hand.is_empty()));
    }
}

/// What stands on a paper more often than in the sheet is listed with its reason, and nothing else is.
#[test]
fn every_numeral_of_the_paper_is_typed() {
    let (papers, sheets) = (files(".txt"), files(".tube.yaml"));
    let mut wrong = Vec::new();
    for worked in by_hand() {
        let sheet = serde_yaml::from_str(&sheets[&worked.sheet]).unwrap();
        let mut typed = Vec::new();
        typed_numerals(&sheet, NO_VALUES, &mut typed);
        let typed = counted(typed);
        let mut excused: BTreeMap<Numeral, usize> = BTreeMap::new();
        for one in &worked.not_typed {
            assert!(!one.because.is_empty());
            if let Some(numeral) = &one.numeral {
                *excused.entry(Numeral::new(numeral)).or_default() += one.times.unwrap_or(1);
            }
        }
        let paper = counted(numerals(&papers[&worked.sheet]));
        let of_paper_or_excuse: BTreeSet<Numeral> =
            paper.keys().chain(excused.keys()).copied().collect();
        for numeral in of_paper_or_excuse {
            let times = |of: &BTreeMap<Numeral, usize>| of.get(&numeral).copied().unwrap_or(0);
            let lost = times(&paper).saturating_sub(times(&typed));
            if lost != times(&excused) {
                wrong.push(format!(
                    "{}: {numeral} stands {} times on the paper and {} times in the sheet; {} are listed under `not_typed`",
                    worked.sheet,
                    times(&paper),
                    times(&typed),
                    times(&excused)
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The printed sheet of a book's tube, on one line.
fn shown(book: &Book, sheet: &str) -> String {
    let text = sheet_text::render(book.tube(sheet).unwrap(), book, Colour::Plain);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Nothing that was typed is missing where the sheet is printed.
#[test]
fn every_numeral_of_a_sheet_is_shown() {
    let book = book();
    let mut hidden = Vec::new();
    for (sheet, text) in files(".tube.yaml") {
        let shown = shown(&book, &sheet);
        let shown: BTreeSet<Numeral> = numerals(&shown).into_iter().collect();
        let mut typed = Vec::new();
        // Seconds in all are shown as minutes.
        let without = [NO_VALUES, &["seconds_in_all"]].concat();
        typed_numerals(&serde_yaml::from_str(&text).unwrap(), &without, &mut typed);
        let typed: BTreeSet<Numeral> = typed.into_iter().collect();
        let missing = typed.difference(&shown);
        hidden.extend(missing.map(|numeral| format!("{sheet}: {numeral}")));
    }
    assert!(hidden.is_empty(), "{}", hidden.join("\n"));
}

/// Words of printed sheets that say what the paper says, and words that would say something else.
#[test]
fn sheets_say_what_the_paper_says() {
    let book = book();
    for (sheet, words, is_shown) in [
        (
            "hold-phosphine-s-r3",
            "1 ppm is 1.41 mg/m³ at 20 °C and 1013 hPa",
            true,
        ),
        (
            "hold-phosphine-s-r3",
            "9 % up to the end of the second third (of the marks or of the concentrations: the larger figure counts between), 7 % above that",
            true,
        ),
        ("hold-phosphine-s-r3", "7 % over the whole scale", false),
        (
            "cellar-carbon-dioxide-t-r2",
            "500 ppm on the scale left with 10 strokes at 10 °C gives 525 ppm",
            true,
        ),
        ("engine-nitrous-fumes-h-r1", "1 stroke: above 10 °C", true),
        (
            "oven-carbon-monoxide-u-r4",
            "1000 mL in all: 10 strokes",
            true,
        ),
        // A tube without a scale has no rows of strokes there.
        (
            "airlock-carbon-monoxide-g-r1",
            "strokes reading measures",
            false,
        ),
    ] {
        let shown = shown(&book, sheet);
        assert_eq!(shown.contains(words), is_shown, "{sheet}, {words}: {shown}");
    }
}

/// Names of at most so many words are looked for: `hydrogen sulfide`, `chlorine dioxide`.
const LONGEST_NAME: usize = 3;
/// A word of fewer letters is no substance's name on these papers.
const SHORTEST_NAME: usize = 4;

/// The groups of a book, by each of their names.
fn groups(book: &Book) -> BTreeMap<String, String> {
    let groups = book.ids(EntryKind::Group).into_iter().map(|id| {
        let group = book.group(id).unwrap();
        let names = group.name.iter().chain(&group.also_called);
        names.map(move |name| (name.to_lowercase(), id.to_owned()))
    });
    groups.flatten().collect()
}

/// The substances and groups that a text names, each by its short name and as it stands there.
fn names(book: &Book, groups: &BTreeMap<String, String>, text: &str) -> BTreeMap<String, String> {
    let letters = text.chars().map(|letter| {
        if letter.is_alphanumeric() {
            letter
        } else {
            ' '
        }
    });
    let text: String = letters.collect();
    let mut words: Vec<&str> = text.split_whitespace().collect();
    let mut found = BTreeMap::new();
    // The longest first: chlorine dioxide is no chlorine.
    for length in (1..=LONGEST_NAME).rev() {
        for at in 0..words.len() {
            let name = words.iter().skip(at).take(length).copied();
            let name = name.collect::<Vec<_>>().join(" ").to_lowercase();
            if name.len() < SHORTEST_NAME || at + length > words.len() {
                continue;
            }
            let id = match book.named_substance(&name) {
                Some(substance) => substance.substance.clone(),
                None => groups.get(&name).cloned(),
            };
            if let Some(id) = id {
                words[at..at + length].fill("|");
                found.insert(id, name);
            }
        }
    }
    found
}

#[test]
fn every_substance_and_group_of_the_paper_is_typed() {
    let book = book();
    let groups = groups(&book);
    let (papers, sheets) = (files(".txt"), files(".tube.yaml"));
    let mut wrong = Vec::new();
    for worked in by_hand() {
        let sheet = serde_yaml::from_str(&sheets[&worked.sheet]).unwrap();
        let mut typed = BTreeSet::new();
        typed_names(&sheet, &mut typed);
        let excused = worked.not_typed.iter();
        let mut excused: BTreeSet<&str> = excused.filter_map(|one| one.name.as_deref()).collect();
        let on_paper = names(&book, &groups, &papers[&worked.sheet]);
        assert!(!on_paper.is_empty(), "{} names no substance", worked.sheet);
        for (id, name) in &on_paper {
            if typed.contains(id) == excused.remove(name.as_str()) {
                wrong.push(format!("{}: {name} ({id})", worked.sheet));
            }
        }
        // What the paper does not name, nobody can have typed from it.
        let invented = typed.iter().filter(|id| !on_paper.contains_key(*id));
        wrong.extend(invented.map(|id| format!("{}: {id} is not on the paper", worked.sheet)));
        wrong.extend(
            excused
                .iter()
                .map(|name| format!("{}: {name}, not on the paper", worked.sheet)),
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A result in the words of the files: `20 ppm`, `less than 1 ppm`, `refused empty-cell`.
fn same(result: &ReadingResult, gives: &str) -> bool {
    if let Some(code) = gives.strip_prefix("refused ") {
        return result
            .refusal
            .as_ref()
            .is_some_and(|refusal| refusal.code.as_str() == code);
    }
    let (status, figure) = if let Some(figure) = gives.strip_prefix("less than ") {
        (Status::LessThan, figure)
    } else if let Some(figure) = gives.strip_prefix("more than ") {
        (Status::MoreThan, figure)
    } else {
        (Status::Measured, gives)
    };
    let (number, unit) = figure.split_once(' ').unwrap();
    let number = number.parse::<f64>().unwrap();
    result.status == status
        && result.concentration.as_ref().is_some_and(|found| {
            found.unit == unit && (found.value - number).abs() <= 1e-9 * number.abs()
        })
}

/// Relative tolerance of a figure that was worked out to five digits.
const OTHER_UNIT_WITHIN: f64 = 2e-5;

/// What the readings of a sheet give otherwise than was worked by hand.
fn differing(book: &Book, worked: &ByHand) -> Vec<String> {
    let readings = worked.readings.iter().zip(1..).map(|(one, number)| {
        let own = one.air.clone().unwrap_or_default();
        let usual = worked.air.clone();
        Reading {
            id: Some(format!("r{number}")),
            tube: Some(worked.sheet.clone()),
            strokes: Some(one.strokes.clone()),
            reading: Some(one.reading.clone()),
            substance: one.substance.clone(),
            conditions: Conditions {
                air_temperature: own.air_temperature.or(usual.air_temperature),
                humidity: own.humidity.or(usual.humidity),
                pressure: own.pressure.or(usual.pressure),
                ..one.with.conditions.clone()
            },
            ..one.with.clone()
        }
    });
    let survey = stainbook_catalog::written::SurveyEntry {
        survey: Some("by-hand".to_owned()),
        readings: readings.collect(),
        ..Default::default()
    };
    let results = evaluate(book, &survey, &Options::default()).results;
    let mut wrong = Vec::new();
    for (result, one) in results.iter().zip(&worked.readings) {
        if !same(result, &one.gives) {
            wrong.push(format!(
                "{} {}, {}: {:?} {:?} {:?}",
                worked.sheet,
                result.id,
                one.gives,
                result.status,
                result.concentration,
                result.refusal
            ));
        }
        let is_also = one.also.as_ref().is_none_or(|also| {
            let (number, unit) = also.split_once(' ').unwrap();
            result.converted.as_ref().is_some_and(|found| {
                found.unit == unit && (found.value / value(number) - 1.0).abs() < OTHER_UNIT_WITHIN
            })
        });
        if !is_also {
            let found = &result.converted;
            wrong.push(format!("{} {}, also: {found:?}", worked.sheet, result.id));
        }
        let flags: BTreeSet<&str> = result.flags.iter().map(|one| one.code.as_str()).collect();
        for flag in &one.flags {
            let is_right = match flag.strip_prefix('-') {
                Some(not) => !flags.contains(not),
                None => flags.contains(flag.as_str()),
            };
            if !is_right {
                wrong.push(format!("{} {}, {flag}: {flags:?}", worked.sheet, result.id));
            }
        }
    }
    wrong
}

#[test]
fn each_reading_gives_what_was_worked_by_hand() {
    let book = book();
    let mut wrong = Vec::new();
    for worked in by_hand() {
        assert!(book.find(EntryKind::Tube, &worked.sheet).is_some());
        wrong.extend(differing(&book, &worked));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Fields whose numbers a result is worked out with.
const WORKED_WITH: &[&str] = &[
    "rows",
    "becomes",
    "factors",
    "coefficients",
    "factor",
    "per_unit",
    "multiply_by",
    "by",
    "response",
    "colour_at_least",
    "no_colour_less_than",
];

/// The places of the digits of a sheet that stand last in a number that a result is worked out with.
fn last_digits(sheet: &str) -> Vec<usize> {
    let mut found = Vec::new();
    for key in WORKED_WITH {
        let key = format!("{key}: ");
        for (at, _) in sheet.match_indices(&key) {
            if sheet[..at].ends_with(|before: char| before.is_alphanumeric() || before == '_') {
                continue;
            }
            let begin = at + key.len();
            let mut depth = 0;
            let of_value = |letter: char| {
                depth += match letter {
                    '[' => 1,
                    ']' => -1,
                    _ => 0,
                };
                letter != '\n' && 0 <= depth && (0 < depth || !matches!(letter, ',' | '}'))
            };
            let value: String = sheet[begin..]
                .chars()
                .take_while({
                    let mut of_value = of_value;
                    move |letter| of_value(*letter)
                })
                .collect();
            let digits = value.as_bytes();
            for (place, digit) in digits.iter().enumerate() {
                let next = digits.get(place + 1);
                let goes_on = next.is_some_and(|next| next.is_ascii_digit() || *next == b'.');
                if digit.is_ascii_digit() && !goes_on {
                    found.push(begin + place);
                }
            }
        }
    }
    found
}

/// A slip in the last digit of a number that results are worked out with is seen: by `check`, or by a reading that was worked by
/// hand.
#[test]
fn a_slip_in_a_factor_is_seen() {
    let sheets = files(".tube.yaml");
    let mut unseen = Vec::new();
    let mut slips = 0;
    for worked in by_hand() {
        let sheet = &sheets[&worked.sheet];
        for at in last_digits(sheet) {
            let digit = sheet[at..]
                .chars()
                .next()
                .and_then(|digit| digit.to_digit(10));
            let mut slipped = sheet.clone();
            slipped.replace_range(at..=at, &((digit.unwrap() + 1) % 10).to_string());
            slips += 1;
            let change = |stem: &str, text: String| {
                if stem == worked.sheet {
                    slipped.clone()
                } else {
                    text
                }
            };
            let (book, said) = read_with(&change);
            if said.is_empty() && differing(&book, &worked).is_empty() {
                let line = sheet[..at].matches('\n').count();
                let text = sheet.lines().nth(line).unwrap_or_default().trim();
                let column = at - sheet[..at].rfind('\n').unwrap_or_default();
                unseen.push(format!("{}:{}:{column}: {text}", worked.sheet, line + 1));
            }
        }
    }
    assert!(100 < slips, "{slips}");
    assert!(unseen.is_empty(), "{slips} slips; {}", unseen.join("\n"));
}
