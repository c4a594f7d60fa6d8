//! Every code of the registry is raised by a file under `tests/flags/<code>/`, as every kind that the registry names for it, and
//! not by its near miss. `tests/flags/README.md` says how a file is written.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use serde::Deserialize;
use stainbook::check_read;
use stainbook_catalog::embedded::demo_files;
use stainbook_catalog::written::tube::Worked;
use stainbook_catalog::written::{Conditions, OtherGases, Present, Stated};
use stainbook_catalog::{Book, SourceFile, WrittenEntry};
use stainbook_core::{Concentration, Duration};
use stainbook_evaluation::outcome::{Code, CodeKind, Refusal};
use stainbook_evaluation::survey_faults::SurveyFaults;
use stainbook_evaluation::worked::worked_value;
use stainbook_evaluation::{
    ErrorsByFile, Evaluation, Evaluator, FaultySheets, MonteCarloOptions, Options, SheetErrors,
    evaluate_entry,
};
use stainbook_survey::table::{self, DecimalMark, delimiter_of};
use stainbook_tube_search::{Wanted, find};
use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another};

/// Codes of a file, each with its kind.
type SaidCodes = BTreeSet<(Code, CodeKind)>;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("flags")
}

fn names_in(folder: &Path) -> BTreeSet<String> {
    fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect()
}

/// The folders, by the code that each is about.
fn folders() -> BTreeSet<String> {
    let mut names = names_in(&folder());
    names.retain(|name| folder().join(name).is_dir());
    names
}

#[test]
fn every_code_has_a_folder_and_every_folder_a_code() {
    let codes: BTreeSet<String> = Code::ALL.iter().map(ToString::to_string).collect();
    let folders = folders();
    let without: Vec<&String> = codes.difference(&folders).collect();
    assert!(without.is_empty(), "no folder for {without:#?}");
    let unknown: Vec<&String> = folders.difference(&codes).collect();
    assert!(unknown.is_empty(), "no code {unknown:#?}");
}

