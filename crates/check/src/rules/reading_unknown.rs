//! A name that no reading of the survey has.

use std::collections::BTreeSet;

use stainbook_catalog::written::{SurveyEntry, TogetherMethod};
use stainbook_document::did_you_mean::nearest;
use stainbook_document::finding::{Fact, Finding, Level};
use stainbook_document::help;
use stainbook_document::offer::{Help, Offer};

use crate::readings::placed;
use crate::together::{ReadingsByName, named, names_are_known, rows};
use crate::{Check, Context, Family, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "reading-unknown",
    level: Level::Error,
    since: "0.1.0",
    summary: "A survey speaks of a reading that it does not have.",
    family: Family::Field,
    docs: include_str!("reading-unknown.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    if !names_are_known(survey, context) {
        return;
    }
    let known = ReadingsByName::of(survey);
    let readings: Vec<&str> = placed(survey)
        .filter_map(|(_, reading)| reading.id.as_deref())
        .collect();
    let mut closest = Closest::default();
    for (path, reading) in placed(survey) {
        let Some(of) = reading.repeat_of.as_deref() else {
            continue;
        };
        let own = reading.id.as_deref();
        let others = readings.iter().copied().filter(|id| Some(*id) != own);
        let at = sink.at(path.key("repeat_of"));
        if Some(of) == own {
            sink.report(
                at.message(format!("`{of}` is said to repeat itself"))
                    .label("the reading's own name")
                    .note("a repeat is told from what it repeats by their names")
                    .help(closest.name(
                        of,
                        others,
                        "name the reading that was drawn before this one at the same place",
                    ))
                    .fact("written", Fact::text(of)),
            );
        } else if !known.has(of) {
            let finding = unknown(at, of);
            sink.report(finding.help(closest.name(
                of,
                others,
                help!(
                    "name another reading of this survey, or take {} out",
                    Offer::left_out("repeat_of")
                ),
            )));
        }
    }
    let all: BTreeSet<&str> = survey
        .together
        .iter()
        .filter(|row| row.method == Some(TogetherMethod::Average))
        .filter_map(|row| row.id.as_deref())
        .collect();
    let mut averages: BTreeSet<&str> = BTreeSet::new();
    for (path, row) in rows(survey) {
        for named in named(&path, row) {
            if known.has(named.id) || averages.contains(named.id) {
                continue;
            }
            let below = all.contains(named.id);
            let finding = unknown(sink.at(named.path), named.id);
            let known = readings.iter().chain(&averages).copied();
            sink.report(if below && row.id.as_deref() != Some(named.id) {
                finding.help(format!(
                    "the average `{}` stands below: averages come first, so move its row up",
                    named.id
                ))
            } else {
                finding.help(closest.name(
                    named.id,
                    known,
                    "write the `id` of a reading, or under `averages` that of an average above",
                ))
            });
        }
        if row.method == Some(TogetherMethod::Average) {
            averages.extend(row.id.as_deref());
        }
    }
}

fn unknown(at: Finding, id: &str) -> Finding {
    at.message(format!("there is no reading `{id}`"))
        .label("no reading has this name")
        .note("what is put together without it has no result, as a reading that is missing would be missed silently")
        .fact("written", Fact::text(id))
}

/// Names that are compared with all others, letter by letter, to find the one that was meant.
const MOST_COMPARED: usize = 100;

/// The names that were meant. Of a survey that was copied without its readings thousands are unknown, and each of them is
/// like none of the thousands that are there.
#[derive(Default)]
struct Closest {
    compared: usize,
}

impl Closest {
    fn name<'a>(
        &mut self,
        id: &str,
        known: impl Iterator<Item = &'a str>,
        otherwise: impl Into<Help>,
    ) -> Help {
        self.compared += 1;
        let near = if self.compared <= MOST_COMPARED {
            nearest(id, known)
        } else {
            None
        };
        near.map_or_else(
            || otherwise.into(),
            |near| help!("did you mean {}?", Offer::yaml(near.to_owned())),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn not_every_one_of_thousands_is_compared_with_all_others() {
        let mut closest = Closest::default();
        let mut asked = 0;
        for _ in 0..5000 {
            let known = ["r1", "s2"].into_iter().inspect(|_| asked += 1);
            closest.name("r2x", known, "-");
        }
        assert_eq!(asked, 2 * MOST_COMPARED);
    }
}
