//! A reading that is not one of a value, two sides, or what was seen instead.

use stainbook_catalog::written::SurveyEntry;
use stainbook_catalog::written::scalars::{Num, Stated};
use stainbook_core::Concentration;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "reading-not-one-kind",
    level: Level::Error,
    since: "0.1.0",
    summary: "A reading is not exactly one of a value, a short and a long side, or what was seen instead.",
    family: Family::Field,
    docs: include_str!("reading-not-one-kind.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, reading) in survey.readings.iter().enumerate() {
        let Some(seen) = &reading.reading else {
            continue;
        };
        let path = Path::root().key("readings").index(row).key("reading");
        if context.may_have_others(
            &path,
            &[
                "at",
                "short",
                "long",
                "at_mm",
                "short_mm",
                "long_mm",
                "uncertainty",
                "seen",
                "less_than",
                "more_than",
            ],
        ) {
            continue;
        }
        let given = |key: &'static str, understood: Option<&Stated<Concentration>>| {
            !context.is_absent(understood, &path.clone().key(key))
        };
        let given_mm = |key: &'static str, understood: Option<&Num>| {
            !context.is_absent(understood, &path.clone().key(key))
        };
        let pairs = [
            (
                given("at", seen.at.as_ref()),
                given_mm("at_mm", seen.at_mm.as_ref()),
            ),
            (
                given("short", seen.short.as_ref()),
                given_mm("short_mm", seen.short_mm.as_ref()),
            ),
            (
                given("long", seen.long.as_ref()),
                given_mm("long_mm", seen.long_mm.as_ref()),
            ),
        ];
        let twice = pairs
            .iter()
            .any(|(concentration, mark)| *concentration && *mark);
        let [at, short, long] = pairs.map(|(concentration, mark)| concentration || mark);
        let seen_instead = !context.is_absent(seen.seen.as_ref(), &path.clone().key("seen"));
        let alternatives = [
            seen_instead,
            given("less_than", seen.less_than.as_ref()),
            given("more_than", seen.more_than.as_ref()),
        ];
        let other = alternatives.contains(&true);
        let two_others = 1 < alternatives.iter().filter(|given| **given).count();
        let label = match (at, short, long, other) {
            _ if twice => Some("a concentration and a millimetre mark for one place"),
            (true, false, false, false) => None,
            (false, false, false, true) if !two_others => None,
            (false, true, true, false) => match (&seen.short, &seen.long) {
                (Some(short), Some(long)) if long.value() < short.value() => {
                    Some("the short side is longer than the long side")
                }
                _ => match (&seen.short_mm, &seen.long_mm) {
                    (Some(short), Some(long)) if long.value() < short.value() => {
                        Some("the short side is longer than the long side")
                    }
                    _ => None,
                },
            },
            (false, true, false, false) => Some("the long side is missing"),
            (false, false, true, false) => Some("the short side is missing"),
            (false, false, false, false) => Some("nothing was read"),
            _ => Some("more than one of them"),
        };
        let Some(label) = label else { continue };
        let name = reading.id.clone().unwrap_or_else(|| format!("{}", row + 1));
        sink.report(
            sink.at(path)
                .message(format!("reading {name} does not say one thing"))
                .label(label)
                .note("the stain fades, so what is written here is the only record; a guess at what was meant is not one")
                .help(context.words(
                    help!(
                        "write {}, or {} for an uneven front, or {}",
                        Offer::yaml("{at: 5 ppm}"),
                        Offer::yaml("{short: 4 ppm, long: 5 ppm}"),
                        ["no stain", "below first mark", "beyond last mark"]
                            .map(|seen| Offer::yaml(format!("{{seen: {seen}}}")))
                            .to_vec()
                    ),
                    help!("fill in `reading`, or `short` and `long` for an uneven front, or write {}, {} or {} under `seen`; keep one of the three", Offer::cell_under("seen", "no stain").in_part(), Offer::cell_under("seen", "below first mark").in_part(), Offer::cell_under("seen", "beyond last mark").in_part()),
                ))
                .fact("reading", Fact::text(name.clone())),
        );
    }
}
