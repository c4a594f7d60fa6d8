//! Figures added up from the paper that the sheet does not give.

use stainbook_catalog::finding::{Fact, Level};
use stainbook_catalog::place::Path;
use stainbook_catalog::written::Num;
use stainbook_catalog::written::tube::{Axis, Control, ControlOf, Range};
use stainbook_core::Decimal;

use crate::words;
use crate::{Check, Context, Family, Rule, Sheet, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "control-figure-differs",
    level: Level::Error,
    since: "0.1.0",
    summary: "Rows counted or numbers added up from the paper are not those of the sheet.",
    family: Family::Doubt,
    docs: include_str!("control-figure-differs.md"),
    check: Check::Tube(check),
};

/// A sum of decimal figures is exact; only the binary arithmetic of it is not.
const ARITHMETIC: f64 = 1e-9;

fn check(sheet: &Sheet<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, control) in sheet.control.iter().enumerate() {
        let Some((numbers, path)) = figures(control, sheet) else {
            continue;
        };
        let at = |key| Path::root().key("control").index(row).key(key);
        if let Some(rows) = &control.rows
            && usize::try_from(rows.value()).ok() != Some(numbers.len())
        {
            sink.report(
                sink.at(at("rows"))
                    .message(format!("the paper has {} rows, the sheet {}", rows.value(), numbers.len()))
                    .label(format!("{} counted on the paper", rows.value()))
                    .note("a row left out or typed twice shifts no number and looks right to every other check")
                    .help("compare the rows with the paper, one by one, and count again")
                    .related(sink.place(path), "what the sheet has")
                    .fact("counted", Fact::number(f64::from(rows.value()), "", rows.value().to_string()))
                    .fact("found", Fact::text(numbers.len().to_string())),
            );
            continue;
        }
        let Some(sum) = &control.sum else { continue };
        let found: f64 = numbers.iter().map(|number| number.value()).sum();
        if (found - sum.value()).abs() <= ARITHMETIC * (1.0 + found.abs()) {
            continue;
        }
        let difference = found - sum.value();
        sink.report(
            sink.at(at("sum"))
                .message(
                    "the numbers of the sheet do not add up to what was added up from the paper",
                )
                .label(format!(
                    "{} on the paper, {} on the sheet",
                    sum.text(),
                    words::exact(found)
                ))
                .note(format!("{} = {}", addends(&numbers), words::exact(found)))
                .note(format!(
                    "the sheet is {} {} the paper{}",
                    words::exact(difference.abs()),
                    if 0.0 < difference { "above" } else { "below" },
                    slip(difference, &numbers)
                ))
                .help(
                    "compare the numbers with the paper, one by one; then add the paper's up again",
                )
                .related(sink.place(path), "what the sheet has")
                .fact("paper", words::number_fact(sum, ""))
                .fact("sheet", Fact::number(found, "", words::exact(found)))
                .fact(
                    "difference",
                    Fact::number(difference, "", words::exact(difference)),
                ),
        );
    }
}

/// The figures that a control is about, with their place; nothing if one of them was not understood.
fn figures<'a>(control: &Control, sheet: &'a Sheet<'_>) -> Option<(Vec<&'a Decimal>, Path)> {
    let root = Path::root;
    match control.of? {
        ControlOf::Marks => {
            let view = sheet.scale_named(control.scale.as_deref())?;
            Some((
                view.scale.marks.iter().map(|mark| &**mark).collect(),
                view.path().key("marks"),
            ))
        }
        ControlOf::Strokes => ranges(control, sheet, |range| range.strokes.as_ref()),
        ControlOf::Multipliers => ranges(control, sheet, |range| range.multiply_by.as_ref()),
        ControlOf::LowerEnds => ranges(control, sheet, |range| range.from.as_ref()),
        ControlOf::UpperEnds => ranges(control, sheet, |range| range.to.as_ref()),
        ControlOf::Seconds => ranges(control, sheet, |range| range.seconds_per_stroke.as_ref()),
        ControlOf::TemperatureTable => column(control, sheet, Axis::Temperature),
        ControlOf::HumidityTable => column(control, sheet, Axis::Humidity),
        ControlOf::PressureTable => column(control, sheet, Axis::Pressure),
    }
    .filter(|(_, path)| *path != root())
}

fn ranges<'a>(
    control: &Control,
    sheet: &'a Sheet<'_>,
    of: impl Fn(&'a Range) -> Option<&'a Num>,
) -> Option<(Vec<&'a Decimal>, Path)> {
    let draw = sheet.draw.as_ref()?;
    let numbers = draw
        .ranges
        .iter()
        .filter(|range| control.scale.is_none() || range.scale == control.scale)
        .map(|range| of(range).map(|number| &**number))
        .collect::<Option<Vec<_>>>()?;
    Some((numbers, Path::root().key("draw").key("ranges")))
}

/// A column of a correction, counted from 1 at the left of the paper; that of the factors if none is named.
fn column<'a>(
    control: &Control,
    sheet: &'a Sheet<'_>,
    axis: Axis,
) -> Option<(Vec<&'a Decimal>, Path)> {
    let placed = sheet
        .corrections()
        .iter()
        .find(|placed| placed.axis == axis)?;
    let wanted = control
        .column
        .as_ref()
        .map(|column| usize::try_from(column.value()).unwrap_or(usize::MAX));
    if placed.is_table() {
        // The first column of the paper holds the readings.
        let wanted = wanted?.checked_sub(1)?;
        let numbers = placed
            .correction
            .lines
            .iter()
            .map(|line| match wanted.checked_sub(1) {
                Some(index) => line.becomes.get(index).map(|value| &**value),
                None => None,
            })
            .collect::<Option<Vec<_>>>()?;
        return Some((numbers, placed.path().key("lines")));
    }
    let index = match wanted {
        Some(wanted) => wanted.checked_sub(1)?,
        None => placed.points()?.0.first()?.factor_column,
    };
    let numbers = placed
        .correction
        .rows
        .iter()
        .map(|row| row.get(index).map(|number| &**number))
        .collect::<Option<Vec<_>>>()?;
    (!numbers.is_empty()).then_some((numbers, placed.path().key("rows")))
}

fn addends(numbers: &[&Decimal]) -> String {
    let texts: Vec<&str> = numbers.iter().map(|number| number.text()).collect();
    texts.join(" + ")
}

/// What the difference says: a moved decimal point leaves nine tenths of the number, swapped neighbours a multiple of nine.
fn slip(difference: f64, numbers: &[&Decimal]) -> String {
    let is = |value: f64| (value - difference).abs() <= ARITHMETIC * (1.0 + difference.abs());
    for number in numbers {
        let value = number.value();
        if is(value) {
            return format!(": as if `{}` were there once too often", number.text());
        }
        if is(value - value * 10.0) || is(value - value / 10.0) {
            return format!(": as if the decimal point of `{}` had moved", number.text());
        }
    }
    let finest = numbers
        .iter()
        .map(|number| number.half_step() * 2.0)
        .fold(f64::INFINITY, f64::min);
    let nines = difference / (9.0 * finest);
    if (nines - nines.round()).abs() <= ARITHMETIC * (1.0 + nines.abs()) {
        return ", a multiple of nine, as two swapped digits leave it".to_owned();
    }
    String::new()
}
