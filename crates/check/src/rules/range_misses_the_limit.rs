//! A tube that measures nowhere near any limit of its gas.

use stainbook_catalog::written::LimitKind;
use stainbook_catalog::written::tube::MeasuringRange;
use stainbook_core::{Concentration, Conditions, Dimension, Formula, MolarVolume, Quantity, Unit};

use crate::limits::{as_volume_fraction, kind_words};
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "range-misses-the-limit",
    level: Level::Note,
    since: "0.1.0",
    summary: "The tube measures nowhere between 0.1 and 2 times any limit of its gas.",
    family: Family::Scale,
    docs: include_str!("range-misses-the-limit.md"),
    check: Check::Tube(check),
};

/// Between these parts of a limit a procedure has to measure if its results are to be compared with it. Source: EN 482,
/// from memory: 0.1 to 2 times an 8-hour limit, 0.5 to 2 times a short-term one.
const AROUND: (f64, f64) = (0.1, 2.0);

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(measures) = &sheet.measures else {
        return;
    };
    let id = measures
        .expressed_as
        .as_deref()
        .or(measures.substance.as_deref());
    let Some(substance) = id.and_then(|id| context.book.substance(id)) else {
        return;
    };
    let Some((from, to)) = span(sheet, substance.formula.as_deref()) else {
        return;
    };
    let limits = substance.limits.iter().filter_map(|limit| {
        let kind = limit.kind.filter(|kind| *kind != LimitKind::Danger)?;
        let written = limit.at_most.as_ref()?;
        let ppm = as_volume_fraction(written, limit, substance, context)?.middle();
        Some((kind, written, ppm))
    });
    let limits: Vec<_> = limits.collect();
    let misses = |limit: f64| to < AROUND.0 * limit || AROUND.1 * limit < from;
    if limits.is_empty() || !limits.iter().all(|(_, _, limit)| misses(*limit)) {
        return;
    }
    // The limit that comes nearest, as a ratio.
    let far = |limit: f64| if to < limit { limit / to } else { from / limit };
    let Some((kind, written, limit)) = limits.iter().min_by(|a, b| far(a.2).total_cmp(&far(b.2)))
    else {
        return;
    };
    let side = if to < AROUND.0 * limit {
        "below"
    } else {
        "above"
    };
    sink.report(
        sink.at_key(Path::root().key("draw").key("ranges"))
            .message(format!("this tube measures {side} what its gas's limits ask for"))
            .label(format!(
                "{} to {} ppm; the nearest limit, the {} of {}, asks for {} to {} ppm",
                words::number(from),
                words::number(to),
                kind_words(*kind),
                written.canonical(),
                words::number(AROUND.0 * limit),
                words::number(AROUND.1 * limit)
            ))
            .note("a measurement that is compared with a limit has to reach from 0.1 to 2 times of it (EN 482, from memory); readings of this tube say only that the air is far from it, or that nobody may go in")
            .help("nothing is to be done if the tube is for leaks, or for a limit that the catalog does not hold; else look for a slipped power of ten in the ranges or the unit")
            .fact("from", words::computed_fact(from, "ppm"))
            .fact("to", words::computed_fact(to, "ppm"))
            .fact("limit", Fact::number(*limit, "ppm", written.text())),
    );
}

/// The lowest and the highest concentration of all ranges, in ppm.
fn span(sheet: &SheetView<'_>, formula: Option<&str>) -> Option<(f64, f64)> {
    span_of(sheet, formula, |_| true)
}

/// The same of some of the ranges.
pub(crate) fn span_of(
    sheet: &SheetView<'_>,
    formula: Option<&str>,
    wanted: impl Fn(&MeasuringRange) -> bool,
) -> Option<(f64, f64)> {
    let mut span: Option<(f64, f64)> = None;
    for view in sheet.scales() {
        let unit = view.unit?;
        for (_, range) in view.ranges.iter().filter(|(_, range)| wanted(range)) {
            let from = in_ppm(range.from.as_ref()?.value(), unit, sheet, formula)?;
            let to = in_ppm(range.to.as_ref()?.value(), unit, sheet, formula)?;
            span = Some(span.map_or((from, to), |(low, high)| (low.min(from), high.max(to))));
        }
    }
    span
}

fn in_ppm(
    number: f64,
    unit: &'static Unit,
    sheet: &SheetView<'_>,
    formula: Option<&str>,
) -> Option<f64> {
    if unit.dimension() == Dimension::VolumeFraction {
        return Some(
            stainbook_core::unit("ppm")
                .ok()?
                .from_base(unit.to_base(number)),
        );
    }
    let written = Concentration::from_unit(number, unit).ok()?;
    let mass = written.mass_concentration()?;
    let at = sheet.calibrated_at()?;
    let conditions = Conditions::new(
        at.temperature.as_ref()?.value(),
        at.pressure.as_ref()?.value(),
    );
    let molar_mass = Formula::parse(formula?).ok()?.molar_mass();
    Some(
        mass.mg_per_m3() * MolarVolume::of_ideal_gas(conditions).l_per_mol()
            / molar_mass.g_per_mol(),
    )
}
