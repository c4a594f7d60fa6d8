//! A plan with a pump that cannot be used.

use stainbook_catalog::written::PlanEntry;

use crate::plans::{PlanLack, day_of, placed, pump_lacks, sheets_of};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "plan-pump-not-for-the-tube",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A plan joins a tube with a pump that cannot be used with it or will not be in use.",
    family: Family::Field,
    docs: include_str!("plan-pump-not-for-the-tube.md"),
    check: Check::Plan(check),
};

fn check(plan: &PlanEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, planned) in placed(plan) {
        let Some(id) = planned.pump.as_deref() else {
            continue;
        };
        let Ok(pump) = context.book.pump_model(id) else {
            continue;
        };
        let gone = day_of(plan).and_then(|day| pump_lacks(&pump, day));
        if let Some(PlanLack::PumpWithdrawn(_)) = gone {
            sink.report(
                sink.at(path.key("pump"))
                    .message(format!(
                        "pump `{id}` will not be in use on the day of the plan"
                    ))
                    .label("withdrawn by then")
                    .note("a result that is drawn with it is not relied on")
                    .help("choose another pump")
                    .fact("written", Fact::text(id)),
            );
            continue;
        }
        let sheets = sheets_of(planned, context.book);
        let allows = |kinds: &[String]| kinds.contains(&pump.kind.id);
        let known = |kinds: &[String]| !kinds.is_empty();
        let mut kinds = sheets.iter().map(|(_, sheet)| sheet.pump_kinds());
        if sheets.is_empty() || kinds.any(|kinds| allows(kinds) || !known(kinds)) {
            continue;
        }
        let allowed = sheets
            .first()
            .map_or(&[][..], |(_, sheet)| sheet.pump_kinds());
        sink.report(
            sink.at(path.key("pump"))
                .message(format!("pump `{id}` is not of a kind that the tube is calibrated with"))
                .label(format!("`{}`; the sheet allows `{}`", pump.kind.id, allowed.join("`, `")))
                .note("pumps and tubes are not mixed unless they were tested together: nothing that is drawn so is called below or above a limit")
                .help("choose a pump of the kind, or another tube")
                .fact("kind", Fact::text(pump.kind.id.clone())),
        );
    }
}
