//! The steps before the air is drawn, as far as they are on record: the checklist of a field record.
//!
//! Nothing is judged here that was not judged before: a step is not well if a flag says so, and on record if the survey or
//! the pump's own record has it.

use stainbook_catalog::Book;
use stainbook_catalog::written::tube::BreakAmpoule;
use stainbook_catalog::written::{Assurable, Day, LeakTest, Moment, Reading, TubeEntry};

use crate::evaluated::record_flag::RecordFlag;
use crate::outcome::Code;
use crate::result::{StepBefore, StepState};
use crate::stain::strokes_words;
use crate::stock::{BoxInStock, StandIns};

/// Flags by which a step is not well, and those by which it is not on record.
struct Marks {
    failed: &'static [Code],
    missing: &'static [Code],
    /// Assurance that may stand in for a record of it.
    assured: Option<Assurable>,
}

const DATE: Marks = Marks {
    failed: &[Code::LotExpired, Code::OpenedTooLong],
    missing: &[Code::ExpiryMissing, Code::DateMissing, Code::OpenedMissing],
    assured: Some(Assurable::Expiry),
};
const PRE_TUBE: Marks = Marks {
    failed: &[Code::PreTubeExpired],
    missing: &[Code::PreTubeMissing, Code::PreTubeExpiryMissing],
    assured: Some(Assurable::PreTubes),
};
const AMBIENT: Marks = Marks {
    failed: &[],
    missing: &[Code::ColdTube],
    assured: Some(Assurable::Storage),
};
const PREPARATION: Marks = Marks {
    failed: &[],
    missing: &[Code::PreparationMissing],
    assured: None,
};
const LEAK_TEST: Marks = Marks {
    failed: &[Code::LeakTestFailed],
    missing: &[Code::LeakTestMissing],
    assured: Some(Assurable::LeakTests),
};
const VOLUME_CHECK: Marks = Marks {
    failed: &[
        Code::PumpVolumeCheckOverdue,
        Code::PumpVolumeTooSmall,
        Code::PumpVolumeTooLarge,
        Code::PumpWithdrawn,
    ],
    missing: &[
        Code::PumpMissing,
        Code::PumpUnknown,
        Code::PumpVolumeCheckMissing,
        Code::DateMissing,
    ],
    assured: Some(Assurable::VolumeChecks),
};

