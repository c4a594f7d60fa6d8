//! The boxes in stock as a table, `….boxes.csv`: a row for each box, a column for each of its fields, each box with the places of
//! its cells, so that a rule about boxes finds the same as in a list that is written field by field.

use std::ops::Range;

use stainbook_catalog::written::{BoxContents, BoxListEntry, StockBoxEntry};
use stainbook_catalog::{Entry, EntryKind, SourceFile, WrittenEntry, rules};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::{FileId, Place};
use stainbook_document::typed::FromText;
use stainbook_document::{Cells, Document, did_you_mean};

use crate::document::{cells_of_lines, not_utf_8};
use crate::table::delimiter_of;

/// Ending of the names of such tables.
const ENDING: &str = ".boxes.csv";

/// True if a file is a table of boxes by its name.
pub fn is_table_of_boxes(path: &str) -> bool {
    path.len().checked_sub(ENDING.len()).is_some_and(|start| {
        let end = path.get(start..);
        end.is_some_and(|end| end.eq_ignore_ascii_case(ENDING))
    })
}

/// Bytes of the largest table that is read; a hundred thousand boxes have some eight million.
const LARGEST: usize = 16 << 20;

/// Sets the field of a box that a cell holds.
type SetField = fn(&mut StockBoxEntry, &str) -> Result<(), CellFault>;

/// Fault of a cell, and its remedy.
struct CellFault {
    message: String,
    help: String,
}

/// A column: its name, which is the field's, whether every row needs it, and how a cell sets the field.
struct BoxColumn {
    name: &'static str,
    needed: bool,
    set: SetField,
}

const fn column(name: &'static str, needed: bool, set: SetField) -> BoxColumn {
    BoxColumn { name, needed, set }
}

/// The columns that are understood, in the order in which a new table should have them.
const BOX_COLUMNS: [BoxColumn; 13] = [
    column("box", true, |row, cell| text(&mut row.id, cell)),
    column("tube", true, |row, cell| text(&mut row.tube, cell)),
    column("holds", false, |row, cell| contents(&mut row.holds, cell)),
    column("lot", true, |row, cell| text(&mut row.lot, cell)),
    column("expires", true, |row, cell| read(&mut row.expires, cell)),
    column("manufactured", false, |row, cell| {
        read(&mut row.manufactured, cell)
    }),
    column("number", false, |row, cell| read(&mut row.number, cell)),
    column("left", false, |row, cell| read(&mut row.left, cell)),
    column("place", false, |row, cell| text(&mut row.place, cell)),
    column("received", false, |row, cell| read(&mut row.received, cell)),
    column("opened", false, |row, cell| read(&mut row.opened, cell)),
    column("used_up", false, |row, cell| read(&mut row.used_up, cell)),
    column("remark", false, |row, cell| text(&mut row.remark, cell)),
];

/// Reads a table of boxes. A cell that cannot be read is reported and its field left empty; the others count.
///
/// # Example
///
/// ```
/// use stainbook_catalog::SourceFile;
/// use stainbook_document::place::FileId;
/// use stainbook_survey::boxes::read_boxes;
///
/// let table = SourceFile::new("shelf.boxes.csv", "box,tube,lot,expires\nb-1,quay-co,24-117,2027-01\nb-2,quay-co,24-118,soon\n");
/// let (entry, findings) = read_boxes(FileId(0), &table);
/// assert_eq!(entry.id(), "shelf");
/// assert_eq!(findings.len(), 1);
/// let range = entry.document.locate(findings[0].place());
/// assert_eq!(&entry.document.text()[range], "soon");
/// ```
pub fn read_boxes(file: FileId, source: &SourceFile<'_>) -> (Entry, Vec<Finding>) {
    let name = source.path.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = name.get(..name.len().saturating_sub(ENDING.len()));
    let stem = stem.unwrap_or_default().to_owned();
    let mut list = BoxListEntry {
        boxes: Some(stem.clone()),
        ..BoxListEntry::default()
    };
    let (text, mut findings) = match std::str::from_utf8(&source.bytes) {
        _ if LARGEST < source.bytes.len() => (String::new(), vec![too_large(file)]),
        Ok(text) => (text.to_owned(), Vec::new()),
        Err(_) => (
            String::from_utf8_lossy(&source.bytes).into_owned(),
            vec![not_utf_8(file)],
        ),
    };
    let mut rows = Vec::new();
    if findings.is_empty() {
        findings = read_rows(file, &text, &mut list, &mut rows);
    }
    let whole = 0..text.len();
    let rows = Cells::List(rows, whole.clone());
    let cells = Cells::Fields(vec![("list", rows)], whole);
    let entry = Entry {
        file,
        path: source.path.clone(),
        kind: EntryKind::BoxList,
        document: Document::of_table(file, &source.path, text, &cells),
        written: WrittenEntry::BoxList(Box::new(list)),
        stem,
        background: false,
        named_otherwise: Vec::new(),
        sound: findings
            .iter()
            .all(|finding| finding.level() < Level::Error),
    };
    (entry, findings)
}

