//! Doubts about record, preparation and air, in words.

use serde_json::Value;
use stainbook_catalog::written::{Amendment, Atmosphere, Day};
use stainbook_core::print;

use super::{humidity, volume_found};
use crate::air::celsius;
use crate::defaults;
use crate::evaluated::record_flag::RecordFlag;
use crate::facts::typed;
use crate::outcome::{Flag, MayRead};
use crate::stain::strokes_words;
use crate::stock::BoxInStock;

/// A doubt in words.
pub(crate) fn flag(raised: &RecordFlag) -> Flag {
    Flag::new(raised.code(), words(raised))
}

fn words(raised: &RecordFlag) -> String {
    match raised {
        RecordFlag::Amended(amendment) => amended(amendment),
        RecordFlag::AmendedBeforeRead { changed, read } => format!("the change is dated {changed}, before the reading itself ({read})"),
        RecordFlag::AmendmentUnsigned(amendment) => {
            let missing = [
                (amendment.by.is_none(), "who changed it"),
                (amendment.at.is_none(), "when"),
                (amendment.because.is_none(), "why"),
            ];
            let missing: Vec<&str> = missing
                .into_iter()
                .filter_map(|(missing, what)| missing.then_some(what))
                .collect();
            format!("the reading was changed, and it is not recorded {}", missing.join(", "))
        }
        RecordFlag::Assured(assured) => crate::assured::words(assured),
        RecordFlag::AssuredAfterwards(assured) => crate::assured::afterwards(assured),
        RecordFlag::CertaintyUnusable { stated } => format!(
            "the survey asks for a certainty of `{stated}`; it has to be more than 50 % and less than 100 %, and {} was used",
            print::percent(1.0 - defaults::GUARD, 4)
        ),
        RecordFlag::ColdTube => "the box is stored cold, and it is not recorded that the tube had come to the temperature of the place".to_owned(),
        RecordFlag::ColumnTemperatureAssumed(assumed) => format!("the sea-level pressure was brought to the altitude with an assumed {}, the standard atmosphere's there, as no air temperature is stated", celsius(*assumed)),
        RecordFlag::CorrectionAtAnotherHumidity(axis) => format!(
            "the leaflet states its correction for {} at one humidity only, and the air is not known to be at that",
            axis.name()
        ),
        RecordFlag::CorrectionNotStated(axis) => {
            let what = axis.name();
            format!("the leaflet says nothing of a correction for {what}; none was made")
        }
        RecordFlag::DateMissing => "no date is recorded: expiry and checks cannot be judged".to_owned(),
        RecordFlag::ExpiryInStock(stock) => format!(
            "no expiry is recorded; the box of that lot in stock, `{}`, says {}",
            stock.id(),
            stock.expires().map_or("", Day::text)
        ),
        RecordFlag::ExpiryMissing => "no expiry of the tube is recorded".to_owned(),
        RecordFlag::GroupExpressedAs { group, substance } => format!("the tube answers to the group {group} together; the result is their total stated as {substance}, in ppm and in mg/m³ alike"),
        RecordFlag::HumidityMissing => "no humidity is stated: whether the air was within the range in which the tube works cannot be seen".to_owned(),
        RecordFlag::HumidityNotComparable => "whether the humidity is within the range in which the tube works cannot be seen without the air temperature".to_owned(),
        RecordFlag::IdRepeated => "another reading of the survey has the same `id`".to_owned(),
        RecordFlag::InstructionsNotKept { which, reads, time } => format!(
            "of what the leaflet asks for was not kept: {}{}; {}",
            super::list(which.iter().map(|one| one.name().to_owned()), ", "),
            time.as_ref().map_or_else(String::new, |time| format!(" ({time})")),
            match reads {
                MayRead::TooHigh => "it says that the tube then reads too high",
                MayRead::AsGiven => "it says that the tube then reads as it should",
                MayRead::TooLow | MayRead::EitherWay =>
                    "the stain may be too short for the air that was there",
            }
        ),
        RecordFlag::PreparationMissing { which } => format!(
            "the leaflet asks for it, and it is not recorded: {}",
            super::list(which.iter().map(|one| one.name().to_owned()), ", ")
        ),
        RecordFlag::PreTubeSpent {
            name,
            strokes,
            lasts,
            in_damp,
        } => format!(
            "{name} lasts for {}{}, and {} went through it",
            strokes_words(*lasts),
            if *in_damp { " in air so damp" } else { "" },
            strokes_words(*strokes)
        ),
        RecordFlag::PreTubeUseMissing { name } => format!("{name} lasts for a number of strokes, and how many went through it before is not recorded"),
        RecordFlag::OpenedMissing { keeps } => format!("an opened box keeps {keeps}, and when it was opened is not recorded"),
        RecordFlag::OpenedTooLong {
            opened,
            keeps,
            read,
        } => format!("an opened box keeps {keeps}; it was opened {} and the tube read on {read}", opened.text()),
        RecordFlag::UsedBefore => "the tube had been drawn through before, which the leaflet does not allow".to_owned(),
        RecordFlag::ManufactureDateMissing { leaflet } => format!("the leaflet belongs to tubes made {leaflet}, and no date of manufacture is recorded"),
        RecordFlag::ManufacturedOutside { made, leaflet } => format!("the leaflet belongs to tubes made {leaflet}, and this one was made {}", made.text()),
        RecordFlag::ErratumForLot { lots, says } => format!("the maker has corrected the leaflet for lots {lots}: {says}; it is not worked in"),
        RecordFlag::OutsideUsableAir { atmosphere } => format!("the tube works in air only, and was used in {}", match atmosphere {
            Atmosphere::Air => "air",
            Atmosphere::OxygenDeficient => "air that is short of oxygen",
            Atmosphere::InertGas => "an inert gas",
        }),
        RecordFlag::LeakTestFailed => "the pump did not hold in the leak test: too little air may have gone through the tube, and the result may be too low".to_owned(),
        RecordFlag::LeakTestMissing => "no leak test is recorded for this series: a leaking pump draws too little through the tube and reads low".to_owned(),
        RecordFlag::LotExpired { expires, read, in_stock } => format!("the tube had expired on the day of the reading ({}, read on {read})", expiry(expires, in_stock.as_ref())),
        RecordFlag::LotMissing => "no lot is recorded: whether the leaflet belongs to the box cannot be seen".to_owned(),
        RecordFlag::LotNotComparable { lot, lots } => format!("lot `{lot}` is not spelt as those of the sheet, `{lots}`: whether the leaflet belongs to the box cannot be seen"),
        RecordFlag::OtherGasesNotStated => "nothing is said about other gases in this air: list them under `present`, or write `other_gases: none known` once somebody has asked".to_owned(),
        RecordFlag::OutsideUsableHumidity { at, usable } => format!(
            "{} is outside the range in which the tube works, {} to {}",
            humidity(*at),
            humidity(usable.0),
            humidity(usable.1)
        ),
        RecordFlag::OutsideUsableTemperature { at, usable } => format!(
            "{} is outside the range in which the tube works, {} to {}",
            celsius(*at),
            celsius(usable.0),
            celsius(usable.1)
        ),
        RecordFlag::PreTubeExpired { name, expires, read, in_stock } => format!("{name} had expired on the day of the reading ({}, read on {read})", expiry(expires, in_stock.as_ref())),
        RecordFlag::PreTubeExpiryMissing { name } => format!("no expiry of {name} is recorded"),
        RecordFlag::PreTubeMissing { name } => format!("the sheet asks for {name} before the tube, and none is recorded"),
        RecordFlag::PumpMissing => "no pump is recorded: whether the tube was used with its own pump cannot be seen".to_owned(),
        RecordFlag::PumpNotAllowed { pump, kind, allowed } => {
            let allowed: Vec<String> = allowed.iter().map(|kind| format!("`{kind}`")).collect();
            format!("pump `{pump}` is of the kind {kind}; the tube is calibrated with {}, and pumps and tubes are not mixed unless they were tested together", allowed.join(" or "))
        }
        RecordFlag::PumpUnknown { pump, why } => format!("pump `{pump}` cannot be looked up ({why}); its kind and checks are not known"),
        RecordFlag::PumpVolumeCheckMissing { pump, repaired } => format!(
            "no volume check of pump `{pump}` {}before this reading is on record; the tolerance of its volume is taken as twice as wide",
            repaired.map(|day| format!("since its repair on {day} and ")).unwrap_or_default()
        ),
        RecordFlag::PumpVolumeCheckOverdue { pump, checked, days } => format!(
            "the last volume check of pump `{pump}` was on {checked}, {} days before this reading; the tolerance of its volume is taken as twice as wide",
            print::number(days.floor())
        ),
        RecordFlag::PumpVolumeOutOfTolerance { pump, found, off } => format!(
            "the last volume check of pump `{pump}` found {}, {} too {}: the tube may have read too {}; the result is not corrected for it, its uncertainty is widened",
            volume_found(found),
            print::percent(off.abs(), 1),
            if *off < 0.0 { "small" } else { "large" },
            if *off < 0.0 { "low" } else { "high" }
        ),
        RecordFlag::PumpWithdrawn { pump } => format!("pump `{pump}` was withdrawn from use before this reading"),
        RecordFlag::SeaLevelPressureWithoutAltitude => "a sea-level pressure says nothing about the place without the altitude; it was not used".to_owned(),
        RecordFlag::SheetHasErrors => "the checker found errors in the sheet, and the result was asked for nevertheless".to_owned(),
        RecordFlag::SheetNotVerified => "one person only has read the leaflet: the sheet was not verified".to_owned(),
        RecordFlag::SheetWithdrawn { since, because } => {
            let since = since.as_ref().map(|since| format!(" since {}", since.text()));
            format!(
                "the sheet must not be used any more{}: {}",
                since.unwrap_or_default(),
                because.as_deref().unwrap_or("no reason is given")
            )
        }
        RecordFlag::TemperatureMissing { usable } => format!(
            "no temperature is stated: whether the tube was used between {} to {} cannot be seen",
            celsius(usable.0),
            celsius(usable.1)
        ),
        RecordFlag::TubeTemperatureDiffers { tube, air } => format!(
            "the tube was at {} in air of {}; the corrections are taken at the tube's temperature, and the air that passed through may have changed it",
            celsius(*tube),
            celsius(*air)
        ),
    }
}

