//! Files with a slip in their layout, read as they were probably meant, so that what only follows from the slip is not told.
//!
//! A bracket that is missing makes a field vanish, and rules that look for the field speak before the reader does. Where one
//! mark put in, taken out or moved makes the file read well, that is the slip: it is told in place of what vanishes with it,
//! and of the rest only what would be said of the mended file as well. Nothing is computed with a file as it was meant.

use std::collections::{BTreeMap, BTreeSet};

use stainbook_catalog::rules::reader_rules;
use stainbook_catalog::{Book, Entry, READ_OPTIONS, SourceFile, read_entry};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::{FileId, Path};
use stainbook_document::rules::{TAB_INDENTATION, TEXT_CUT_SHORT, YAML_SYNTAX};
use stainbook_document::{Document, LayoutSlip, hiding_slips, layout_slips};

use crate::run::{each, every_entry};

/// Files that are read again at most: of a thousand with slips, the first have to be mended first.
const MOST_FILES: usize = 20;
/// Files with findings that are looked at again for a slip that may be behind them.
const MOST_LOOKED_AT: usize = 200;
/// Slips that hide something which are tried in all.
const MOST_HIDING: usize = 60;
/// Readings without a fault that are compared by what the rules say of them.
const MOST_READINGS: usize = 6;

/// Findings of everything that looks at an entry once it is read.
pub(crate) type Look<'l> = dyn Fn(&Book, &Entry) -> Vec<Finding> + Sync + 'l;

/// A file as it was probably meant.
struct MeantFile {
    slip: LayoutSlip,
    /// Findings of reading it without the slip.
    read: BTreeSet<FindingKey>,
}

