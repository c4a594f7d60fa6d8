//! Safe edits, put into the bytes of a file.

use std::ops::Range;

use stainbook_document::Document;
use stainbook_document::finding::{Finding, Safety};

/// A file with its fixes made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fixed {
    /// Its bytes, the same as before outside the edits.
    pub bytes: Vec<u8>,
    /// Number of findings that the edits settle.
    pub settled: usize,
}

/// A file whose bytes are not those of its text, because it is not saved as UTF-8: nothing in it can be replaced without
/// guessing at the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotUtf8;

/// Makes the safe edits of the findings about one file; nothing if there is none to make.
///
/// Comments, line ends and everything else outside the edits stay as they are, byte for byte. Of findings whose edits
/// overlap only the first is settled, in the order of the text and then of the rules' names, so that the outcome does not
/// depend on the order in which they are given; reading the mended file again finds the others.
///
/// # Errors
///
/// [`NotUtf8`], if there is something to mend in a file that is not saved as UTF-8.
///
/// # Example
///
/// ```
/// use stainbook_catalog::{Book, SourceFile};
/// use stainbook_check::fix;
///
/// let text = "substance: nitric-oxide\nname: nitric oxide\nalso_called: [NO]   # the formula\nformula: \"NO\"\ncas: 10102-43-9\n";
/// let (book, findings) = Book::read([SourceFile::new("nitric-oxide.substance.yaml", text)]);
/// let document = &book.entries()[0].document;
/// let fixed = fix(document, text.as_bytes(), &findings).unwrap().unwrap();
/// assert_eq!(fixed.settled, 1);
/// assert!(String::from_utf8(fixed.bytes).unwrap().contains("also_called: [\"NO\"]   # the formula\n"));
/// ```
pub fn fix<'a>(
    document: &Document,
    bytes: &[u8],
    findings: impl IntoIterator<Item = &'a Finding>,
) -> Result<Option<Fixed>, NotUtf8> {
    let mut wanted: Vec<FindingEdits<'_>> = findings
        .into_iter()
        .filter(|finding| {
            finding.safety() == Safety::Safe && finding.place().file == document.file()
        })
        .filter_map(|finding| change(document, finding))
        .collect();
    if wanted.is_empty() {
        return Ok(None);
    }
    if std::str::from_utf8(bytes).is_err() || bytes.len() != document.text().len() {
        return Err(NotUtf8);
    }
    wanted.sort();
    let mut made: Vec<(Range<usize>, &str)> = Vec::new();
    let mut settled = 0;
    for change in &wanted {
        let new = |edit: &&(ByteSpan, &'_ str)| {
            !made
                .iter()
                .any(|(range, text)| *range == edit.0.range() && *text == edit.1)
        };
        let edits: Vec<_> = change.edits.iter().filter(new).collect();
        let fits = edits.iter().all(|(range, _)| {
            let range = range.range();
            // Where a character was replaced for reading, the file holds something else than what was looked at.
            bytes.get(range.clone()) == document.text().as_bytes().get(range.clone())
                && made
                    .iter()
                    .all(|(other, _)| range.end < other.start || other.end < range.start)
        });
        if fits {
            settled += 1;
            made.extend(
                edits
                    .into_iter()
                    .map(|(range, text)| (range.range(), *text)),
            );
        }
    }
    if made.is_empty() {
        return Ok(None);
    }
    made.sort_by_key(|(range, _)| (range.start, range.end));
    let mut out = Vec::with_capacity(bytes.len());
    let mut from = 0;
    for (range, text) in &made {
        out.extend_from_slice(bytes.get(from..range.start).unwrap_or_default());
        out.extend_from_slice(text.as_bytes());
        from = range.end;
    }
    out.extend_from_slice(bytes.get(from..).unwrap_or_default());
    Ok(Some(Fixed {
        bytes: out,
        settled,
    }))
}

/// Start and end, which unlike a `Range` have an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct ByteSpan(usize, usize);

impl ByteSpan {
    fn range(self) -> Range<usize> {
        self.0..self.1
    }
}

