//! Laws that hold for every file, whatever is in it.

use std::ops::Range;

use stainbook_catalog::READ_OPTIONS;
use stainbook_catalog::embedded::demo_files;
use stainbook_catalog::{Book, Entry, EntryKind, SourceFile, WrittenEntry, read_entry};
use stainbook_check::compare::{Scope, compare, unfit};
use stainbook_check::{Deny, Options, check_entry, check_with, fix};
use stainbook_document::finding::{Finding, Level, Safety};
use stainbook_document::place::{FileId, Place};
use stainbook_document::{Document, NodeId};
use stainbook_evaluation::{Options as EvaluateOptions, evaluate, worked};
use stainbook_present::{
    Colour, Sources, findings_github, findings_json, findings_junit, findings_sarif,
    findings_short, findings_text,
};
use stainbook_survey::document::{is_table, read_table};
use stainbook_survey::table::DecimalMark;

/// The whole catalog is checked with one damaged file in so many (levels, exceptions and order), and the demo's survey is
/// evaluated with it: most of the time would go there.
const WHOLE_EVERY: usize = 8;

/// The demo, into which damaged files are put one at a time.
pub(super) struct Laws {
    book: Option<Book>,
    options: Options,
    held: usize,
    /// See [`WHOLE_EVERY`].
    whole_every: usize,
}

impl Laws {
    pub(super) fn new() -> Self {
        Self {
            book: None,
            options: Options::default().with_as_of("2026-11-25".parse().ok()),
            held: 0,
            whole_every: WHOLE_EVERY,
        }
    }

    /// With the whole catalog for every file.
    #[cfg(test)]
    pub(super) fn thorough() -> Self {
        Self {
            whole_every: 1,
            ..Self::new()
        }
    }

    /// Reads, checks, mends, shows and evaluates a file; says which law it breaks.
    pub(super) fn hold(&mut self, path: &str, bytes: &[u8]) -> Result<(), String> {
        self.held += 1;
        // A panic before this took the book with it.
        let mut entries = match self.book.take() {
            Some(book) => book.into_entries(),
            None => Book::read(demo_files()).0.into_entries(),
        };
        let number = entries.len();
        let place = entries.iter().position(|entry| entry.path == path);
        let file = FileId(u32::try_from(place.unwrap_or(number)).unwrap_or(u32::MAX));
        let (entry, findings) = read(file, path, bytes);
        both_sources_agree(path, bytes)?;
        let Some(entry) = entry else {
            self.book = Some(Book::assemble(entries));
            return Ok(());
        };
        let kept = if let Some(there) = place.and_then(|place| entries.get_mut(place)) {
            Some(std::mem::replace(there, entry))
        } else {
            entries.push(entry);
            None
        };
        let book = Book::assemble(entries);
        let done = self.look(&book, file, bytes, findings);
        let mut entries = book.into_entries();
        match (kept, place.and_then(|place| entries.get_mut(place))) {
            (Some(kept), Some(there)) => *there = kept,
            _ => {
                entries.pop();
            }
        }
        self.book = Some(Book::assemble(entries));
        done
    }

    fn look(
        &self,
        book: &Book,
        file: FileId,
        bytes: &[u8],
        read: Vec<Finding>,
    ) -> Result<(), String> {
        let Some(entry) = book.entries().iter().find(|entry| entry.file == file) else {
            return Err("the file is not in its book".to_owned());
        };
        let mut findings = read;
        findings.extend(check_entry(book, entry, &self.options));
        findings.extend(worked::check_entry(book, entry));
        for finding in &findings {
            stands_in_its_file(book, finding)?;
        }
        if let Some(ours) = findings
            .iter()
            .find(|finding| finding.fault() == stainbook_document::finding::Fault::Ours)
        {
            return Err(format!(
                "the schema accepts what the model does not: {}",
                ours.message_text()
            ));
        }
        if !is_table(&entry.path) {
            mends_well(book, entry, bytes, &findings, self.options)?;
        }
        if self.held.is_multiple_of(self.whole_every) {
            let again = check_with(book, findings.clone(), &self.options);
            let once_more = check_with(book, findings.clone(), &self.options);
            if again != once_more {
                return Err("the same files give other findings the second time".to_owned());
            }
        }
        shows(book, &findings)?;
        if matches!(entry.written, WrittenEntry::Survey(_))
            || self.held.is_multiple_of(self.whole_every)
        {
            evaluates(book, entry)?;
        }
        Ok(())
    }
}

