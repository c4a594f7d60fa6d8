//! Figures added up from the paper that the sheet does not give.

use stainbook_catalog::finding::Fact;
use stainbook_catalog::finding::Level;
use stainbook_catalog::place::Path;
use stainbook_core::{Unit, unit};

use crate::control_figures::{Figure, Figures};
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
        let Some(figures) = Figures::of(control, sheet) else {
            continue;
        };
        let at = |key| Path::root().key("control").index(row).key(key);
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
        if let (Some(printed), Some(used)) = (control.unit.as_deref(), figures.unit)
            && unit(printed).is_ok_and(|printed| !means(printed, used))
        {
            sink.report(
                sink.at(at("unit"))
                    .message("the paper prints another unit for these numbers than the sheet")
                    .label(format!("`{printed}` on the paper, `{}` on the sheet", used.canonical()))
                    .note("the numbers may all be right; with the wrong unit every result is wrong by the ratio of the two")
                    .help("look at the unit beside the numbers on the paper")
                    .related(sink.place(figures.path.clone()), "what the sheet has"),
            );
        }
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

/// Each number with how many times it counts.
fn in_turn(numbers: &[Figure]) -> impl Iterator<Item = (f64, &Figure)> {
    (1_u32..).map(f64::from).zip(numbers)
}

fn equal(a: f64, b: f64) -> bool {
    (a - b).abs() <= ARITHMETIC * (1.0 + a.abs())
}

/// Whether the two units are of one size and kind, however they are spelt; `%` alone may be a part or a volume fraction.
fn means(a: &Unit, b: &Unit) -> bool {
    a.canonical() == b.canonical()
        || (a.dimension() == b.dimension()
            && equal(a.to_base(1.0), b.to_base(1.0))
            && equal(a.to_base(0.0), b.to_base(0.0)))
}

fn addends(numbers: &[Figure]) -> String {
    let texts: Vec<&str> = numbers.iter().map(|number| number.text.as_str()).collect();
    texts.join(" + ")
}

/// What the difference says: a moved decimal point leaves nine tenths of the number, swapped neighbours a multiple of nine.
fn slip(difference: f64, numbers: &[Figure]) -> String {
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
