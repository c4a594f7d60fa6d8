//! Refusals of readings before a number is worked out, with their remedies, in words.

use stainbook_core::plausible_air::{SEA_LEVEL_PRESSURE_KPA, STATION_PRESSURE_KPA};
use stainbook_core::print;

use super::{humidity, list};
use crate::air::celsius;
use crate::evaluated::not_prepared::{BoundBesideMark, NotPrepared, OffScale, Side};
use crate::outcome::{Code, Refusal};
use crate::pointers;
use crate::sheet_choice::ListedSheet;
use crate::sheet_errors::{FaultyFile, SheetErrors};
use crate::stain::{same_strokes, strokes_words};

/// The refusal, with the field that is at fault.
pub(crate) fn refusal(why: &NotPrepared) -> Refusal {
    match why {
        NotPrepared::TubeMissing => Refusal::new(
            Code::TubeMissing,
            "the reading does not say which tube was used",
            "write the sheet's short name under `tube`",
        )
        .at(pointers::TUBE),
        NotPrepared::TubeUnknown { tube, near } => Refusal::new(
            Code::TubeUnknown,
            format!("no sheet in the catalog is called `{tube}`"),
            if near.is_empty() {
                "look at the name again, or enter the leaflet as a sheet".to_owned()
            } else {
                format!("did you mean {}?", quoted(near, " or "))
            },
        )
        .at(pointers::TUBE),
        NotPrepared::LeafletUnknown {
            tube,
            leaflet,
            sheets,
        } => Refusal::new(
            Code::LeafletUnknown,
            format!(
                "there is no sheet of `{tube}` for revision {leaflet} of the leaflet; there is {}",
                listed(sheets)
            ),
            "enter the leaflet that lay in the box as a sheet of its own",
        )
        .at(pointers::LEAFLET),
        NotPrepared::LotOfOtherRevisions {
            lot,
            leaflet,
            revisions,
        } => Refusal::new(
            Code::LotAndLeafletDisagree,
            format!(
                "lot `{lot}` does not belong to revision {leaflet} of the leaflet but to {}",
                listed(revisions)
            ),
            "look at the box and its leaflet again and correct the one that is wrong",
        )
        .at(pointers::LOT),
        NotPrepared::LotWithoutSheet { lot, tube, sheets } => Refusal::new(
            Code::LotWithoutSheet,
            format!(
                "lot `{lot}` belongs to none of the sheets of `{tube}`: {}",
                listed(sheets)
            ),
            "look at the lot again; if it is right, enter the leaflet from its box as a sheet",
        )
        .at(pointers::LOT),
        NotPrepared::SheetAmbiguous {
            tube,
            sheets,
            lot_missing,
        } => Refusal::new(
            Code::SheetAmbiguous,
            format!(
                "more than one sheet could be meant by `{tube}`: {}",
                listed(sheets)
            ),
            "state the lot, or the revision of the leaflet in the box: a lot is evaluated with its own leaflet, not with the newest",
        )
        .at(if *lot_missing {
            pointers::LOT
        } else {
            pointers::LEAFLET
        }),
        NotPrepared::SheetOfAnotherRevision {
            sheet,
            revision,
            leaflet,
        } => Refusal::new(
            Code::LotAndLeafletDisagree,
            format!(
                "sheet `{sheet}` is revision {revision} of the leaflet, the reading says revision {leaflet}"
            ),
            "look at the leaflet in the box and correct the one that is wrong",
        )
        .at(pointers::LEAFLET),
        NotPrepared::LotOfOtherSheets { lot, sheet, sheets } => {
            let text = if sheets.is_empty() {
                format!(
                    "lot `{lot}` belongs neither to sheet `{sheet}` nor to another revision of it here"
                )
            } else {
                format!(
                    "lot `{lot}` does not belong to sheet `{sheet}` but to {}",
                    listed(sheets)
                )
            };
            Refusal::new(
                Code::LotAndLeafletDisagree,
                text,
                "look at the box and its leaflet again and correct the one that is wrong",
            )
            .at(pointers::LOT)
        }
        NotPrepared::SheetHasErrors { sheet, errors } => {
            sheet_has_errors(sheet, errors).at(pointers::TUBE)
        }
        NotPrepared::SheetNotFound { sheet } => Refusal::new(
            Code::TubeUnknown,
            format!("no sheet is called `{sheet}`"),
            "look at the name again",
        )
        .at(pointers::TUBE),
        NotPrepared::SheetUnusable { sheet, why } => Refusal::new(
            Code::SheetUnusable,
            format!(
                "sheet `{sheet}` cannot be computed with: `{}` {}",
                why.path, why.message
            ),
            "have the sheet checked against the leaflet and completed",
        )
        .at(pointers::TUBE),
        NotPrepared::GasNotOnSheet {
            sheet,
            gas,
            measures,
        } => Refusal::new(
            Code::GasNotOnSheet,
            format!("sheet `{sheet}` has no factor for `{gas}`"),
            format!(
                "the sheet measures {}; for another gas use a tube whose sheet names it",
                measures.join(", ")
            ),
        )
        .at(pointers::SUBSTANCE),
        NotPrepared::GasOnlyShown { sheet, gas } => Refusal::new(
            Code::GasOnlyShown,
            format!("sheet `{sheet}` shows `{gas}` qualitatively only: a stain says that it is there, and not how much"),
            "record under `remark` that a stain was seen; for a concentration use a tube that measures this gas",
        )
        .at(pointers::SUBSTANCE),
        NotPrepared::HalfStrokeImpossible { pump, kind } => Refusal::new(
            Code::HalfStrokeImpossible,
            format!("half a stroke is recorded, which pump `{pump}` ({kind}) cannot draw"),
            "look at the number of strokes and the pump again",
        )
        .at(pointers::STROKES),
        NotPrepared::StrokeVolumeDiffers {
            pump,
            of_pump,
            of_sheet,
        } => Refusal::new(
            Code::StrokeVolumeDiffers,
            format!(
                "a stroke of pump `{pump}` is {} mL, the sheet is printed for strokes of {} mL",
                print::number(*of_pump),
                print::number(*of_sheet)
            ),
            "repeat with a pump that the sheet allows",
        )
        .at(pointers::PUMP),
        NotPrepared::StrokesMissing => Refusal::new(
            Code::StrokesMissing,
            "the number of strokes is not stated",
            "write how many strokes were drawn; without it a stain says nothing",
        )
        .at(pointers::STROKES),
        NotPrepared::StrokesNotOnSheet {
            strokes,
            sheet,
            counts,
            of_scale,
        } => Refusal::new(
            Code::StrokesNotOnSheet,
            format!(
                "`{}` is not a stroke count of sheet `{sheet}`{}, which has {}",
                print::number(*strokes),
                if *of_scale { " for this scale" } else { "" },
                list(counts.iter().map(|count| print::number(*count)), ", ")
            ),
            if *of_scale {
                "look at which scale was read, or repeat with one of these counts"
            } else {
                "repeat with one of these counts; nothing is worked out for a count that the leaflet does not print"
            },
        )
        .at(pointers::STROKES),
        NotPrepared::StainAtMoreStrokes { strokes, most } => Refusal::new(
            Code::StrokesNotOnSheet,
            format!(
                "the leaflet allows {} only if there is no stain, and prints no multiplier beyond {}: nothing follows from a stain there",
                strokes_words(*strokes),
                strokes_words(*most)
            ),
            format!(
                "repeat with a new tube and {}, or write `{{seen: no stain}}` if none was seen",
                strokes_words(*most)
            ),
        )
        .at(pointers::STROKES),
        NotPrepared::TemperatureMissingForStrokes => Refusal::new(
            Code::TemperatureMissing,
            "the leaflet bars this stroke count at some temperatures, and none is stated; none is assumed",
            "state the air temperature, and the tube's where it differs",
        )
        .at(pointers::AIR_TEMPERATURE),
        NotPrepared::StrokesBarred {
            strokes,
            at,
            usable,
            field,
        } => Refusal::new(
            Code::StrokesBarred,
            format!(
                "the leaflet allows {} {} only, and it was {}",
                strokes_words(*strokes),
                match usable {
                    (Some(low), Some(high)) => format!("from {} to {}", celsius(*low), celsius(*high)),
                    (Some(low), None) => format!("above {}", celsius(*low)),
                    (None, Some(high)) => format!("below {}", celsius(*high)),
                    (None, None) => String::new(),
                },
                celsius(*at)
            ),
            "repeat with another stroke count, or bring tube and pump into that range and state it as `tube_temperature`",
        )
        .at(field),
        NotPrepared::ScaleUnknown {
            sheet,
            scale,
            scales,
        } => {
            let has = if scales.is_empty() {
                "one scale without a name".to_owned()
            } else {
                quoted(scales, " and ")
            };
            Refusal::new(
                Code::ScaleUnknown,
                format!("sheet `{sheet}` has no scale `{scale}`, it has {has}"),
                "write the scale's name as on the sheet, or leave it out where there is one only",
            )
            .at(pointers::SCALE)
        }
        NotPrepared::ScaleNotStated { strokes } => Refusal::new(
            Code::ScaleNotStated,
            format!(
                "the tube has two scales for {}, and the reading does not say which was read",
                strokes_words(*strokes)
            ),
            "write `scale:` with the name of the scale",
        )
        .at(pointers::SCALE),
        NotPrepared::ScaleNotOnSheet => Refusal::new(
            Code::ScaleUnknown,
            "the sheet names a scale that it does not have",
            "have the sheet checked",
        ),
        NotPrepared::ScaleWithoutMarks { field } => super::scale_without_marks().at(field),
        NotPrepared::TubeWithoutScale => Refusal::new(
            Code::TubeWithoutScale,
            "the tube has no scale: it shows a colour or none, and no number can be read on it",
            "write `{seen: colour}` or `{seen: no stain}`, with the strokes that were drawn",
        )
        .at(pointers::READING),
        NotPrepared::ColourOnAScale => Refusal::new(
            Code::ColourOnAScale,
            "a colour alone says nothing on a tube with a scale: how long the stain is decides",
            "write `{at: 5 ppm}`, `{short: 4 ppm, long: 5 ppm}`, or `{seen: below first mark}`, `beyond last mark`",
        )
        .at(pointers::READING),
        NotPrepared::NoThresholdForAir { strokes } => Refusal::new(
            Code::NoThresholdForAir,
            format!(
                "the sheet does not say what a colour means after {} at this temperature and pressure",
                strokes_words(*strokes)
            ),
            "state temperature and pressure, or repeat with strokes and in air for which the leaflet has a row",
        )
        .at(pointers::STROKES),
        NotPrepared::SaysNothing { colour, strokes } => Refusal::new(
            Code::SaysNothing,
            format!(
                "{} after {} says nothing on this sheet",
                if *colour { "a colour" } else { "no colour" },
                strokes_words(*strokes)
            ),
            "draw more strokes if the leaflet has a row for them, or use another tube",
        )
        .at(pointers::READING),
        NotPrepared::ReadingMissing => Refusal::new(
            Code::ReadingMissing,
            "no reading is recorded",
            "write `{at: 5 ppm}`, `{short: 4 ppm, long: 5 ppm}`, or `{seen: no stain}`, `below first mark`, `beyond last mark`",
        )
        .at(pointers::READING),
        NotPrepared::ReadingInAnotherUnit { text, unit, field } => Refusal::new(
            Code::ReadingInAnotherUnit,
            format!("`{text}` is read on a scale in {}", unit.canonical()),
            format!(
                "write the number that stands on the glass, in {}; the result is given in both units",
                unit.canonical()
            ),
        )
        .at(field),
        NotPrepared::ReadingContradictsItself => Refusal::new(
            Code::ReadingContradictsItself,
            "the reading is recorded in two ways at once",
            "keep one of `at`, `short` with `long`, `seen`, and a bound",
        )
        .at(pointers::READING),
        NotPrepared::ReadingBeforeFirstMark(off) => {
            off_scale(off, "before the first mark", "below first mark")
        }
        NotPrepared::ReadingBehindLastMark(off) => {
            off_scale(off, "behind the last mark", "beyond last mark")
        }
        NotPrepared::BoundNotAMark(bound) => bound_not_a_mark(bound),
        NotPrepared::FrontReversed { short, long } => Refusal::new(
            Code::FrontReversed,
            format!("the short side `{short}` is longer than the long side `{long}`"),
            "look at which is which",
        )
        .at(pointers::READ_SHORT),
        NotPrepared::FrontHalfRead => Refusal::new(
            Code::FrontHalfRead,
            "one side only of an uneven front is recorded",
            "write both, `short` and `long`; or `at`, if the front was even",
        )
        .at(pointers::READING),
        NotPrepared::HumidityImpossible(error) => Refusal::new(
            Code::HumidityImpossible,
            format!("the humidity and the air temperature do not go together: {error}"),
            "look at both again; an absolute humidity is in g/m³ (the same as mg/L)",
        )
        .at(pointers::HUMIDITY),
        NotPrepared::AltitudeWithoutPressure(error) => Refusal::new(
            Code::AltitudeImpossible,
            format!("no pressure can be worked out from the altitude: {error}"),
            "look at the altitude and its unit again, or state the station pressure",
        )
        .at(pointers::ALTITUDE),
        NotPrepared::AltitudeImpossible(error) => Refusal::new(
            Code::AltitudeImpossible,
            error.to_string(),
            "look at the altitude and its unit again",
        )
        .at(pointers::ALTITUDE),
        NotPrepared::PressureImpossible { text } => {
            let (low, high) = STATION_PRESSURE_KPA;
            Refusal::new(
                Code::PressureImpossible,
                format!("`{text}` is no pressure at which a tube is used ({low} to {high} kPa)"),
                "look at the unit again; the pressure is the absolute one at the place, not a gauge reading",
            )
            .at(pointers::PRESSURE)
        }
        NotPrepared::PressureContradictsAltitude {
            pressure,
            altitude,
            standard,
            too_high,
        } => Refusal::new(
            Code::PressureContradictsAltitude,
            format!(
                "`{pressure}` cannot be the station pressure at `{altitude}`: there it is about {} kPa, give or take 3 % for the weather",
                print::to_significant(standard.kilopascals(), 3)
            ),
            if *too_high {
                "it looks like the pressure of a weather report, which is reduced to sea level: write it as `sea_level_pressure`"
            } else {
                "read the barometer at the place again, and look at the altitude and both units"
            },
        )
        .at(pointers::PRESSURE),
        NotPrepared::SeaLevelPressureImpossible { text } => {
            let (low, high) = SEA_LEVEL_PRESSURE_KPA;
            Refusal::new(
                Code::SeaLevelPressureImpossible,
                format!("`{text}` is no pressure reduced to sea level ({low} to {high} kPa)"),
                "if it was read at the place, write it as `pressure`; else look at the unit again",
            )
            .at(pointers::SEA_LEVEL_PRESSURE)
        }
        NotPrepared::PressureMissing { at_sea_level: true } => Refusal::new(
            Code::PressureMissing,
            "the sheet corrects for pressure, and a sea-level pressure without the altitude says nothing about the place",
            "state the altitude beside it, or the station pressure",
        )
        .at(pointers::SEA_LEVEL_PRESSURE),
        NotPrepared::PressureMissing {
            at_sea_level: false,
        } => Refusal::new(
            Code::PressureMissing,
            "the sheet corrects for pressure, and neither a station pressure nor an altitude is stated",
            "state the station pressure, or the altitude of the place, which is enough",
        )
        .at(pointers::PRESSURE),
        NotPrepared::TemperatureMissing => Refusal::new(
            Code::TemperatureMissing,
            "the sheet corrects for temperature, and none is stated; none is assumed",
            "state the air temperature, and the tube's where it differs",
        )
        .at(pointers::AIR_TEMPERATURE),
        NotPrepared::TemperatureMissingForHumidity { unit } => Refusal::new(
            Code::TemperatureMissing,
            format!(
                "the sheet corrects for humidity in {}, the survey states it in another kind, and without the air temperature one cannot be turned into the other",
                unit.canonical()
            ),
            "state the air temperature",
        )
        .at(pointers::AIR_TEMPERATURE),
        NotPrepared::HumidityMissing => Refusal::new(
            Code::HumidityMissing,
            "the sheet corrects for humidity, and none is stated; none is assumed",
            "state the humidity of the air, relative or absolute",
        )
        .at(pointers::HUMIDITY),
        NotPrepared::OutsideTemperatureFormula { at, usable, field } => Refusal::new(
            Code::OutsideTemperatureTable,
            format!(
                "{} is outside {} to {}, for which correct.temperature gives a formula",
                celsius(*at),
                celsius(usable.0),
                celsius(usable.1)
            ),
            "bring tube and pump to a temperature inside the range and state it as `tube_temperature`, or use another tube; nothing is extrapolated",
        )
        .at(field),
        NotPrepared::OutsideHumidityFormula { at, usable } => Refusal::new(
            Code::OutsideHumidityTable,
            format!(
                "{} is outside {} to {}, for which correct.humidity gives a formula",
                humidity(*at),
                humidity(usable.0),
                humidity(usable.1)
            ),
            "use a tube whose sheet covers this humidity; nothing is extrapolated",
        )
        .at(pointers::HUMIDITY),
    }
}