/// `2026-04`, with the box in stock that says so.
fn expiry(expires: &Day, in_stock: Option<&BoxInStock>) -> String {
    let said = in_stock.map(|stock| format!(" as the box in stock `{}` says", stock.id()));
    format!("{}{}", expires.text(), said.unwrap_or_default())
}

fn amended(amendment: &Amendment) -> String {
    let was = typed(&amendment.was);
    let mut fields = Vec::new();
    said("", &was, &mut fields);
    // In the same order whatever the map keeps.
    fields.sort();
    let by = amendment.by.as_ref().map(|by| format!("; by {by}"));
    let at = amendment.at.as_ref().map(|at| format!(" on {}", at.text()));
    let because = amendment
        .because
        .as_ref()
        .map(|because| format!(", because {because}"));
    format!(
        "changed afterwards: before, {}{}{}{}",
        fields.join(", "),
        by.unwrap_or_default(),
        at.unwrap_or_default(),
        because.unwrap_or_default()
    )
}

/// `strokes 2`, `reading at 3 ppm`.
fn said(name: &str, value: &Value, fields: &mut Vec<String>) {
    match value {
        Value::Object(inner) => {
            for (key, value) in inner {
                let key = key.replace('_', " ");
                let name = if name.is_empty() {
                    key
                } else {
                    format!("{name} {key}")
                };
                said(&name, value, fields);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| said(name, item, fields)),
        Value::String(text) => fields.push(format!("{name} {text}")),
        Value::Number(number) => fields.push(format!(
            "{name} {}",
            print::number(number.as_f64().unwrap_or(f64::NAN))
        )),
        Value::Bool(yes) => fields.push(format!("{name} {}", if *yes { "yes" } else { "no" })),
        Value::Null => {}
    }
}
