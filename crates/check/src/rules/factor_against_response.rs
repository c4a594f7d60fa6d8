//! A factor for another gas that its response contradicts.

use stainbook_catalog::written::tube::ResponseFactor;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "factor-against-response",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The factor with which another gas is measured is not one over its response.",
    family: Family::Interferent,
    docs: include_str!("factor-against-response.md"),
    check: Check::Tube(check),
};

/// Factor and response are found in different trials, alone and beside the gas that is measured. Common practice, no source.
const WIDER: f64 = 0.25;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let also = sheet.response_factors().iter().enumerate();
    for (row, other) in also {
        let Some(factors) = factors(other) else {
            continue;
        };
        let gases = sheet.interferents().iter().enumerate();
        for (gas_row, gas) in gases {
            let (Some(response), true) = (
                &gas.response,
                gas.substance.is_some() && gas.substance == other.substance,
            ) else {
                continue;
            };
            if response.value() <= 0.0 {
                continue;
            }
            let of_response = Interval::around(response.value(), response.half_width());
            let inverse = Interval::exactly(1.0).over(of_response);
            if inverse.low <= 0.0 || factors.meets(inverse.widened(WIDER)) {
                continue;
            }
            let computed = 1.0 / response.value();
            let path = Path::root().key("read").key("also_measures").index(row);
            let key = if other.by.is_some() { "by" } else { "rows" };
            sink.report(
                sink.at(path.key(key))
                    .message("this factor does not go with the response to the same gas")
                    .label(format!("{} here, 1 / {} = {} from the response", of_factors(other), response.text(), words::number(computed)))
                    .note(format!("a gas that adds {} to the reading for each part of it is measured by multiplying the reading by {}; rounding and trials that differ explain {} at most", response.text(), words::number(computed), words::percent(WIDER)))
                    .help("compare both with the leaflet: one is upside down, or a digit has slipped")
                    .related(sink.place(Path::root().key("doubt").key("other_gases").index(gas_row).key("response")), "the response")
                    .fact("response", Fact::text(response.text()))
                    .fact("computed", words::computed_fact(computed, ""))
                    .fact("tolerance", words::tolerance_fact(WIDER * 100.0, "%")),
            );
        }
    }
}

/// From the smallest factor to the largest, with what their digits leave open.
fn factors(other: &ResponseFactor) -> Option<Interval> {
    let rows = other.rows.iter().filter_map(|row| row.get(1));
    let by = other.by.iter();
    let all = by
        .map(|by| Interval::around(by.value(), by.half_width()))
        .chain(rows.map(|factor| Interval::of(factor)));
    all.reduce(Interval::hull)
}

fn of_factors(other: &ResponseFactor) -> String {
    let rows: Vec<&str> = other
        .rows
        .iter()
        .filter_map(|row| Some(row.get(1)?.text()))
        .collect();
    match (&other.by, rows.as_slice()) {
        (Some(by), _) => by.text().to_owned(),
        (None, [first, .., last]) => format!("{first} to {last}"),
        (None, _) => rows.concat(),
    }
}
