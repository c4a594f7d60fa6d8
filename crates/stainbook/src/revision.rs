//! Two states of a catalog and what the change does to results; results that were kept, and whether they still hold.

pub use stainbook_revision::changes::{Added, Changed, Changes, Named, State, changes};
pub use stainbook_revision::effects::{
    AtCondition, LimitMove, Move, Readings, Revision, SheetEffects, SubstanceEffects,
};
pub use stainbook_revision::record::{NoRecord, Record, verify, verify_one};
pub use stainbook_revision::verification::{
    Datum, Verification, Verified, VerifiedRecord, VerifiedResult, VerifiedState, VerifiedTogether,
};
