//! Running the rules over a catalog.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

use jiff::civil::Date;
#[cfg(feature = "parallel")]
use rayon::prelude::*;
use stainbook_catalog::written::tube::FullRanges;
use stainbook_catalog::{Book, Entry, WrittenEntry};
use stainbook_document::finding::Finding;
use stainbook_document::place::{FileId, Place};
use stainbook_document::rules;

use crate::as_meant::AsMeant;
use crate::exceptions::{self, Scope};
use crate::levels::Levels;
use crate::rules::RULES;
use crate::{Check, Context, Report, SheetView, Sink};

/// Options of a run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct Options {
    /// The day that dates are judged by. Without it, dates are compared with each other only, and no exception expires.
    pub as_of: Option<Date>,
}

impl Options {
    /// The same, with dates judged by a day, or compared with each other only.
    #[must_use]
    pub fn with_as_of(mut self, day: impl Into<Option<Date>>) -> Self {
        self.as_of = day.into();
        self
    }
}

/// Findings of the rules in the catalog's own entries, with its levels and exceptions applied.
///
/// The findings of reading are not among them; see [`check_with`] for both together. Exceptions from the reader's
/// rules are therefore not judged here.
pub fn check(book: &Book, options: &Options) -> Vec<Finding> {
    let found = every_entry(book, &|entry| {
        (check_entry(book, entry, options), Vec::new())
    });
    let found = found.into_iter().flat_map(|(found, _)| found).collect();
    finish(book, found, options.as_of, Scope::RulesOnly)
}

/// Findings of reading and of the rules, with the catalog's levels and exceptions applied to both.
///
/// # Example
///
/// ```
/// use stainbook_catalog::Book;
/// use stainbook_check::{Options, check_with};
///
/// let (book, read) = Book::read([]);
/// let report = check_with(&book, read, &Options::default());
/// assert_eq!((report.files, report.errors), (0, 0));
/// ```
pub fn check_with(book: &Book, read: Vec<Finding>, options: &Options) -> Report {
    check_with_more(book, read, options, &|_, _| Vec::new())
}

/// The same with what somebody else has to say about each entry: a part of the judging that this crate cannot do itself.
pub fn check_with_more(
    book: &Book,
    read: Vec<Finding>,
    options: &Options,
    more: &(dyn Fn(&Book, &Entry) -> Vec<Finding> + Sync),
) -> Report {
    let look = |book: &Book, entry: &Entry| {
        let mut findings = check_entry(book, entry, options);
        findings.extend(more(book, entry));
        findings
    };
    let as_meant = AsMeant::of(book, &read, &look);
    let (found, follow) = as_meant.findings(book, read, &look);
    let mut files: Vec<FileId> = book.own().map(|entry| entry.file).collect();
    files.extend(found.iter().map(|finding| finding.place().file));
    files.sort_unstable();
    files.dedup();
    let found = finish(book, found, options.as_of, Scope::Everything);
    Report {
        follow,
        ..Report::new(found, files.len())
    }
}

/// Findings in an entry, and those that only follow from a slip in its layout.
pub(crate) type FoundInEntry = (Vec<Finding>, Vec<Finding>);

/// Does the same for each of the catalog's own entries, several at a time; what is found is in the order of the entries.
pub(crate) fn every_entry(
    book: &Book,
    look: &(dyn Fn(&Entry) -> FoundInEntry + Sync),
) -> Vec<FoundInEntry> {
    let own: Vec<&Entry> = book.own().collect();
    // An entry that breaks the program off is told of like any other, and the others are still looked at.
    each(own, |entry| {
        catch_unwind(AssertUnwindSafe(|| look(entry)))
            .unwrap_or_else(|_| (vec![broken_off(entry.file)], Vec::new()))
    })
}

fn broken_off(file: FileId) -> Finding {
    Finding::new(&rules::UNREADABLE_VALUE, Place::file(file))
        .message("this file could not be checked to its end")
        .note("this is a fault of stainbook, not of the file")
        .help("please report it with this file")
        .our_fault()
}

/// Does the same to each of several, at once where there are threads; the results are in the order of what was given.
#[cfg(feature = "parallel")]
pub(crate) fn each<T: Send, R: Send>(all: Vec<T>, of: impl Fn(T) -> R + Send + Sync) -> Vec<R> {
    all.into_par_iter().map(of).collect()
}

#[cfg(not(feature = "parallel"))]
pub(crate) fn each<T, R>(all: Vec<T>, of: impl Fn(T) -> R) -> Vec<R> {
    all.into_iter().map(of).collect()
}

