//! Every rule that reading a file of a catalog may report: those of any [document](stainbook_document::rules), and what
//! quantities, tables and file names add to them.

use stainbook_document::finding::ReaderRule;
pub use stainbook_document::rules::*;

stainbook_document::reader_rules! {
    /// The rules that a catalog adds to those of any document, in alphabetical order.
    pub const CATALOG_RULES;

    IMPOSSIBLE_VALUE "impossible-value" Error "A quantity is written that there cannot be."
    LOTS_UNREADABLE "lots-unreadable" Error "It cannot be understood which lots are meant."
    NOT_A_DATE "not-a-date" Error "A date or time cannot be understood."
    NOT_A_NUMBER "not-a-number" Error "A bare number cannot be understood."
    TABLE_CELL_UNREADABLE "table-cell-unreadable" Error "A cell of a survey's table cannot be understood."
    TABLE_COLUMNS_PASSED_OVER "table-columns-passed-over" Note "A survey's table has columns of its keeper's own, which are passed over."
    TABLE_HEADER_UNREADABLE "table-header-unreadable" Error "The columns of a survey's table cannot be told."
    TABLE_READ_AS "table-read-as" Note "A survey's table says something in its keeper's own way, which was understood."
    TABLE_ROWS_PASSED_OVER "table-rows-passed-over" Note "A survey's table has rows that are no readings, which are passed over."
    UNIT_MISSING "unit-missing" Error "A number stands without its unit."
    UNIT_NOT_CANONICAL "unit-not-canonical" Note "A unit is spelled in another way than in the rest of a catalog."
    UNIT_OF_ANOTHER_KIND "unit-of-another-kind" Error "A unit belongs to another quantity than the field holds."
    UNIT_UNKNOWN "unit-unknown" Error "A unit is not known."
    UNKNOWN_FILE_KIND "unknown-file-kind" Error "The name of a file does not say what it holds."
}

/// Every rule of the reader: those of any document, and those that a catalog adds.
pub fn reader_rules() -> impl Iterator<Item = &'static ReaderRule> {
    DOCUMENT_RULES.iter().chain(CATALOG_RULES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_sorted() {
        let names: Vec<_> = CATALOG_RULES.iter().map(|rule| rule.name).collect();
        assert!(names.is_sorted());
        let mut all: Vec<_> = reader_rules().map(|rule| rule.name).collect();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), reader_rules().count());
        for rule in reader_rules() {
            assert!(rule.summary.ends_with('.'), "{}", rule.name);
        }
    }
}
