//! Names used before, in memory that does not grow with the survey.

use std::collections::{BTreeSet, VecDeque};
use std::hash::{DefaultHasher, Hash, Hasher};

/// Number of names before the present one that are remembered. A survey of one plant in one year is well below it, so that for
/// every survey that a person keeps the answer is complete; a table with more rows is a machine's, and a name that comes
/// back after so many others is not found.
pub const REMEMBERED: usize = 65_536;

/// The names of the readings that went by last.
///
/// A name is kept as a number of 64 bits. That two of [`REMEMBERED`] names share one, and a reading is called repeated that
/// is not, has a probability of less than 10⁻⁹ for a whole survey of that length.
#[derive(Debug, Default)]
pub(crate) struct RepeatedIds {
    last: VecDeque<u64>,
    known: BTreeSet<u64>,
    forgotten: bool,
}

impl RepeatedIds {
    /// Notes a name; true if it was among the last ones.
    pub(crate) fn seen(&mut self, id: &str) -> bool {
        let mut hasher = DefaultHasher::new();
        id.hash(&mut hasher);
        let name = hasher.finish();
        if !self.known.insert(name) {
            return true;
        }
        if self.last.len() == REMEMBERED
            && let Some(oldest) = self.last.pop_front()
        {
            self.known.remove(&oldest);
            self.forgotten = true;
        }
        self.last.push_back(name);
        false
    }

    /// True if there were more names than are remembered.
    pub(crate) fn has_forgotten(&self) -> bool {
        self.forgotten
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_found_again_within_what_is_remembered_and_no_farther() {
        let mut ids = RepeatedIds::default();
        assert!(!ids.seen("r1"));
        assert!(ids.seen("r1"));
        for index in 0..REMEMBERED - 1 {
            assert!(!ids.seen(&format!("x{index}")));
        }
        assert!(ids.seen("r1") && !ids.has_forgotten());
        assert!(!ids.seen("y"));
        assert!(ids.has_forgotten());
        assert!(!ids.seen("r1"), "it is the oldest and was forgotten");
        assert_eq!(ids.last.len(), ids.known.len());
    }
}
