//! Figures added up from the paper that the sheet does not give.

use stainbook_catalog::written::tube::Control;
use stainbook_core::{Unit, unit, unit_of};
use stainbook_document::finding::Level;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::control_figures::{Figures, SheetNumber};
use crate::words;
use crate::{Check, Context, Fact, Family, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "control-figure-differs",
    level: Level::Error,
    since: "0.1.0",
    summary: "Rows counted or numbers added up from the paper are not those of the sheet.",
    family: Family::Performance,
    docs: include_str!("control-figure-differs.md"),
    check: Check::Tube(check),
};

/// A sum of decimal figures is exact; only the binary arithmetic of it is not.
const ARITHMETIC: f64 = 1e-9;

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, control) in sheet.control.iter().enumerate() {
        let at = |key| Path::root().key("control").index(row).key(key);
        let figures = match Figures::of(control, sheet) {
            Some(figures) => figures,
            // What was not understood has been blamed by the reader, and a scale that is none by another rule; what is not
            // there has no rows.
            None if context.entry.sound && control.of.is_some() && has_scale(control, sheet) => {
                Figures::none(at("of"))
            }
            None => continue,
        };
        if let Some(rows) = &control.rows
            && usize::try_from(rows.value()).ok() != Some(figures.rows)
        {
            sink.report(
                sink.at(at("rows"))
                    .message(format!("the paper has {} rows, the sheet {}", rows.value(), figures.rows))
                    .label(format!("{} counted on the paper", rows.value()))
                    .note("a row left out or typed twice shifts no number and looks right to every other check")
                    .help("compare the rows with the paper, one by one, and count again")
                    .related(sink.place(figures.path), "what the sheet has")
                    .fact("counted", Fact::number(f64::from(rows.value()), "", rows.value().to_string()))
                    .fact("found", Fact::text(figures.rows.to_string())),
            );
            continue;
        }
        one_unit(control, &figures, &at("unit"), sink);
        several_units(control, &figures, &at("units"), sink);
        let added_up = &figures.numbers;
        if let Some(sum) = &control.sum {
            let found: f64 = added_up.iter().map(|number| number.value).sum();
            if !equal(found, sum.value()) {
                let difference = found - sum.value();
                sink.report(
                    sink.at(at("sum"))
                        .message("the numbers of the sheet do not add up to what was added up from the paper")
                        .label(format!("{} on the paper, {} on the sheet", sum.text(), words::exact(found)))
                        .note(format!("{} = {}", addends(added_up), words::exact(found)))
                        .note(format!("the sheet is {} {} the paper{}", words::exact(difference.abs()), if 0.0 < difference { "above" } else { "below" }, slip(difference, added_up)))
                        .help("compare the numbers with the paper, one by one; then add the paper's up again")
                        .related(sink.place(figures.path), "what the sheet has")
                        .fact("paper", words::number_fact(sum, ""))
                        .fact("sheet", Fact::number(found, "", words::exact(found)))
                        .fact("difference", Fact::number(difference, "", words::exact(difference))),
                );
                continue;
            }
        }
        let Some(in_order) = &control.in_order else {
            continue;
        };
        let found: f64 = in_turn(added_up)
            .map(|(times, number)| times * number.value)
            .sum();
        if equal(found, in_order.value()) {
            continue;
        }
        let products: Vec<String> = in_turn(added_up)
            .map(|(times, number)| format!("{times} × {}", number.text))
            .collect();
        sink.report(
            sink.at(at("in_order"))
                .message("the numbers of the sheet do not stand in the order of the paper")
                .label(format!(
                    "{} on the paper, {} on the sheet",
                    in_order.text(),
                    words::exact(found)
                ))
                .note(format!(
                    "{} = {}",
                    products.join(" + "),
                    words::exact(found)
                ))
                .note("a sum does not change when two numbers change places; this figure does")
                .help("compare the numbers with the paper, one by one and in their order")
                .related(sink.place(figures.path), "what the sheet has")
                .fact("paper", words::number_fact(in_order, ""))
                .fact("sheet", Fact::number(found, "", words::exact(found))),
        );
    }
}

fn has_scale(control: &Control, sheet: &SheetView<'_>) -> bool {
    control.scale.is_none() || sheet.scale_named(control.scale.as_deref()).is_some()
}

/// The unit that the paper prints for all of the numbers against the units of the sheet.
fn one_unit(control: &Control, figures: &Figures, at: &Path, sink: &mut Sink<'_>) {
    let Some(text) = control.unit.as_deref() else {
        return;
    };
    if unit(text).is_err() {
        return unknown(text, at.clone(), sink);
    }
    let mut used = figures.numbers.iter().filter_map(|number| number.unit);
    let Some(other) = used.find(|used| !means(text, used)) else {
        return;
    };
    sink.report(
        sink.at(at.clone())
            .message("the paper prints another unit for these numbers than the sheet")
            .label(format!(
                "`{text}` on the paper, `{}` on the sheet",
                other.canonical()
            ))
            .note(WRONG_UNIT)
            .help("look at the unit beside the numbers on the paper")
            .related(sink.place(figures.path.clone()), "what the sheet has"),
    );
}