#[test]
fn every_code_is_raised_by_its_files_and_not_by_the_near_misses() {
    let folders: Vec<String> = folders().into_iter().collect();
    let wrong: Vec<String> = folders.par_iter().flat_map(|name| judge(name)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Problems of a folder.
fn judge(name: &str) -> Vec<String> {
    let code = Code::from(name);
    let Some(definition) = code.definition() else {
        return vec![format!("{name}: there is no such code")];
    };
    let mut wrong = Vec::new();
    let (mut raised, mut missed) = (BTreeSet::new(), 0);
    for file in names_in(&folder().join(name)) {
        let said = said_by(&folder().join(name).join(&file));
        let of_code = said.iter().filter(|(said, _)| *said == code);
        let kinds: BTreeSet<CodeKind> = of_code.map(|(_, kind)| *kind).collect();
        if file.starts_with("near-miss") {
            missed += 1;
            if !kinds.is_empty() {
                wrong.push(format!("{name}/{file} says it, as {kinds:?}"));
            }
        } else if file.starts_with("raises") {
            if kinds.is_empty() {
                let said: Vec<&str> = said.iter().map(|(code, _)| code.as_str()).collect();
                wrong.push(format!("{name}/{file} says only {}", said.join(", ")));
            }
            raised.extend(kinds);
        } else {
            wrong.push(format!("{name}/{file} is neither `raises` nor `near-miss`"));
        }
    }
    let kinds: BTreeSet<CodeKind> = definition.kinds.iter().copied().collect();
    if raised != kinds {
        wrong.push(format!(
            "{name}: said as {raised:?}, the registry has {kinds:?}"
        ));
    }
    if missed == 0 {
        wrong.push(format!("{name}: there is no near miss"));
    }
    wrong
}

/// The lines `#: …` at the head of a file.
#[derive(Default)]
struct Directives {
    /// Changes in a file of the catalog: its path, the old text, the new one.
    changes: Vec<(String, String, String)>,
    /// Number of draws, and the seed.
    draws: Option<Settings>,
    /// True if results are wanted despite findings.
    despite_findings: bool,
    /// True if the catalog is checked first, and what is found counts.
    checked: bool,
    /// True if the rows of a table are evaluated one by one, as a stream.
    row_by_row: bool,
    /// The sheet whose example it is.
    sheet: String,
    /// The sheets that there are, if not all.
    sheets: Vec<String>,
}

impl Directives {
    fn of(file: &str, text: &str) -> Self {
        let mut all = Self::default();
        for line in text.lines().filter_map(|line| line.strip_prefix("#: ")) {
            if let Some(change) = line.strip_prefix("in ") {
                let (path, change) = change.split_once(": ").expect(file);
                let (old, new) = change.split_once(" => ").expect(file);
                let lines = |text: &str| text.replace("\\n", "\n");
                all.changes.push((path.to_owned(), lines(old), lines(new)));
            } else if let Some(draws) = line.strip_prefix("draws ") {
                let (draws, seed) = draws.split_once(", seed ").expect(file);
                let draws = match draws.strip_prefix("until settled, at most ") {
                    Some(most) => Draws::UntilStable {
                        digits: 2,
                        at_most: most.parse().expect(file),
                    },
                    None => Draws::Exactly(draws.parse().expect(file)),
                };
                let seed = seed.parse().expect(file);
                all.draws = Some(Settings::new(draws, seed));
            } else if let Some(sheets) = line.strip_prefix("sheets ") {
                all.sheets = sheets.split(", ").map(ToOwned::to_owned).collect();
            } else if let Some(sheet) = line.strip_prefix("sheet ") {
                sheet.clone_into(&mut all.sheet);
            } else {
                match line {
                    "despite findings" => all.despite_findings = true,
                    "checked" => all.checked = true,
                    "row by row" => all.row_by_row = true,
                    other => panic!("{file}: `#: {other}` is nothing that can be said"),
                }
            }
        }
        all
    }

    /// The demo's catalog with the changes, without its surveys; of its sheets those that are asked for, or that `text`
    /// names, and for a question all.
    fn catalog(&self, file: &str, text: &str) -> Vec<(String, String)> {
        let is_wanted = |path: &str| match path.strip_prefix("tubes/") {
            Some(sheet) if !self.sheets.is_empty() => {
                let id = sheet.trim_end_matches(".tube.yaml");
                self.sheets.iter().any(|wanted| wanted == id)
            }
            Some(sheet) => {
                let (tube, _) = sheet.rsplit_once("-r").expect(sheet);
                file.ends_with(".find.yaml") || text.contains(tube)
            }
            None => !path.starts_with("surveys/"),
        };
        let mut files: BTreeMap<String, String> = demo_files()
            .filter(|source| is_wanted(&source.path))
            .map(|source| {
                let text = String::from_utf8(source.bytes.to_vec()).unwrap();
                (source.path, text)
            })
            .collect();
        for (path, old, new) in &self.changes {
            if old == "everything" {
                files.insert(path.clone(), new.clone());
                continue;
            }
            let text = files
                .get_mut(path)
                .unwrap_or_else(|| panic!("{file}: no `{path}` in the catalog"));
            let times = text.matches(old.as_str()).count();
            assert_eq!(times, 1, "{file}: `{old}` stands {times} times in `{path}`");
            *text = text.replace(old.as_str(), new);
        }
        files.into_iter().collect()
    }
}

/// A question to the search, as a file.
#[derive(Deserialize)]
#[serde(default, deny_unknown_fields)]
#[derive(Default)]
struct Question {
    substance: String,
    level: Option<Stated<Concentration>>,
    limits: Vec<String>,
    conditions: Conditions,
    present: Vec<Present>,
    other_gases: Option<OtherGases>,
    within: Option<Stated<Duration>>,
    pump: Option<String>,
}

/// Everything that the program says of a file.
fn said_by(path: &Path) -> SaidCodes {
    let file = path.display().to_string();
    let text = fs::read_to_string(path).unwrap();
    let directives = Directives::of(&file, &text);
    let catalog = directives.catalog(&file, &text);
    let sources = catalog
        .iter()
        .map(|(path, text)| SourceFile::new(path, text.as_str()));
    let is_survey = file.ends_with(".survey.yaml");
    let survey = is_survey.then(|| SourceFile::new("surveys/a.survey.yaml", text.as_str()));
    let (book, read) = Book::read(sources.chain(survey));
    let findings = if directives.checked {
        check_read(&book, read, &stainbook_check::Options::default()).findings
    } else {
        read
    };
    let by_file = ErrorsByFile::of(&findings);
    // Substances with errors are part of what is tried here.
    let errors = |sheet: &str| SheetErrors::own(by_file.of_sheet(&book, sheet).own);
    let options = Options::default()
        .with_sheet_errors(&errors)
        .with_faulty_sheets(if directives.despite_findings {
            FaultySheets::FlagOnly
        } else {
            FaultySheets::Refuse
        })
        .with_monte_carlo(
            directives
                .draws
                .map(|settings| MonteCarloOptions::new(settings, &one_after_another)),
        );
    if is_survey {
        let (entry, written) = book
            .own()
            .find_map(|entry| match &entry.written {
                WrittenEntry::Survey(survey) => Some((entry, survey)),
                _ => None,
            })
            .unwrap_or_else(|| panic!("{file} is no survey"));
        let faults = SurveyFaults::of(entry, &findings);
        let done = evaluate_entry(&book, entry, written, &faults, &options, |_| {});
        of_evaluation(&done)
    } else if file.ends_with(".survey.csv") {
        let table = without_directives(&text);
        let mark = DecimalMark::Point;
        let rows = table::Rows::new(table.as_bytes(), delimiter_of(&table), mark)
            .unwrap_or_else(|problem| panic!("{file}: {problem:?}"));
        let mut evaluator = Evaluator::new(&book, options);
        let survey = rows.top().survey(None);
        of_evaluation(&if directives.row_by_row {
            let held = &survey.conditions;
            let results = rows
                .enumerate()
                .map(|(index, row)| table::evaluate_row_alone(&mut evaluator, held, index, row))
                .collect();
            evaluator.frame(results)
        } else {
            table::evaluate_rows(&mut evaluator, survey, rows)
        })
    } else if file.ends_with(".find.yaml") {
        let question: Question = serde_yaml::from_str(&text).expect(&file);
        let mut wanted = Wanted::default();
        wanted.substance = question.substance;
        wanted.level = question.level.map(|level| (*level).clone());
        wanted.limits = question.limits;
        wanted.conditions = question.conditions;
        wanted.present = question.present;
        wanted.interferents = question.other_gases;
        wanted.within = question.within.map(|within| within.value());
        wanted.pump = question.pump;
        of_search(&book, &wanted, &options)
    } else if file.ends_with(".worked.yaml") {
        let worked: Worked = serde_yaml::from_str(&text).expect(&file);
        let tube = book.tube_model(&directives.sheet).expect(&file);
        let refusal = worked_value(&tube, &worked).err();
        of_refusals(refusal.iter()).collect()
    } else {
        panic!("{file}: what is to be done with it?")
    }
}

fn without_directives(text: &str) -> String {
    let lines = text.split_inclusive('\n');
    lines.filter(|line| !line.starts_with('#')).collect()
}

fn of_refusals<'r>(
    refusals: impl Iterator<Item = &'r Refusal>,
) -> impl Iterator<Item = (Code, CodeKind)> {
    refusals.map(|refusal| (refusal.code.clone(), CodeKind::Refusal))
}

fn of_evaluation(done: &Evaluation) -> SaidCodes {
    let mut said = SaidCodes::new();
    let flags = done.results.iter().flat_map(|result| &result.flags);
    let flags = flags.chain(done.together.iter().flat_map(|one| &one.flags));
    said.extend(flags.map(|flag| (flag.code.clone(), CodeKind::Flag)));
    let statements = done.results.iter().flat_map(|result| &result.statements);
    let statements = statements
        .chain(done.together.iter().flat_map(|one| &one.statements))
        .chain(&done.cautions);
    said.extend(statements.map(|statement| (statement.code.clone(), CodeKind::Statement)));
    let refusals = done
        .results
        .iter()
        .filter_map(|result| result.refusal.as_ref());
    let refusals = refusals.chain(done.together.iter().filter_map(|one| one.refusal.as_ref()));
    said.extend(of_refusals(refusals));
    said
}

fn of_search(book: &Book, wanted: &Wanted, options: &Options<'_>) -> SaidCodes {
    let search = match find(book, wanted, options) {
        Ok(search) => search,
        Err(refusal) => return of_refusals([&refusal].into_iter()).collect(),
    };
    let mut said = SaidCodes::new();
    let watched = search.serve.iter().flat_map(|found| &found.watch_for);
    let statements = search
        .statements
        .iter()
        .chain(&search.cautions)
        .chain(watched);
    said.extend(statements.map(|statement| (statement.code.clone(), CodeKind::Statement)));
    for found in &search.serve {
        for reason in found.pro.iter().chain(&found.against) {
            // A flag that a reading would carry speaks for or against a tube as well.
            let kinds = reason.code.definition().unwrap().kinds;
            let kind = if kinds.contains(&CodeKind::Flag) {
                CodeKind::Flag
            } else {
                CodeKind::Reason
            };
            said.insert((reason.code.clone(), kind));
        }
        let why_not = found
            .levels
            .iter()
            .filter_map(|level| level.why_not.as_ref());
        said.extend(of_refusals(why_not));
    }
    said.extend(of_refusals(
        search.cannot.iter().flat_map(|sheet| &sheet.why),
    ));
    said
}
