//! A survey's template after an office program has opened and saved it: what it writes has to read back as it was filled in.
//!
//! The program is LibreOffice, which runs without a screen. The template is filled in as it is made, goes through the program
//! into each form that a survey may be kept in, and every form is evaluated: each result, to the last digit and with each typed
//! cell, has to be that of the same rows as text.

use std::path::{Path, PathBuf};
use std::process::Command;

use clap::Args;
use serde_json::Value;
use stainbook::survey::{
    DecimalMark, Rows, TableSettings, TableTemplate, Workbook, delimiter_of, evaluate_rows,
};
use stainbook::template::survey_workbook;
use stainbook_catalog::Book;
use stainbook_evaluation::{Evaluator, Options};

/// The program to try.
#[derive(Args)]
pub(crate) struct OfficePlan {
    /// Its command
    #[arg(long, value_name = "PROGRAM", default_value = "soffice")]
    program: PathBuf,
}

/// Forms to save in: the ending, and what the program is asked for. Of text the numbers are the code of the delimiter, that
/// of the quotation mark, UTF-8, and the first line.
const FORMS: [(&str, &str); 4] = [
    ("xlsx", "xlsx:Calc MS Excel 2007 XML"),
    ("ods", "ods:calc8"),
    ("comma.csv", "csv:Text - txt - csv (StarCalc):44,34,76,1"),
    (
        "semicolon.csv",
        "csv:Text - txt - csv (StarCalc):59,34,76,1",
    ),
];

/// Readings under some of the template's columns: numbers, texts that look like numbers, dates or formulas, and words of lists.
const READINGS: [&[(&str, &str)]; 4] = [
    &[
        ("id", "r1"),
        ("at", "2026-06-16T06:22+01:00"),
        ("place", "plant room, gallery"),
        ("tube", "plantroom-ammonia-c-r1"),
        ("lot", "24-071"),
        ("expires", "2027-09"),
        ("pump", "pump-02"),
        ("leak_test", "held"),
        ("strokes", "0.5"),
        ("reading", "60"),
        ("reads_to", "quarter"),
        ("air_temperature", "12.5"),
        ("humidity", "50"),
        ("pressure", "1009"),
        ("other_gases", "none known"),
        ("by", "KL"),
    ],
    &[
        ("id", "r2"),
        ("tube", "plantroom-ammonia-c-r1"),
        ("lot", "24-11"),
        ("strokes", "1"),
        ("reading", "<2"),
        ("air_temperature", "12.5"),
        ("humidity", "50"),
        ("pressure", "1009"),
        ("remark", "=1+1; \"quoted\", zwölf"),
    ],
    &[
        ("id", "007"),
        ("tube", "plantroom-ammonia-c-r1"),
        ("strokes", "1"),
        ("short", "10"),
        ("long", "22"),
        ("air_temperature", "-4"),
        ("humidity", "0.6 %RH"),
        ("pressure", "1009.25"),
    ],
    &[
        ("id", "r4"),
        ("tube", "plantroom-ammonia-c-r1"),
        ("strokes", "1"),
        ("reading", "12 to 15 ppm"),
        ("air_temperature", "12.5"),
        ("humidity", "50"),
        ("pressure", "1009"),
    ],
];

/// Sends a filled template through the program, and says how many results came back as they were.
pub(crate) fn run(plan: &OfficePlan) -> Result<String, String> {
    let (book, _) = Book::demo();
    let template = TableTemplate::for_book(&book);
    let rows = rows(&template);
    let say = |what: &str, why: &dyn std::fmt::Display| format!("{what}: {why}");
    let csv = template
        .csv(&rows)
        .map_err(|error| say("template", &error))?;
    let xlsx =
        survey_workbook(&template, "round", &rows).map_err(|error| say("template", &error))?;
    let folder = tempfile::tempdir().map_err(|error| say("folder", &error))?;
    let filled = folder.path().join("filled.xlsx");
    std::fs::write(&filled, xlsx).map_err(|error| say("filled.xlsx", &error))?;
    let wanted = of_text(&book, &csv)?;
    let refused = |result: &&Value| result["status"] == "refused";
    if let Some(refused) = wanted.iter().find(refused) {
        return Err(format!("a reading of the template is refused: {refused}"));
    }
    let mut same = 0;
    for (ending, asked) in FORMS {
        let saved = convert(&plan.program, &filled, folder.path(), ending, asked)?;
        let found = evaluated(&book, &saved)?;
        if found != wanted {
            return Err(format!(
                "{ending}: what came back is not what was filled in:\n{}",
                differences(&wanted, &found)
            ));
        }
        same += found.len();
        // A spreadsheet that the program wrote is opened and saved once more, as by the next person.
        if let Some("xlsx" | "ods") = saved.extension().and_then(|it| it.to_str()) {
            let again = convert(
                &plan.program,
                &saved,
                &folder.path().join("again"),
                "ods",
                "ods:calc8",
            )?;
            if evaluated(&book, &again)? != wanted {
                return Err(format!("{ending}, opened and saved again: another result"));
            }
            same += wanted.len();
        }
    }
    Ok(format!(
        "{same} results from files of the program are those of the rows as filled in"
    ))
}

