//! Record of what was done, or not done, before the air was drawn: box, pump, leak test, sheet. All of it flags the result;
//! only what makes the strokes themselves impossible refuses it.

use jiff::civil::Date;
use stainbook_catalog::Book;
use stainbook_catalog::model::{Pump, Tube};
use stainbook_catalog::written::tube::{PreTubeForm, ReadsIfNotKept};
use stainbook_catalog::written::{
    Day, Instruction, LeakTest, Moment, Reading as WrittenReading, TubeEntry,
};
use stainbook_core::Quantity;

use crate::air::AirAtPlace;
use crate::chain::StatedHumidity;
use crate::defaults;
use crate::evaluated::not_prepared::NotPrepared;
use crate::evaluated::record_flag::RecordFlag;
use crate::outcome::MayRead;
use crate::stock::{BoxInStock, StandIns};
use crate::stroke_spread::{self, StrokeSpread};

mod preparations;

/// The pump as far as it is known, with the half width of its stroke volume.
#[derive(Clone, Debug)]
pub(crate) struct PumpUsed {
    /// The pump, if the catalog has it.
    pub(crate) pump: Option<Pump>,
    /// Half the width within which a stroke's volume is known, as a part of it.
    pub(crate) volume_half_width: f64,
    /// Origin of that figure.
    pub(crate) origin: VolumeOrigin,
    /// The spread of its single strokes, if repeated checks are on record.
    pub(crate) spread: Option<StrokeSpread>,
    /// The day of those checks.
    pub(crate) spread_checked: Option<Date>,
}

/// Factor of the tolerance where nobody has looked in time whether the pump keeps it. Our own bound.
const UNCHECKED: f64 = 2.0;

/// Origin of the half-width of a stroke's volume.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum VolumeOrigin {
    /// A default: no pump is recorded.
    NoPumpRecorded,
    /// A default: the catalog does not have the pump.
    PumpNotInCatalog,
    /// The kind of pump.
    PumpKind,
    /// Twice what the kind of pump states, as no volume check in time is on record.
    PumpKindTwice,
    /// The last volume check, which found more than the kind allows.
    VolumeCheck(VolumeFound),
}

/// The volume of a stroke as a check found it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum VolumeFound {
    /// By one check, as typed.
    Once(String),
    /// By several of one day: their mean in mL.
    Mean(f64),
}

/// The pump, and what is doubtful about it.
///
/// # Errors
///
/// [`NotPrepared`]: the pump cannot draw half strokes, or its stroke is not the one that the sheet is printed for.
pub(crate) fn pump(
    book: &Book,
    tube: &Tube,
    reading: &WrittenReading,
    strokes: Option<f64>,
) -> (Vec<RecordFlag>, Result<PumpUsed, NotPrepared>) {
    let unknown = |origin| PumpUsed {
        pump: None,
        volume_half_width: defaults::VOLUME_TOLERANCE,
        origin,
        spread: None,
        spread_checked: None,
    };
    let Some(id) = &reading.pump else {
        let used = unknown(VolumeOrigin::NoPumpRecorded);
        return (vec![RecordFlag::PumpMissing], Ok(used));
    };
    let pump = match book.pump_model(id) {
        Ok(pump) => pump,
        Err(error) => {
            let flag = RecordFlag::PumpUnknown {
                pump: id.clone(),
                why: error.message,
            };
            return (vec![flag], Ok(unknown(VolumeOrigin::PumpNotInCatalog)));
        }
    };
    let kind = &pump.kind;
    let mut flags = Vec::new();
    if !tube.pump_kinds.contains(&kind.id) {
        flags.push(RecordFlag::PumpNotAllowed {
            pump: id.clone(),
            kind: kind.name.clone(),
            allowed: tube.pump_kinds.clone(),
        });
    }
    if strokes.is_some_and(|strokes| (strokes - strokes.round()).abs() > 1e-6) && !kind.half_strokes
    {
        let refused = NotPrepared::HalfStrokeImpossible {
            pump: id.clone(),
            kind: kind.name.clone(),
        };
        return (flags, Err(refused));
    }
    let (of_pump, of_sheet) = (kind.stroke.millilitres(), tube.stroke.millilitres());
    if (of_pump - of_sheet).abs() > defaults::SAME_STROKE * of_sheet {
        let refused = NotPrepared::StrokeVolumeDiffers {
            pump: id.clone(),
            of_pump,
            of_sheet,
        };
        return (flags, Err(refused));
    }
    let mut used = PumpUsed {
        volume_half_width: kind.volume_tolerance,
        ..unknown(VolumeOrigin::PumpKind)
    };
    if let Some(date) = reading.at.as_ref().map(Moment::date) {
        let (checked, doubts) = volume_check(&pump, date, used);
        used = checked;
        flags.extend(doubts);
        if pump.withdrawn.is_some_and(|since| since <= date) {
            flags.push(RecordFlag::PumpWithdrawn { pump: id.clone() });
        }
    }
    used.pump = Some(pump);
    (flags, Ok(used))
}

