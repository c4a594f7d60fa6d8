//! Compared fields of one reading's result.

use stainbook_evaluation::result::{ReadingResult, Status};

use super::fields::Fields;
use super::{Compared, VerdictMove, Walk, refused, verdicts};

impl Compared for ReadingResult {
    fn id(&self) -> &str {
        &self.id
    }

    fn sheet(&self) -> Option<&str> {
        self.sheet.as_ref().map(|sheet| sheet.id.as_str())
    }

    fn in_words(&self) -> String {
        let sign = match self.status {
            Status::Measured => "",
            Status::LessThan => "< ",
            Status::MoreThan => "> ",
            Status::Refused => return refused(self.refusal.as_ref().map(|refusal| &refusal.code)),
        };
        self.concentration.as_ref().map_or_else(
            || "no result".to_owned(),
            |amount| format!("{sign}{} {}", amount.text, amount.unit),
        )
    }

    fn has_status_of(&self, is: &Self) -> bool {
        self.status == is.status
    }

    fn moved_by(&self, is: &Self) -> Option<f64> {
        let (old, new) = self.concentration.as_ref().zip(is.concentration.as_ref())?;
        (old.unit == new.unit).then(|| new.value / old.value - 1.0)
    }

    fn turned(&self, is: &Self) -> Vec<VerdictMove> {
        verdicts(&self.against, &is.against)
    }

    fn walk(&self, is: &Self, walk: &mut Walk) {
        Fields::walk(self, is, walk);
        if generator(self) != generator(is) {
            // Their shares above a limit are other figures too; the verdicts are not.
            walk.found
                .retain(|one| !one.pointer.contains("/probability_"));
        }
        walk.codes(
            (&self.flags, self.refusal.as_ref()),
            (&is.flags, is.refusal.as_ref()),
        );
    }
}

fn generator(of: &ReadingResult) -> Option<&str> {
    let drawn = of.uncertainty.as_ref()?.monte_carlo.as_ref()?;
    Some(&drawn.generator)
}