fn read(file: FileId, path: &str, bytes: &[u8]) -> (Option<Entry>, Vec<Finding>) {
    let source = SourceFile::from_bytes(path.to_owned(), bytes.to_vec());
    if is_table(path) {
        let (entry, findings) = read_table(file, &source, DecimalMark::Point);
        return (Some(entry), findings);
    }
    read_entry(file, &source)
}

/// The quick source of events and the general one make the same of a text.
fn both_sources_agree(path: &str, bytes: &[u8]) -> Result<(), String> {
    let limits = READ_OPTIONS;
    let (fast, of_fast) = Document::read(FileId(0), path, bytes, &limits);
    let (general, of_general) = Document::read_full(FileId(0), path, bytes, &limits);
    if fast.is_broken() || general.is_broken() {
        // Where a limit or an error ends a file, each keeps what it had.
        return if fast.is_broken() == general.is_broken() {
            Ok(())
        } else {
            Err("only one of the two sources reads the file to its end".to_owned())
        };
    }
    if fast.node_count() != general.node_count() {
        return Err(format!(
            "the quick source reads {} nodes, the general one {}",
            fast.node_count(),
            general.node_count()
        ));
    }
    for row in 0..fast.node_count() {
        let id = NodeId::of_row(row);
        let shown = |document: &Document| {
            document.node(id).map(|node| {
                let text = node.text().map(str::to_owned);
                (node.kind(), node.range(), text, document.path_of(id))
            })
        };
        if shown(&fast) != shown(&general) {
            return Err(format!(
                "the quick source reads {:?}, the general one {:?}",
                shown(&fast),
                shown(&general)
            ));
        }
    }
    if of_fast != of_general {
        return Err("the two sources find other things wrong".to_owned());
    }
    Ok(())
}

/// Bytes of a text, with whole characters at both ends.
pub(super) fn inside(text: &str, start: usize, end: usize) -> Result<(), String> {
    match text.get(start..end) {
        Some(_) => Ok(()),
        None => Err(format!(
            "bytes {start} to {end} are not in a text of {}",
            text.len()
        )),
    }
}

/// Every place that a finding names lies in its file.
fn stands_in_its_file(book: &Book, finding: &Finding) -> Result<(), String> {
    let related = finding.related_places().iter().map(|(place, _)| place);
    let edits = finding.edits().iter().map(|edit| &edit.place);
    for place in related.chain(edits).chain([finding.place()]) {
        let Some(entry) = book.entries().iter().find(|entry| entry.file == place.file) else {
            return Err(format!("{}: in a file that there is not", finding.rule()));
        };
        let range = entry.document.locate(place);
        inside(entry.document.text(), range.start, range.end)
            .map_err(|why| format!("{}: {why}", finding.rule()))?;
        let (start, end) = (
            entry.document.line_column(range.start),
            entry.document.line_column(range.end),
        );
        if start.line == 0
            || start.column == 0
            || (end.line, end.column) < (start.line, start.column)
        {
            return Err(format!("{}: from {start:?} to {end:?}", finding.rule()));
        }
    }
    if finding.message_text().trim().is_empty() {
        return Err(format!("{} says nothing", finding.rule()));
    }
    Ok(())
}

