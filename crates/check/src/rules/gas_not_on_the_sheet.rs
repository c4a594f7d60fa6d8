//! A reading of a gas that the tube does not measure.

use stainbook_catalog::written::{SurveyEntry, TubeEntry};

use crate::names::quoted_or;
use crate::readings::{Sheets, placed};
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "gas-not-on-the-sheet",
    level: Level::Error,
    since: "0.1.0",
    summary: "A reading is of a gas that its sheet neither measures nor has a factor for.",
    family: Family::Field,
    docs: include_str!("gas-not-on-the-sheet.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let (Some(wanted), Some((id, tube))) = (reading.substance.as_deref(), sheets.only(reading))
        else {
            continue;
        };
        // A name that nothing answers to has a rule of its own.
        let Ok(substance) = context.book.find_substance(wanted) else {
            continue;
        };
        let gases = gases(tube);
        let name = substance.substance.as_deref();
        if gases.is_empty()
            || gases
                .iter()
                .any(|gas| gas == wanted || Some(gas.as_str()) == name)
        {
            continue;
        }
        sink.report(
            sink.at(path.key("substance"))
                .message(format!("`{id}` has no factor for `{wanted}`"))
                .label(format!("the sheet measures {}", quoted_or(&gases)))
                .note("how strongly another gas stains the tube is known for those on the leaflet only; without its factor the reading says nothing about it")
                .help("use a tube whose leaflet names the gas; if the leaflet of this one does, enter the factor under `also_measures`")
                .fact("written", Fact::text(wanted)),
        );
    }
}

fn gases(tube: &TubeEntry) -> Vec<String> {
    let own = tube
        .measures
        .iter()
        .flat_map(|measures| [&measures.substance, &measures.group, &measures.expressed_as]);
    let also = tube.response_factors().iter().map(|other| &other.substance);
    own.chain(also).flatten().cloned().collect()
}