/// The pump with what its last volume check before a day found.
fn volume_check(pump: &Pump, date: Date, used: PumpUsed) -> (PumpUsed, Vec<RecordFlag>) {
    let id = || pump.id.clone();
    let Some(check) = pump.last_volume_check(date) else {
        let repair = pump.last_repair(date);
        let flag = RecordFlag::PumpVolumeCheckMissing {
            pump: id(),
            repaired: repair
                .and_then(|repair| repair.date.as_ref())
                .map(Day::last),
        };
        return (used, vec![flag]);
    };
    let mut flags = Vec::new();
    let checked = check.date.as_ref().map(Day::last);
    if let (Some(every), Some(checked)) = (pump.kind.volume_check_every, checked) {
        let days = f64::from(
            checked
                .duration_until(date)
                .as_hours()
                .try_into()
                .unwrap_or(i32::MAX),
        ) / 24.0;
        // A year is 365 days on one calendar and 366 on another; a check is not overdue on its anniversary.
        if every.days() + 1.0 < days {
            flags.push(RecordFlag::PumpVolumeCheckOverdue {
                pump: id(),
                checked,
                days,
            });
        }
    }
    let volumes: Vec<f64> = pump
        .last_volume_checks(date)
        .iter()
        .filter_map(|check| check.volume.as_ref())
        .map(|volume| volume.value().millilitres())
        .collect();
    let used = PumpUsed {
        spread: StrokeSpread::of(&volumes),
        spread_checked: checked,
        ..used
    };
    if let (Some(volume), Some(mean)) = (&check.volume, stroke_spread::mean(&volumes)) {
        let off = mean / pump.kind.stroke.millilitres() - 1.0;
        if !pump.kind.tolerates(off) {
            let found = if volumes.len() < 2 {
                VolumeFound::Once(volume.text().to_owned())
            } else {
                VolumeFound::Mean(mean)
            };
            flags.push(RecordFlag::PumpVolumeOutOfTolerance {
                pump: id(),
                found: found.clone(),
                off,
            });
            let used = PumpUsed {
                volume_half_width: off.abs(),
                origin: VolumeOrigin::VolumeCheck(found),
                ..used
            };
            return (used, flags);
        }
    }
    (used, flags)
}

impl PumpUsed {
    /// The pump with twice the tolerance of its kind, if no volume check in time is on record, as the flags have it.
    pub(crate) fn widened(self, flags: &[RecordFlag]) -> Self {
        let unchecked = flags.iter().any(|flag| {
            matches!(
                flag,
                RecordFlag::PumpVolumeCheckMissing { .. }
                    | RecordFlag::PumpVolumeCheckOverdue { .. }
            )
        });
        if !unchecked {
            return self;
        }
        let of_kind = self
            .pump
            .as_ref()
            .map_or(0.0, |pump| pump.kind.volume_tolerance);
        let twice = UNCHECKED * of_kind;
        if twice <= self.volume_half_width {
            return self;
        }
        Self {
            volume_half_width: twice,
            origin: VolumeOrigin::PumpKindTwice,
            ..self
        }
    }
}

/// Doubts about box, leak test, sheet and other gases.
pub(crate) fn record(book: &Book, entry: &TubeEntry, reading: &WrittenReading) -> Vec<RecordFlag> {
    let date = reading.at.as_ref().map(Moment::date);
    let stand_ins = StandIns::of(book, entry, reading);
    let expired =
        |expires: &Day| Some((expires.clone(), date.filter(|date| expires.last() < *date)?));
    let expiry = match (&reading.expires, &stand_ins.tube) {
        (Some(expires), _) => expired(expires).map(|(expires, read)| RecordFlag::LotExpired {
            expires,
            read,
            in_stock: None,
        }),
        (None, Some(stock)) => Some(match stock.expires().and_then(expired) {
            Some((expires, read)) => RecordFlag::LotExpired {
                expires,
                read,
                in_stock: Some(stock.clone()),
            },
            None => RecordFlag::ExpiryInStock(stock.clone()),
        }),
        (None, None) => Some(RecordFlag::ExpiryMissing),
    };
    let pre_tube = entry.pre_tube().and_then(|pre_tube| {
        let name = pre_tube.name.as_deref().unwrap_or("the pre-tube");
        let name = name.to_owned();
        let separate = pre_tube.form == Some(PreTubeForm::SeparateTube);
        let used = reading.pre_tube.as_ref();
        if separate && used.is_none() {
            return Some(RecordFlag::PreTubeMissing { name });
        }
        if pre_tube.has_own_expiry != Some(true) {
            return None;
        }
        let stated = used.and_then(|used| used.expires.as_ref());
        let in_stock = stand_ins.pre_tube.clone();
        let of_stock = in_stock.as_ref().and_then(BoxInStock::expires);
        let Some(expires) = stated.or(of_stock) else {
            return Some(RecordFlag::PreTubeExpiryMissing { name });
        };
        match (expired(expires), in_stock.clone()) {
            (Some((expires, read)), in_stock) => Some(RecordFlag::PreTubeExpired {
                name,
                expires,
                read,
                in_stock,
            }),
            (None, in_stock) => in_stock.map(RecordFlag::ExpiryInStock),
        }
    });
    let storage = entry.storage();
    let stored_cold = storage.and_then(|storage| storage.bring_to_ambient) == Some(true);
    let withdrawn = entry.withdrawn.as_ref().and_then(|withdrawn| {
        let since = withdrawn.since.as_ref();
        date.is_none_or(|date| since.is_none_or(|since| since.first() <= date))
            .then(|| RecordFlag::SheetWithdrawn {
                since: since.cloned(),
                because: withdrawn.because.clone(),
            })
    });
    [
        date.is_none().then_some(RecordFlag::DateMissing),
        lot(entry, reading),
        expiry,
        leak_test(book, reading, date),
        pre_tube,
        (stored_cold && reading.brought_to_ambient != Some(true)).then_some(RecordFlag::ColdTube),
        (reading.present.is_empty() && reading.interferents.is_none())
            .then_some(RecordFlag::OtherGasesNotStated),
        entry
            .verified
            .is_none()
            .then_some(RecordFlag::SheetNotVerified),
        withdrawn,
    ]
    .into_iter()
    .flatten()
    .chain(instructions_not_kept(entry, reading))
    .chain(preparations::flags(entry, reading, date))
    .collect()
}

