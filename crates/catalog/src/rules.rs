//! Every rule that reading a file may report: syntax, text traps, schema, quantities.

use crate::finding::{Level, ReaderRule};

macro_rules! rules {
    ($($constant:ident $name:literal $level:ident $summary:literal)*) => {
        $(
            #[doc = $summary]
            pub const $constant: ReaderRule =
                ReaderRule { name: $name, level: Level::$level, summary: $summary };
        )*

        /// Every rule of the reader, in alphabetical order.
        pub const READER_RULES: &[ReaderRule] = &[$($constant),*];
    };
}

rules! {
    BYTE_ORDER_MARK "byte-order-mark" Note "The file starts with an invisible byte order mark."
    CONTROL_CHARACTER "control-character" Error "An invisible control character stands in the text."
    DECIMAL_COMMA "decimal-comma" Error "A decimal comma stands where a decimal point is meant."
    DOCUMENT_TOO_LARGE "document-too-large" Error "The file is larger than any entry or survey can be."
    DUPLICATE_KEY "duplicate-key" Error "A field is given twice in the same place."
    EMPTY_DOCUMENT "empty-document" Error "The file holds nothing."
    IMPOSSIBLE_VALUE "impossible-value" Error "A quantity is written that there cannot be."
    LOOK_ALIKE_CHARACTER "look-alike-character" Error "A character looks like another and is not it."
    LOTS_UNREADABLE "lots-unreadable" Error "It cannot be understood which lots are meant."
    MISSING_KEY "missing-key" Error "A field that must be given is absent."
    NOT_A_DATE "not-a-date" Error "A date or time cannot be understood."
    NOT_A_NUMBER "not-a-number" Error "A bare number cannot be understood."
    NOT_A_QUANTITY "not-a-quantity" Error "A text cannot be read as the quantity that the field holds."
    NOT_ALLOWED_VALUE "not-allowed-value" Error "A value is none of those that the field takes."
    NOT_UTF_8 "not-utf-8" Error "The file is not saved as UTF-8."
    NUMBER_OUT_OF_BOUNDS "number-out-of-bounds" Error "A number lies outside what the field can hold."
    REPEATED_ENTRY "repeated-entry" Error "A list holds the same entry twice."
    SEVERAL_DOCUMENTS "several-documents" Error "The file holds more than one document."
    TAB_INDENTATION "tab-indentation" Error "A line is indented with a tab."
    TABLE_CELL_UNREADABLE "table-cell-unreadable" Error "A cell of a survey's table cannot be understood."
    TABLE_HEADER_UNREADABLE "table-header-unreadable" Error "The columns of a survey's table cannot be told."
    TOO_DEEP "too-deep" Error "Lists and fields are nested deeper than any entry can be."
    TOO_MANY_NODES "too-many-nodes" Error "The file holds more values than any entry or survey can."
    UNIT_MISSING "unit-missing" Error "A number stands without its unit."
    UNIT_NOT_CANONICAL "unit-not-canonical" Note "A unit is spelled in another way than in the rest of a catalog."
    UNIT_OF_ANOTHER_KIND "unit-of-another-kind" Error "A unit belongs to another quantity than the field holds."
    UNIT_UNKNOWN "unit-unknown" Error "A unit is not known."
    UNKNOWN_FILE_KIND "unknown-file-kind" Error "The name of a file does not say what it holds."
    UNKNOWN_KEY "unknown-key" Error "A field is not one that can be given in this place."
    UNREADABLE_VALUE "unreadable-value" Error "A value has the right shape and still cannot be understood."
    WRONG_FORM "wrong-form" Error "A text does not have the form that the field asks for."
    WRONG_LENGTH "wrong-length" Error "A list or a text is too short or too long."
    WRONG_SHAPE "wrong-shape" Error "A text, a number, a list or a group of fields stands where another is asked for."
    YAML_1_1_WORD "yaml-1-1-word" Warning "A bare word or number that other YAML readers take for something else."
    YAML_ANCHOR "yaml-anchor" Error "A YAML anchor or alias is used."
    YAML_SYNTAX "yaml-syntax" Error "The text cannot be read as YAML."
    YAML_TAG "yaml-tag" Error "A YAML tag is used."
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_sorted() {
        let names: Vec<_> = READER_RULES.iter().map(|rule| rule.name).collect();
        let mut sorted = names.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(names, sorted);
        for rule in READER_RULES {
            assert!(rule.summary.ends_with('.'), "{}", rule.name);
        }
    }
}
