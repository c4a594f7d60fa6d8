//! A plan with a tube whose boxes will have expired by then.

use stainbook_catalog::written::PlanEntry;

use crate::plans::{PlanLack, day_of, lacks_tubes, placed};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "plan-tube-expired",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Every box of a planned tube will have expired on the day of the plan.",
    family: Family::Field,
    docs: include_str!("plan-tube-expired.md"),
    check: Check::Plan(check),
};

fn check(plan: &PlanEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(day) = day_of(plan) else { return };
    for (row, (path, planned)) in placed(plan).enumerate() {
        let lack = lacks_tubes(plan, row, context.book, day);
        let Some(PlanLack::BoxesExpired(id, expires)) = &lack else {
            continue;
        };
        let tube = planned.tube.as_deref().unwrap_or_default();
        sink.report(
            sink.at(path.key("tube"))
                .message(format!(
                    "every box of `{tube}` will have expired on the day of the plan"
                ))
                .label(format!(
                    "`{id}` keeps longest, until {expires}; planned for {day}"
                ))
                .note("nothing that is read with an expired tube is called below a limit")
                .help("order a box, choose another tube, or go earlier")
                .fact("expires", Fact::text(expires.to_string()))
                .fact("day", Fact::text(day.to_string())),
        );
    }
}
