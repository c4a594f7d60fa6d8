//! Two transcriptions of one leaflet, or two states of one entry: every difference in what they mean.
//!
//! Two people type the same leaflet in without looking at each other's work; whatever one of them slipped at shows as a
//! difference. What the eye sees but the leaflet does not mean is passed over: layout, order of fields, quoting, comments,
//! the spelling of a unit, the order of rows in a table whose rows have names of their own. What counts is told at
//! [`DifferenceKind`].
//!
//! ```
//! use stainbook_catalog::READ_OPTIONS;
//! use stainbook_document::Document;
//! use stainbook_document::place::FileId;
//! use stainbook_catalog::EntryKind;
//! use stainbook_check::compare::{DifferenceKind, Scope, compare};
//!
//! let read = |file, text: &str| Document::read(FileId(file), "quay.pump-kind.yaml", text.as_bytes(), &READ_OPTIONS).0;
//! let kl = read(0, "pump_kind: quay-kl\nstroke: 100 mL\nhalf_strokes: true\n");
//! let mt = read(1, "pump_kind: quay-mt\nhalf_strokes: true\nstroke: 100.0 ml\n");
//! let differences = compare(EntryKind::PumpKind, &kl, &mt, Scope::Leaflet);
//! assert_eq!(differences.len(), 1);
//! assert_eq!(differences[0].kind, DifferenceKind::Digits);
//! ```

mod align;
mod figure;
mod fitness;
mod lists;
mod pairing;
mod shape;
mod slip;
mod tables;
mod walk;

use stainbook_catalog::EntryKind;
use stainbook_document::Document;
use stainbook_document::place::Place;

pub use fitness::unfit;
pub use pairing::{Pairs, pair};
pub use slip::LikelySlip;

use shape::Shape;
use walk::{ComparisonWalk, WalkPosition};

/// Extent of a comparison.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Scope {
    /// The leaflet's contents. Who typed it in and who verified it (`entered`, `verified`), and the entry's own short name,
    /// are not on the leaflet: two people give their drafts two names.
    #[default]
    Leaflet,
    /// All fields.
    Everything,
}

/// Kind of difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DifferenceKind {
    /// Another number.
    Number,
    /// The same number with another number of printed digits: 5 and 5.0.
    Digits,
    /// Another unit, whatever the number.
    Unit,
    /// Other words.
    Words,
    /// A field, row or list entry that A has and B has not.
    OnlyInA,
    /// A field, row or list entry that B has and A has not.
    OnlyInB,
    /// A list here and a single value there, and the like.
    Shape,
}

impl DifferenceKind {
    /// The word for scripts.
    pub fn name(self) -> &'static str {
        match self {
            Self::Number => "number",
            Self::Digits => "digits",
            Self::Unit => "unit",
            Self::Words => "words",
            Self::OnlyInA => "only_in_a",
            Self::OnlyInB => "only_in_b",
            Self::Shape => "shape",
        }
    }
}

/// One side of a difference.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct DifferenceSide {
    /// Place: the value, or field and value where the other side has none.
    pub place: Place,
    /// The text there, on one line.
    pub text: String,
}

/// One difference in meaning.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Difference {
    /// The field, in the words of the sheet: `draw, ranges, strokes 8, multiply_by`.
    pub field: String,
    /// The names of which [`field`](Self::field) is made, outermost first.
    pub names: Vec<String>,
    /// Kind of difference.
    pub kind: DifferenceKind,
    /// A's side, if it says something.
    pub a: Option<DifferenceSide>,
    /// B's side, if it says something.
    pub b: Option<DifferenceSide>,
    /// Likely slip that makes one number of the other.
    pub slip: Option<LikelySlip>,
}

/// Every difference in meaning between two documents of one kind, in the order of A, then what only B has.
///
/// Both have to be readable to their ends: see [`Document::is_broken`]. A repeated field counts with its first value, so
/// that the caller has to refuse documents in which reading found one.
pub fn compare(kind: EntryKind, a: &Document, b: &Document, scope: Scope) -> Vec<Difference> {
    let (Some(root_a), Some(root_b)) = (a.root(), b.root()) else {
        return walk::one_is_empty(a, b);
    };
    let mut walk = ComparisonWalk::new(kind, a.file(), b.file(), skipped(kind, scope));
    walk.value(root_a, root_b, Shape::of(kind), &WalkPosition::root());
    walk.found
}

/// The topmost fields that are not compared.
fn skipped(kind: EntryKind, scope: Scope) -> Vec<&'static str> {
    match scope {
        Scope::Leaflet => vec![kind.id_key(), "entered", "verified"],
        Scope::Everything => Vec::new(),
    }
}
