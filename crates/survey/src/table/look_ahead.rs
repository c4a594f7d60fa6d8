//! The header of a table among its first rows: people put a title above it, and what held for the whole round.

use std::io::{self, Read};

#[cfg(feature = "spreadsheets")]
use super::header::named;
use super::header::{likeness, names_all_that_is_needed};

/// Rows among which the header is looked for. A title, a date, a place and the weather take ten.
pub(crate) const FIRST_ROWS: usize = 30;

/// Bytes in which it is looked for, so that what is no table is not read on and on.
const FIRST_BYTES: usize = 64 * 1024;

/// Cells of a row that have to name columns, or what may be meant for one, for it to be taken for the header.
const TELLING_CELLS: usize = 2;

/// Position of the header among the first rows of a table: the first that names all columns without which nothing can be read,
/// else the one that names the most; the first row where none names any.
pub(crate) fn header_among<'r, R>(rows: impl Iterator<Item = R>) -> usize
where
    R: IntoIterator<Item = &'r str>,
{
    let mut best = (0, 0);
    for (index, row) in rows.take(FIRST_ROWS).enumerate() {
        let cells: Vec<&str> = row.into_iter().collect();
        if names_all_that_is_needed(&cells) {
            return index;
        }
        let points = points(&cells);
        if best.0 < points {
            best = (points, index);
        }
    }
    best.1
}

/// True if a row looks like a header: so many of its cells name columns of a survey.
#[cfg(feature = "spreadsheets")]
pub(crate) fn names_columns<'r>(cells: impl Iterator<Item = &'r str>) -> bool {
    TELLING_CELLS <= cells.filter(|cell| named(cell).is_some()).count()
}

/// Likeness of a row to a header; nothing where too few of its cells are like columns.
fn points(cells: &[&str]) -> usize {
    let each: Vec<usize> = cells.iter().map(|cell| likeness(cell)).collect();
    let telling = each.iter().filter(|points| 0 < **points).count();
    if telling < TELLING_CELLS {
        return 0;
    }
    each.iter().sum()
}

/// Delimiter of a table: whichever of tab, semicolon and comma divides one of its first lines so that most of its cells name
/// columns; else the one that stands most often in its first line.
pub fn delimiter_of(text: &str) -> u8 {
    let delimiters = [b',', b';', b'\t'];
    let lines = || text.split(['\n', '\r']).filter(|line| !line.is_empty());
    let by_columns = lines()
        .take(FIRST_ROWS)
        .flat_map(|line| {
            delimiters.map(|delimiter| (points(&cells_of(line, delimiter)), delimiter))
        })
        .filter(|(points, _)| 0 < *points)
        // The first of those that name as many.
        .reduce(|best, next| if best.0 < next.0 { next } else { best });
    if let Some((_, delimiter)) = by_columns {
        return delimiter;
    }
    let first = lines().next().unwrap_or_default();
    let count = |delimiter: u8| first.bytes().filter(|b| *b == delimiter).count();
    delimiters
        .into_iter()
        .max_by_key(|delimiter| (count(*delimiter), *delimiter == b','))
        .unwrap_or(b',')
}

/// The cells of a line, roughly: what stands in quotation marks is not told apart.
fn cells_of(line: &str, delimiter: u8) -> Vec<&str> {
    line.split(char::from(delimiter))
        .map(|cell| cell.trim().trim_matches('"'))
        .collect()
}

/// The beginning of a table as far as it takes to find its header, so that somebody who pipes rows in as they come need not
/// send thirty before the first is evaluated.
///
/// # Errors
///
/// Those of the source.
pub fn first_lines(source: &mut impl Read) -> io::Result<Vec<u8>> {
    let mut first = Vec::new();
    let mut chunk = vec![0; FIRST_BYTES / 8];
    while first.len() < FIRST_BYTES {
        let length = match source.read(&mut chunk) {
            Ok(0) => break,
            Ok(length) => length,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        first.extend(chunk.iter().take(length));
        let ends = |byte: &&u8| matches!(byte, b'\n' | b'\r');
        let lines = first.iter().filter(ends).count();
        if FIRST_ROWS < lines || has_header(&first) {
            break;
        }
    }
    Ok(first)
}

/// True if one of the lines that are there to their end is a header that names all that is needed.
fn has_header(first: &[u8]) -> bool {
    let text = String::from_utf8_lossy(first);
    let whole = text.rfind(['\n', '\r']).unwrap_or(0);
    let lines = text.get(..whole).unwrap_or_default();
    lines.split(['\n', '\r']).any(|line| {
        [b',', b';', b'\t']
            .into_iter()
            .any(|delimiter| names_all_that_is_needed(&cells_of(line, delimiter)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn delimiters() {
        let head = "id;tube;strokes;reading [ppm]";
        for (text, expected) in [
            ("id,tube\n", b','),
            ("id;tube\n1,2;3\n", b';'),
            ("id\ttube\n", b'\t'),
            (&format!("Round, quay, June, at 7, 8, 9\n{head}\n"), b';'),
            (&format!("Round;;;\nplace;quay;;\r\n\r\n{head}\r\n"), b';'),
            (&head.replace(';', ",").replace("reading", "Messwert"), b','),
            ("", b','),
            ("a;b;c", b';'),
        ] {
            assert_eq!(delimiter_of(text), expected, "{text}");
        }
    }

    #[test]
    fn the_header_among_rows() {
        let header = ["id", "tube", "strokes", "reading [ppm]"].as_slice();
        let almost = ["Nr", "tube", "strokes", "reading [ppm]"].as_slice();
        let pair = ["place", "quay"].as_slice();
        let title = ["Round"].as_slice();
        for (rows, expected) in [
            (vec![header, header], 0),
            (vec![title, pair, header], 2),
            (vec![title, almost, pair], 1),
            (vec![title, pair], 0),
            // What is complete counts before what looks like it.
            (vec![almost, header], 1),
            (vec![], 0),
        ] {
            let found = header_among(rows.iter().map(|row| row.iter().copied()));
            assert_eq!(found, expected, "{rows:?}");
        }
    }

    /// Hands over a line at a time and counts them.
    struct Lines<'t>(Vec<&'t [u8]>, usize);

    impl Read for Lines<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let Some(line) = self.0.get(self.1) else {
                return Ok(0);
            };
            self.1 += 1;
            buffer[..line.len()].copy_from_slice(line);
            Ok(line.len())
        }
    }

    #[test]
    fn nothing_is_waited_for_once_the_header_is_there() {
        let lines: [&[u8]; 4] = [
            b"Round\n",
            b"id,tube,strokes,seen\n",
            b"r1,x,3,no stain\n",
            b"r2\n",
        ];
        let mut source = Lines(lines.to_vec(), 0);
        first_lines(&mut source).unwrap();
        assert_eq!(source.1, 2);
        let mut endless = io::repeat(b'x');
        assert_eq!(first_lines(&mut endless).unwrap().len(), FIRST_BYTES);
    }
}
