//! What was done, or not done, before the air was drawn: box, pump, leak test, sheet. All of it flags the result; only
//! what makes the strokes themselves impossible refuses it.

use jiff::civil::Date;
use stainbook_catalog::Book;
use stainbook_catalog::model::{Pump, Tube};
use stainbook_catalog::written::tube::PreTubeForm;
use stainbook_catalog::written::{Day, LeakTest, Moment, Reading as WrittenReading, TubeEntry};
use stainbook_core::print;

use crate::defaults;
use crate::outcome::{Code, Flag, Refusal};
use crate::pointers;

use crate::stroke_spread::{self, StrokeSpread};

/// The pump as far as it is known, with the half width of its stroke volume.
#[derive(Clone, Debug)]
pub(crate) struct PumpUsed {
    /// The pump, if the catalog has it.
    pub(crate) pump: Option<Pump>,
    /// Half the width within which a stroke's volume is known, as a part of it.
    pub(crate) volume_half_width: f64,
    /// Where that figure comes from.
    pub(crate) origin: String,
    /// How much its single strokes differ, if repeated checks are on record.
    pub(crate) spread: Option<StrokeSpread>,
    /// Where that comes from.
    pub(crate) spread_origin: String,
}

/// Looks at the pump.
///
/// # Errors
///
/// A [`Refusal`]: the pump cannot draw half strokes, or its stroke is not the one that the sheet is printed for.
pub(crate) fn pump(
    book: &Book,
    tube: &Tube,
    reading: &WrittenReading,
    strokes: Option<f64>,
    flags: &mut Vec<Flag>,
) -> Result<PumpUsed, Refusal> {
    let unknown = |origin: &str| PumpUsed {
        pump: None,
        volume_half_width: defaults::VOLUME_TOLERANCE,
        spread: None,
        spread_origin: String::new(),
        origin: format!(
            "default: {} (common practice), {origin}",
            print::percent(defaults::VOLUME_TOLERANCE, 1)
        ),
    };
    let Some(id) = &reading.pump else {
        flags.push(Flag::new(
            Code::PumpMissing,
            "no pump is recorded: whether the tube was used with its own pump cannot be seen",
        ));
        return Ok(unknown("as no pump is recorded"));
    };
    let pump = match book.pump_model(id) {
        Ok(pump) => pump,
        Err(error) => {
            flags.push(Flag::new(
                Code::PumpUnknown,
                format!(
                    "pump `{id}` cannot be looked up ({}); its kind and checks are not known",
                    error.message
                ),
            ));
            return Ok(unknown("as the pump is not in the catalog"));
        }
    };
    let kind = &pump.kind;
    if !tube.pump_kinds.contains(&kind.id) {
        flags.push(Flag::new(
            Code::PumpNotAllowed,
            format!(
                "pump `{id}` is of the kind {}; the tube is calibrated with {}, and pumps and tubes are not mixed unless they were tested together",
                kind.name,
                tube.pump_kinds.iter().map(|kind| format!("`{kind}`")).collect::<Vec<_>>().join(" or ")
            ),
        ));
    }
    if strokes.is_some_and(|strokes| (strokes - strokes.round()).abs() > 1e-6) && !kind.half_strokes
    {
        return Err(Refusal::new(
            Code::HalfStrokeImpossible,
            format!(
                "half a stroke is recorded, which pump `{id}` ({}) cannot draw",
                kind.name
            ),
            "look at the number of strokes and the pump again",
        )
        .at(pointers::STROKES));
    }
    let (of_pump, of_sheet) = (kind.stroke.millilitres(), tube.stroke.millilitres());
    if (of_pump - of_sheet).abs() > defaults::SAME_STROKE * of_sheet {
        return Err(Refusal::new(
            Code::StrokeVolumeDiffers,
            format!(
                "a stroke of pump `{id}` is {} mL, the sheet is printed for strokes of {} mL",
                print::number(of_pump),
                print::number(of_sheet)
            ),
            "repeat with a pump that the sheet allows",
        )
        .at(pointers::PUMP));
    }
    let mut used = PumpUsed {
        volume_half_width: kind.volume_tolerance,
        origin: format!(
            "pump kind `{}`, volume_tolerance {}",
            kind.id,
            print::percent(kind.volume_tolerance, 1)
        ),
        pump: None,
        spread: None,
        spread_origin: String::new(),
    };
    if let Some(date) = reading.at.as_ref().map(Moment::date) {
        volume_check(&pump, date, &mut used, flags);
        if pump.withdrawn.is_some_and(|since| since <= date) {
            flags.push(Flag::new(
                Code::PumpWithdrawn,
                format!("pump `{id}` was withdrawn from use before this reading"),
            ));
        }
    }
    used.pump = Some(pump);
    Ok(used)
}

