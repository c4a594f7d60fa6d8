//! Every rule that reading any file may report: syntax, text traps, schema, values.

/// Declares rules of a reader, each as a constant, and the list of them.
///
/// # Example
///
/// ```
/// stainbook_document::reader_rules! {
///     /// The rules of this reader.
///     pub const RULES;
///
///     KETTLE_EMPTY "kettle-empty" Warning "A kettle holds nothing."
/// }
/// assert_eq!(RULES[0].name, KETTLE_EMPTY.name);
/// ```
#[macro_export]
macro_rules! reader_rules {
    (
        $(#[$documentation:meta])* $visibility:vis const $list:ident;
        $($constant:ident $name:literal $level:ident $summary:literal)*
    ) => {
        $(
            #[doc = $summary]
            pub const $constant: $crate::finding::ReaderRule = $crate::finding::ReaderRule {
                name: $name,
                level: $crate::finding::Level::$level,
                summary: $summary,
            };
        )*

        $(#[$documentation])*
        $visibility const $list: &[$crate::finding::ReaderRule] = &[$($constant),*];
    };
}

reader_rules! {
    /// The rules of any document, in alphabetical order.
    pub const DOCUMENT_RULES;

    BYTE_ORDER_MARK "byte-order-mark" Note "The file starts with an invisible byte order mark."
    CONTROL_CHARACTER "control-character" Error "An invisible control character stands in the text."
    DECIMAL_COMMA "decimal-comma" Error "A decimal comma stands where a decimal point is meant."
    DOCUMENT_TOO_LARGE "document-too-large" Error "The file is larger than any entry can be."
    DUPLICATE_KEY "duplicate-key" Error "A field is given twice in the same place."
    EMPTY_DOCUMENT "empty-document" Error "The file holds nothing."
    LAYOUT_SLIP "layout-slip" Error "A bracket, quote, comma, colon or `#` gives the text another structure than it was meant to have."
    LOOK_ALIKE_CHARACTER "look-alike-character" Error "A character looks like another and is not it."
    MISSING_KEY "missing-key" Error "A field that must be given is absent."
    NOT_A_QUANTITY "not-a-quantity" Error "A text cannot be read as the quantity that the field holds."
    NOT_ALLOWED_VALUE "not-allowed-value" Error "A value is none of those that the field takes."
    NOT_UTF_8 "not-utf-8" Error "The file is not saved as UTF-8."
    NUMBER_OUT_OF_BOUNDS "number-out-of-bounds" Error "A number lies outside what the field can hold."
    REPEATED_ENTRY "repeated-entry" Error "A list holds the same entry twice."
    SEVERAL_DOCUMENTS "several-documents" Error "The file holds more than one document."
    TAB_INDENTATION "tab-indentation" Error "A line is indented with a tab."
    TEXT_CUT_SHORT "text-cut-short" Error "A text ends at a `#` that belongs to it and begins a comment instead."
    TOO_DEEP "too-deep" Error "Lists and fields are nested deeper than any entry can be."
    TOO_MANY_NODES "too-many-nodes" Error "The file holds more values than any entry can."
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
        let names: Vec<_> = DOCUMENT_RULES.iter().map(|rule| rule.name).collect();
        let mut sorted = names.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(names, sorted);
        for rule in DOCUMENT_RULES {
            assert!(rule.summary.ends_with('.'), "{}", rule.name);
        }
    }
}
