//! A date that has not come yet.

use stainbook_catalog::{EntryKind, WrittenEntry};

use crate::dates::past;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "date-in-the-future",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Something that has happened is dated after the day that dates are judged by.",
    family: Family::Provenance,
    docs: include_str!("date-in-the-future.md"),
    check: Check::Any(
        &[
            EntryKind::Catalog,
            EntryKind::Source,
            EntryKind::Pump,
            EntryKind::Tube,
            EntryKind::StockBox,
            EntryKind::BoxList,
            EntryKind::Survey,
        ],
        check,
    ),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(today) = context.as_of else { return };
    for date in past(context.entry) {
        if date.day.first() <= today {
            continue;
        }
        report(date.path.clone(), date.what, date.day.text(), today, sink);
    }
    if let WrittenEntry::Survey(survey) = &context.entry.written {
        for (row, reading) in survey.readings.iter().enumerate() {
            let Some(at) = &reading.at else { continue };
            if at.date() <= today {
                continue;
            }
            report(
                Path::root().key("readings").index(row).key("at"),
                "the time of the reading",
                at.text(),
                today,
                sink,
            );
        }
    }
}

fn report(path: Path, what: &str, text: &str, today: jiff::civil::Date, sink: &mut Sink<'_>) {
    sink.report(
        sink.at(path)
            .message(format!("{what} has not come yet"))
            .label(format!("{text} is after {today}"))
            .note(
                "expiries, checks of the pump and the leaflet that holds are judged by these dates",
            )
            .help("compare the date with the paper; usually the year is wrong")
            .fact("written", Fact::text(text))
            .fact("as_of", Fact::text(today.to_string())),
    );
}
