//! A plan with a tube of which there is no box.

use stainbook_catalog::written::PlanEntry;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::plans::{PlanLack, day_of, lacks_tubes, placed};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "plan-tube-not-in-stock",
    level: Level::Warning,
    since: "0.1.0",
    summary: "No box, or too few tubes, of a planned tube are in stock on the day of the plan.",
    family: Family::Field,
    docs: include_str!("plan-tube-not-in-stock.md"),
    check: Check::Plan(check),
};

fn check(plan: &PlanEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(day) = day_of(plan) else { return };
    for (row, (path, planned)) in placed(plan).enumerate() {
        let lack = lacks_tubes(plan, row, context.book, day);
        let Some(lack @ (PlanLack::NoBox | PlanLack::TooFewTubes { .. } | PlanLack::NoPreTubes)) =
            lack
        else {
            continue;
        };
        let tube = planned.tube.as_deref().unwrap_or_default();
        sink.report(
            sink.at(path.key("tube"))
                .message(match lack {
                    PlanLack::NoBox => format!("no box of `{tube}` is in stock on the day of the plan"),
                    PlanLack::NoPreTubes => {
                        format!("no pre-tubes for `{tube}` are in stock on the day of the plan")
                    }
                    _ => format!("too few tubes of `{tube}` are in stock for the plan"),
                })
                .label(lack.words())
                .note("whoever goes there on that day stands there without a tube")
                .help(help!("order a box, or choose another tube; if there is one, write it down with lot and expiry ({})", Offer::command("stainbook new box")))
                .fact("written", Fact::text(tube)),
        );
    }
}
