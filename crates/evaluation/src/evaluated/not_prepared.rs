//! Reasons why a reading is refused before a number is worked out, as facts: the words are made in [`crate::words`].

use stainbook_catalog::model::Unusable;
use stainbook_core::{AtmosphereError, Humidity, HumidityError, Pressure, Temperature, Unit};

use crate::sheet_choice::ListedSheet;
use crate::sheet_errors::SheetErrors;

/// The reason why a reading is refused before a number is worked out.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum NotPrepared {
    // The sheet.
    TubeMissing,
    /// No sheet and no series has this name; some may be meant.
    TubeUnknown {
        tube: String,
        near: Vec<String>,
    },
    LeafletUnknown {
        tube: String,
        leaflet: String,
        sheets: Vec<ListedSheet>,
    },
    /// The lot belongs to other revisions than the one stated.
    LotOfOtherRevisions {
        lot: String,
        leaflet: String,
        revisions: Vec<ListedSheet>,
    },
    LotWithoutSheet {
        lot: String,
        tube: String,
        sheets: Vec<ListedSheet>,
    },
    SheetAmbiguous {
        tube: String,
        sheets: Vec<ListedSheet>,
        lot_missing: bool,
    },
    /// A sheet named in full is another revision than the one stated.
    SheetOfAnotherRevision {
        sheet: String,
        revision: String,
        leaflet: String,
    },
    /// The lot does not belong to a sheet named in full.
    LotOfOtherSheets {
        lot: String,
        sheet: String,
        sheets: Vec<ListedSheet>,
    },
    SheetHasErrors {
        sheet: String,
        /// Empty where all that is known is that it could not be read without errors.
        errors: SheetErrors,
    },
    SheetNotFound {
        sheet: String,
    },
    SheetUnusable {
        sheet: String,
        why: Unusable,
    },
    GasNotOnSheet {
        sheet: String,
        gas: String,
        measures: Vec<String>,
    },
    /// The sheet says that the gas is shown and not measured.
    GasOnlyShown {
        sheet: String,
        gas: String,
    },
    // The pump.
    HalfStrokeImpossible {
        pump: String,
        kind: String,
    },
    StrokeVolumeDiffers {
        pump: String,
        of_pump: f64,
        of_sheet: f64,
    },
    // The strokes, and what was read.
    StrokesMissing,
    StrokesNotOnSheet {
        strokes: f64,
        sheet: String,
        counts: Vec<f64>,
        /// The counts are those of the scale that was read.
        of_scale: bool,
    },
    /// There is a stain at a count that the sheet allows only if there is none.
    StainAtMoreStrokes {
        strokes: f64,
        /// The greatest printed count.
        most: f64,
    },
    /// The sheet bars this count at some temperatures, and none is stated.
    TemperatureMissingForStrokes,
    /// The sheet bars this count at this temperature.
    StrokesBarred {
        strokes: f64,
        at: Temperature,
        usable: (Option<Temperature>, Option<Temperature>),
        field: &'static str,
    },
    ScaleUnknown {
        sheet: String,
        scale: String,
        scales: Vec<String>,
    },
    ScaleNotStated {
        strokes: f64,
    },
    ScaleNotOnSheet,
    ScaleWithoutMarks {
        field: &'static str,
    },
    /// A number or a mark was recorded of a tube that has no scale.
    TubeWithoutScale,
    /// A colour alone was recorded of a tube that has a scale.
    ColourOnAScale,
    /// No row of a tube without a scale is for these strokes in this air.
    NoThresholdForAir {
        strokes: f64,
    },
    /// An observation from which the sheet draws no conclusion.
    SaysNothing {
        colour: bool,
        strokes: f64,
    },
    ReadingMissing,
    ReadingInAnotherUnit {
        text: String,
        unit: &'static Unit,
        field: &'static str,
    },
    ReadingContradictsItself,
    ReadingBeforeFirstMark(OffScale),
    ReadingBehindLastMark(OffScale),
    BoundNotAMark(BoundBesideMark),
    FrontReversed {
        short: String,
        long: String,
    },
    FrontHalfRead,
    // The air.
    HumidityImpossible(HumidityError),
    AltitudeWithoutPressure(AtmosphereError),
    AltitudeImpossible(AtmosphereError),
    PressureImpossible {
        text: String,
    },
    PressureContradictsAltitude {
        pressure: String,
        altitude: String,
        standard: Pressure,
        too_high: bool,
    },
    SeaLevelPressureImpossible {
        text: String,
    },
    // Conditions that the corrections need.
    PressureMissing {
        /// A sea-level pressure was stated, without an altitude.
        at_sea_level: bool,
    },
    TemperatureMissing,
    TemperatureMissingForHumidity {
        unit: &'static Unit,
    },
    HumidityMissing,
    OutsideTemperatureFormula {
        at: Temperature,
        usable: (Temperature, Temperature),
        field: &'static str,
    },
    OutsideHumidityFormula {
        at: Humidity,
        usable: (Humidity, Humidity),
    },
}

/// An end of the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Below,
    Beyond,
}

/// A bound that is not what the mark at that end stands for.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BoundBesideMark {
    /// Without its sign.
    pub(crate) text: String,
    pub(crate) side: Side,
    pub(crate) mark: f64,
    /// The concentration of the mark at that stroke count.
    pub(crate) stands_for: f64,
    pub(crate) strokes: f64,
    pub(crate) unit: &'static Unit,
    pub(crate) field: &'static str,
}

/// A reading that no scale has.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OffScale {
    pub(crate) text: String,
    /// The mark that it lies beside.
    pub(crate) mark: f64,
    pub(crate) unit: &'static Unit,
    pub(crate) field: &'static str,
}