/// A file that was mended is read to its end as before, has no more errors, and means what it meant everywhere else.
fn mends_well(
    book: &Book,
    entry: &Entry,
    bytes: &[u8],
    findings: &[Finding],
    options: Options,
) -> Result<(), String> {
    let Ok(Some(fixed)) = fix(&entry.document, bytes, findings) else {
        return Ok(());
    };
    let source = SourceFile::from_bytes(entry.path.clone(), fixed.bytes.clone());
    let (again, read_again) = read_entry(entry.file, &source);
    let Some(again) = again else {
        return Err("a mended file has no kind any more".to_owned());
    };
    if again.document.is_broken() && !entry.document.is_broken() {
        return Err("a mended file cannot be read to its end".to_owned());
    }
    let errors = |findings: &[Finding]| {
        let errors = findings
            .iter()
            .filter(|finding| finding.level() == Level::Error);
        errors.count()
    };
    let mut after = read_again.clone();
    after.extend(check_entry(book, &again, &options));
    // Of a file that breaks off, mending brings to light what could not be looked at before.
    let looked_at_before = !entry.document.is_broken();
    if looked_at_before && errors(findings) < errors(&read_again) {
        let new = read_again.iter().find(|finding| {
            findings
                .iter()
                .all(|old| old.message_text() != finding.message_text())
        });
        return Err(format!(
            "mending makes errors: {:?}",
            new.map(|finding| (finding.rule(), finding.message_text().to_owned()))
        ));
    }
    if unfit(findings).is_some() || unfit(&after).is_some() {
        return Ok(());
    }
    let touched: Vec<Range<usize>> = findings
        .iter()
        .filter(|finding| finding.safety() == Safety::Safe)
        .flat_map(Finding::edits)
        .map(|edit| entry.document.locate(&edit.place))
        .collect();
    let differences = compare(
        entry.kind,
        &entry.document,
        &again.document,
        Scope::Everything,
    );
    let at = |place: &Place| entry.document.locate(place);
    // A row that is known by what was mended is gone under its old name, and there under the new one.
    let mut renamed = 0_usize;
    for difference in differences {
        let known = if let Some(side) = &difference.a {
            let range = at(&side.place);
            let known = touched
                .iter()
                .any(|edit| edit.start <= range.end && range.start <= edit.end);
            renamed += usize::from(known && difference.b.is_none());
            known
        } else {
            // Nor is anything known of a field in which a file broke off.
            let known = 0 < renamed || !looked_at_before;
            renamed = renamed.saturating_sub(1);
            known
        };
        if !known {
            return Err(format!(
                "mending changes `{}`: {:?} → {:?}",
                difference.field,
                difference.a.map(|side| side.text),
                difference.b.map(|side| side.text)
            ));
        }
    }
    Ok(())
}

/// Every format can be written, and those that others read are well formed.
fn shows(book: &Book, findings: &[Finding]) -> Result<(), String> {
    let sources = Sources::of_book(book);
    for colour in [Colour::Plain, Colour::Terminal] {
        findings_text::render(findings, &sources, 1, colour);
    }
    let lines = findings_short::render(findings, &sources).lines().count();
    let annotations = findings_github::render(findings, &sources).lines().count();
    if lines != findings.len() || annotations != findings.len() {
        return Err(format!(
            "{} findings are {lines} lines in short and {annotations} annotations",
            findings.len()
        ));
    }
    let told = |error: serde_json::Error| error.to_string();
    let json = findings_json::render(findings, &sources, 1, None).map_err(told)?;
    serde_json::from_str::<serde_json::Value>(&json).map_err(told)?;
    let groups = [(findings, sources)];
    let run = findings_sarif::SarifRun {
        folder: "/lab",
        catalog: "the demo",
        files: 1,
        failures: &[],
    };
    let sarif = findings_sarif::render(&groups, &run).map_err(told)?;
    serde_json::from_str::<serde_json::Value>(&sarif).map_err(told)?;
    let looked = findings_junit::Looked {
        files: &[],
        failures: &[],
        deny: Deny::Errors,
    };
    let junit = findings_junit::render(&groups, &looked);
    let not_xml = |c: char| c.is_control() && !matches!(c, '\n' | '\t' | '\r');
    if junit.contains(not_xml) {
        return Err("JUnit holds a character that XML has not".to_owned());
    }
    Ok(())
}

/// Each reading of a survey has a result, and no value is something else than a number.
fn evaluates(book: &Book, entry: &Entry) -> Result<(), String> {
    let surveys: Vec<_> = match (&entry.written, entry.kind) {
        (WrittenEntry::Survey(survey), _) => vec![&**survey],
        // The demo's own surveys use the sheet.
        (_, EntryKind::Tube | EntryKind::Substance | EntryKind::Pump | EntryKind::PumpKind) => {
            book.surveys().take(1).map(|(_, survey)| survey).collect()
        }
        _ => Vec::new(),
    };
    for survey in surveys {
        let evaluation = evaluate(book, survey, &EvaluateOptions::default());
        if evaluation.results.len() != survey.readings.len() {
            return Err(format!(
                "{} readings have {} results",
                survey.readings.len(),
                evaluation.results.len()
            ));
        }
        for result in &evaluation.results {
            let value = result.concentration.as_ref().map(|stated| stated.value);
            if value.is_some_and(|value| !value.is_finite() || value < 0.0) {
                return Err(format!("`{}` comes out as {value:?}", result.id));
            }
        }
    }
    Ok(())
}