/// A bound that is not what the mark at that end stands for.
fn bound_not_a_mark(bound: &BoundBesideMark) -> Refusal {
    let (sign, mark, seen, otherwise) = match bound.side {
        Side::Below => (
            '<',
            "first",
            "below first mark",
            "`{seen: no stain}` if the filling kept its colour",
        ),
        Side::Beyond => (
            '>',
            "last",
            "beyond last mark",
            "the value itself if the stain ended before that",
        ),
    };
    let unit = bound.unit.canonical();
    let of_strokes = if same_strokes(bound.mark, bound.stands_for) {
        String::new()
    } else {
        format!(
            ", which stands for {} {unit} at {}",
            print::to_significant_at_most(bound.stands_for, 4),
            strokes_words(bound.strokes)
        )
    };
    Refusal::new(
        Code::BoundNotAMark,
        format!(
            "`{sign}{}` may be a stain beside the scale, or a bound that somebody worked out: the {mark} mark is {} {unit}{of_strokes}",
            bound.text,
            print::number(bound.mark),
        ),
        format!("record what was seen: `{{seen: {seen}}}` if a stain ended there, {otherwise}; a bound that was worked out belongs under `remark`"),
    )
    .at(bound.field)
}

/// A reading that no scale has; `record` is how such a stain is recorded.
fn off_scale(off: &OffScale, side: &str, record: &str) -> Refusal {
    Refusal::new(
        Code::ReadingOffScale,
        format!(
            "`{}` is {side}, {} {}: there is no scale to read it from",
            off.text,
            print::number(off.mark),
            off.unit.canonical()
        ),
        format!(
            "record `reading: {{seen: {record}}}`, which gives a bound, and repeat with another stroke count"
        ),
    )
    .at(off.field)
}

