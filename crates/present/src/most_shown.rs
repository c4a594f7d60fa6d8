//! How many findings of one rule are shown of one file.
//!
//! Where a list was typed with decimal commas throughout, the first thousand findings say it, and a report of a hundred
//! megabytes says no more. The others are counted in a finding of their own, which every view shows like any other.

use std::borrow::Cow;
use std::collections::BTreeMap;

use stainbook_document::finding::{Fact, Fault, Finding, Level};
use stainbook_document::place::FileId;

/// Findings of one rule that are shown of one file.
pub const MOST_OF_A_RULE: usize = 1000;

/// Name of the fact that says how many further findings of the rule a file has.
pub const NOT_SHOWN: &str = "not_shown";

struct Further {
    count: usize,
    level: Level,
    fault: Fault,
}

/// The findings with at most [`MOST_OF_A_RULE`] of each rule in each file, in their order; where there are more, one finding
/// counts them, at the place of the first that is left out and at the level of the worst, with the fact [`NOT_SHOWN`].
///
/// Exit codes and totals are of all findings: count before.
pub fn most_shown(findings: &[Finding]) -> Cow<'_, [Finding]> {
    if findings.len() <= MOST_OF_A_RULE {
        return Cow::Borrowed(findings);
    }
    let mut met: BTreeMap<(FileId, &str), usize> = BTreeMap::new();
    let mut further: BTreeMap<(FileId, &str), Further> = BTreeMap::new();
    for finding in findings {
        let key = (finding.place().file, finding.rule());
        let count = met.entry(key).or_default();
        *count += 1;
        if MOST_OF_A_RULE < *count {
            let further = further.entry(key).or_insert(Further {
                count: 0,
                level: finding.level(),
                fault: Fault::Author,
            });
            further.count += 1;
            further.level = further.level.max(finding.level());
            if finding.fault() == Fault::Ours {
                further.fault = Fault::Ours;
            }
        }
    }
    if further.is_empty() {
        return Cow::Borrowed(findings);
    }
    let mut shown = Vec::new();
    met.clear();
    for finding in findings {
        let key = (finding.place().file, finding.rule());
        let count = met.entry(key).or_default();
        *count += 1;
        if *count <= MOST_OF_A_RULE {
            shown.push(finding.clone());
        } else if *count == MOST_OF_A_RULE + 1
            && let Some(further) = further.get(&key)
        {
            shown.push(counting(finding, further));
        }
    }
    Cow::Owned(shown)
}

/// The finding that stands for those that are not shown.
fn counting(first: &Finding, further: &Further) -> Finding {
    let count = further.count;
    let (more, are) = if count == 1 {
        ("1 more finding".to_owned(), "is")
    } else {
        (format!("{count} more findings"), "are")
    };
    #[allow(
        clippy::cast_precision_loss,
        reason = "a file has far fewer than 2^52 findings"
    )]
    let fact = Fact::number(count as f64, "", count.to_string());
    let finding = Finding::of(first.rule(), further.level, first.place().clone())
        .message(format!(
            "{more} of `{}` in this file {are} not shown",
            first.rule()
        ))
        .label("the first of them")
        .help("mend what is shown, and check again")
        .fact(NOT_SHOWN, fact);
    match further.fault {
        Fault::Ours => finding.our_fault(),
        Fault::Author => finding,
    }
}

#[cfg(test)]
mod tests {
    use stainbook_document::place::{Path, Place};

    use super::*;

    fn finding(file: u32, rule: &'static str, level: Level, index: usize) -> Finding {
        let place = Place::value(FileId(file), Path::root().key("readings").index(index));
        Finding::of(rule, level, place).message("x")
    }

    #[test]
    fn a_thousand_of_a_rule_are_shown_of_a_file_and_the_rest_is_counted() {
        let many = |file, rule, level, count| {
            (0..count).map(move |index| finding(file, rule, level, index))
        };
        let mut all: Vec<Finding> = many(1, "decimal-comma", Level::Warning, 1500).collect();
        all.extend(many(1, "not-a-number", Level::Error, 1000));
        all.extend(many(1, "decimal-comma", Level::Error, 1));
        all.extend(many(2, "decimal-comma", Level::Note, 1001));
        let shown = most_shown(&all);
        assert_eq!(shown.len(), 1001 + 1000 + 1001);
        let counting: Vec<&Finding> = shown
            .iter()
            .filter(|finding| finding.facts().iter().any(|(name, _)| *name == NOT_SHOWN))
            .collect();
        assert_eq!(
            counting
                .iter()
                .map(|finding| (finding.level(), finding.message_text()))
                .collect::<Vec<_>>(),
            [
                (
                    Level::Error,
                    "501 more findings of `decimal-comma` in this file are not shown"
                ),
                (
                    Level::Note,
                    "1 more finding of `decimal-comma` in this file is not shown"
                ),
            ]
        );
        assert_eq!(counting[0].place(), all[1000].place());
        assert!(matches!(most_shown(&all[..1000]), Cow::Borrowed(_)));
    }
}
