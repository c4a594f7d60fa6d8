//! Effects of a change of a catalog: the results that move, by how much, where on the scale and at which conditions.
//!
//! [`of_sheet`] works out readings with the old and the new state of a sheet, over marks, stroke counts, temperatures,
//! humidities and pressures, and says what moved: first at the calibration conditions by stroke count, then what each other
//! condition does on top of that. [`of_substance`] does the same for limits and molar mass, and [`of_survey`] works a
//! survey out with both states. All of them compute with the very chain that [`evaluate`](stainbook_evaluation::evaluate) uses, so that
//! nothing can move that is not seen here but what lies between the points of the grid.
//!
//! ```
//! use stainbook_catalog::Book;
//! use stainbook_revision::effects::{Revision, of_sheet};
//!
//! let (demo, _) = Book::demo();
//! let old = Revision { book: &demo, sheet: "brinewash-chlorine-a-r1" };
//! let new = Revision { book: &demo, sheet: "brinewash-chlorine-a-r2" };
//! assert!(of_sheet(old, old).moves.is_empty());
//! assert!(!of_sheet(old, new).moves.is_empty());
//! ```

mod grid;
mod group;
mod outcome;
mod sheet;
mod substance;
mod survey;

use serde::Serialize;

use stainbook_evaluation::outcome::Code;

pub use sheet::of_sheet;
pub use substance::of_substance;
pub use survey::of_survey;

use stainbook_catalog::Book;

/// One state of a sheet.
#[derive(Clone, Copy, Debug)]
pub struct Revision<'b> {
    /// The catalog that it belongs to.
    pub book: &'b Book,
    /// Its short name.
    pub sheet: &'b str,
}

/// Effects of a change of a sheet on results.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SheetEffects {
    /// Moves, the most general first.
    pub moves: Vec<Move>,
    /// Number of readings worked out both ways.
    pub computed: usize,
    /// Number of them that came out otherwise.
    pub moved: usize,
    /// The largest rise, as a part of the old result; zero if none rises.
    pub largest_rise: f64,
    /// The largest fall, as a part of the old result; zero if none falls.
    pub largest_fall: f64,
    /// Largest relative deviation of the listed moves, taken together, from a computed reading. Above half a
    /// percent the conditions act on each other, and the moves hold by themselves only.
    pub together_off: f64,
    /// Reason for which results cannot be compared, if they cannot.
    pub not_compared: Option<String>,
}

/// One thing that moves.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Move {
    /// The gas by its short name, if it is not the one that the scale is printed for.
    pub gas: Option<String>,
    /// The scale, if the tube has two.
    pub scale: Option<String>,
    /// The stroke count; null for all that both states have.
    pub strokes: Option<f64>,
    /// The condition that differs from the calibration's; null at calibration. A move at a condition comes on top of
    /// what moves at calibration.
    pub at: Option<AtCondition>,
    /// The readings on the scale; null for all of them.
    pub readings: Option<Readings>,
    /// Effect on the results.
    pub what: ResultEffect,
}

/// Conditions that move results in the same way.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AtCondition {
    /// `temperature`, `humidity` or `pressure`.
    pub axis: &'static str,
    /// The conditions, in rising order, with their units.
    pub values: Vec<String>,
}

/// Readings from one mark to another.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Readings {
    /// The lowest.
    pub from: f64,
    /// The highest.
    pub to: f64,
    /// The unit of the scale.
    pub unit: String,
}

/// Effects on results.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum ResultEffect {
    /// They are multiplied: by at least and at most so much, as a part of the old result; negative where they fall.
    Results {
        /// The smallest of the moves, with its sign.
        by_least: f64,
        /// The largest of the moves, with its sign.
        by_most: f64,
    },
    /// They were given and are refused now.
    NowRefused {
        /// The word for the refusal.
        code: Code,
        /// The reason, in words.
        text: String,
    },
    /// They were refused and are given now.
    NowGiven,
    /// They are marked now, and were not.
    NowFlagged {
        /// The flag.
        code: Code,
    },
    /// They were marked, and are no longer.
    NoLongerFlagged {
        /// The flag.
        code: Code,
    },
    /// Meaning of no stain.
    NoStain {
        /// Less than so much, before.
        old: String,
        /// Less than so much, now.
        new: String,
    },
    /// Their standard uncertainty, as a part of the result.
    Uncertainty {
        /// The least and the most of it before.
        old: [f64; 2],
        /// The least and the most of it now.
        new: [f64; 2],
    },
    /// Response factor of another gas; null where the sheet does not say.
    Response {
        /// The other gas.
        gas: String,
        /// Before.
        old: Option<f64>,
        /// Now.
        new: Option<f64>,
    },
}

/// Effects of a change of a substance.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SubstanceEffects {
    /// Its name.
    pub name: String,
    /// Limits that are other ones now.
    pub limits: Vec<LimitMove>,
    /// The molar mass in g/mol before and now, if it moved: conversions between ppm and mg/m³ move with it.
    pub molar_mass: Option<[f64; 2]>,
    /// Reason for which the substance cannot be compared, if it cannot.
    pub not_compared: Option<String>,
}

/// A limit that is another one now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LimitMove {
    /// Whose limit.
    pub authority: String,
    /// Kind of limit.
    pub kind: String,
    /// The averaging period, if it is not the usual one.
    pub averaged_over: Option<String>,
    /// The value before; null if there was none.
    pub old: Option<String>,
    /// The value now; null if there is none.
    pub new: Option<String>,
    /// The volume fraction in ppm that results are judged against, before.
    pub old_ppm: Option<f64>,
    /// The same now.
    pub new_ppm: Option<f64>,
}
