//! Blanks: tubes treated like the others and drawn in clean air. One that stains makes the readings of its lot doubtful.

use stainbook_catalog::written::{Observation, Reading};

use super::GroupInputs;
use super::bounds::Bounds;
use super::method::GroupMethod;
use super::result::{GroupResult, GroupStatus, Member};
use crate::evaluated::Evaluated;
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::result::Status;

/// Result of each blank, and the flags that the readings of its lot get from it.
pub(super) fn all(taken: &GroupInputs<'_>, results: &mut [Evaluated<'_>]) -> Vec<GroupResult> {
    let blanks: Vec<(usize, &Reading)> = taken
        .readings
        .iter()
        .enumerate()
        .filter_map(|(index, reading)| Some((index, (*reading)?)))
        .filter(|(_, reading)| reading.blank == Some(true))
        .collect();
    blanks
        .into_iter()
        .map(|(index, reading)| blank(index, reading, taken, results))
        .collect()
}

fn blank(
    index: usize,
    reading: &Reading,
    taken: &GroupInputs<'_>,
    results: &mut [Evaluated<'_>],
) -> GroupResult {
    let Some(own) = results.get_mut(index) else {
        return GroupResult::empty("", GroupMethod::Blank);
    };
    own.compare_with_none();
    own.stated_by_others.push(Statement::new(
        Code::Blank,
        "A blank, drawn in clean air: it is not compared with limits.",
    ));
    let mut together = GroupResult::empty(&own.id, GroupMethod::Blank);
    let lot = reading.lot.as_deref();
    let of_lot = lot.map_or_else(|| "without a lot".to_owned(), |lot| format!("of lot {lot}"));
    let tube = own.record.sheet.as_ref().map_or_else(
        || reading.tube.clone().unwrap_or_default(),
        |sheet| sheet.name.clone(),
    );
    together.what = format!("blank for {tube} {of_lot}");
    together.substance.clone_from(&own.record.substance);
    if let Some(refusal) = own.refusal() {
        together.refusal = Some(Refusal::new(
            Code::ReadingRefused,
            format!("the blank has no result: {}", refusal.text),
            refusal.remedy,
        ));
        return together;
    }
    if let Some(ends) = Bounds::of(own, reading) {
        super::put(&mut together, &ends, "ppm");
    }
    together.status = match own.status() {
        Status::Measured => GroupStatus::Measured,
        Status::LessThan => GroupStatus::LessThan,
        Status::MoreThan | Status::Refused => GroupStatus::MoreThan,
    };
    let stained = is_stained(reading);
    let own_sheet = own.sheet_id().map(str::to_owned);
    let shown = words(own);
    let own_id = own.id.clone();
    let flag = Flag::new(
        Code::BlankStained,
        format!(
            "blank {own_id} {of_lot}, drawn in clean air, showed a stain ({shown}): this reading may be too high by as much"
        ),
    );
    for (result, other) in results.iter_mut().zip(&taken.readings) {
        let Some(other) = other else { continue };
        let same = other.blank != Some(true)
            && other.lot.as_deref() == lot
            && own_sheet.is_some()
            && result.sheet_id() == own_sheet.as_deref();
        if !same {
            continue;
        }
        together.of.push(Member {
            id: result.id.clone(),
            substance: result.record.substance.as_ref().map(|gas| gas.id.clone()),
            status: result.status(),
            ends: Bounds::of(result, other).unwrap_or_default().numbers(),
            minutes: None,
            limit: None,
            share: None,
        });
        if stained && result.status() != Status::Refused {
            result.doubt(flag.clone());
        }
    }
    if stained {
        together.flags.push(Flag::new(
            Code::BlankStained,
            format!("the blank showed a stain ({shown}): the tubes, the pump or the air that was taken for clean are not; the readings of this lot are flagged, and nothing is taken off them"),
        ));
    } else {
        together
            .statements
            .push(Statement::new(Code::BlankClean, "The blank did not stain."));
    }
    together
}

fn is_stained(reading: &Reading) -> bool {
    reading
        .reading
        .as_ref()
        .is_some_and(|seen| seen.seen != Some(Observation::NoStain))
}

fn words(blank: &Evaluated<'_>) -> String {
    let Some(out) = blank.worked_out() else {
        return String::new();
    };
    let amount = crate::words::amount(out);
    let bound = match blank.status() {
        Status::LessThan => "less than ",
        Status::MoreThan => "more than ",
        Status::Measured | Status::Refused => "",
    };
    format!("{bound}{} {}", amount.text, amount.unit)
}
