//! An invented sheet, a reading of it, and what a change of one fact of the sheet is seen in.

use std::collections::BTreeMap;

use stainbook::check_read;
use stainbook::revision::{Record, State, changes, verify};
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::{Book, EntryKind, SourceFile};
use stainbook_check::Report;
use stainbook_check::compare::{Scope, compare};
use stainbook_evaluation::{Evaluation, Options, SheetErrors, evaluate};
use stainbook_present::results_text::Detail;
use stainbook_present::{Colour, changes_text, results_text, sheet_text};
use stainbook_revision::recorded::book_of;

/// A form in which leaflets state a fact, and what shows that it is held.
pub(crate) struct Form {
    /// The fact: a row of the table of forms.
    pub(crate) fact: &'static str,
    /// The form in which paper states it.
    pub(crate) on_paper: &'static str,
    /// The field that holds it, as a comparison names it.
    pub(crate) held: &'static str,
    /// Changes of the files before the fact is typed: room for it.
    pub(crate) first: Changes,
    /// The text without the fact, which stands in the files once, and the text with it.
    pub(crate) typed: (&'static str, &'static str),
    /// Where it makes a difference.
    pub(crate) seen: Seen,
    /// Words of the printed sheet that are there with the fact and not without.
    pub(crate) shown: &'static str,
}

/// Old texts, each of which stands in all files together once, and new ones.
pub(crate) type Changes = &'static [(&'static str, &'static str)];

/// A difference that a fact makes.
pub(crate) enum Seen {
    /// Words of the results in full that are there with the fact and not without.
    Evaluated(&'static str),
    /// A rule that fires with the fact and not without, and words of its finding.
    Checked(&'static str, &'static str),
    /// An instruction to whoever measures, which no figure depends on: results are the same but for the digest of what they rest on.
    Instruction,
}

pub(crate) use Seen::{Checked, Evaluated, Instruction};

const CATALOG: &str = "catalog: weir\ntitle: Weir\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
const PUMP: &str =
    "pump: pump-1\nkind: quay\nvolume_checks: [{date: 2026-01-14, volume: 99 mL, by: KL}]\n";
const KIND: &str = "\
pump_kind: quay
name: Quay piston pump
stroke: 100 mL
half_strokes: true
volume_tolerance: 5 %
volume_check_every: 1 year
";

const SHEET: &str = "\
tube: weir-chlorine-r2
name: Weir chlorine tube
series: weir-chlorine
leaflet: {title: Sheet 3, revision: '2', date: 2024-03, lots: from 24-100}
entered: {by: KL, date: 2026-01-11}
verified: {by: MT, date: 2026-01-12}
measures: {substance: chlorine}
before_use:
  pump_kinds: [quay]
  usable: {temperature: 0 to 40 °C, humidity: 10 to 85 %RH}
draw:
  stroke: 100 mL
  ranges:
    - {strokes: 2, multiply_by: 1, from: 1, to: 100, seconds_per_stroke: 40, uses: whole scale}
    - {strokes: 6, multiply_by: 0.35, from: 0.4, to: 1, seconds_per_stroke: 45, uses: extension}
read:
  scales:
    - {unit: ppm, marks: [1, 2, 5, 10, 20, 50, 100], printed_for_strokes: 2}
  lowest_visible: {concentration: 0.2 ppm, strokes: 6}
  also_measures:
    - {substance: bromine, multiply: reading, by: 1.5, uncertainty: 10 %, from: 1.5, to: 150, strokes: 2}
correct:
  calibrated_at: {temperature: 20 °C, pressure: 101.3 kPa, humidity: 50 %RH}
  temperature: {method: none needed}
  humidity: {method: none needed}
  pressure: {method: proportional}
doubt:
  repeatability: [{up_to: 100 ppm, rsd: 5 %}]
  accuracy: [{up_to: 100 ppm, within: 20 %, confidence: 95 %}]
  other_gases:
    - {substance: chlorine-dioxide, alone: stains, together: reads high, response: 0.5, response_uncertainty: 20 %}
";

const SURVEY: &str = "\
survey: a
title: A round
by: KL
judge: {limits: [{authority: US NIOSH, kind: danger to life or health}]}
readings:
  - {id: r1, at: \"2026-03-02T07:40+00:00\", tube: weir-chlorine, lot: 24-117, expires: 2027-01, pump: pump-1,
     leak_test: held, strokes: 2, reading: {at: 7.5 ppm}, reads_to: half, other_gases: none known,
     conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}
";

const GROUP: &str = "group: weir-oxidants\nname: weir oxidants\nmembers: [ozone, chlorine-dioxide]\nexpressed_as: [ozone]\n";

/// A sheet that says nothing yet, for another one to refer to.
const OTHER_SHEET: &str = "tube: weir-other-r1\n";

const SHEET_FILE: &str = "weir-chlorine-r2.tube.yaml";

const SHEET_ID: &str = "weir-chlorine-r2";

fn files() -> Vec<(&'static str, String)> {
    [
        ("catalog.yaml", CATALOG),
        (SHEET_FILE, SHEET),
        ("weir-other-r1.tube.yaml", OTHER_SHEET),
        ("pump-1.pump.yaml", PUMP),
        ("quay.pump-kind.yaml", KIND),
        ("weir-oxidants.group.yaml", GROUP),
        ("a.survey.yaml", SURVEY),
    ]
    .map(|(path, text)| (path, text.to_owned()))
    .to_vec()
}

/// A state of the catalog with all that is said of it.
struct Said {
    book: Book,
    sheet: TubeEntry,
    text: String,
    report: Report,
    evaluation: Evaluation,
    results: String,
    shown: String,
}

/// One line: a table's columns and wrapped lines are no difference.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn said(files: &[(&'static str, String)]) -> Result<Said, String> {
    let sources = files
        .iter()
        .map(|(path, text)| SourceFile::new(*path, text.clone()));
    let (book, found) = Book::read(sources);
    let report = check_read(&book, found, &stainbook_check::Options::default());
    let sheet = book.tube(SHEET_ID).ok_or("no sheet")?.clone();
    let survey = book.surveys().next().ok_or("no survey")?.1;
    let of_sheet = book.find(EntryKind::Tube, SHEET_ID);
    let file = of_sheet.map(|entry| entry.file);
    let errors = report
        .findings
        .iter()
        .filter(|one| one.level() == stainbook::Level::Error && Some(one.place().file) == file)
        .count();
    let errors = |_: &str| SheetErrors::own(errors);
    let evaluation = evaluate(
        &book,
        survey,
        &Options::default().with_sheet_errors(&errors),
    );
    let results = results_text::render(&evaluation, Detail::Full, Colour::Plain);
    let shown = sheet_text::render(&sheet, &book, Colour::Plain);
    let text = files.iter().find(|(path, _)| *path == SHEET_FILE);
    let text = text.map(|(_, text)| text.clone()).unwrap_or_default();
    Ok(Said {
        results: joined(&results),
        shown: joined(&shown),
        book,
        sheet,
        text,
        report,
        evaluation,
    })
}

