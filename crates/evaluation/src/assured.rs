//! Records that a lab keeps elsewhere, and says so in writing: they stand in for what a survey does not say, never against what it says.

use std::rc::Rc;

use stainbook_catalog::written::{Assurable, Assured, LeakTest, Moment, Reading};

use crate::evaluated::record_flag::RecordFlag;

/// The doubts about a record, where what is missing was assured with that in its place.
pub(crate) fn applied(
    flags: impl Iterator<Item = RecordFlag>,
    reading: &Reading,
    assured: &[Rc<Assured>],
) -> Vec<RecordFlag> {
    let mut kept: Vec<RecordFlag> = Vec::new();
    for flag in flags {
        let stands_in = missing(&flag, reading)
            .and_then(|what| assured.iter().find(|one| covers(one, what, reading)));
        let Some(one) = stands_in else {
            kept.push(flag);
            continue;
        };
        let told = RecordFlag::Assured(Rc::clone(one));
        if kept.contains(&told) {
            continue;
        }
        kept.push(told);
        if one.added.is_some() {
            kept.push(RecordFlag::AssuredAfterwards(Rc::clone(one)));
        }
    }
    kept
}

/// Record that would have to be assured, if a doubt is that the survey is silent.
fn missing(flag: &RecordFlag, reading: &Reading) -> Option<Assurable> {
    Some(match flag {
        RecordFlag::LeakTestMissing if reading.leak_test != Some(LeakTest::NotDone) => {
            Assurable::LeakTests
        }
        RecordFlag::PumpVolumeCheckMissing { .. } | RecordFlag::PumpVolumeCheckOverdue { .. } => {
            Assurable::VolumeChecks
        }
        RecordFlag::ExpiryMissing => Assurable::Expiry,
        RecordFlag::PreTubeMissing { .. } | RecordFlag::PreTubeExpiryMissing { .. } => {
            Assurable::PreTubes
        }
        RecordFlag::ColdTube if reading.brought_to_ambient.is_none() => Assurable::Storage,
        RecordFlag::OtherGasesNotStated => Assurable::OtherGases,
        _ => return None,
    })
}

/// True if it is said whole, and for this reading.
fn covers(assured: &Assured, what: Assurable, reading: &Reading) -> bool {
    let of = match what {
        Assurable::LeakTests | Assurable::VolumeChecks => &reading.pump,
        Assurable::Expiry | Assurable::PreTubes | Assurable::Storage => &reading.lot,
        Assurable::OtherGases => &reading.id,
    };
    let read = reading.at.as_ref().map(Moment::date);
    assured.what == Some(what)
        && assured.kept.is_some()
        && assured.by.is_some()
        && (assured.of.is_empty() || of.as_ref().is_some_and(|of| assured.of.contains(of)))
        && assured
            .day
            .as_ref()
            .is_none_or(|day| read.is_some_and(|read| day.first() <= read && read <= day.last()))
}

/// `leak tests assured, see pump log 3, KL`.
pub(crate) fn words(assured: &Assured) -> String {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    format!(
        "{} assured, see {}, {}",
        assured.what.map_or("", Assurable::name),
        text(&assured.kept),
        text(&assured.by)
    )
}

/// When it was added, and why only then.
pub(crate) fn afterwards(assured: &Assured) -> String {
    let added = assured.added.as_ref().map_or("", Moment::text);
    let because = assured.because.as_deref();
    format!(
        "added after the survey had been evaluated, on {added}, {}: {}",
        because.map_or_else(
            || "and it is not recorded why".to_owned(),
            |because| format!("because {because}")
        ),
        words(assured)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOG: &str =
        "{what: leak tests, for: [pump-1], day: 2026-03-02, where: pump log 3, by: KL}";

    fn told(assured: &str, reading: &str, flag: RecordFlag) -> Vec<RecordFlag> {
        let assured: Assured = serde_yaml::from_str(assured).unwrap();
        let reading: Reading = serde_yaml::from_str(reading).unwrap();
        applied(std::iter::once(flag), &reading, &[Rc::new(assured)])
    }

    #[test]
    fn it_stands_in_for_what_is_not_said_and_never_against_what_is() {
        let missing = RecordFlag::LeakTestMissing;
        for (assured, reading, stands_in) in [
            (LOG, "{at: \"2026-03-02T07:40+00:00\", pump: pump-1}", true),
            (LOG, "{at: \"2026-03-02T07:40+00:00\", pump: pump-2}", false),
            (LOG, "{at: \"2026-03-03T07:40+00:00\", pump: pump-1}", false),
            (LOG, "{pump: pump-1}", false),
            (
                LOG,
                "{at: \"2026-03-02T07:40+00:00\", pump: pump-1, leak_test: not done}",
                false,
            ),
            (
                "{what: expiry, where: list, by: KL}",
                "{pump: pump-1}",
                false,
            ),
            (
                "{what: leak tests, where: list, by: KL}",
                "{pump: pump-1}",
                true,
            ),
            // Nobody says so, or nowhere.
            ("{what: leak tests, where: list}", "{pump: pump-1}", false),
            ("{what: leak tests, by: KL}", "{pump: pump-1}", false),
        ] {
            let told = told(assured, reading, missing.clone());
            assert_eq!(
                told != [missing.clone()],
                stands_in,
                "{assured} {reading} {told:?}"
            );
        }
        let leaked = RecordFlag::LeakTestFailed;
        let reading = "{at: \"2026-03-02T07:40+00:00\", pump: pump-1, leak_test: leaked}";
        assert_eq!(told(LOG, reading, leaked.clone()), [leaked]);
        let cold = "{lot: \"1\", brought_to_ambient: false}";
        let storage = "{what: storage, where: book, by: KL}";
        assert_eq!(
            told(storage, cold, RecordFlag::ColdTube),
            [RecordFlag::ColdTube]
        );
    }

    #[test]
    fn what_was_added_afterwards_is_told_as_an_amendment() {
        let added = "{what: expiry, where: list, by: KL, added: \"2026-03-05T08:00+00:00\", because: the list was away}";
        let told = told(added, "{lot: \"1\"}", RecordFlag::ExpiryMissing);
        let texts: Vec<String> = told
            .iter()
            .map(|flag| crate::words::record_flag::flag(flag).text)
            .collect();
        assert_eq!(
            texts,
            [
                "expiry assured, see list, KL",
                "added after the survey had been evaluated, on 2026-03-05T08:00+00:00, because the list was away: expiry assured, see list, KL"
            ]
        );
        assert_eq!(told[1].code(), crate::outcome::Code::Amended);
    }
}