/// The edits of one finding, which belong together.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct FindingEdits<'a> {
    edits: Vec<(ByteSpan, &'a str)>,
    rule: &'static str,
}

/// Nothing if an edit is about another file: the change would be made in part only.
fn change<'a>(document: &Document, finding: &'a Finding) -> Option<FindingEdits<'a>> {
    let edits: Option<Vec<_>> = finding
        .edits()
        .iter()
        .map(|edit| {
            let range = document.locate(&edit.place);
            let here = edit.place.file == document.file();
            here.then_some((ByteSpan(range.start, range.end), edit.replacement.as_str()))
        })
        .collect();
    let mut edits = edits?;
    edits.sort();
    Some(FindingEdits {
        edits,
        rule: finding.rule(),
    })
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::Book;
    use stainbook_catalog::SourceFile;
    use stainbook_document::finding::Level;
    use stainbook_document::place::{FileId, Place};

    use super::*;

    const TEXT: &str = "pump: p\r\nkind: k # ö NO\r\n";

    fn fixed(edits: &[(&'static str, Range<usize>, &str)]) -> (String, usize) {
        let (book, _) = Book::read([SourceFile::new("p.pump.yaml", TEXT)]);
        let findings: Vec<Finding> = edits
            .iter()
            .map(|(rule, range, text)| {
                let place = Place::bytes(FileId(0), range.clone());
                Finding::of(rule, Level::Note, place.clone()).safe_fix(place, *text)
            })
            .collect();
        let document = &book.entries()[0].document;
        match fix(document, TEXT.as_bytes(), &findings).unwrap() {
            Some(fixed) => (String::from_utf8(fixed.bytes).unwrap(), fixed.settled),
            None => (TEXT.to_owned(), 0),
        }
    }

    #[test]
    fn everything_else_stays() {
        let (text, settled) = fixed(&[("a", 15..16, "long"), ("a", 6..7, "x")]);
        assert_eq!(
            (text.as_str(), settled),
            ("pump: x\r\nkind: long # ö NO\r\n", 2)
        );
    }

    #[test]
    fn of_overlapping_edits_the_first_is_made_whatever_the_order() {
        let (one, two) = (("b", 6..7, "x"), ("a", 6..8, "yy"));
        let there = fixed(&[one.clone(), two.clone()]);
        assert_eq!(there, fixed(&[two, one]));
        assert_eq!(there, ("pump: x\r\nkind: k # ö NO\r\n".to_owned(), 1));
    }

    #[test]
    fn the_same_edit_settles_two_findings() {
        let (text, settled) = fixed(&[("a", 6..7, "x"), ("b", 6..7, "x")]);
        assert_eq!(
            (text.as_str(), settled),
            ("pump: x\r\nkind: k # ö NO\r\n", 2)
        );
    }

    #[test]
    fn what_is_a_guess_is_not_made() {
        let (book, _) = Book::read([SourceFile::new("p.pump.yaml", TEXT)]);
        let place = Place::bytes(FileId(0), 6..7);
        let guess = Finding::of("a", Level::Error, place.clone()).fix(place.clone(), "x");
        let mixed = Finding::of("a", Level::Error, place.clone())
            .fix(place.clone(), "x")
            .safe_fix(place, "x");
        let document = &book.entries()[0].document;
        assert_eq!(fix(document, TEXT.as_bytes(), [&guess, &mixed]), Ok(None));
    }

    #[test]
    fn files_in_another_encoding_are_refused() {
        let bytes = b"substance: x\nname: caf\xe9\nalso_called: [NO]\n".to_vec();
        let (book, findings) =
            Book::read([SourceFile::from_bytes("x.substance.yaml", bytes.clone())]);
        assert!(
            findings
                .iter()
                .any(|finding| finding.safety() == Safety::Safe),
            "{findings:?}"
        );
        assert_eq!(
            fix(&book.entries()[0].document, &bytes, &findings),
            Err(NotUtf8)
        );
    }
}
