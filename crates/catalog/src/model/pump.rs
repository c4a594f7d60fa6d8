//! Pumps and their kinds.

use jiff::civil::Date;
use stainbook_core::{Duration, Volume};

use super::{Needed, Unusable};
use crate::Book;
use crate::written::{
    Day, LeakTest, LeakTestRecord, PumpEntry, PumpKindEntry, Repair, VolumeCheck,
};
use stainbook_document::place::Path;

/// A kind of pump.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct PumpKind {
    /// Its short name.
    pub id: String,
    /// Its name as printed.
    pub name: String,
    /// The nominal volume of a full stroke.
    pub stroke: Volume,
    /// True if half a stroke can be drawn.
    pub half_strokes: bool,
    /// The largest relative deviation of a stroke that is tolerated.
    pub volume_tolerance: f64,
    /// Interval of volume checks.
    pub volume_check_every: Option<Duration>,
    /// Interval of leak tests outside the surveys.
    pub leak_test_every: Option<Duration>,
}

/// One pump with its kind and the record of its checks.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Pump {
    /// Its short name.
    pub id: String,
    /// Its kind.
    pub kind: PumpKind,
    /// Since when it is no longer used.
    pub withdrawn: Option<Date>,
    /// The checks of its volume as recorded.
    pub volume_checks: Vec<VolumeCheck>,
    /// Its leak tests outside the surveys as recorded.
    pub leak_tests: Vec<LeakTestRecord>,
    /// Its repairs as recorded.
    pub repairs: Vec<Repair>,
}

/// Rest that the arithmetic alone leaves of a deviation: 95 mL of 100 mL is 5 % off, not a hair more.
const ROUNDING: f64 = 1e-9;

impl PumpKind {
    /// True if a stroke may deviate so much from the nominal one, as a part of it, either way.
    pub fn tolerates(&self, deviation: f64) -> bool {
        deviation.abs() <= self.volume_tolerance + ROUNDING
    }

    pub(crate) fn from_written(entry: &PumpKindEntry) -> Result<Self, Unusable> {
        let root = Path::root();
        Ok(Self {
            id: entry.pump_kind.clone().needed(&root, "pump_kind")?,
            name: entry.name.clone().needed(&root, "name")?,
            stroke: entry.stroke.as_ref().needed(&root, "stroke")?.value(),
            half_strokes: entry.half_strokes.unwrap_or(false),
            volume_tolerance: entry
                .volume_tolerance
                .as_ref()
                .needed(&root, "volume_tolerance")?
                .value()
                .fraction(),
            volume_check_every: entry.volume_check_every.as_ref().map(|every| every.value()),
            leak_test_every: entry.leak_test_every.as_ref().map(|every| every.value()),
        })
    }
}

impl Pump {
    pub(crate) fn from_written(entry: &PumpEntry, book: &Book) -> Result<Self, Unusable> {
        let path = Path::root().key("kind");
        let kind_id = entry.kind.as_deref().needed(&Path::root(), "kind")?;
        let kind = book
            .pump_kind(kind_id)
            .ok_or_else(|| Unusable::new(path, format!("no pump kind `{kind_id}`")))?;
        Ok(Self {
            id: entry.pump.clone().unwrap_or_default(),
            kind: PumpKind::from_written(kind)?,
            withdrawn: entry.withdrawn.as_ref().map(crate::written::Day::first),
            volume_checks: entry.volume_checks.clone(),
            leak_tests: entry.leak_tests.clone(),
            repairs: entry.repairs.clone(),
        })
    }

    /// The volume checks of the latest day on or before a day on which there were any that count, as recorded.
    pub fn last_volume_checks(&self, on: Date) -> Vec<&VolumeCheck> {
        let Some(day) = self
            .last_volume_check(on)
            .and_then(|check| check.date.as_ref())
        else {
            return Vec::new();
        };
        self.counting_checks(on)
            .filter(|check| {
                let date = check.date.as_ref();
                date.is_some_and(|date| date.last() == day.last())
            })
            .collect()
    }

    /// The latest volume check on or before a day that counts: none before a repair does after it.
    pub fn last_volume_check(&self, on: Date) -> Option<&VolumeCheck> {
        self.counting_checks(on)
            .max_by_key(|check| check.date.as_ref().map(Day::last))
    }

