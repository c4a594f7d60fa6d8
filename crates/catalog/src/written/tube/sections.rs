//! Contents of the sections of a sheet, whether or not the section was written.

use stainbook_core::Volume;

use super::{
    CalibratedAt, Interferent, LimitOfDetection, MeasuringRange, PreTube, ResponseFactor, Scale,
    Storage, TubeEntry, Usable,
};
use crate::written::{Lots, Stated};

/// A list is empty, and a single thing absent, where its section is absent.
impl TubeEntry {
    /// The lots that the leaflet came with.
    pub fn lots(&self) -> Option<&Lots> {
        self.leaflet.as_ref()?.lots.as_ref()
    }

    /// The group that the tube answers to, by its short name.
    pub fn group(&self) -> Option<&str> {
        self.measures.as_ref()?.group.as_deref()
    }

    /// The kinds of pump that fit, by their short names.
    pub fn pump_kinds(&self) -> &[String] {
        self.before_use
            .as_ref()
            .map_or(&[], |before| &before.pump_kinds)
    }

    /// The conditions in which the tube works.
    pub fn usable(&self) -> Option<&Usable> {
        self.before_use.as_ref()?.usable.as_ref()
    }

    /// The conditions in which tubes are stored.
    pub fn storage(&self) -> Option<&Storage> {
        self.before_use.as_ref()?.storage.as_deref()
    }

    /// The tube that is drawn through first.
    pub fn pre_tube(&self) -> Option<&PreTube> {
        self.before_use.as_ref()?.pre_tube.as_deref()
    }

    /// The volume of one stroke.
    pub fn stroke(&self) -> Option<&Stated<Volume>> {
        self.draw.as_ref()?.stroke.as_ref()
    }

    /// The ranges, in the order of the leaflet.
    pub fn ranges(&self) -> &[MeasuringRange] {
        self.draw.as_ref().map_or(&[], |draw| &draw.ranges)
    }

    /// The printed scales.
    pub fn printed_scales(&self) -> &[Scale] {
        self.read.as_ref().map_or(&[], |read| &read.scales)
    }

    /// The least that can be seen.
    pub fn limit_of_detection(&self) -> Option<&LimitOfDetection> {
        self.read.as_ref()?.limit_of_detection.as_ref()
    }

    /// The further gases that the scale can be read for.
    pub fn response_factors(&self) -> &[ResponseFactor] {
        self.read
            .as_ref()
            .map_or(&[], |read| &read.response_factors)
    }

    /// The conditions for which the scale is right as printed.
    pub fn calibrated_at(&self) -> Option<&CalibratedAt> {
        self.correct.as_ref()?.calibrated_at.as_ref()
    }

    /// The gases that disturb a reading.
    pub fn interferents(&self) -> &[Interferent] {
        self.performance
            .as_ref()
            .map_or(&[], |performance| &performance.interferents)
    }
}
