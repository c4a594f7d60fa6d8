//! All that findings offer, put in where it is offered: it is taken, settles its finding, and changes nothing else.
#![cfg(test)]
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test uses a part of what the fixtures offer"
)]

mod fixture;
mod offer_trial;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use offer_trial::{schema, typed, without};
use stainbook_catalog::rules::reader_rules;
use stainbook_catalog::{Book, EntryKind};
use stainbook_check::registry;
use stainbook_document::edit::{NewValue, applied};
use stainbook_document::finding::Finding;
use stainbook_document::offer::{Offer, OfferForm};
use stainbook_document::place::{FileId, Spot};
use stainbook_document::{Document, Node};

/// Crates whose findings offer nothing but by [`Offer`].
const CRATES: [&str; 3] = ["document", "catalog", "check"];

/// The functions that build one.
const BUILDERS: [&str; 9] = [
    "Offer::entry(",
    "Offer::yaml(",
    "Offer::field(",
    "Offer::name(",
    "Offer::new_name(",
    "Offer::left_out(",
    "Offer::cell(",
    "Offer::cell_under(",
    "Offer::command(",
];

/// Every fixture by its rule and name, the flagged example of every page, and the files that are there for their offers.
fn examples() -> Vec<(String, Vec<u8>)> {
    let mut examples = Vec::new();
    for rule in fixture::names(&fixture::rules_folder()) {
        let folder = fixture::rules_folder().join(&rule);
        if !folder.is_dir() || rule == "base" {
            continue;
        }
        for name in fixture::names(&folder) {
            examples.push((
                format!("{rule}/{name}"),
                fs::read(folder.join(&name)).unwrap(),
            ));
        }
    }
    for rule in registry() {
        let (_, rest) = rule.docs.split_once("\n## Flagged\n").unwrap();
        let (_, rest) = rest.split_once("```yaml\n").unwrap();
        let (block, _) = rest.split_once("\n```").unwrap();
        examples.push((
            format!("page of {}", rule.name),
            format!("{block}\n").into_bytes(),
        ));
    }
    let folder = fixture::rules_folder().join("../offers");
    for name in fixture::names(&folder) {
        examples.push((
            format!("offers/{name}"),
            fs::read(folder.join(&name)).unwrap(),
        ));
    }
    examples
}

/// Findings of the reader, each as often as it comes.
fn by_reader(findings: &[Finding]) -> BTreeMap<(FileId, &'static str, String), usize> {
    let names: BTreeSet<&str> = reader_rules().map(|rule| rule.name).collect();
    let mut counted = BTreeMap::new();
    for finding in findings
        .iter()
        .filter(|finding| names.contains(finding.rule()))
    {
        let key = (
            finding.place().file,
            finding.rule(),
            finding.message_text().to_owned(),
        );
        *counted.entry(key).or_default() += 1;
    }
    counted
}

/// Number of findings that say the same as this one in its file.
fn alike(findings: &[Finding], finding: &Finding) -> usize {
    let same = |other: &&Finding| {
        other.rule() == finding.rule()
            && other.message_text() == finding.message_text()
            && other.place().file == finding.place().file
    };
    findings.iter().filter(same).count()
}

/// A catalog with another text in one of its files.
fn with_file(example: &[u8], path: &str, text: &str) -> (Book, Vec<Finding>) {
    let mut made = fixture::make(example);
    for (name, bytes) in &mut made.files {
        if name == path {
            *bytes = text.as_bytes().to_vec();
        }
    }
    let (book, report) = fixture::run(&made);
    (book, report.findings)
}