fn volume_check(pump: &Pump, date: Date, used: &mut PumpUsed, flags: &mut Vec<Flag>) {
    let Some(check) = pump.last_volume_check(date) else {
        flags.push(Flag::new(
            Code::PumpVolumeCheckMissing,
            format!(
                "no volume check of pump `{}` before this reading is on record",
                pump.id
            ),
        ));
        return;
    };
    let when = check.date.as_ref().map(Day::last);
    if let (Some(every), Some(when)) = (pump.kind.volume_check_every, when) {
        let days = f64::from(
            when.duration_until(date)
                .as_hours()
                .try_into()
                .unwrap_or(i32::MAX),
        ) / 24.0;
        // A year is 365 days on one calendar and 366 on another; a check is not overdue on its anniversary.
        if every.days() + 1.0 < days {
            flags.push(Flag::new(
                Code::PumpVolumeCheckOverdue,
                format!(
                    "the last volume check of pump `{}` was on {when}, {} days before this reading",
                    pump.id,
                    print::number(days.floor())
                ),
            ));
        }
    }
    let volumes: Vec<f64> = pump
        .last_volume_checks(date)
        .iter()
        .filter_map(|check| check.volume.as_ref())
        .map(|volume| volume.value().millilitres())
        .collect();
    used.spread = StrokeSpread::of(&volumes);
    if let (Some(spread), Some(when)) = (&used.spread, when) {
        used.spread_origin = format!(
            "pump `{}`, {} volume checks on {when}: standard deviation {} of a stroke",
            pump.id,
            volumes.len(),
            print::percent(spread.of_one, 1)
        );
    }
    if let (Some(volume), Some(mean)) = (&check.volume, stroke_spread::mean(&volumes)) {
        let off = mean / pump.kind.stroke.millilitres() - 1.0;
        let found = if volumes.len() < 2 {
            format!("`{}`", volume.text())
        } else {
            format!("a mean of {} mL", print::to_significant(mean, 4))
        };
        if off.abs() > pump.kind.volume_tolerance {
            flags.push(Flag::new(
                Code::PumpVolumeOutOfTolerance,
                format!(
                    "the last volume check of pump `{}` found {found}, {} off; the result is not corrected for it, its uncertainty is widened",
                    pump.id,
                    print::percent(off.abs(), 1)
                ),
            ));
            used.volume_half_width = off.abs();
            used.origin = format!("pump `{}`, volume check: {found}", pump.id);
        }
    }
}

/// Looks at box, leak test and sheet.
pub(crate) fn record(
    book: &Book,
    entry: &TubeEntry,
    reading: &WrittenReading,
    flags: &mut Vec<Flag>,
) {
    let date = reading.at.as_ref().map(Moment::date);
    if date.is_none() {
        flags.push(Flag::new(
            Code::DateMissing,
            "no date is recorded: expiry and checks cannot be judged",
        ));
    }
    if reading.lot.is_none() {
        flags.push(Flag::new(
            Code::LotMissing,
            "no lot is recorded: whether the leaflet belongs to the box cannot be seen",
        ));
    }
    expiry(
        Code::LotExpired,
        Code::ExpiryMissing,
        "the tube",
        reading.expires.as_ref(),
        date,
        flags,
    );
    leak_test(book, reading, date, flags);
    if let Some(pre_tube) = entry.pre_tube() {
        let separate = pre_tube.form == Some(PreTubeForm::SeparateTube);
        let name = pre_tube.name.as_deref().unwrap_or("the pre-tube");
        match &reading.pre_tube {
            None if separate => flags.push(Flag::new(
                Code::PreTubeMissing,
                format!("the sheet asks for {name} before the tube, and none is recorded"),
            )),
            None if pre_tube.has_own_expiry != Some(true) => {}
            used => {
                if pre_tube.has_own_expiry == Some(true) {
                    let expires = used.as_ref().and_then(|used| used.expires.as_ref());
                    expiry(
                        Code::PreTubeExpired,
                        Code::PreTubeExpiryMissing,
                        name,
                        expires,
                        date,
                        flags,
                    );
                }
            }
        }
    }
    let storage = entry.storage();
    if storage.and_then(|storage| storage.bring_to_ambient) == Some(true)
        && reading.brought_to_ambient != Some(true)
    {
        flags.push(Flag::new(
            Code::ColdTube,
            "the box is stored cold, and it is not recorded that the tube had come to the temperature of the place",
        ));
    }
    if entry.verified.is_none() {
        flags.push(Flag::new(
            Code::SheetNotVerified,
            "one person only has read the leaflet: the sheet was not verified",
        ));
    }
    if let Some(withdrawn) = &entry.withdrawn {
        let since = withdrawn.since.as_ref();
        let because = withdrawn.because.as_deref().unwrap_or("no reason is given");
        if date.is_none_or(|date| since.is_none_or(|since| since.first() <= date)) {
            let since = since.map_or(String::new(), |since| format!(" since {}", since.text()));
            flags.push(Flag::new(
                Code::SheetWithdrawn,
                format!("the sheet must not be used any more{since}: {because}"),
            ));
        }
    }
}

fn expiry(
    expired: Code,
    missing: Code,
    what: &str,
    expires: Option<&Day>,
    date: Option<Date>,
    flags: &mut Vec<Flag>,
) {
    match (expires, date) {
        (None, _) => flags.push(Flag::new(
            missing,
            format!("no expiry of {what} is recorded"),
        )),
        (Some(expires), Some(date)) if expires.last() < date => flags.push(Flag::new(
            expired,
            format!(
                "{what} had expired on the day of the reading ({}, read on {date})",
                expires.text()
            ),
        )),
        _ => {}
    }
}

/// A leak test of the same day in the pump's own record counts as well.
fn leak_test(book: &Book, reading: &WrittenReading, date: Option<Date>, flags: &mut Vec<Flag>) {
    let on_record = || {
        let tests = &book.pump(reading.pump.as_deref()?)?.leak_tests;
        let same_day = |day: &Day| Some(day.first()) == date && Some(day.last()) == date;
        tests
            .iter()
            .rfind(|test| test.date.as_ref().is_some_and(same_day))?
            .result
    };
    match reading.leak_test.or_else(on_record) {
        Some(LeakTest::Held) => {}
        Some(LeakTest::Leaked) => flags.push(Flag::new(
            Code::LeakTestFailed,
            "the pump did not hold in the leak test: too little air may have gone through the tube, and the result may be too low",
        )),
        Some(LeakTest::NotDone) | None => flags.push(Flag::new(
            Code::LeakTestMissing,
            "no leak test is recorded for this series: a leaking pump draws too little through the tube and reads low",
        )),
    }
}