fn rows(template: &TableTemplate) -> Vec<Vec<String>> {
    let cell = |reading: &[(&str, &str)], name: &str| {
        let found = reading.iter().find(|(under, _)| *under == name);
        found.map_or(String::new(), |(_, text)| (*text).to_owned())
    };
    let of = |reading: &&[(&str, &str)]| {
        let columns = template.columns.iter();
        columns.map(|column| cell(reading, column.name)).collect()
    };
    READINGS.iter().map(of).collect()
}

/// Lets the program save a file in another form.
fn convert(
    program: &Path,
    file: &Path,
    folder: &Path,
    ending: &str,
    asked: &str,
) -> Result<PathBuf, String> {
    let out = folder.join(ending);
    let profile = folder.join("profile");
    let done = Command::new(program)
        .arg(format!(
            "-env:UserInstallation=file://{}",
            profile.display()
        ))
        .args(["--headless", "--convert-to", asked, "--outdir"])
        .args([&out, file])
        .output()
        .map_err(|error| format!("`{}` does not run: {error}", program.display()))?;
    let extension = ending.rsplit('.').next().unwrap_or(ending);
    let stem = file.file_stem().unwrap_or_default();
    let saved = out.join(stem).with_extension(extension);
    if saved.is_file() {
        Ok(saved)
    } else {
        Err(format!(
            "{ending}: nothing was saved: {}{}",
            String::from_utf8_lossy(&done.stdout),
            String::from_utf8_lossy(&done.stderr)
        ))
    }
}

fn evaluated(book: &Book, file: &Path) -> Result<Vec<Value>, String> {
    let bytes = std::fs::read(file).map_err(|error| error.to_string())?;
    if file.extension().is_some_and(|extension| extension == "csv") {
        let text = String::from_utf8(bytes).map_err(|error| error.to_string())?;
        return of_text(book, &text);
    }
    let mut workbook = Workbook::open(bytes).map_err(|problem| problem.to_string())?;
    let rows = workbook
        .rows(None, DecimalMark::Point)
        .map_err(|problem| problem.to_string())?;
    let survey = rows.top().survey(None);
    let mut evaluator = Evaluator::new(book, Options::default());
    as_values(&evaluate_rows(&mut evaluator, survey, rows).results)
}

fn of_text(book: &Book, text: &str) -> Result<Vec<Value>, String> {
    let rows = Rows::new(
        text.as_bytes(),
        delimiter_of(text),
        TableSettings::default(),
    )
    .map_err(|problem| problem.to_string())?;
    let survey = rows.top().survey(None);
    let mut evaluator = Evaluator::new(book, Options::default());
    as_values(&evaluate_rows(&mut evaluator, survey, rows).results)
}

fn as_values(results: &[stainbook_evaluation::ReadingResult]) -> Result<Vec<Value>, String> {
    let each = results.iter().map(serde_json::to_value);
    each.collect::<Result<_, _>>()
        .map_err(|error| error.to_string())
}

fn differences(wanted: &[Value], found: &[Value]) -> String {
    if wanted.len() != found.len() {
        return format!("{} results in place of {}", found.len(), wanted.len());
    }
    let pairs = wanted
        .iter()
        .zip(found)
        .filter(|(wanted, found)| wanted != found);
    pairs
        .map(|(wanted, found)| format!("{}\n{}", wanted["inputs"], found["inputs"]))
        .collect::<Vec<_>>()
        .join("\n")
}
