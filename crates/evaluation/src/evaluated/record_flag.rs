//! Doubts about record, preparation and air of a reading, as facts: the words are made in [`crate::words`].

use std::rc::Rc;

use jiff::civil::Date;
use stainbook_catalog::written::tube::Axis;
use stainbook_catalog::written::{Amendment, Assured, Day, Instruction};
use stainbook_core::{Humidity, Temperature};

use crate::outcome::{Code, MayRead};
use crate::pump_and_lot::VolumeFound;

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
    },
    LeakTestFailed,
    LeakTestMissing,
    LotExpired {
        expires: Day,
        read: Date,
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
    PumpVolumeCheckMissing {
        pump: String,
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
            Self::ExpiryMissing => Code::ExpiryMissing,
            Self::GroupExpressedAs { .. } => Code::GroupExpressedAs,
            Self::HumidityMissing => Code::HumidityMissing,
            Self::HumidityNotComparable => Code::HumidityNotComparable,
            Self::IdRepeated => Code::IdRepeated,
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
