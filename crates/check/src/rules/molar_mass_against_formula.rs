//! A printed molar mass that is not that of the formula.

use stainbook_catalog::written::SubstanceEntry;
use stainbook_core::Formula;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "molar-mass-against-formula",
    level: Level::Error,
    since: "0.1.0",
    summary: "The molar mass is not the one that follows from the formula.",
    family: Family::Substance,
    docs: include_str!("molar-mass-against-formula.md"),
    check: Check::Substance(check),
};

/// Handbooks print molar masses from the weights of their day. Since 1961 no standard atomic weight of an element found in
/// workplace gases has moved by more than this part of itself (sulfur, 32.064 to 32.06; from memory).
const OLDER_WEIGHTS: f64 = 2e-4;

fn check(substance: &SubstanceEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let (Some(written), Some(text)) = (&substance.molar_mass, substance.formula.as_deref()) else {
        return;
    };
    let Ok(formula) = Formula::parse(text) else {
        return;
    };
    let computed = formula.molar_mass().g_per_mol();
    let slack = formula.molar_mass_bound() + computed * OLDER_WEIGHTS;
    let unit = written.unit();
    let per_unit = unit.step_to_base(1.0);
    let printed = Interval::of_written(written);
    let possible = Interval::around(unit.from_base(computed), slack / per_unit);
    if printed.meets(possible) {
        return;
    }
    let in_unit = unit.from_base(computed);
    let off = written.number() / in_unit - 1.0;
    sink.report(
        sink.at(Path::root().key("molar_mass"))
            .message(format!("the molar mass is not that of `{text}`"))
            .label(format!("{} written, {} computed", written.canonical(), words::with_unit(in_unit, unit)))
            .note(format!(
                "the two differ by {}; the digits written explain at most {}",
                words::percent(off.abs()),
                words::tolerance_with_unit(written.half_step() + slack / per_unit, unit)
            ))
            .note("every conversion between ppm and mg/m³ is off by the same part if the formula is the wrong one of the two")
            .help("look at the source for both; the molar mass may also be left out, it is always computed")
            .related(sink.place(Path::root().key("formula")), "the formula")
            .fact("written", words::written_fact(written))
            .fact("computed", words::computed_fact(in_unit, unit.canonical()))
            .fact("tolerance", words::tolerance_fact(written.half_step() + slack / per_unit, unit.canonical())),
    );
}
