//! Compared fields of readings together.

use stainbook_evaluation::result::{GroupResult, GroupStatus};

use super::fields::Fields;
use super::{Compared, VerdictMove, Walk, refused, verdicts};

impl Compared for GroupResult {
    fn id(&self) -> &str {
        &self.id
    }

    fn sheet(&self) -> Option<&str> {
        None
    }

    /// `24 ± 6 ppm`, `less than 5.00 ppm`, `0.8 ± 0.3 of 1`, `compliance`, `refused (time-missing)`.
    fn in_words(&self) -> String {
        if self.status == GroupStatus::Refused {
            return refused(self.refusal.as_ref().map(|refusal| &refusal.code));
        }
        let each: Vec<String> = if !self.solved.is_empty() {
            let solved = self.solved.iter();
            solved
                .map(|one| format!("{} {} {}", one.reading, one.text, one.unit))
                .collect()
        } else if let Some(text) = &self.text {
            let unit = match self.unit.as_deref() {
                Some("1") => "of 1",
                unit => unit.unwrap_or_default(),
            };
            vec![format!("{text} {unit}")]
        } else {
            let tests = self.tests.iter();
            tests.map(|test| test.decision.words().to_owned()).collect()
        };
        each.join(", ")
    }

    fn has_status_of(&self, is: &Self) -> bool {
        self.status == is.status
    }

    /// Of bounds the end that moved the most counts, and of gases that were solved for together the one that did.
    fn moved_by(&self, is: &Self) -> Option<f64> {
        if self.unit != is.unit {
            return None;
        }
        let part = |(old, new): (Option<f64>, Option<f64>)| {
            let by = new? / old? - 1.0;
            by.is_finite().then_some(by)
        };
        let pairs = self.solved.iter().zip(&is.solved);
        let solved = pairs
            .filter(|(was, is)| was.unit == is.unit)
            .flat_map(|(was, is)| {
                [
                    (was.value, is.value),
                    (was.lowest, is.lowest),
                    (was.highest, is.highest),
                ]
            });
        [
            (self.value, is.value),
            (self.lowest, is.lowest),
            (self.highest, is.highest),
        ]
        .into_iter()
        .chain(solved)
        .filter_map(part)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()))
    }

    fn turned(&self, is: &Self) -> Vec<VerdictMove> {
        let mut turned = verdicts(&self.against, &is.against);
        turned.extend(tests(self, is));
        for (was, is) in self.solved.iter().zip(&is.solved) {
            let verdicts = verdicts(&was.against, &is.against).into_iter();
            turned.extend(verdicts.map(|verdict| VerdictMove {
                limit: format!("{}, {}", is.reading, verdict.limit),
                ..verdict
            }));
        }
        turned
    }

    fn walk(&self, is: &Self, walk: &mut Walk) {
        Fields::walk(self, is, walk);
        walk.codes(
            (&self.flags, self.refusal.as_ref()),
            (&is.flags, is.refusal.as_ref()),
        );
    }
}

/// Tests that come out otherwise, by their names.
fn tests(was: &GroupResult, is: &GroupResult) -> Vec<VerdictMove> {
    let decision = |of: &GroupResult, name: &str| {
        let test = of.tests.iter().find(|test| test.name == name)?;
        Some(test.decision.words())
    };
    let gone = was
        .tests
        .iter()
        .filter(|test| decision(is, &test.name).is_none());
    is.tests
        .iter()
        .chain(gone)
        .map(|test| VerdictMove {
            limit: test.name.clone(),
            old: decision(was, &test.name),
            new: decision(is, &test.name),
        })
        .filter(|verdict| verdict.old != verdict.new)
        .collect()
}