fn too_large(file: FileId) -> Finding {
    Finding::new(&rules::DOCUMENT_TOO_LARGE, Place::bytes(file, 0..0))
        .message(format!(
            "the table has more than {} MiB, and is not read",
            LARGEST >> 20
        ))
        .note("none of its boxes stands in for anything, and nobody is told when one expires")
        .help("divide it, or take out what was used up long ago")
}

fn read_rows(
    file: FileId,
    text: &str,
    list: &mut BoxListEntry,
    cells: &mut Vec<Cells>,
) -> Vec<Finding> {
    let mut lines = cells_of_lines(text, delimiter_of(text)).into_iter();
    let header = lines.next().map(|(_, header)| header).unwrap_or_default();
    let (columns, mut findings) = columns(file, text, &header);
    if findings
        .iter()
        .any(|finding| Level::Error <= finding.level())
    {
        return findings;
    }
    for (_, line) in lines {
        let whole = line.first().map_or(0, |first| first.start)
            ..line.last().map_or(text.len(), |last| last.end);
        if line.iter().all(|cell| said(text, cell).trim().is_empty()) {
            continue;
        }
        let mut row = StockBoxEntry::default();
        let mut fields = Vec::new();
        for (at, cell) in line.iter().enumerate() {
            let value = said(text, cell);
            let value = value.trim();
            let column = columns.get(at);
            if value.is_empty() {
                continue;
            }
            match column {
                Some(Some(column)) => {
                    if let Err(fault) = (column.set)(&mut row, value) {
                        findings.push(unreadable(file, cell.clone(), fault));
                    }
                    fields.push((column.name, Cells::Text(value.to_owned(), cell.clone())));
                }
                Some(None) => {}
                None => findings.push(unreadable(
                    file,
                    cell.clone(),
                    CellFault {
                        message: "the row has more cells than the header has columns".to_owned(),
                        help: "look for a delimiter within a text: a cell that has one stands in double quotes".to_owned(),
                    },
                )),
            }
        }
        for column in BOX_COLUMNS.iter().filter(|column| column.needed) {
            if !fields.iter().any(|(name, _)| *name == column.name) {
                let fault = CellFault {
                    message: format!("the row has no `{}`", column.name),
                    help: "fill the cell in from the box".to_owned(),
                };
                findings.push(unreadable(file, whole.clone(), fault));
            }
        }
        list.list.push(row);
        cells.push(Cells::Fields(fields, whole));
    }
    findings
}

/// The columns of the header, and what is wrong with it.
fn columns(
    file: FileId,
    text: &str,
    header: &[Range<usize>],
) -> (Vec<Option<&'static BoxColumn>>, Vec<Finding>) {
    let mut columns: Vec<Option<&'static BoxColumn>> = Vec::new();
    let (mut findings, mut foreign) = (Vec::new(), Vec::new());
    let fault = |range: Range<usize>, message: String, help: String| {
        Finding::new(&rules::TABLE_HEADER_UNREADABLE, Place::bytes(file, range))
            .message(message)
            .note("without its columns no row of the table can be read")
            .help(help)
    };
    for cell in header {
        let name = said(text, cell)
            .trim()
            .to_lowercase()
            .replace([' ', '-'], "_");
        let known = BOX_COLUMNS.iter().find(|column| column.name == name);
        if let Some(twice) = known.filter(|known| {
            columns
                .iter()
                .flatten()
                .any(|column| column.name == known.name)
        }) {
            let message = format!("the column `{}` is there twice", twice.name);
            let help = "take one of the two out".to_owned();
            findings.push(fault(cell.clone(), message, help));
        }
        if known.is_none() && !name.is_empty() {
            let near = BOX_COLUMNS
                .iter()
                .find(|column| did_you_mean::distance(&name, column.name) == 1);
            match near {
                Some(near) => findings.push(fault(
                    cell.clone(),
                    format!("there is no column `{name}`"),
                    format!("did you mean `{}`?", near.name),
                )),
                None => foreign.push((name, cell.clone())),
            }
        }
        columns.push(known);
    }
    for needed in BOX_COLUMNS.iter().filter(|column| column.needed) {
        let there = columns
            .iter()
            .flatten()
            .any(|column| column.name == needed.name);
        if !there && findings.is_empty() {
            let whole = header.first().map_or(0, |first| first.start)
                ..header.last().map_or(0, |last| last.end);
            let names: Vec<&str> = BOX_COLUMNS.iter().map(|column| column.name).collect();
            findings.push(fault(
                whole,
                format!("the table has no column `{}`", needed.name),
                format!("the columns of a table of boxes: {}", names.join(", ")),
            ));
        }
    }
    if let (true, Some((_, at))) = (findings.is_empty(), foreign.first()) {
        let names: Vec<String> = foreign
            .iter()
            .map(|(name, _)| format!("`{name}`"))
            .collect();
        findings.push(
            Finding::new(
                &rules::TABLE_COLUMNS_PASSED_OVER,
                Place::bytes(file, at.clone()),
            )
            .message(format!(
                "no field of a box is called {}: passed over",
                names.join(", ")
            ))
            .note("what stands there has no part in anything")
            .help("where a field of a box is meant, give the column that field's name"),
        );
    }
    (columns, findings)
}