fn quoted(names: &[String], between: &str) -> String {
    list(names.iter().map(|name| format!("`{name}`")), between)
}

fn listed(sheets: &[ListedSheet]) -> String {
    let one = |sheet: &ListedSheet| {
        let revision = sheet.revision.as_ref();
        let revision = revision.map(|revision| format!("revision {revision}"));
        let lots = sheet.lots.as_ref().map(|lots| format!(", lots {lots}"));
        format!(
            "`{}` ({}{})",
            sheet.id,
            revision.unwrap_or_default(),
            lots.unwrap_or_default()
        )
    };
    list(sheets.iter().map(one), " and ")
}

/// A sheet with errors of its own, or one whose substance or group has them: what is to be corrected is another file then.
fn sheet_has_errors(sheet: &str, errors: &SheetErrors) -> Refusal {
    let counted = |errors: usize| match errors {
        1 => "1 error".to_owned(),
        errors => format!("{errors} errors"),
    };
    let behind: Vec<String> = errors
        .behind
        .iter()
        .map(|file| {
            let FaultyFile {
                path,
                errors,
                first,
            } = file;
            format!("`{path}` has {}: {first}", counted(*errors))
        })
        .collect();
    let behind = behind.join("; ");
    let (message, remedy) = match (errors.own, errors.behind.is_empty()) {
        (0, true) => (
            format!("sheet `{sheet}` could not be read without errors"),
            "have the sheet checked against the leaflet and corrected; `stainbook check` names the places",
        ),
        (own, true) => (
            format!("sheet `{sheet}` has {}", counted(own)),
            "have the sheet checked against the leaflet and corrected; `stainbook check` names the places",
        ),
        (0, false) => (
            format!("sheet `{sheet}` rests on a file with errors: {behind}"),
            "correct that file, not the sheet; `stainbook check` names the places",
        ),
        (own, false) => (
            format!(
                "sheet `{sheet}` has {}, and rests on a file with errors: {behind}",
                counted(own)
            ),
            "correct both; `stainbook check` names the places",
        ),
    };
    Refusal::new(Code::SheetHasErrors, message, remedy)
}
