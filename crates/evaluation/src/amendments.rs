//! Readings that were changed after they were first written down: the change is told with the result.

use std::rc::Rc;

use stainbook_catalog::written::Reading;

use crate::evaluated::record_flag::RecordFlag;

/// A flag for each change, and one where it is not said who changed it, when or why.
pub(crate) fn flags(reading: &Reading) -> Vec<RecordFlag> {
    let mut flags = Vec::new();
    for amendment in &reading.amended {
        let amendment = Rc::new(amendment.clone());
        flags.push(RecordFlag::Amended(Rc::clone(&amendment)));
        if amendment.by.is_none() || amendment.at.is_none() || amendment.because.is_none() {
            flags.push(RecordFlag::AmendmentUnsigned(Rc::clone(&amendment)));
        }
        // A reading cannot be put right before it was taken.
        if let (Some(changed), Some(read)) = (&amendment.at, &reading.at)
            && changed.instant() < read.instant()
        {
            flags.push(RecordFlag::AmendedBeforeRead {
                changed: changed.text().to_owned(),
                read: read.text().to_owned(),
            });
        }
    }
    flags
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::record_flag;

    #[test]
    fn a_change_is_told_with_what_was_there_before() {
        let reading: Reading = serde_yaml::from_str(
            "{id: r1, at: \"2026-03-02T07:40+00:00\", strokes: 3, amended: [{by: MT, at: \"2026-03-03T09:10+00:00\", because: miscounted, was: {strokes: 2, reading: {at: 3 ppm}}}]}",
        )
        .unwrap();
        let told: Vec<_> = flags(&reading).iter().map(record_flag::flag).collect();
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(
            told[0].text,
            "changed afterwards: before, reading at 3 ppm, strokes 2; by MT on 2026-03-03T09:10+00:00, because miscounted"
        );
    }

    #[test]
    fn a_change_without_a_name_or_before_the_reading_is_flagged() {
        let reading: Reading = serde_yaml::from_str(
            "{id: r1, at: \"2026-03-02T07:40+00:00\", amended: [{at: \"2026-03-01T09:10+00:00\", was: {strokes: 2}}]}",
        )
        .unwrap();
        let told: Vec<_> = flags(&reading).iter().map(record_flag::flag).collect();
        let codes: Vec<&str> = told.iter().map(|flag| flag.code.as_str()).collect();
        assert_eq!(
            codes,
            ["amended", "amendment-unsigned", "amended-before-read"]
        );
        assert!(told[1].text.ends_with("who changed it, why"));
    }
}
