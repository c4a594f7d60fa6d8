//! A reading whose expiry is not that of the box in stock.

use stainbook_catalog::ListedBox;
use stainbook_catalog::written::{BoxContents, Day, Moment, Reading, SurveyEntry, TubeEntry};
use stainbook_document::place::Place;

use crate::boxes::can_be_same;
use crate::readings::{Sheets, placed};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "expiry-not-of-the-box",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A reading states another expiry than the box of its lot in stock.",
    family: Family::Field,
    docs: include_str!("expiry-not-of-the-box.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let Some((_, sheet)) = sheets.only(reading) else {
            continue;
        };
        let tubes = (&reading.lot, &reading.expires);
        one(
            tubes,
            BoxContents::Tubes,
            (reading, sheet),
            path.clone(),
            context,
            sink,
        );
        if let Some(pre_tube) = &reading.pre_tube {
            let stated = (&pre_tube.lot, &pre_tube.expires);
            let path = path.key("pre_tube");
            one(
                stated,
                BoxContents::PreTubes,
                (reading, sheet),
                path,
                context,
                sink,
            );
        }
    }
}

fn one(
    stated: (&Option<String>, &Option<Day>),
    contents: BoxContents,
    of: (&Reading, &TubeEntry),
    path: Path,
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    let (Some(lot), Some(expires)) = stated else {
        return;
    };
    let read = of.0.at.as_ref().map(Moment::date);
    let boxes: Vec<ListedBox<'_>> = context
        .book
        .boxes_of_lot(lot)
        .filter(|listed| listed.stock.contents() == contents && listed.is_of(of.1))
        .filter(|listed| read.is_none_or(|day| listed.may_be_there_on(day)))
        .collect();
    let its = |listed: &ListedBox<'_>| listed.stock.expires.clone();
    let agrees = |listed: &ListedBox<'_>| its(listed).is_none_or(|its| can_be_same(&its, expires));
    let Some((first, its)) = boxes.first().and_then(|first| Some((first, its(first)?))) else {
        return;
    };
    if boxes.iter().any(agrees) {
        return;
    }
    sink.report(
        sink.at(path.key("expires"))
            .message("the box of this lot in stock has another expiry")
            .label(format!(
                "{} written, {} of `{}`",
                expires.text(),
                its.text(),
                first.stock.id.as_deref().unwrap_or_default()
            ))
            .related(Place::value(first.entry.file, first.path().key("expires")), "the box in stock")
            .note("what the survey says counts; if it was copied wrong, a tube that had expired passes for a good one")
            .help("look at the box, and correct the one that is wrong")
            .fact("written", Fact::text(expires.text()))
            .fact("in_stock", Fact::text(its.text())),
    );
}
