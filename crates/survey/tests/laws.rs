//! Laws that hold for any table.
#![cfg(test)]

use proptest::prelude::*;
use stainbook_survey::table::{DecimalMark, read};

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    /// A table of any text is read or refused; a row that was read is evaluated.
    #[test]
    fn any_table_is_answered(text in "(id|tube|strokes|reading \\[ppm\\]|seen|at|[a-z,;\\n\"0-9.µ\\[\\] ])*") {
        let _ = read(&text, DecimalMark::Comma);
        let table = format!("id,tube,strokes,reading [ppm],present,present_level [ppm]\n{text}");
        let (survey, refused) = read(&table, DecimalMark::Point).unwrap();
        for row in refused {
            prop_assert!(!row.problems.is_empty());
            prop_assert!(row.result().refusal.is_some());
        }
        prop_assert!(survey.readings.len() <= table.lines().count() + 1);
    }
}