    fn counting_checks(&self, on: Date) -> impl Iterator<Item = &VolumeCheck> {
        let repaired = self.last_repair(on).and_then(|repair| repair.date.as_ref());
        self.volume_checks.iter().filter(move |check| {
            check.date.as_ref().is_some_and(|date| {
                date.last() <= on
                    && repaired.is_none_or(|repaired| {
                        // A check of the very day is one after the repair unless it says otherwise.
                        let before = check.before_repair == Some(true);
                        repaired.last() < date.first() || repaired.last() == date.first() && !before
                    })
            })
        })
    }

    /// The latest leak test on or before a day that counts: none before a repair does after it. Of several of one day it is the
    /// one that is written last. One that was not done is none.
    pub fn last_leak_test(&self, on: Date) -> Option<&LeakTestRecord> {
        let repaired = self.last_repair(on).and_then(|repair| repair.date.as_ref());
        let counts = |test: &&LeakTestRecord| {
            let done = matches!(test.result, Some(LeakTest::Held | LeakTest::Leaked));
            test.date.as_ref().is_some_and(|date| {
                done && date.last() <= on
                    && repaired.is_none_or(|repaired| repaired.last() <= date.first())
            })
        };
        let tests = self.leak_tests.iter().filter(counts);
        tests.max_by_key(|test| test.date.as_ref().map(Day::last))
    }

    /// The latest repair that may have been made by a day: a month may be any of its days.
    pub fn last_repair(&self, on: Date) -> Option<&Repair> {
        self.repairs
            .iter()
            .filter(|repair| repair.date.as_ref().is_some_and(|date| date.first() <= on))
            .max_by_key(|repair| repair.date.as_ref().map(Day::last))
    }
}

#[cfg(test)]
mod tests {
    use crate::{Book, SourceFile};

    const KIND: &str = "pump_kind: quay\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

    /// The volumes that count on a day, and the leak test.
    fn counting(record: &str, on: &str) -> (Vec<String>, Option<String>) {
        let (book, findings) = Book::read([
            SourceFile::new("quay.pump-kind.yaml", KIND),
            SourceFile::new("p.pump.yaml", format!("pump: p\nkind: quay\n{record}")),
        ]);
        assert!(findings.is_empty(), "{findings:?}");
        let pump = book.pump_model("p").unwrap();
        let on = on.parse().unwrap();
        let volumes = pump.last_volume_checks(on);
        (
            volumes
                .iter()
                .map(|check| check.volume.as_ref().unwrap().text().to_owned())
                .collect(),
            pump.last_leak_test(on)
                .map(|test| format!("{:?}", test.result.unwrap())),
        )
    }

    const RECORD: &str = "volume_checks:
  - {date: 2026-01-10, volume: 99 mL}
  - {date: 2026-03-05, volume: 94 mL, before_repair: true}
  - {date: 2026-03-05, volume: 98 mL}
  - {date: 2026-06-01, volume: 97 mL}
leak_tests:
  - {date: 2026-01-10, result: held}
  - {date: 2026-03-05, result: leaked}
repairs:
  - {date: 2026-03-05, what: new seal}
  - {date: 2026-07-02, what: new valve}
";

    #[test]
    fn what_was_checked_before_a_repair_does_not_count_after_it() {
        for (on, volumes, test) in [
            ("2026-01-09", vec![], None),
            ("2026-03-04", vec!["99 mL"], Some("Held")),
            // Found so, and mended the same day; of the leak test nothing better is written.
            ("2026-03-05", vec!["98 mL"], Some("Leaked")),
            ("2026-07-01", vec!["97 mL"], Some("Leaked")),
            ("2026-07-02", vec![], None),
            ("2026-12-01", vec![], None),
        ] {
            let expected = (
                volumes.into_iter().map(str::to_owned).collect(),
                test.map(str::to_owned),
            );
            assert_eq!(counting(RECORD, on), expected, "{on}");
        }
    }

    #[test]
    fn a_repair_of_a_month_may_be_of_any_of_its_days() {
        let record = "volume_checks: [{date: 2026-03-05, volume: 99 mL}]\nrepairs: [{date: 2026-03, what: new seal}]\n";
        assert_eq!(counting(record, "2026-03-20").0, Vec::<String>::new());
        assert_eq!(counting(record, "2026-02-28").0, Vec::<String>::new());
        let after = "volume_checks: [{date: 2026-03-31, volume: 99 mL}]\nrepairs: [{date: 2026-03, what: new seal}]\n";
        assert_eq!(counting(after, "2026-04-01").0, ["99 mL"]);
    }
}