/// Findings of the rules in one entry, before levels and exceptions.
pub fn check_entry(book: &Book, entry: &Entry, options: &Options) -> Vec<Finding> {
    let mut findings = Vec::new();
    let context = Context {
        book,
        entry,
        as_of: options.as_of,
    };
    let full = match &entry.written {
        WrittenEntry::Tube(tube) => tube.ranges_in_full(),
        _ => FullRanges::default(),
    };
    let sheet = match &entry.written {
        WrittenEntry::Tube(tube) => Some(SheetView::new(tube, &full)),
        _ => None,
    };
    for rule in RULES {
        let mut sink = Sink::new(rule, entry.file, &mut findings);
        match (rule.check, &entry.written) {
            (Check::Any(kinds, run), _) if kinds.contains(&entry.kind) => run(&context, &mut sink),
            (Check::Tube(run), WrittenEntry::Tube(_)) => {
                if let Some(sheet) = &sheet {
                    run(sheet, &context, &mut sink);
                }
            }
            (Check::Substance(run), WrittenEntry::Substance(written)) => {
                run(written, &context, &mut sink);
            }
            (Check::Group(run), WrittenEntry::Group(written)) => run(written, &context, &mut sink),
            (Check::Source(run), WrittenEntry::Source(written)) => {
                run(written, &context, &mut sink);
            }
            (Check::PumpKind(run), WrittenEntry::PumpKind(written)) => {
                run(written, &context, &mut sink);
            }
            (Check::Pump(run), WrittenEntry::Pump(written)) => run(written, &context, &mut sink),
            (Check::Plan(run), WrittenEntry::Plan(written)) => run(written, &context, &mut sink),
            (Check::Survey(run), WrittenEntry::Survey(written)) => {
                run(written, &context, &mut sink);
            }
            (Check::Catalog(run), WrittenEntry::Catalog(written)) => {
                run(written, &context, &mut sink);
            }
            _ => {}
        }
    }
    findings
}

/// Levels, exceptions and order: what has to be done once for the whole catalog.
pub(crate) fn finish(
    book: &Book,
    found: Vec<Finding>,
    as_of: Option<Date>,
    scope: Scope,
) -> Vec<Finding> {
    let levels = Levels::of(book);
    let kept = exceptions::apply(book, found, as_of, scope);
    let mut findings: Vec<Finding> = kept
        .into_iter()
        .filter_map(|finding| levels.apply(finding))
        .collect();
    sort(book, &mut findings);
    findings
}

/// By path of the file, then by position, then by rule; what is left keeps its order.
fn sort(book: &Book, findings: &mut Vec<Finding>) {
    let mut of_file: BTreeMap<FileId, Vec<Finding>> = BTreeMap::new();
    for finding in findings.drain(..) {
        of_file
            .entry(finding.place().file)
            .or_default()
            .push(finding);
    }
    let entries: BTreeMap<FileId, &Entry> = book
        .entries()
        .iter()
        .map(|entry| (entry.file, entry))
        .collect();
    let mut files: Vec<(&str, FileId, Vec<Finding>)> =
        each(of_file.into_iter().collect(), |(file, findings)| {
            match entries.get(&file) {
                Some(entry) => (entry.path.as_str(), file, by_position(entry, findings)),
                // A file whose name told no kind has no entry; such files come first, in the order of their numbers.
                None => ("", file, by_rule(findings)),
            }
        });
    files.sort_by_key(|(path, file, _)| (*path, *file));
    findings.extend(files.into_iter().flat_map(|(_, _, findings)| findings));
}

fn by_rule(mut findings: Vec<Finding>) -> Vec<Finding> {
    findings.sort_by_key(Finding::rule);
    findings
}

/// The findings about one file in the order of its text.
fn by_position(entry: &Entry, findings: Vec<Finding>) -> Vec<Finding> {
    if findings.len() < 2 {
        return findings;
    }
    let again = (!entry.document.has_tree()).then(|| entry.document.with_tree());
    let document = again.as_ref().unwrap_or(&entry.document);
    let mut placed: Vec<_> = findings
        .into_iter()
        .map(|finding| {
            let range = document.locate(finding.place());
            ((range.start, range.end), finding)
        })
        .collect();
    placed.sort_by(|(a, one), (b, two)| a.cmp(b).then_with(|| one.rule().cmp(two.rule())));
    placed.into_iter().map(|(_, finding)| finding).collect()
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::SourceFile;
    use stainbook_document::finding::Fault;

    use super::*;

    #[test]
    fn an_entry_that_breaks_the_program_off_does_not_keep_the_others_from_being_checked() {
        let file = |name: &str| {
            let text = format!("pump: {name}\nkind: none\n");
            SourceFile::new(format!("{name}.pump.yaml"), text)
        };
        let (book, read) = Book::read([file("a"), file("b"), file("c")]);
        let report = check_with_more(&book, read, &Options::default(), &|_, entry| {
            assert_ne!(entry.id(), "b", "something unheard of");
            Vec::new()
        });
        let of = |name: &str| {
            let entry = book.own().find(|entry| entry.id() == name).unwrap();
            let own = |finding: &&Finding| finding.place().file == entry.file;
            report.findings.iter().filter(own).collect::<Vec<_>>()
        };
        assert_eq!(of("b")[0].fault(), Fault::Ours);
        assert!(
            of("a")
                .iter()
                .chain(&of("c"))
                .all(|finding| finding.fault() == Fault::Author)
        );
        assert!(!of("a").is_empty() && !of("c").is_empty());
    }
}
