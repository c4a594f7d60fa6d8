//! Finding a tube before anybody draws air: which sheets of a catalog can speak to a gas at a level, in the air of the
//! place, in the time there is, with the pump at hand, and which cannot and why.
//!
//! Nothing is worked out by other means than a result later is: for each stroke count the reading is sought that would
//! come out as the level, corrections, other gases and all, and that reading is evaluated. So what is proposed here is
//! what [`evaluate`](stainbook_evaluation::evaluate) makes of it on the day.
//!
//! ```
//! use stainbook_catalog::Book;
//! use stainbook_tube_search::{Wanted, find};
//! use stainbook_evaluation::Options;
//!
//! let (book, _) = Book::demo();
//! let mut wanted = Wanted::default();
//! wanted.substance = "chlorine".to_owned();
//! wanted.limits = vec!["NIOSH ceiling".to_owned()];
//! let search = find(&book, &wanted, &Options::default()).map_err(|refusal| refusal.text)?;
//! assert_eq!(search.levels[0].text, "0.5 ppm");
//! assert_eq!(search.serve[0].sheet, "brinewash-chlorine-a-r2");
//! // Every sheet of the catalog is in one of the two lists, and only in one.
//! assert_eq!(search.serve.len() + search.cannot.len(), book.tubes().count());
//! # Ok::<(), String>(())
//! ```

#![cfg_attr(
    test,
    allow(
        clippy::float_cmp,
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "a test compares with the very figure, and its counts are small"
    )
)]

mod demand;
mod found;
mod level;
mod limit_choice;
mod question;
mod ranking;
mod reasons;
mod route;
mod search;
mod spoken;
mod trial;
mod way;

pub use found::{
    Assumed, AtLevel, Condition, Coverage, Excluded, JudgedHere, LevelSought, LimitSought,
    PresentGas, PumpAsked, Reason, Search, Sought, SuitableTube, Way, Weight,
};
pub use search::find;
pub use spoken::{minutes, strokes_in_words};

use stainbook_catalog::written::{Conditions, OtherGases, Present};
use stainbook_core::{Concentration, Duration, Written};

/// The purpose that a tube is sought for.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct Wanted {
    /// The gas: a CAS number, short name, name or synonym; or the name of a group.
    pub substance: String,
    /// The level that is expected. Without it the limits themselves are the levels.
    pub level: Option<Written<Concentration>>,
    /// Limits of the gas, each by as many words as tell it apart: `US NIOSH ceiling`, `short-term`, `NIOSH IDLH`,
    /// `OSHA 1 ppm`; `all` for all of them.
    pub limits: Vec<String>,
    /// The air of the place. What is not stated is taken as at each sheet's own calibration, which is said.
    pub conditions: Conditions,
    /// Other gases in the air, with or without a level.
    pub present: Vec<Present>,
    /// `none known`, if somebody has asked for other gases and knows of none beside those.
    pub interferents: Option<OtherGases>,
    /// The time there is for drawing.
    pub within: Option<Duration>,
    /// A pump, or a kind of pump, by its short name.
    pub pump: Option<String>,
}

/// The README's example is run with the others.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
