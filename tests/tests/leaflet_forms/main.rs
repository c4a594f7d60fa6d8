//! Every form in which leaflets state their facts that the sheet holds: typed as printed, and that fact alone changed.
//!
//! A form is held if its fact is read by every reader, makes a difference to results or to what the checker finds, stands on the
//! printed sheet, is a difference to `compare` and to `changes`, and is kept in the record, which holds by itself. A further form
//! is one row of one of the lists.

#![cfg(test)]

use std::fmt::Write as _;

use rayon::prelude::*;

mod bench;
mod corrections;
mod handling;
mod on_paper;
mod precision;
mod strokes;
mod without_scale;

use bench::Form;

/// The lists, each about rows of the table of forms.
const LISTS: &[&[Form]] = &[
    strokes::FORMS,
    corrections::FORMS,
    precision::FORMS,
    without_scale::FORMS,
    handling::FORMS,
];

fn forms() -> impl Iterator<Item = &'static Form> {
    LISTS.iter().copied().flatten()
}

#[test]
fn every_form_is_held() {
    let forms: Vec<&Form> = forms().collect();
    let wrong: Vec<String> = forms
        .into_par_iter()
        .flat_map_iter(|form| {
            let missing = bench::missing(form).into_iter();
            missing.map(|missing| format!("{}, {}: {missing}", form.fact, form.on_paper))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// The table of forms and where each is held: with `--nocapture` on the terminal.
#[test]
fn each_form_has_a_row_of_its_own() {
    let mut rows: Vec<(&str, &str)> = Vec::new();
    let mut table = String::from("| fact | form | held in |\n| --- | --- | --- |\n");
    for Form {
        fact,
        on_paper,
        held,
        ..
    } in forms()
    {
        assert!(
            !rows.contains(&(fact, on_paper)),
            "twice: {fact}, {on_paper}"
        );
        rows.push((fact, on_paper));
        let _ = writeln!(table, "| {fact} | {on_paper} | `{held}` |");
    }
    println!("{table}");
}
