//! Trials of tubes that disturb each other: in each the levels are sought that fit all tubes, as for the readings themselves.

use super::{Deviation, DrawnErrors, TiedReading};
use crate::budget::Role;
use crate::chain::columns::{Room, SIDE_BY_SIDE, TrialColumn};
use crate::square_matrix::Matrix;
use crate::tube_trials::{Columns, start};
use stainbook_uncertainty::monte_carlo::Clamped;

/// Number of steps of Newton's method. One solves a straight system, tables with bends need a few.
const MOST_STEPS: usize = 20;

/// A step that changes no level by more than this part of what was found for the readings themselves has settled.
const SETTLED: f64 = 1e-9;

/// Relative step of a derivative; downward, as less of a gas never leaves less of the other than can be told.
const STEP: f64 = 1e-4;

/// Tubes of one air.
#[derive(Debug)]
pub(crate) struct SolvedTubes<'m> {
    /// The tubes.
    pub(crate) tubes: Vec<SolvedTube<'m>>,
    /// The level of a draw that nothing fits.
    pub(crate) unfit: Unfit,
}

/// The level in a draw that nothing fits, so that what is said of it errs on the safe side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unfit {
    /// None: for a lower end.
    Nothing,
    /// Above everything: for an upper end.
    AboveEverything,
}

impl Unfit {
    const fn level(self) -> f64 {
        match self {
            Self::Nothing => 0.0,
            Self::AboveEverything => f64::INFINITY,
        }
    }
}

/// A tube of the system, with the share of the gases that are not solved for in its model.
#[derive(Debug)]
pub(crate) struct SolvedTube<'m> {
    pub(crate) reading: TiedReading<'m>,
    /// The level that was found for the readings themselves.
    pub(crate) level: f64,
    /// Shares of the other gases in its stain.
    pub(crate) others: Vec<OtherShare>,
}

/// The share of a stain that another gas has, which is solved for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OtherShare {
    /// The place of its own tube.
    pub(crate) tube: usize,
    /// The share at the level found; in proportion to the level.
    pub(crate) amount: f64,
    /// The error of that.
    pub(crate) deviation: Option<Deviation>,
}

/// Columns of trials side by side.
pub(super) struct SolvedColumns {
    columns: Vec<Columns>,
    /// For each tube the share of gases that are not solved for, and that of each other at the level found.
    own_share: Vec<TrialColumn>,
    shares: Vec<Vec<TrialColumn>>,
    levels: Vec<TrialColumn>,
    /// Results of the tubes at these levels.
    results: Vec<TrialColumn>,
    /// Results of each tube with each level moved: row by row.
    moved: Vec<TrialColumn>,
}

