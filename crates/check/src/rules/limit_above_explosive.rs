//! A limit in air that is close to exploding.

use stainbook_catalog::written::{LimitKind, SubstanceEntry};

use crate::limits::{as_volume_fraction, kind_words};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "limit-above-explosive",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A limit for people is above a tenth of the lower explosive limit.",
    family: Family::Substance,
    docs: include_str!("limit-above-explosive.md"),
    check: Check::Substance(check),
};

/// Levels that are dangerous to life are capped at this part of the lower explosive limit. Source: NIOSH, documentation for
/// immediately dangerous to life or health concentrations, which names 10 % of the lower explosive limit as the cap.
const MOST: f64 = 0.10;

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    // Of several sources the highest, so that only what none of them explains is reported.
    let highest = substance
        .explosive_limits
        .iter()
        .enumerate()
        .filter_map(|(row, limits)| Some((row, limits.lower.as_ref()?)))
        .max_by(|a, b| a.1.value().ppm().total_cmp(&b.1.value().ppm()));
    let Some((explosive_row, lower)) = highest else {
        return;
    };
    let half_step = lower.unit().step_to_base(lower.half_step());
    let most = MOST * (lower.unit().to_base(lower.number()) + half_step)
        / stainbook_core::unit("ppm").map_or(f64::NAN, |ppm| ppm.step_to_base(1.0));
    for (row, limit) in substance.limits.iter().enumerate() {
        let (Some(kind), Some(written)) = (limit.kind, &limit.at_most) else {
            continue;
        };
        let Some(fraction) = as_volume_fraction(written, limit, substance, context) else {
            continue;
        };
        if !Interval::exactly(most).is_below(fraction) {
            continue;
        }
        let computed = MOST * lower.value().ppm();
        let mut finding = sink
            .at(Path::root().key("limits").index(row).key("at_most"))
            .message(format!("this {} is above a tenth of the lower explosive limit", kind_words(kind)))
            .label(format!("{} written, a tenth of {} is {} ppm", written.canonical(), lower.canonical(), words::number(computed)))
            .note("air in which work may go on is kept far from what can explode; a limit above that is usually a slip by a power of ten or of the unit, in the one figure or the other")
            .help("look at both sources; if they are printed so, accept the finding with that as the reason")
            .related(sink.place(Path::root().key("explosive_limits").index(explosive_row).key("lower")), "the lower explosive limit")
            .fact("written", words::written_fact(written))
            .fact("computed", Fact::number(computed, "ppm", format!("{} ppm", words::number(computed))))
            .fact("lower_explosive_limit", words::written_fact(lower));
        // Escape levels of some authorities are older than the cap.
        if kind == LimitKind::Danger {
            finding = finding.at_level(Level::Note);
        }
        sink.report(finding);
    }
}
