//! Doubts about record, preparation and air of a reading, as facts: the words are made in [`crate::words`].

use std::rc::Rc;

use jiff::civil::Date;
use stainbook_catalog::written::tube::Axis;
use stainbook_catalog::written::{Amendment, Assured, Atmosphere, Day, Instruction, Preparation};
use stainbook_core::{Humidity, Temperature};

use crate::outcome::{Code, MayRead};
use crate::pump_and_lot::VolumeFound;
use crate::stock::BoxInStock;

/// A doubt about record, preparation or air. The meaning of each stands in the registry, at its code.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum RecordFlag {
    Amended(Rc<Amendment>),
    AmendedBeforeRead {
        changed: String,
        read: String,
    },
    AmendmentUnsigned(Rc<Amendment>),
    Assured(Rc<Assured>),
    /// It was assured after the survey had been evaluated.
    AssuredAfterwards(Rc<Assured>),
    CertaintyUnusable {
        stated: String,
    },
    ColdTube,
    ColumnTemperatureAssumed(Temperature),
    CorrectionAtAnotherHumidity(Axis),
    CorrectionNotStated(Axis),
    DateMissing,
    ExpiryInStock(BoxInStock),
    ExpiryMissing,
    GroupExpressedAs {
        group: String,
        substance: String,
    },
    HumidityMissing,
    HumidityNotComparable,
    IdRepeated,
    InstructionsNotKept {
        which: Vec<Instruction>,
        reads: MayRead,
        /// The time of the reading against that of the leaflet, if that was not kept.
        time: Option<String>,
    },
    LeakTestFailed,
    LeakTestMissing,
    LotExpired {
        expires: Day,
        read: Date,
        in_stock: Option<BoxInStock>,
    },
    LotMissing,
    LotNotComparable {
        lot: String,
        lots: String,
    },
    OtherGasesNotStated,
    OutsideUsableHumidity {
        at: Humidity,
        usable: (Humidity, Humidity),
    },
    OutsideUsableTemperature {
        at: Temperature,
        usable: (Temperature, Temperature),
    },
    PreTubeExpired {
        name: String,
        expires: Day,
        read: Date,
        in_stock: Option<BoxInStock>,
    },
    PreTubeExpiryMissing {
        name: String,
    },
    PreTubeMissing {
        name: String,
    },
    PumpMissing,
    PumpNotAllowed {
        pump: String,
        kind: String,
        allowed: Vec<String>,
    },
    PumpUnknown {
        pump: String,
        why: String,
    },
    /// With the repair since which there is none, if there are some before it.
    PumpVolumeCheckMissing {
        pump: String,
        repaired: Option<Date>,
    },
    PumpVolumeCheckOverdue {
        pump: String,
        checked: Date,
        days: f64,
    },
    /// Negative where the stroke is too small.
    PumpVolumeOutOfTolerance {
        pump: String,
        found: VolumeFound,
        off: f64,
    },
    PumpWithdrawn {
        pump: String,
    },
    PreparationMissing {
        which: Vec<Preparation>,
    },
    PreTubeSpent {
        name: String,
        strokes: f64,
        lasts: f64,
        in_damp: bool,
    },
    PreTubeUseMissing {
        name: String,
    },
    OpenedMissing {
        keeps: String,
    },
    OpenedTooLong {
        opened: Day,
        keeps: String,
        read: Date,
    },
    UsedBefore,
    ManufactureDateMissing {
        leaflet: String,
    },
    ManufacturedOutside {
        made: Day,
        leaflet: String,
    },
    ErratumForLot {
        lots: String,
        says: String,
    },
    OutsideUsableAir {
        atmosphere: Atmosphere,
    },
    SeaLevelPressureWithoutAltitude,
    SheetHasErrors,
    SheetNotVerified,
    SheetWithdrawn {
        since: Option<Day>,
        because: Option<String>,
    },
    TemperatureMissing {
        usable: (Temperature, Temperature),
    },
    TubeTemperatureDiffers {
        tube: Temperature,
        air: Temperature,
    },
}

