//! Spreadsheets to be read, made of text: what looks like a number is one.

use std::io::{Cursor, Write as _};

use rust_xlsxwriter::Workbook;

/// Manifest, in which every OpenDocument file lists its parts.
const MANIFEST: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?><manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" manifest:version=\"1.3\"><manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"application/vnd.oasis.opendocument.spreadsheet\"/><manifest:file-entry manifest:full-path=\"content.xml\" manifest:media-type=\"text/xml\"/></manifest:manifest>";

/// An `.xlsx` with a worksheet `Round` whose first row is the head.
pub(crate) fn workbook<R: AsRef<[String]>>(head: &[&str], rows: &[R]) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Round").unwrap();
    for (text, column) in head.iter().zip(0..) {
        sheet.write_string(0, column, *text).unwrap();
    }
    for (row, number) in rows.iter().zip(1..) {
        for (text, column) in row.as_ref().iter().zip(0..) {
            match text.parse::<f64>() {
                _ if text.is_empty() => {}
                Ok(value) => {
                    sheet.write_number(number, column, value).unwrap();
                }
                Err(_) => {
                    sheet.write_string(number, column, text).unwrap();
                }
            }
        }
    }
    book.save_to_buffer().unwrap()
}

/// The same as an `.ods`.
pub(crate) fn open_document<R: AsRef<[String]>>(head: &[&str], rows: &[R]) -> Vec<u8> {
    let cell = |text: &str| match text.parse::<f64>() {
        _ if text.is_empty() => "<table:table-cell/>".to_owned(),
        Ok(number) => format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{number}\"><text:p>{text}</text:p></table:table-cell>"
        ),
        Err(_) => format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        ),
    };
    let row = |cells: String| format!("<table:table-row>{cells}</table:table-row>");
    let table: String = std::iter::once(row(head.iter().map(|text| cell(text)).collect()))
        .chain(
            rows.iter()
                .map(|cells| row(cells.as_ref().iter().map(|text| cell(text)).collect())),
        )
        .collect();
    open_document_of(&table)
}

/// An `.ods` with these rows as they stand in it.
pub(crate) fn open_document_of(table: &str) -> Vec<u8> {
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" office:version=\"1.3\"><office:body><office:spreadsheet><table:table table:name=\"Round\">{table}</table:table></office:spreadsheet></office:body></office:document-content>"
    );
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let stored =
        zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (name, text) in [
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", MANIFEST),
        ("content.xml", content.as_str()),
    ] {
        zip.start_file(name, stored).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}