impl SolvedTubes<'_> {
    pub(super) fn work(&self) -> SolvedColumns {
        let columns = |number: usize| vec![[0.0; SIDE_BY_SIDE]; number];
        let tubes = self.tubes.len();
        SolvedColumns {
            columns: self
                .tubes
                .iter()
                .map(|tube| tube.reading.columns())
                .collect(),
            own_share: columns(tubes),
            shares: self
                .tubes
                .iter()
                .map(|tube| columns(tube.others.len()))
                .collect(),
            levels: columns(tubes),
            results: columns(tubes),
            moved: columns(tubes * tubes),
        }
    }

    /// The levels of so many trials.
    pub(super) fn solve<'w>(
        &self,
        errors: &DrawnErrors,
        work: &'w mut SolvedColumns,
        room: &mut Room,
        trials: usize,
        held: &mut Clamped,
    ) -> &'w [TrialColumn] {
        self.fill(errors, work);
        let mut settled = [false; SIDE_BY_SIDE];
        for _ in 0..MOST_STEPS {
            self.results(work, room, trials, &mut Clamped::default());
            self.moved_results(work, room, trials);
            self.step(work, &mut settled, trials);
            if settled.iter().take(trials).all(|settled| *settled) {
                break;
            }
        }
        self.results(work, room, trials, held);
        for (trial, settled) in settled.iter().enumerate().take(trials) {
            let fits = *settled
                && work
                    .levels
                    .iter()
                    .filter_map(|column| column.get(trial))
                    .all(|level| level.is_finite());
            if !fits {
                for slot in work
                    .levels
                    .iter_mut()
                    .filter_map(|column| column.get_mut(trial))
                {
                    *slot = self.unfit.level();
                }
            }
        }
        &work.levels
    }

    /// Fills in what is drawn, and starts from the levels that fit the readings themselves.
    fn fill(&self, errors: &DrawnErrors, work: &mut SolvedColumns) {
        let of_tubes = self.tubes.iter().zip(&mut work.columns);
        let shares = work.own_share.iter_mut().zip(&mut work.shares);
        for (((tube, columns), (own, shares)), levels) in of_tubes.zip(shares).zip(&mut work.levels)
        {
            // Where nothing is drawn for it, what the last trials put there is still in it.
            let trials = &tube.reading.trials;
            columns.share.fill(start(&trials.run, Role::Share));
            tube.reading.fill(errors, columns);
            *own = columns.share;
            for (other, share) in tube.others.iter().zip(shares) {
                share.fill(other.amount);
                if let Some(deviation) = other.deviation {
                    errors.each(deviation, share, |slot, error| *slot += error);
                }
            }
            levels.fill(tube.level);
        }
    }

    /// The results of all tubes at the levels as they are.
    fn results(
        &self,
        work: &mut SolvedColumns,
        room: &mut Room,
        trials: usize,
        held: &mut Clamped,
    ) {
        for row in 0..self.tubes.len() {
            let mut out = [0.0; SIDE_BY_SIDE];
            self.result(row, None, work, (room, trials, held), &mut out);
            if let Some(slot) = work.results.get_mut(row) {
                *slot = out;
            }
        }
    }

    /// The results of each tube with the level of each other one moved.
    fn moved_results(&self, work: &mut SolvedColumns, room: &mut Room, trials: usize) {
        let tubes = self.tubes.len();
        for row in 0..tubes {
            for column in (0..tubes).filter(|column| *column != row) {
                let mut out = [0.0; SIDE_BY_SIDE];
                let mut uncounted = Clamped::default();
                let by = (&mut *room, trials, &mut uncounted);
                self.result(row, Some(column), work, by, &mut out);
                if let Some(slot) = work.moved.get_mut(row * tubes + column) {
                    *slot = out;
                }
            }
        }
    }

    /// The results of one tube, with the level of one other moved by a small step, or none.
    fn result(
        &self,
        row: usize,
        moved: Option<usize>,
        work: &mut SolvedColumns,
        (room, trials, held): (&mut Room, usize, &mut Clamped),
        out: &mut TrialColumn,
    ) {
        let (Some(tube), Some(columns)) = (self.tubes.get(row), work.columns.get_mut(row)) else {
            return;
        };
        let (Some(own), Some(shares)) = (work.own_share.get(row), work.shares.get(row)) else {
            return;
        };
        columns.share = *own;
        for (other, share) in tube.others.iter().zip(shares) {
            let (Some(levels), Some(found)) =
                (work.levels.get(other.tube), self.tubes.get(other.tube))
            else {
                continue;
            };
            for ((slot, share), level) in columns.share.iter_mut().zip(share).zip(levels) {
                let step = if moved == Some(other.tube) {
                    step(*level, found.level)
                } else {
                    0.0
                };
                *slot += share * (level + step) / found.level;
            }
        }
        if let Some(out) = out.get_mut(..trials) {
            tube.reading.trials.outcomes(columns, room, out, held);
        }
    }

    /// One step of Newton's method in every trial that has not settled.
    fn step(&self, work: &mut SolvedColumns, settled: &mut [bool], trials: usize) {
        let tubes = self.tubes.len();
        let at = |columns: &[TrialColumn], column: usize, trial: usize| {
            let column = columns.get(column);
            column
                .and_then(|column| column.get(trial))
                .copied()
                .unwrap_or(f64::NAN)
        };
        let open = settled.iter_mut().enumerate().take(trials);
        for (trial, settled) in open.filter(|(_, settled)| !**settled) {
            let mut matrix = Matrix::unit(tubes);
            let mut misses = Vec::with_capacity(tubes);
            for row in 0..tubes {
                let result = at(&work.results, row, trial);
                misses.push(at(&work.levels, row, trial) - result);
                for (column, other) in self.tubes.iter().enumerate() {
                    if column != row {
                        let there = at(&work.moved, row * tubes + column, trial);
                        let step = step(at(&work.levels, column, trial), other.level);
                        matrix.set(row, column, -(there - result) / step);
                    }
                }
            }
            let Some(inverse) = matrix.inverse(0.0) else {
                continue;
            };
            let mut all_settled = true;
            for ((levels, step), tube) in work
                .levels
                .iter_mut()
                .zip(inverse.times(&misses))
                .zip(&self.tubes)
            {
                if let Some(level) = levels.get_mut(trial) {
                    // A level below nothing is none; the tube's own result is not below that either.
                    let next = (*level - step).max(0.0);
                    all_settled &= (next - *level).abs() <= SETTLED * tube.level.max(next);
                    *level = next;
                }
            }
            *settled = all_settled;
        }
    }
}

/// A small step from a level, downward where there is room.
fn step(level: f64, found: f64) -> f64 {
    if 0.0 < level {
        -STEP * level
    } else {
        STEP * found
    }
}