impl RecordFlag {
    /// Its word for scripts.
    pub(crate) fn code(&self) -> Code {
        match self {
            Self::Amended(_) | Self::AssuredAfterwards(_) => Code::Amended,
            Self::Assured(_) => Code::Assured,
            Self::AmendedBeforeRead { .. } => Code::AmendedBeforeRead,
            Self::AmendmentUnsigned(_) => Code::AmendmentUnsigned,
            Self::CertaintyUnusable { .. } => Code::CertaintyUnusable,
            Self::ColdTube => Code::ColdTube,
            Self::ColumnTemperatureAssumed(_) => Code::ColumnTemperatureAssumed,
            Self::CorrectionAtAnotherHumidity(_) => Code::CorrectionAtAnotherHumidity,
            Self::CorrectionNotStated(_) => Code::CorrectionNotStated,
            Self::DateMissing => Code::DateMissing,
            Self::ExpiryInStock(_) => Code::ExpiryInStock,
            Self::ExpiryMissing => Code::ExpiryMissing,
            Self::GroupExpressedAs { .. } => Code::GroupExpressedAs,
            Self::HumidityMissing => Code::HumidityMissing,
            Self::HumidityNotComparable => Code::HumidityNotComparable,
            Self::IdRepeated => Code::IdRepeated,
            Self::PreparationMissing { .. } => Code::PreparationMissing,
            Self::PreTubeSpent { .. } => Code::PreTubeSpent,
            Self::PreTubeUseMissing { .. } => Code::PreTubeUseMissing,
            Self::OpenedMissing { .. } => Code::OpenedMissing,
            Self::OpenedTooLong { .. } => Code::OpenedTooLong,
            Self::UsedBefore => Code::UsedBefore,
            Self::ManufactureDateMissing { .. } => Code::ManufactureDateMissing,
            Self::ManufacturedOutside { .. } => Code::ManufacturedOutside,
            Self::ErratumForLot { .. } => Code::ErratumForLot,
            Self::OutsideUsableAir { .. } => Code::OutsideUsableAir,
            Self::InstructionsNotKept { reads, .. } => match reads {
                MayRead::TooHigh => Code::InstructionsNotKeptHigh,
                MayRead::AsGiven => Code::InstructionsNotKeptNoEffect,
                MayRead::TooLow | MayRead::EitherWay => Code::InstructionsNotKept,
            },
            Self::OtherGasesNotStated => Code::OtherGasesNotStated,
            Self::LeakTestFailed => Code::LeakTestFailed,
            Self::LeakTestMissing => Code::LeakTestMissing,
            Self::LotExpired { .. } => Code::LotExpired,
            Self::LotMissing => Code::LotMissing,
            Self::LotNotComparable { .. } => Code::LotNotComparable,
            Self::OutsideUsableHumidity { .. } => Code::OutsideUsableHumidity,
            Self::OutsideUsableTemperature { .. } => Code::OutsideUsableTemperature,
            Self::PreTubeExpired { .. } => Code::PreTubeExpired,
            Self::PreTubeExpiryMissing { .. } => Code::PreTubeExpiryMissing,
            Self::PreTubeMissing { .. } => Code::PreTubeMissing,
            Self::PumpMissing => Code::PumpMissing,
            Self::PumpNotAllowed { .. } => Code::PumpNotAllowed,
            Self::PumpUnknown { .. } => Code::PumpUnknown,
            Self::PumpVolumeCheckMissing { .. } => Code::PumpVolumeCheckMissing,
            Self::PumpVolumeCheckOverdue { .. } => Code::PumpVolumeCheckOverdue,
            Self::PumpVolumeOutOfTolerance { off, .. } if *off < 0.0 => Code::PumpVolumeTooSmall,
            Self::PumpVolumeOutOfTolerance { .. } => Code::PumpVolumeTooLarge,
            Self::PumpWithdrawn { .. } => Code::PumpWithdrawn,
            Self::SeaLevelPressureWithoutAltitude => Code::SeaLevelPressureWithoutAltitude,
            Self::SheetHasErrors => Code::SheetHasErrors,
            Self::SheetNotVerified => Code::SheetNotVerified,
            Self::SheetWithdrawn { .. } => Code::SheetWithdrawn,
            Self::TemperatureMissing { .. } => Code::TemperatureMissing,
            Self::TubeTemperatureDiffers { .. } => Code::TubeTemperatureDiffers,
        }
    }
}
