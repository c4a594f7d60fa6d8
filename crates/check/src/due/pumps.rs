//! Pumps whose checks are overdue, failed or missing.

use stainbook_catalog::model::Pump;
use stainbook_catalog::written::Day;
use stainbook_catalog::{Book, Entry, WrittenEntry};

use super::{DueItem, DueKind, DueState, DueWhen, file_of, item_id};
use crate::pump_record::{PumpCheck, leaked, next_checks, out_of_tolerance};
use crate::words;

/// A pump that was withdrawn is nobody's concern.
pub(super) fn add(book: &Book, entry: &Entry, when: DueWhen, items: &mut Vec<DueItem>) {
    let WrittenEntry::Pump(written) = &entry.written else {
        return;
    };
    let gone = written.withdrawn.as_ref();
    if gone.is_some_and(|gone| gone.first() <= when.as_of) {
        return;
    }
    let Some(pump) = written
        .pump
        .as_deref()
        .and_then(|id| book.pump_model(id).ok())
    else {
        return;
    };
    let item = |what, state, day: Option<String>, text: String, remedy: &str| DueItem {
        state,
        what,
        id: item_id(what, &[&pump.id]),
        about: pump.id.clone(),
        day,
        text,
        remedy: remedy.to_owned(),
        file: file_of(entry),
    };
    for (check, what) in [
        (PumpCheck::Volume, DueKind::VolumeCheck),
        (PumpCheck::LeakTest, DueKind::LeakTest),
    ] {
        if let Some((day, text)) = failed(&pump, check, when) {
            let remedy =
                "have it mended, and check it again; until then it is not to be used".to_owned();
            items.push(item(what, DueState::Failed, day, text, &remedy));
            continue;
        }
        let next = next_checks(&pump, when.as_of)
            .into_iter()
            .find(|next| next.check == check);
        if let Some(next) = next {
            if let Some(state) = when.state(next.due, DueState::Overdue) {
                let text = format!("the last was on {}", next.last);
                let day = Some(next.due.to_string());
                items.push(item(
                    what,
                    state,
                    day,
                    text,
                    "check it, and write the check down",
                ));
            }
            continue;
        }
        if let Some(text) = missing(&pump, check, when) {
            let remedy =
                "check it, and write the check down; until then its stroke counts as unchecked";
            items.push(item(what, DueState::Missing, None, text, remedy));
        }
    }
}

/// The check that failed, if the last one that counts did.
fn failed(pump: &Pump, check: PumpCheck, when: DueWhen) -> Option<(Option<String>, String)> {
    match check {
        PumpCheck::Volume => {
            let off = out_of_tolerance(pump, when.as_of)?;
            let last = pump.last_volume_check(when.as_of)?;
            let day = last.date.as_ref().map(|day| day.last().to_string());
            let text = format!(
                "the last found a stroke {} too {}, {} is tolerated",
                words::percent(off.abs()),
                if off < 0.0 { "small" } else { "large" },
                words::percent(pump.kind.volume_tolerance)
            );
            Some((day, text))
        }
        PumpCheck::LeakTest => {
            let day = leaked(pump, when.as_of)?;
            let text = "it leaked in the last, and no test since held".to_owned();
            Some((Some(day.last().to_string()), text))
        }
    }
}

/// The reason for which a check is missed: there is none since the last repair, or none at all where the kind asks for it.
fn missing(pump: &Pump, check: PumpCheck, when: DueWhen) -> Option<String> {
    let (last, every) = match check {
        PumpCheck::Volume => (
            pump.last_volume_check(when.as_of).is_some(),
            pump.kind.volume_check_every,
        ),
        PumpCheck::LeakTest => (
            pump.last_leak_test(when.as_of).is_some(),
            pump.kind.leak_test_every,
        ),
    };
    if last {
        return None;
    }
    let repaired = pump.last_repair(when.as_of);
    if let Some(repaired) = repaired.and_then(|repair| repair.date.as_ref()) {
        return Some(format!("none since the repair of {}", Day::text(repaired)));
    }
    every.map(|_| "none is on record".to_owned())
}