/// A finding as the same is known again in another reading of its file.
type FindingKey = (&'static str, Option<Path>, String);

fn key(finding: &Finding) -> FindingKey {
    (
        finding.rule(),
        finding.place().path().cloned(),
        finding.message_text().to_owned(),
    )
}

/// The catalog's files with a slip in their layout, as they were probably meant.
pub(crate) struct AsMeant {
    files: BTreeMap<FileId, MeantFile>,
    /// The book with these files as they were meant, and entries under the names of their files, if any is otherwise.
    book: Option<Book>,
}

impl AsMeant {
    /// Tries what could have been meant by the files that reading finds fault with.
    pub(crate) fn of(book: &Book, read: &[Finding], look: &Look<'_>) -> Self {
        let mut by_file: BTreeMap<FileId, Vec<Finding>> = BTreeMap::new();
        let of_reader = reader_rule_names();
        let by_reader = |finding: &&Finding| of_reader.contains(finding.rule());
        for finding in read
            .iter()
            .filter(|finding| counts(finding))
            .filter(by_reader)
        {
            by_file
                .entry(finding.place().file)
                .or_default()
                .push(finding.clone());
        }
        let faulty: Vec<(&Entry, Vec<Finding>)> = book
            .own()
            .filter(|entry| !entry.document.is_of_cells())
            .filter_map(|entry| Some((entry, by_file.remove(&entry.file)?)))
            .take(MOST_FILES)
            .collect();
        let found = each(faulty, |(entry, findings)| {
            meant(book, entry, &findings, look)
        });
        let mut files = BTreeMap::new();
        let mut entries: BTreeMap<FileId, Entry> = book
            .own()
            .filter_map(|entry| Some((entry.file, entry.called_as_its_file()?)))
            .take(MOST_FILES)
            .collect();
        for (entry, file) in found.into_iter().flatten() {
            files.insert(entry.file, file);
            entries.insert(entry.file, entry);
        }
        let book = (!entries.is_empty()).then(|| book.with_entries(&entries));
        Self { files, book }
    }

    /// Everything that is said of a book, with a slip told in place of what vanishes with it, and what vanishes.
    pub(crate) fn findings(
        &self,
        book: &Book,
        read: Vec<Finding>,
        look: &Look<'_>,
    ) -> (Vec<Finding>, Vec<Finding>) {
        let (mut found, mut follow) = self.without_consequences(book, read);
        for (told, follows) in every_entry(book, &|entry| self.look(book, entry, look)) {
            found.extend(told);
            follow.extend(follows);
        }
        let found = self.behind_hiding_slips(book, found, &mut follow, look);
        (found, follow)
    }

    fn without_consequences(
        &self,
        book: &Book,
        read: Vec<Finding>,
    ) -> (Vec<Finding>, Vec<Finding>) {
        let mut told: BTreeSet<FileId> = BTreeSet::new();
        let mut kept: Vec<Finding> = Vec::new();
        let mut follow: Vec<Finding> = Vec::new();
        for finding in read {
            let file = finding.place().file;
            let known = self.files.get(&file).zip(book.entry(file));
            let Some((meant, entry)) = known else {
                kept.push(finding);
                continue;
            };
            let is_slip = says_the_slip(&finding)
                && meant.slip.touches(&entry.document.locate(finding.place()));
            // The same slip is told once.
            if meant.read.contains(&key(&finding)) || (is_slip && told.insert(file)) {
                kept.push(finding);
            } else {
                follow.push(finding);
            }
        }
        for (file, meant) in &self.files {
            if let (false, Some(entry)) = (told.contains(file), book.entry(*file)) {
                kept.push(meant.slip.finding(&entry.document));
            }
        }
        (kept, follow)
    }

    /// Findings in an entry both as it stands and as it was meant, itself or those that it rests on; those that only follow
    /// from the slip come second.
    fn look(&self, book: &Book, entry: &Entry, look: &Look<'_>) -> (Vec<Finding>, Vec<Finding>) {
        let findings = look(book, entry);
        if findings.is_empty() {
            return (findings, Vec::new());
        }
        if let Some(meant_book) = &self.book
            && let Some(meant) = meant_book.entry(entry.file)
        {
            let of_meant: BTreeSet<FindingKey> = look(meant_book, meant).iter().map(key).collect();
            let renamed = !self.files.contains_key(&entry.file) && meant.id() != entry.id();
            // Under the name of its file an entry has no other findings but those about its name.
            return findings
                .into_iter()
                .partition(|finding| renamed || of_meant.contains(&key(finding)));
        }
        (findings, Vec::new())
    }

    /// A slip can hide a row or a field without a fault in the YAML: if what is found vanishes with it, it is told in place of
    /// that.
    fn behind_hiding_slips(
        &self,
        book: &Book,
        found: Vec<Finding>,
        follow: &mut Vec<Finding>,
        look: &Look<'_>,
    ) -> Vec<Finding> {
        if found.is_empty() {
            return found;
        }
        let readable = book
            .own()
            .filter(|entry| !self.files.contains_key(&entry.file) && !entry.document.is_of_cells());
        readable
            .flat_map(|entry| {
                let slips = hiding_slips(&entry.document).into_iter();
                slips.map(move |slip| (entry, slip))
            })
            .take(MOST_HIDING)
            .fold(found, |found, (entry, slip)| {
                let (found, follows) = behind_slip(book, (entry, &slip), found, look);
                follow.extend(follows);
                found
            })
    }
}

/// Findings without those that vanish with this slip, which is told in their place; and those that vanish.
fn behind_slip(
    book: &Book,
    (entry, slip): (&Entry, &LayoutSlip),
    found: Vec<Finding>,
    look: &Look<'_>,
) -> (Vec<Finding>, Vec<Finding>) {
    let source = SourceFile::new(entry.path.clone(), slip.mended(entry.document.text()));
    let (Some(again), read) = read_entry(entry.file, &source) else {
        return (found, Vec::new());
    };
    if read.iter().any(counts) {
        return (found, Vec::new());
    }
    let without = book.with_entries(&BTreeMap::from([(entry.file, again)]));
    let looked_at: Vec<&Entry> = without
        .own()
        .filter(|other| {
            let about = |finding: &Finding| finding.place().file == other.file;
            other.file == entry.file || found.iter().any(about)
        })
        .take(MOST_LOOKED_AT)
        .collect();
    let files: BTreeSet<FileId> = looked_at.iter().map(|other| other.file).collect();
    let findings: Vec<Finding> = looked_at
        .iter()
        .flat_map(|other| look(&without, other))
        .collect();
    let still: BTreeSet<FindingKey> = findings.iter().map(key).collect();
    // What reading says of another file has nothing to do with it.
    let of_reader = reader_rule_names();
    let before = |finding: &&Finding| {
        files.contains(&finding.place().file) && !of_reader.contains(finding.rule())
    };
    if found.iter().filter(before).count() <= findings.len() {
        return (found, Vec::new());
    }
    let (follow, mut kept): (Vec<Finding>, Vec<Finding>) = found
        .into_iter()
        .partition(|finding| before(&finding) && !still.contains(&key(finding)));
    let level = follow.iter().map(Finding::level).max();
    kept.extend(level.map(|level| slip.finding(&entry.document).at_level(level)));
    (kept, follow)
}

fn reader_rule_names() -> BTreeSet<&'static str> {
    reader_rules().map(|rule| rule.name).collect()
}

/// True for errors and warnings: what a note says is seldom due to a slip.
fn counts(finding: &Finding) -> bool {
    Level::Note < finding.level()
}

/// True if a finding's own words are about the layout.
fn says_the_slip(finding: &Finding) -> bool {
    [YAML_SYNTAX.name, TAB_INDENTATION.name, TEXT_CUT_SHORT.name].contains(&finding.rule())
}