/// A pre-tube that lasts for a number of strokes; of air whose humidity is not known, or of another kind, the damp one is taken.
pub(crate) fn spent_pre_tube(
    entry: &TubeEntry,
    reading: &WrittenReading,
    place: &AirAtPlace,
) -> Option<RecordFlag> {
    let celsius = place
        .air
        .map_or(f64::NAN, stainbook_core::Temperature::celsius);
    preparations::pre_tube(entry, reading, |above| {
        let unit = above.base_unit();
        let at = place
            .humidity
            .map_or(f64::NAN, |at| StatedHumidity::of(at).in_unit(unit, celsius));
        at.is_nan() || above.in_unit(unit) < at
    })
}

/// Instructions that were not kept, by what the sheet says of that: where it says nothing the stain may be too short.
fn instructions_not_kept(entry: &TubeEntry, reading: &WrittenReading) -> Vec<RecordFlag> {
    use ReadsIfNotKept::{AsItShould, EitherWay, TooHigh, TooLow};
    let outside = preparations::time_to_read(entry, reading);
    let rows = || {
        let draw = entry.draw.iter();
        draw.flat_map(|draw| &draw.if_not_kept)
    };
    let read = |wanted: &[ReadsIfNotKept]| -> Vec<Instruction> {
        let so = |instruction: &Instruction| {
            let mut said = rows()
                .filter(|row| row.instruction == Some(*instruction))
                .filter_map(|row| row.reads)
                .peekable();
            match said.peek() {
                None => wanted.contains(&TooLow),
                Some(_) => said.any(|reads| wanted.contains(&reads)),
            }
        };
        let of_clock = outside.as_ref().map(|_| Instruction::TimeToRead);
        let of_clock = of_clock.filter(|one| !reading.not_kept.contains(one));
        let not_kept = reading.not_kept.iter().copied().chain(of_clock);
        not_kept.filter(so).collect()
    };
    [
        (&[TooLow, EitherWay][..], MayRead::TooLow),
        (&[TooHigh, EitherWay], MayRead::TooHigh),
        (&[AsItShould], MayRead::AsGiven),
    ]
    .into_iter()
    .map(|(wanted, reads)| (read(wanted), reads))
    .filter(|(which, _)| !which.is_empty())
    .map(|(which, reads)| RecordFlag::InstructionsNotKept {
        time: outside
            .clone()
            .filter(|_| which.contains(&Instruction::TimeToRead)),
        which,
        reads,
    })
    .collect()
}

/// A lot that is not of the sheet at all was refused when the sheet was chosen; where the sheet names none there is nothing to
/// place it by.
fn lot(entry: &TubeEntry, reading: &WrittenReading) -> Option<RecordFlag> {
    let lots = entry.lots()?;
    let Some(lot) = &reading.lot else {
        return Some(RecordFlag::LotMissing);
    };
    (!lots.contains_as_spelt(lot)).then(|| RecordFlag::LotNotComparable {
        lot: lot.clone(),
        lots: lots.text().to_owned(),
    })
}

/// A leak test of the same day in the pump's own record counts as well; of two that contradict each other the one that leaked.
fn leak_test(book: &Book, reading: &WrittenReading, date: Option<Date>) -> Option<RecordFlag> {
    let on_record = || {
        let tests = &book.pump(reading.pump.as_deref()?)?.leak_tests;
        let same_day = |day: &Day| Some(day.first()) == date && Some(day.last()) == date;
        tests
            .iter()
            .rfind(|test| test.date.as_ref().is_some_and(same_day))?
            .result
    };
    let tests = [reading.leak_test, on_record()];
    if tests.contains(&Some(LeakTest::Leaked)) {
        return Some(RecordFlag::LeakTestFailed);
    }
    (!tests.contains(&Some(LeakTest::Held))).then_some(RecordFlag::LeakTestMissing)
}
