//! Preparations that a leaflet asks for, and what keeps for a time only: an opened box, a pre-tube, the stain itself.

use jiff::civil::Date;
use stainbook_catalog::written::tube::BreakAmpoule;
use stainbook_catalog::written::{Preparation, Reading, TubeEntry};
use stainbook_core::print;

use crate::evaluated::record_flag::RecordFlag;

/// Doubts about preparation, box and tube.
pub(super) fn flags(
    entry: &TubeEntry,
    reading: &Reading,
    date: Option<Date>,
) -> impl Iterator<Item = RecordFlag> {
    [
        preparation(entry, reading),
        opened(entry, reading, date),
        used_before(entry, reading),
        manufactured(entry, reading),
        erratum(entry, reading),
    ]
    .into_iter()
    .flatten()
}

/// Preparations that are asked for and not on record.
fn preparation(entry: &TubeEntry, reading: &Reading) -> Option<RecordFlag> {
    let flush = entry.draw.as_ref().is_some_and(|draw| draw.flush.is_some());
    let before = entry.before_use.as_ref();
    let joined = before.is_some_and(|before| 1 < before.joined.len());
    let ampoule: Option<BreakAmpoule> = before.and_then(|before| before.break_ampoule);
    let which: Vec<Preparation> = [
        (flush, Preparation::Flushed),
        (joined, Preparation::TubesJoined),
        (ampoule.is_some(), Preparation::AmpouleBroken),
    ]
    .into_iter()
    .filter(|(asked, one)| *asked && !reading.done.contains(one))
    .map(|(_, one)| one)
    .collect();
    (!which.is_empty()).then_some(RecordFlag::PreparationMissing { which })
}

/// A box that was opened longer ago than it keeps.
fn opened(entry: &TubeEntry, reading: &Reading, date: Option<Date>) -> Option<RecordFlag> {
    let keeps = entry.storage()?.opened_keeps.as_ref()?;
    let Some(opened) = &reading.opened else {
        return Some(RecordFlag::OpenedMissing {
            keeps: keeps.text().to_owned(),
        });
    };
    let read = date?;
    // Of a month that is named the first day counts: the box may have been opened then.
    let hours = opened.first().duration_until(read).as_hours();
    let days = f64::from(i32::try_from(hours).unwrap_or(i32::MAX)) / 24.0;
    (keeps.value().days() < days).then(|| RecordFlag::OpenedTooLong {
        opened: opened.clone(),
        keeps: keeps.text().to_owned(),
        read,
    })
}

/// A tube that was drawn through before.
fn used_before(entry: &TubeEntry, reading: &Reading) -> Option<RecordFlag> {
    let allowed = entry
        .storage()
        .and_then(|storage| storage.reuse_if_no_stain);
    (reading.used_before == Some(true) && allowed != Some(true)).then_some(RecordFlag::UsedBefore)
}

/// A box that was not made when the leaflet holds for.
fn manufactured(entry: &TubeEntry, reading: &Reading) -> Option<RecordFlag> {
    let span = entry.leaflet.as_ref()?.manufactured.as_ref()?;
    let leaflet = span.text().to_owned();
    let Some(made) = &reading.manufactured else {
        return Some(RecordFlag::ManufactureDateMissing { leaflet });
    };
    (!span.contains(made)).then(|| RecordFlag::ManufacturedOutside {
        made: made.clone(),
        leaflet,
    })
}

/// An erratum for the lot; of a lot that is not known it may hold.
fn erratum(entry: &TubeEntry, reading: &Reading) -> Option<RecordFlag> {
    let errata = &entry.leaflet.as_ref()?.errata;
    let holds = |lots: &stainbook_catalog::written::Lots| {
        reading.lot.as_deref().is_none_or(|lot| lots.contains(lot))
    };
    let erratum = errata
        .iter()
        .find(|erratum| erratum.lots.as_ref().is_none_or(holds))?;
    Some(RecordFlag::ErratumForLot {
        lots: erratum
            .lots
            .as_ref()
            .map_or("?", |lots| lots.text())
            .to_owned(),
        says: erratum.says.clone().unwrap_or_default(),
    })
}

/// A reading before or after its time, in words; nothing if it was in time, or nobody says.
pub(super) fn time_to_read(entry: &TubeEntry, reading: &Reading) -> Option<String> {
    let after = reading.read_after.as_ref()?;
    let read = entry.read.as_ref()?;
    let seconds = after.value().seconds();
    let early = read
        .wait
        .as_ref()
        .filter(|wait| seconds < wait.value().seconds())
        .map(|wait| format!("wait {}", wait.text()));
    let late = || {
        let within = read.within.as_ref();
        within
            .filter(|within| within.value().seconds() < seconds)
            .map(|within| format!("read within {}", within.text()))
    };
    let faded = || {
        let fades = read.colour_fades_after.as_ref();
        fades
            .filter(|fades| fades.value().seconds() < seconds)
            .map(|fades| format!("the colour fades after {}", fades.text()))
    };
    let asked = early.or_else(late).or_else(faded)?;
    Some(format!("read after {}; {asked}", after.text()))
}

/// A pre-tube that lasts for a number of strokes, at the humidity in %RH if that is known.
pub(super) fn pre_tube(
    entry: &TubeEntry,
    reading: &Reading,
    is_damper: impl Fn(stainbook_core::Humidity) -> bool,
) -> Option<RecordFlag> {
    let pre_tube = entry.pre_tube()?;
    let lasts = pre_tube.spent_after.as_ref().map(|strokes| strokes.value());
    let damp = pre_tube.spent_after_in_damp.as_ref();
    let in_damp = damp.and_then(|damp| {
        let is_damp = damp
            .above
            .as_ref()
            .is_none_or(|above| is_damper(above.value()));
        damp.strokes.as_ref().filter(|_| is_damp).map(|n| n.value())
    });
    let lasts_for = in_damp.or(lasts)?;
    let name = pre_tube
        .name
        .as_deref()
        .unwrap_or("the pre-tube")
        .to_owned();
    let drawn = reading.strokes.as_ref()?.value();
    let flush = entry.draw.as_ref().and_then(|draw| draw.flush.as_ref());
    let flush = flush.and_then(|flush| flush.strokes.as_ref());
    let drawn = drawn + flush.map_or(0.0, |strokes| strokes.value());
    let used = reading.pre_tube.as_ref();
    let before = used.and_then(|used| used.strokes_before.as_ref());
    let strokes = drawn + before.map_or(0.0, |before| before.value());
    if lasts_for < strokes - 1e-6 {
        return Some(RecordFlag::PreTubeSpent {
            name,
            strokes: print::rounded(strokes, 6),
            lasts: lasts_for,
            in_damp: in_damp.is_some(),
        });
    }
    before
        .is_none()
        .then_some(RecordFlag::PreTubeUseMissing { name })
}