/// A file read as it was probably meant, if one mark makes it read better.
fn meant(
    book: &Book,
    entry: &Entry,
    findings: &[Finding],
    look: &Look<'_>,
) -> Option<(Entry, MeantFile)> {
    let text = entry.document.text();
    let mut fewest = findings.len();
    let before: BTreeSet<FindingKey> = findings.iter().map(key).collect();
    let mut best: Vec<(LayoutSlip, Entry, Vec<Finding>)> = Vec::new();
    for slip in layout_slips(&entry.document, findings) {
        let likelier = best.first().is_some_and(|(best, ..)| !best.is_like(&slip));
        if fewest == 0 && (MOST_READINGS <= best.len() || likelier) {
            break;
        }
        let mended = slip.mended(text);
        // Most marks make nothing readable, and that is seen at once.
        if !Document::reads_to_its_end(&mended, &READ_OPTIONS) {
            continue;
        }
        let source = SourceFile::new(entry.path.clone(), mended);
        let (Some(again), read) = read_entry(entry.file, &source) else {
            continue;
        };
        // A file that reads to its end has no slip where a mark only moves its faults, or hides them under a name of no field.
        let known = |finding: &Finding| before.contains(&key(finding));
        if !entry.document.is_broken() && !read.iter().filter(|one| counts(one)).all(known) {
            continue;
        }
        let count = read.iter().filter(|finding| counts(finding)).count();
        if fewest < count || (best.is_empty() && count == fewest) {
            continue;
        }
        if count < fewest {
            best.clear();
            fewest = count;
        }
        best.push((slip, again, read));
    }
    // Of several, the one of which the rules have least to say, and that leaves most to be read.
    let said = |again: &Entry| {
        let nodes = if again.document.has_tree() {
            again.document.node_count()
        } else {
            again.document.with_tree().node_count()
        };
        (look(book, again).len(), usize::MAX - nodes)
    };
    let (slip, again, read) = match best.len() {
        0 | 1 => best.pop()?,
        _ => best.into_iter().min_by_key(|(_, again, _)| said(again))?,
    };
    let read = read.iter().map(key).collect();
    Some((again, MeantFile { slip, read }))
}

#[cfg(test)]
mod tests {
    use crate::{Options, Report, check_with};

    use super::*;

    fn checked(text: &str) -> Report {
        let file = SourceFile::new("quay-hand.pump-kind.yaml", text);
        let (book, read) = Book::read([file]);
        check_with(&book, read, &Options::default())
    }

    fn rules(findings: &[Finding]) -> Vec<&str> {
        findings.iter().map(Finding::rule).collect()
    }

    const SOUND: &str = "pump_kind: quay-hand\nname: \"Quay hand pump\"\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

    #[test]
    fn a_slip_is_told_and_what_follows_from_it_is_kept_aside() {
        assert_eq!(checked(SOUND), Report::new(Vec::new(), 1));
        let no_quote = checked(&SOUND.replace("pump\"", "pump"));
        assert_eq!(rules(&no_quote.findings), ["yaml-syntax"]);
        let no_colon = checked(&SOUND.replace("tolerance:", "tolerance"));
        assert_eq!(rules(&no_colon.findings), ["yaml-syntax"]);
        let in_brackets = SOUND.replace(
            "volume_tolerance: 5 %",
            "accept:\n  - {rule: not-verified, because not yet}\nvolume_tolerance: 5 %",
        );
        let in_brackets = checked(&in_brackets);
        assert_eq!(
            rules(&in_brackets.findings),
            ["exception-unused", "layout-slip"]
        );
        assert!(rules(&in_brackets.follow).contains(&"unknown-key"));
        assert!(rules(&in_brackets.follow).contains(&"missing-key"));
    }

    #[test]
    fn another_fault_is_told_beside_the_slip() {
        let both = SOUND
            .replace("100 mL", "100 mk")
            .replace("true\n", "true\n#");
        let report = checked(&both);
        assert_eq!(rules(&report.findings), ["unit-unknown", "layout-slip"]);
    }

    #[test]
    fn what_no_mark_mends_is_told_as_it_is() {
        let report = checked(&SOUND.replace("volume_tolerance", "volume_tolerence"));
        assert_eq!(rules(&report.findings), ["unknown-key"]);
        assert!(report.follow.is_empty());
    }

    #[test]
    fn an_entry_under_another_name_than_its_file_is_known_under_both() {
        let kind = SourceFile::new(
            "quay-hand.pump-kind.yaml",
            SOUND.replace("kind: quay-hand", "kind: quay-hnad"),
        );
        let pump = |kind: &str| {
            let text = format!("pump: p\nkind: {kind}\n");
            SourceFile::new("p.pump.yaml", text)
        };
        for name in ["quay-hand", "quay-hnad"] {
            let (book, read) = Book::read([kind.clone(), pump(name)]);
            let report = check_with(&book, read, &Options::default());
            assert!(
                !rules(&report.findings).contains(&"unresolved-reference"),
                "{name}"
            );
            assert!(
                rules(&report.findings).contains(&"id-not-file-name"),
                "{name}"
            );
        }
    }
}