/// Complaints about one offer.
fn tried(
    example: &[u8],
    book: &Book,
    before: &[Finding],
    finding: &Finding,
    offer: &Offer,
) -> Vec<String> {
    let place = offer.place().unwrap_or(finding.place());
    let Some(entry) = book.entry(place.file) else {
        return vec!["its file is no entry".to_owned()];
    };
    let document = read_again(&entry.document);
    let yaml = match offer.form() {
        OfferForm::Cell(_) => false,
        OfferForm::Value => offer.text().starts_with(['{', '[']),
        _ => true,
    };
    if document.is_of_cells() && yaml {
        return vec!["YAML is offered for a table".to_owned()];
    }
    let node = document.find(&document.path_at(place));
    if node.is_some_and(Node::is_incomplete) {
        // Only its beginning was read.
        return Vec::new();
    }
    let kind = EntryKind::of_file(&entry.path).map(|(kind, _)| kind.name());
    let typed = match typed(&document, finding, offer, kind.unwrap_or("survey")) {
        Ok(typed) => typed,
        Err(problem) => return vec![problem],
    };
    let open = offer.form() == OfferForm::Name || offer.text().contains('…');
    let (book, after) = with_file(example, &entry.path, &typed.text);
    let mut wrong = Vec::new();
    if !open && !offer.is_in_part() && alike(before, finding) <= alike(&after, finding) {
        wrong.push("the finding is still there".to_owned());
    }
    let known = by_reader(before);
    // What was hidden by a fault of the same value.
    let behind = |rule: &str, message: &str| {
        after.iter().any(|other| {
            (other.rule(), other.message_text()) == (rule, message)
                && document.path_at(other.place()) == document.path_at(finding.place())
        })
    };
    for ((file, rule, message), count) in by_reader(&after) {
        let to_follow = rule == "missing-key" && (open || offer.is_in_part())
            || offer.is_in_part() && behind(rule, &message);
        // What fills an open place is the test's own.
        let of_filling = rule == "unresolved-reference" && open;
        let known = known.get(&(file, rule, message.clone())).copied();
        if known.unwrap_or(0) < count && !to_follow && !of_filling {
            wrong.push(format!("new: {rule}: {message}"));
        }
    }
    let Some(now) = book
        .entry(place.file)
        .map(|entry| read_again(&entry.document))
    else {
        wrong.push("the file cannot be read".to_owned());
        return wrong;
    };
    if now.is_broken() && !document.is_broken() {
        wrong.push("the file is broken".to_owned());
    }
    wrong.extend(changed(&document, &now, &typed));
    wrong
}

/// True if a finding of the reader is about the same value as one whose change is less than the value.
fn report_hidden(after: &[Finding], finding: &Finding, rule: &str, message: &str) -> bool {
    let part = matches!(
        &finding.place().spot,
        Spot::At {
            within: Some(_),
            ..
        }
    );
    part && after.iter().any(|other| {
        (other.rule(), other.message_text()) == (rule, message)
            && other.place().path() == finding.place().path()
    })
}

/// The document with its tree, which was let go if the file has no fault.
fn read_again(document: &Document) -> Document {
    if document.has_tree() {
        document.clone()
    } else {
        document.with_tree()
    }
}

/// Complaints about what a file says now, against what it said and what was put in.
fn changed(before: &Document, now: &Document, typed: &offer_trial::Typed) -> Vec<String> {
    let mut wrong = Vec::new();
    let Some(path) = &typed.path else {
        return wrong;
    };
    if !before.is_broken() && without(before, path) != without(now, path) {
        wrong.push(format!("more than {path} is changed"));
    }
    let there = now.find(path).map(NewValue::of);
    if there != typed.value {
        wrong.push(format!("{path} is {there:?}, not {:?}", typed.value));
    }
    wrong
}

/// Lines of the code of a crate, each with its file and number: no comments, and no tests.
fn code_of(of: &str) -> Vec<(String, u32, String)> {
    let root = fixture::rules_folder()
        .join("../..")
        .canonicalize()
        .unwrap();
    let mut lines = Vec::new();
    let mut folders = vec![root.join("crates").join(of).join("src")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                if name != "tests" {
                    folders.push(path);
                }
                continue;
            }
            let code = path.extension().is_some_and(|extension| extension == "rs");
            if !code || name == "tests.rs" || name == "offer.rs" {
                continue;
            }
            let text = fs::read_to_string(&path).unwrap();
            let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
            let file = path.strip_prefix(&root).unwrap();
            let file = file.to_string_lossy().into_owned();
            lines.extend(
                (1..)
                    .zip(text.lines())
                    .filter(|(_, line)| !line.trim_start().starts_with("//"))
                    .map(|(number, line)| (file.clone(), number, line.to_owned())),
            );
        }
    }
    lines
}

/// Places of the sources of a crate at which an offer is built.
fn places_in_sources(of: &str) -> BTreeSet<(String, u32)> {
    let builds = |line: &str| BUILDERS.iter().any(|builder| line.contains(builder));
    code_of(of)
        .into_iter()
        .filter(|(_, _, line)| builds(line))
        .map(|(file, number, _)| (file, number))
        .collect()
}

