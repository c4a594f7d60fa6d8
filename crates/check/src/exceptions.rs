//! Findings that an entry accepts, each with a reason.

use jiff::civil::Date;
use stainbook_catalog::written::tube::Accept;
use stainbook_catalog::{Book, Entry, ListedBox, WrittenEntry};
use stainbook_document::finding::Finding;
use stainbook_document::place::{FileId, Path, Place};

use crate::rules::{exception_expired, exception_unused};
use crate::{Check, find_rule};

/// Rules that have been run, so that an exception from one that has not is not called unused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Scope {
    /// The reader's rules were left out.
    RulesOnly,
    /// All.
    Everything,
}

/// A finding that an entry accepts.
pub(crate) struct Accepted<'a> {
    pub(crate) accept: &'a Accept,
    /// Path of the acceptance.
    pub(crate) path: Path,
    /// Part of the entry that it speaks for: one box of a list accepts nothing for the others.
    within: Path,
}

/// The findings that an entry accepts.
pub(crate) fn accepted(entry: &Entry) -> Vec<Accepted<'_>> {
    match &entry.written {
        WrittenEntry::Substance(entry) => of_part(&entry.accept, &Path::root()),
        WrittenEntry::PumpKind(entry) => of_part(&entry.accept, &Path::root()),
        WrittenEntry::Pump(entry) => of_part(&entry.accept, &Path::root()),
        WrittenEntry::Tube(entry) => of_part(&entry.accept, &Path::root()),
        WrittenEntry::Plan(entry) => of_part(&entry.accept, &Path::root()),
        WrittenEntry::StockBox(_) | WrittenEntry::BoxList(_) => ListedBox::of(entry)
            .flat_map(|listed| of_part(&listed.stock.accept, &listed.path()))
            .collect(),
        WrittenEntry::Catalog(_)
        | WrittenEntry::Source(_)
        | WrittenEntry::Group(_)
        | WrittenEntry::Survey(_) => Vec::new(),
    }
}

fn of_part<'a>(accept: &'a [Accept], within: &Path) -> Vec<Accepted<'a>> {
    let accept = accept.iter().enumerate();
    accept
        .map(|(index, accept)| Accepted {
            accept,
            path: within.clone().key("accept").index(index),
            within: within.clone(),
        })
        .collect()
}

struct Exception<'a> {
    file: FileId,
    path: Path,
    accept: &'a Accept,
    /// Place of the findings that are meant; nothing for all of the file.
    at: Option<Path>,
    expired: bool,
    used: bool,
}

impl Exception<'_> {
    fn covers(&self, finding: &Finding) -> bool {
        self.accept.rule.as_deref() == Some(finding.rule())
            && self.file == finding.place().file
            && match (&self.at, finding.place().path()) {
                (None, _) => true,
                (Some(at), Some(path)) => at.contains(path),
                (Some(_), None) => false,
            }
    }
}

/// Takes out what is accepted, and reports exceptions that are not needed or no longer hold.
pub(crate) fn apply(
    book: &Book,
    found: Vec<Finding>,
    as_of: Option<Date>,
    scope: Scope,
) -> Vec<Finding> {
    let mut exceptions: Vec<Exception<'_>> = book
        .own()
        .flat_map(|entry| {
            accepted(entry).into_iter().map(move |accepted| {
                let accept = accepted.accept;
                Exception {
                    file: entry.file,
                    at: match accept.at.as_deref() {
                        Some(at) => Some(Path::from_pointer(at)),
                        None if accepted.within == Path::root() => None,
                        None => Some(accepted.within),
                    },
                    path: accepted.path,
                    accept,
                    expired: match (&accept.until, as_of) {
                        (Some(until), Some(today)) => until.last() < today,
                        _ => false,
                    },
                    used: false,
                }
            })
        })
        .collect();
    let mut kept = Vec::with_capacity(found.len());
    for finding in found {
        let mut covered = false;
        for exception in exceptions
            .iter_mut()
            .filter(|exception| exception.covers(&finding))
        {
            exception.used = true;
            covered |= !exception.expired;
        }
        if !covered {
            kept.push(finding);
        }
    }
    for exception in &exceptions {
        let Some(rule) = exception.accept.rule.as_deref().and_then(find_rule) else {
            continue;
        };
        let place =
            |key: &'static str| Place::value(exception.file, exception.path.clone().key(key));
        // Rules about exceptions have their say after exceptions are applied, so nothing covers them.
        let was_run = scope == Scope::Everything || !matches!(rule.check, Check::Reader);
        if exception.expired {
            kept.push(exception_expired::finding(exception.accept, place("until")));
        } else if !exception.used && was_run {
            kept.push(exception_unused::finding(
                exception.accept,
                rule,
                place("rule"),
            ));
        }
    }
    kept
}