/// Numbers by unit, on the paper against on the sheet.
fn several_units(control: &Control, figures: &Figures, at: &Path, sink: &mut Sink<'_>) {
    if control.units.is_empty() {
        return;
    }
    let mut left: Vec<&'static Unit> = figures
        .numbers
        .iter()
        .filter_map(|number| number.unit)
        .collect();
    for (index, text) in control.units.iter().enumerate() {
        let at = at.clone().index(index);
        let counted = text.split_once(char::is_whitespace);
        let Some((count, name)) =
            counted.and_then(|(count, name)| Some((count.parse::<usize>().ok()?, name.trim())))
        else {
            sink.report(
                sink.at(at)
                    .message("this does not say how many numbers are in which unit")
                    .label("no count before the unit")
                    .note("units counted on the paper catch what a sum of numbers cannot: a unit that was taken for another")
                    .help(help!("write the count and the unit, as in {}", Offer::yaml("3 ppm").in_part())),
            );
            return;
        };
        if unit(name).is_err() {
            return unknown(name, at, sink);
        }
        let before = left.len();
        left.retain(|used| !means(name, used));
        let found = before - left.len();
        if found != count {
            sink.report(
                sink.at(at)
                    .message("the paper prints other units for these numbers than the sheet")
                    .label(format!(
                        "{count} in `{name}` on the paper, {found} on the sheet"
                    ))
                    .note(WRONG_UNIT)
                    .help("look at the unit beside each number on the paper, and count again")
                    .related(sink.place(figures.path.clone()), "what the sheet has"),
            );
            return;
        }
    }
    if let Some(other) = left.first() {
        sink.report(
            sink.at(at.clone())
                .message("the sheet has a unit that was not counted on the paper")
                .label(format!("no `{}` on the paper", other.canonical()))
                .note(WRONG_UNIT)
                .help("look at the unit beside each number on the paper, and count again")
                .related(sink.place(figures.path.clone()), "what the sheet has"),
        );
    }
}

const WRONG_UNIT: &str = "the numbers may all be right; with the wrong unit every result is wrong by the ratio of the two";

fn unknown(name: &str, at: Path, sink: &mut Sink<'_>) {
    sink.report(
        sink.at(at)
            .message("the unit of this control figure is unknown")
            .label(format!("`{name}`"))
            .note("a control figure in an unknown unit checks nothing")
            .help("write the unit as on the sheet"),
    );
}

/// Each number with how many times it counts.
fn in_turn(numbers: &[SheetNumber]) -> impl Iterator<Item = (f64, &SheetNumber)> {
    (1_u32..).map(f64::from).zip(numbers)
}

fn equal(a: f64, b: f64) -> bool {
    (a - b).abs() <= ARITHMETIC * (1.0 + a.abs())
}

/// True if the paper's unit is that of the sheet, however it is spelt; `%` alone is a part, a humidity or a volume fraction.
fn means(printed: &str, used: &Unit) -> bool {
    unit_of(used.dimension(), printed).is_ok_and(|printed| {
        equal(printed.to_base(1.0), used.to_base(1.0))
            && equal(printed.to_base(0.0), used.to_base(0.0))
    })
}

fn addends(numbers: &[SheetNumber]) -> String {
    let texts: Vec<&str> = numbers.iter().map(|number| number.text.as_str()).collect();
    texts.join(" + ")
}

/// Likely slip by the difference: a moved decimal point leaves nine tenths of the number, swapped neighbours a multiple
/// of nine.
fn slip(difference: f64, numbers: &[SheetNumber]) -> String {
    let is = |value: f64| (value - difference).abs() <= ARITHMETIC * (1.0 + difference.abs());
    for number in numbers {
        let value = number.value;
        if is(value) {
            return format!(": as if `{}` were there once too often", number.text);
        }
        if is(value - value * 10.0) || is(value - value / 10.0) {
            return format!(": as if the decimal point of `{}` had moved", number.text);
        }
    }
    let finest = numbers
        .iter()
        .map(|number| number.half_step * 2.0)
        .fold(f64::INFINITY, f64::min);
    let nines = difference / (9.0 * finest);
    if (nines - nines.round()).abs() <= ARITHMETIC * (1.0 + nines.abs()) {
        return ", a multiple of nine, as two swapped digits leave it".to_owned();
    }
    String::new()
}