/// The steps in the order of the work.
pub(crate) fn steps(
    book: &Book,
    sheet: &TubeEntry,
    reading: &Reading,
    flags: &[RecordFlag],
) -> Vec<StepBefore> {
    let step = |code: &str, step: &str, marks: &Marks, on_record: Option<String>| {
        let any = |codes: &[Code]| flags.iter().any(|flag| codes.contains(&flag.code()));
        let assured = flags.iter().find_map(|flag| match flag {
            RecordFlag::Assured(one) if one.what.is_some() && one.what == marks.assured => {
                Some(crate::assured::words(one))
            }
            _ => None,
        });
        StepBefore {
            code: code.to_owned(),
            step: step.to_owned(),
            state: if any(marks.failed) {
                StepState::NotWell
            } else if any(marks.missing) {
                StepState::NotOnRecord
            } else {
                StepState::Done
            },
            on_record: assured.or(on_record),
        }
    };
    let date = reading.at.as_ref().map(Moment::date);
    let in_stock = StandIns::of(book, sheet, reading);
    let mut steps = vec![step(
        "date",
        "tube within its date",
        &DATE,
        dated(
            reading.lot.as_deref(),
            reading.expires.as_ref(),
            in_stock.tube.as_ref(),
        ),
    )];
    let before = sheet.before_use.as_ref();
    if let Some(pre_tube) = before.and_then(|before| before.pre_tube.as_ref()) {
        let used = reading.pre_tube.as_ref();
        let name = pre_tube.name.as_deref().unwrap_or("pre-tube");
        steps.push(step(
            "pre-tube",
            &format!("{name} in place and within its date"),
            &PRE_TUBE,
            used.and_then(|used| {
                dated(
                    used.lot.as_deref(),
                    used.expires.as_ref(),
                    in_stock.pre_tube.as_ref(),
                )
            }),
        ));
    }
    let stored_cold = before
        .and_then(|before| before.storage.as_ref())
        .and_then(|storage| storage.bring_to_ambient);
    if stored_cold == Some(true) {
        let done = reading.brought_to_ambient == Some(true);
        steps.push(step(
            "ambient",
            "tube brought to the temperature of the place",
            &AMBIENT,
            done.then(|| "as recorded with the reading".to_owned()),
        ));
    }
    let asked_for = preparations(sheet);
    if !asked_for.is_empty() {
        let done: Vec<&str> = reading.done.iter().map(|one| one.name()).collect();
        steps.push(step(
            "preparation",
            &asked_for.join("; "),
            &PREPARATION,
            (!done.is_empty()).then(|| done.join(", ")),
        ));
    }
    let pump = reading.pump.as_deref().and_then(|id| book.pump(id));
    let leak_test = match reading.leak_test {
        Some(LeakTest::Held) => Some("held".to_owned()),
        Some(LeakTest::Leaked) => Some("leaked".to_owned()),
        Some(LeakTest::NotDone) => Some("not done".to_owned()),
        None => pump
            .into_iter()
            .flat_map(|pump| &pump.leak_tests)
            .rfind(|test| {
                let same_day = |day: &Day| Some(day.first()) == date && Some(day.last()) == date;
                test.date.as_ref().is_some_and(same_day)
            })
            .and_then(|test| Some(format!("{} (pump record)", test.date.as_ref()?.text()))),
    };
    steps.push(step(
        "leak-test",
        "pump leak-tested with an unbroken tube",
        &LEAK_TEST,
        leak_test,
    ));
    let volume_check = reading.pump.as_deref().map(|id| {
        let model = book.pump_model(id).ok();
        let checks = model
            .iter()
            .zip(date)
            .flat_map(|(pump, date)| pump.last_volume_checks(date));
        // Several of one day are repeats, of which all count.
        let found: Vec<(&Day, &str)> = checks
            .filter_map(|check| Some((check.date.as_ref()?, check.volume.as_ref()?.text())))
            .collect();
        match found.first() {
            Some((day, _)) => {
                let volumes: Vec<&str> = found.iter().map(|(_, volume)| *volume).collect();
                format!("{id}: {} on {}", volumes.join(", "), day.text())
            }
            None => id.to_owned(),
        }
    });
    steps.push(step(
        "volume-check",
        "pump volume checked, and not overdue",
        &VOLUME_CHECK,
        volume_check,
    ));
    steps
}

/// Preparations that the leaflet asks for.
fn preparations(sheet: &TubeEntry) -> Vec<String> {
    let mut asked_for = Vec::new();
    if let Some(flush) = sheet.draw.as_ref().and_then(|draw| draw.flush.as_ref()) {
        let strokes = flush
            .strokes
            .as_ref()
            .map_or(1.0, |strokes| strokes.value());
        let because = flush.because.as_ref();
        let because = because.map_or_else(String::new, |because| format!(" ({because})"));
        asked_for.push(format!("{} drawn first{because}", strokes_words(strokes)));
    }
    let Some(before) = &sheet.before_use else {
        return asked_for;
    };
    if 1 < before.joined.len() {
        asked_for.push(format!(
            "joined from the inlet on: {}",
            before.joined.join(", then ")
        ));
    }
    asked_for.extend(before.break_ampoule.map(|when| {
        let when = match when {
            BreakAmpoule::BeforeDrawing => "before drawing",
            BreakAmpoule::AfterDrawing => "after drawing",
        };
        format!("ampoule broken {when}")
    }));
    asked_for
}

/// Lot and expiry as the survey says, or as the box in stock that stands in does.
fn dated(
    lot: Option<&str>,
    expires: Option<&Day>,
    in_stock: Option<&BoxInStock>,
) -> Option<String> {
    let lot = lot.map(|lot| format!("lot {lot}"));
    let expires = match (expires, in_stock) {
        (Some(day), _) => Some(format!("expires {}", day.text())),
        (None, Some(stock)) => stock
            .expires()
            .map(|day| format!("expires {} (box in stock `{}`)", day.text(), stock.id())),
        (None, None) => None,
    };
    let parts: Vec<String> = lot.into_iter().chain(expires).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}