impl Said {
    fn findings(&self) -> Vec<(String, String)> {
        let of = |one: &stainbook::Finding| (one.rule().to_owned(), one.message_text().to_owned());
        self.report.findings.iter().map(of).collect()
    }
}

/// What is missing of a form that should be held.
pub(crate) fn missing(form: &Form) -> Vec<String> {
    match tried(form) {
        Ok(missing) => missing,
        Err(why) => vec![why],
    }
}

fn replace_once(files: &mut [(&'static str, String)], old: &str, new: &str) -> Result<(), String> {
    let times: usize = files
        .iter()
        .map(|(_, text)| text.matches(old).count())
        .sum();
    if times != 1 {
        return Err(format!("`{old}` stands {times} times in the files"));
    }
    for (_, text) in files {
        *text = text.replace(old, new);
    }
    Ok(())
}

fn tried(form: &Form) -> Result<Vec<String>, String> {
    let mut files = files();
    for (old, new) in form.first {
        replace_once(&mut files, old, new)?;
    }
    let without = said(&files)?;
    replace_once(&mut files, form.typed.0, form.typed.1)?;
    let with = said(&files)?;
    let mut missing = Vec::new();

    // Read: no error is found but by what the form is seen in, and another reader takes it as well.
    for (say, said) in [("without", &without), ("with", &with)] {
        if say == "with" && matches!(form.seen, Checked(..)) {
            continue;
        }
        let errors = said.report.findings.iter();
        let of_sheet = said
            .book
            .find(EntryKind::Tube, SHEET_ID)
            .map(|sheet| sheet.file);
        let errors = errors.filter(|one| {
            one.level() == stainbook::Level::Error && Some(one.place().file) == of_sheet
        });
        missing.extend(
            errors.map(|one| format!("an error {say} it: {}: {}", one.rule(), one.message_text())),
        );
    }
    let elsewhere: Result<TubeEntry, _> = serde_yaml::from_str(&with.text);
    match elsewhere {
        Ok(elsewhere) if serde_json::to_value(&elsewhere).is_ok() => {}
        Ok(_) => missing.push("cannot be written".to_owned()),
        Err(why) => missing.push(format!("another reader: {why}")),
    }

    // Checked or evaluated.
    match form.seen {
        Evaluated(words) => {
            for (say, text, wanted) in [
                ("without", &without.results, false),
                ("with", &with.results, true),
            ] {
                if text.contains(words) != wanted {
                    missing.push(format!(
                        "results {say} it: `{words}`: {:?}\n{text}",
                        with.findings()
                    ));
                }
            }
        }
        Checked(rule, words) => {
            let is_raised = |said: &Said| {
                let mut found = said.findings().into_iter();
                found.any(|(name, message)| name == rule && message.contains(words))
            };
            if is_raised(&without) || !is_raised(&with) {
                missing.push(format!(
                    "rule {rule} `{words}`: {:?}, {:?}",
                    without.findings(),
                    with.findings()
                ));
            }
        }
        Instruction => {}
    }

    if matches!(form.seen, Instruction) {
        let told = |said: &Said| {
            let result = said.evaluation.results.first();
            result.map(|one| (one.concentration.clone(), one.sheet_digest.clone()))
        };
        match (told(&without), told(&with)) {
            (Some((was, old)), Some((is, new))) if was == is && was.is_some() && old != new => {}
            (old, new) => missing.push(format!("instruction: {old:?}, {new:?}")),
        }
    }

    // Shown on the sheet.
    if without.shown.contains(form.shown) || !with.shown.contains(form.shown) {
        missing.push(format!("sheet: `{}`: {}", form.shown, with.shown));
    }

    // Compared, and told as a change.
    let [a, b] = [&without, &with].map(|said| {
        let entry = said.book.find(EntryKind::Tube, SHEET_ID);
        entry.map(|entry| &entry.document)
    });
    if let Some((a, b)) = a.zip(b) {
        let fields: Vec<String> = compare(EntryKind::Tube, a, b, Scope::Leaflet)
            .into_iter()
            .map(|difference| difference.field)
            .collect();
        if !fields.iter().any(|field| field.contains(form.held)) {
            missing.push(format!("compare: `{}`: {fields:?}", form.held));
        }
    }
    let told = changes(&State::whole(&without.book), &State::whole(&with.book));
    let told = joined(&changes_text::render(&told, Colour::Plain));
    if !told.contains(form.held) {
        missing.push(format!("changes: `{}`: {told}", form.held));
    }
    missing.extend(of_record(&with)?);
    Ok(missing)
}

/// What is wrong with the record: it has to hold the sheet as it was typed, and to hold by itself and with its catalog.
fn of_record(with: &Said) -> Result<Vec<String>, String> {
    let mut missing = Vec::new();
    let kept = serde_json::to_string(&with.evaluation).map_err(|why| why.to_string())?;
    let records = Record::read("kept.json", &kept).map_err(|why| why.to_string())?;
    let faulty = usize::from(kept.contains("\"sheet-has-errors\""));
    let facts = &with.evaluation.facts;
    if facts.is_empty() {
        // A sheet that cannot be used leaves no result that depends on it.
        return Ok(missing);
    }
    let verified = verify(&with.book, &records, &|_| SheetErrors::own(faulty));
    if !verified.all_hold() {
        missing.push(format!("record: {}", serde_json::json!(verified)));
    }
    let again = book_of(facts.values()).map_err(|why| why.to_string())?;
    let again = again.tube(SHEET_ID).ok_or("no sheet in the record")?;
    let fields = |sheet: &TubeEntry| -> BTreeMap<String, String> {
        let value = serde_json::to_value(sheet).unwrap_or_default();
        let fields = value.as_object().cloned().unwrap_or_default();
        let of_results = |key: &str| !["worked", "control", "accept"].contains(&key);
        fields
            .into_iter()
            .filter(|(key, _)| of_results(key))
            .map(|(key, value)| (key, value.to_string()))
            .collect()
    };
    if fields(again) != fields(&with.sheet) {
        missing.push(format!("record: it keeps {:?}", fields(again)));
    }
    Ok(missing)
}
