//! A reading with a sheet or pump that was withdrawn before.

use jiff::civil::Date;
use stainbook_catalog::written::{Day, SurveyEntry};

use crate::readings::{Sheets, placed};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "withdrawn-still-used",
    level: Level::Note,
    since: "0.1.0",
    summary: "A reading refers to a sheet or pump that the catalog says was withdrawn before that day.",
    family: Family::Identity,
    docs: include_str!("withdrawn-still-used.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let Some(date) = reading
            .at
            .as_ref()
            .map(stainbook_catalog::written::Moment::date)
        else {
            continue;
        };
        if let Some((id, tube)) = sheets.only(reading) {
            let withdrawn = tube.withdrawn.as_ref();
            let because = withdrawn
                .and_then(|withdrawn| withdrawn.because.as_deref())
                .map_or(String::new(), |because| format!(": {because}"));
            let since = withdrawn.and_then(|withdrawn| withdrawn.since.as_ref());
            one(
                "sheet",
                id,
                since,
                &because,
                date,
                path.clone().key("tube"),
                sink,
            );
        }
        if let Some((id, pump)) = reading
            .pump
            .as_deref()
            .and_then(|id| Some((id, context.book.pump(id)?)))
        {
            one(
                "pump",
                id,
                pump.withdrawn.as_ref(),
                "",
                date,
                path.key("pump"),
                sink,
            );
        }
    }
}

fn one(
    what: &str,
    id: &str,
    since: Option<&Day>,
    because: &str,
    date: Date,
    path: Path,
    sink: &mut Sink<'_>,
) {
    let Some(since) = since.filter(|since| since.last() < date) else {
        return;
    };
    sink.report(
        sink.at(path)
            .message(format!("{what} `{id}` was withdrawn before this reading"))
            .label(format!("withdrawn {}, read on {date}{because}", since.text()))
            .note("the survey and the catalog contradict each other; if both are right, the result is flagged and should not be relied on")
            .help("look at the record and at the day of the withdrawal; if a wrong name was copied from an older survey, write the right one")
            .fact("withdrawn", Fact::text(since.text()))
            .fact("read", Fact::text(date.to_string())),
    );
}
