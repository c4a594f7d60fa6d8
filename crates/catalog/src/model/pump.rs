//! Pumps and their kinds.

use jiff::civil::Date;
use stainbook_core::{Duration, Volume};

use super::{Needed, Unusable};
use crate::Book;
use crate::written::{PumpEntry, PumpKindEntry, VolumeCheck};
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
}

impl PumpKind {
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
        })
    }

    /// The volume checks of the latest day on or before a day on which there were any, as recorded.
    pub fn last_volume_checks(&self, on: Date) -> Vec<&VolumeCheck> {
        let Some(day) = self
            .last_volume_check(on)
            .and_then(|check| check.date.as_ref())
        else {
            return Vec::new();
        };
        self.volume_checks
            .iter()
            .filter(|check| {
                let date = check.date.as_ref();
                date.is_some_and(|date| date.last() == day.last())
            })
            .collect()
    }

    /// The latest volume check on or before a day.
    pub fn last_volume_check(&self, on: Date) -> Option<&VolumeCheck> {
        self.volume_checks
            .iter()
            .filter(|check| check.date.as_ref().is_some_and(|date| date.last() <= on))
            .max_by_key(|check| check.date.as_ref().map(crate::written::Day::last))
    }
}