#[test]
fn what_findings_offer_is_taken_where_it_is_offered() {
    let mut wrong = BTreeSet::new();
    let mut sorts: BTreeMap<String, usize> = BTreeMap::new();
    let mut reached = BTreeSet::new();
    for (name, example) in examples() {
        let (book, report) = fixture::run(&fixture::make(&example));
        for finding in &report.findings {
            for offer in finding.offers() {
                let built_at = offer.built_at();
                reached.insert((built_at.file.to_string(), built_at.line));
                let sort = format!("{:?}", offer.form());
                *sorts.entry(sort).or_default() += 1;
                if offer.form() == OfferForm::Command {
                    continue;
                }
                for problem in tried(&example, &book, &report.findings, finding, offer) {
                    wrong.insert(format!(
                        "{name}: {} offers `{}` ({}:{}): {problem}",
                        finding.rule(),
                        offer.text(),
                        built_at.file,
                        built_at.line
                    ));
                }
            }
        }
    }
    let all: usize = sorts.values().sum();
    println!("{all} offers put in: {sorts:?}");
    let mut found = BTreeSet::new();
    for of in CRATES {
        found.extend(places_in_sources(of));
    }
    println!(
        "{} of {} places of the code reached",
        found.intersection(&reached).count(),
        found.len()
    );
    for (file, line) in found.difference(&reached) {
        wrong.insert(format!("{file}:{line}: an offer that no fixture reaches"));
    }
    let wrong: Vec<String> = wrong.into_iter().collect();
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn a_change_that_is_offered_settles_its_finding() {
    let mut offers: BTreeMap<&str, usize> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (name, example) in examples() {
        let (book, report) = fixture::run(&fixture::make(&example));
        for finding in report
            .findings
            .iter()
            .filter(|finding| !finding.edits().is_empty())
        {
            *offers.entry(finding.rule()).or_default() += 1;
            let Some(entry) = book.entry(finding.place().file) else {
                wrong.push(format!("{name}: {} changes no entry", finding.rule()));
                continue;
            };
            let text = applied(&entry.document, finding.edits());
            let (_, after) = with_file(&example, &entry.path, &text);
            if alike(&report.findings, finding) <= alike(&after, finding) {
                wrong.push(format!("{name}: {} is still there", finding.rule()));
            }
            let known = by_reader(&report.findings);
            for ((file, rule, message), count) in by_reader(&after) {
                let known = known.get(&(file, rule, message.clone())).copied();
                let hidden = report_hidden(&after, finding, rule, &message);
                if known.unwrap_or(0) < count && !hidden {
                    wrong.push(format!(
                        "{name}: the change of {} makes {rule}: {message}",
                        finding.rule()
                    ));
                }
            }
        }
    }
    let all: usize = offers.values().sum();
    println!(
        "{all} changes offered by {} rules: {offers:?}",
        offers.len()
    );
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// Texts in backticks.
fn quoted(words: &str) -> impl Iterator<Item = &str> {
    words.split('`').skip(1).step_by(2)
}

#[test]
fn help_says_nothing_to_be_typed_but_by_offers() {
    let known = schema::vocabulary();
    let mut wrong = BTreeSet::new();
    for (name, example) in examples() {
        let made = fixture::make(&example);
        let (_, report) = fixture::run(&made);
        for finding in &report.findings {
            if finding.rule().starts_with("table-") {
                continue;
            }
            let offers: Vec<&str> = finding.offers().map(Offer::text).collect();
            let about = format!("{} {:?}", finding.message_text(), finding.label_text());
            for text in quoted(finding.help_text().unwrap_or_default()) {
                // A field, a word or a mark is spoken of; a name or a text is quoted back.
                let spoken_of =
                    known.contains(text) || text.chars().count() < 2 || text.contains(".yaml");
                let given = about.contains(text)
                    || made.files.iter().any(|(path, bytes)| {
                        path.contains(text) || String::from_utf8_lossy(bytes).contains(text)
                    });
                if !offers.contains(&text) && !spoken_of && !given {
                    wrong.insert(format!("{name}: {} offers `{text}`", finding.rule()));
                }
            }
        }
    }
    let wrong: Vec<String> = wrong.into_iter().collect();
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// Words before a text that is to be typed.
const TO_BE_TYPED: [&str; 8] = [
    "write `",
    "add `",
    "as in `",
    "such as `",
    "example `",
    "mean `",
    "use `",
    "put `",
];

#[test]
fn no_text_of_the_sources_offers_by_itself() {
    let mut wrong = Vec::new();
    for of in CRATES {
        let mut before = String::new();
        for (file, number, line) in code_of(of) {
            // Said to whoever reads the files by serde alone.
            let expected = before.contains("EXPECTED") || line.contains("EXPECTED");
            before.clone_from(&line);
            for words in TO_BE_TYPED {
                let Some((_, after)) = line.split_once(words) else {
                    continue;
                };
                let text = after.split('`').next().unwrap_or_default();
                // A mark of the layout is put in by the change that is offered beside it.
                let mark = ["{close}", "{mark}", "{word}:"].contains(&text);
                // Labels only say again what help offers.
                let label = line.contains(".label(");
                // A field's name alone says where to write, and not what.
                let name = text.chars().all(|c| c.is_ascii_lowercase() || c == '_');
                if !name && !mark && !label && !expected {
                    wrong.push(format!("{file}:{number}: {words}{text}`"));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