/// Text of a cell, with doubled quotation marks as one.
fn said(text: &str, cell: &Range<usize>) -> String {
    let text = text.get(cell.clone()).unwrap_or_default();
    text.replace("\"\"", "\"")
}

fn unreadable(file: FileId, cell: Range<usize>, fault: CellFault) -> Finding {
    Finding::new(&rules::TABLE_CELL_UNREADABLE, Place::bytes(file, cell))
        .message(fault.message)
        .note(
            "what is not known of a box stands in for nothing, and nobody is told when it expires",
        )
        .help(fault.help)
}

/// A text is never a fault.
#[expect(
    clippy::unnecessary_wraps,
    reason = "the cells of all columns are read by one kind of function"
)]
fn text(field: &mut Option<String>, cell: &str) -> Result<(), CellFault> {
    *field = Some(cell.to_owned());
    Ok(())
}

fn read<T: FromText>(field: &mut Option<T>, cell: &str) -> Result<(), CellFault> {
    let value = T::read(cell).map_err(|problem| CellFault {
        message: problem.message().to_owned(),
        help: problem
            .help_text()
            .unwrap_or("look at the box, and correct the cell")
            .to_owned(),
    })?;
    *field = Some(value);
    Ok(())
}

fn contents(field: &mut Option<BoxContents>, cell: &str) -> Result<(), CellFault> {
    let named = [
        ("tubes", BoxContents::Tubes),
        ("pre-tubes", BoxContents::PreTubes),
    ];
    let found = named
        .into_iter()
        .find(|(name, _)| name.eq_ignore_ascii_case(cell));
    let Some((_, contents)) = found else {
        return Err(CellFault {
            message: format!("`{cell}` is nothing that a box holds"),
            help: "write `tubes` or `pre-tubes`; an empty cell means tubes".to_owned(),
        });
    };
    *field = Some(contents);
    Ok(())
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::schema::{Draft, schema};

    use super::*;

    fn said_of(table: &str) -> (BoxListEntry, Vec<(String, String)>) {
        let source = SourceFile::new("a/Shelf.boxes.csv", table);
        let (entry, findings) = read_boxes(FileId(0), &source);
        let WrittenEntry::BoxList(list) = &entry.written else {
            panic!("no list")
        };
        let said = findings
            .iter()
            .map(|finding| {
                let range = entry.document.locate(finding.place());
                (
                    entry.document.text()[range].to_owned(),
                    finding.message_text().to_owned(),
                )
            })
            .collect();
        (BoxListEntry::clone(list), said)
    }

    #[test]
    fn the_columns_are_the_fields_of_a_box() {
        let schema = schema(EntryKind::StockBox, Draft::Draft2020);
        let mut fields: Vec<&str> = schema["properties"]
            .as_object()
            .unwrap()
            .keys()
            .map(String::as_str)
            .filter(|field| *field != "accept")
            .collect();
        let mut columns: Vec<&str> = BOX_COLUMNS.iter().map(|column| column.name).collect();
        fields.sort_unstable();
        columns.sort_unstable();
        assert_eq!(columns, fields);
        for column in &BOX_COLUMNS {
            let required = schema["required"].as_array().unwrap();
            assert_eq!(
                required.iter().any(|field| field == column.name),
                column.needed,
                "{}",
                column.name
            );
        }
    }

    #[test]
    fn a_table_says_the_same_as_a_list() {
        let table = "\u{feff}Box;tube;holds;lot;expires;number;used up;place;shelf mark\r\nb-1;quay-co;;24-117;2027-01;10;;\"cold; \"\"A\"\"\";x\r\n;;;;;;;;\r\nb-2;quay-co;pre-tubes;P-1;2027-02-03;;2026-05-04;;\r\n";
        let (list, said) = said_of(table);
        let yaml = "boxes: Shelf\nlist:\n  - {box: b-1, tube: quay-co, lot: 24-117, expires: 2027-01, number: 10, place: 'cold; \"A\"'}\n  - {box: b-2, tube: quay-co, holds: pre-tubes, lot: P-1, expires: 2027-02-03, used_up: 2026-05-04}\n";
        let same: BoxListEntry = serde_yaml::from_str(yaml).unwrap();
        assert_eq!(list, same);
        assert_eq!(
            said,
            [(
                "shelf mark".to_owned(),
                "no field of a box is called `shelf_mark`: passed over".to_owned()
            )]
        );
    }

    #[test]
    fn what_cannot_be_read_is_said_at_its_cell_and_the_rest_counts() {
        let (list, said) = said_of(
            "box,tube,lot,expires,number,holds\nb-1,quay-co,24-117,January,ten,cigars\nb-2,quay-co,,2027-01,,\nb-3,quay-co,1,2027-01,,,9\n",
        );
        let places: Vec<&str> = said.iter().map(|(place, _)| place.as_str()).collect();
        assert_eq!(
            places,
            ["January", "ten", "cigars", "b-2,quay-co,,2027-01,,", "9"]
        );
        assert_eq!(said[3].1, "the row has no `lot`");
        assert_eq!(list.list.len(), 3);
        assert_eq!(list.list[0].lot.as_deref(), Some("24-117"));
        assert_eq!(list.list[0].expires, None);
    }

    #[test]
    fn a_header_that_cannot_be_read_stops_the_table() {
        for (table, place, message) in [
            (
                "box,tube,lot\nb,t,l\n",
                "box,tube,lot",
                "the table has no column `expires`",
            ),
            ("box,tube,lot,expirse,expires\n", "", ""),
            (
                "box,tube,lot,expire\n",
                "expire",
                "there is no column `expire`",
            ),
            (
                "box,tube,lot,expires,Lot\n",
                "Lot",
                "the column `lot` is there twice",
            ),
            ("", "", "the table has no column `box`"),
        ] {
            let (list, said) = said_of(table);
            assert_eq!(list.list, []);
            if !message.is_empty() {
                assert_eq!(said, [(place.to_owned(), message.to_owned())], "{table}");
            }
        }
        let large = SourceFile::from_bytes("s.boxes.csv", vec![b','; LARGEST + 1]);
        assert_eq!(
            read_boxes(FileId(0), &large).1[0].rule(),
            "document-too-large"
        );
        let source = SourceFile::from_bytes("s.boxes.csv", vec![b'b', 0xff]);
        let (entry, findings) = read_boxes(FileId(0), &source);
        assert_eq!(findings[0].rule(), "not-utf-8");
        assert!(!entry.sound);
    }

    proptest::proptest! {
        /// Whatever stands in it, reading ends, and every place is one of the table's text.
        #[test]
        fn any_table(
            header in proptest::sample::select(vec!["box,tube,lot,expires,left\n", "\u{feff}box;tube;lot;expires\r\n", "box,lot\n", ""]),
            rows in "(([a-z0-9 \"\\-é€]|,|;|\n|\r|\"\"){0,12}){0,12}",
        ) {
            let source = SourceFile::new("s.boxes.csv", format!("{header}{rows}"));
            let (entry, findings) = read_boxes(FileId(0), &source);
            for finding in &findings {
                let range = entry.document.locate(finding.place());
                proptest::prop_assert!(entry.document.text().get(range).is_some());
            }
            for listed in stainbook_catalog::ListedBox::of(&entry) {
                let place = Place::value(FileId(0), listed.path());
                let range = entry.document.locate(&place);
                proptest::prop_assert!(entry.document.text().get(range).is_some());
            }
        }
    }

    #[test]
    fn names() {
        assert!(is_table_of_boxes("a/Shelf.BOXES.csv"));
        assert!(!is_table_of_boxes("boxes.csv") && !is_table_of_boxes("ö.csv"));
    }
}
