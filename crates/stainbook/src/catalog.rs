//! Files of a catalog, read into a book, and its entries as they were written.
//!
//! The written form can be written out again by serde, and the reader reads it back.

pub use stainbook_catalog::embedded::{
    EmbeddedFile, REFERENCE_NAME, demo_files, demo_tables, reference_files,
};
pub use stainbook_catalog::references::NamedOtherwise;
pub use stainbook_catalog::schema::{Draft, schema};
pub use stainbook_catalog::search::{NamedBy, NoSuchSubstance, Understood};
pub use stainbook_catalog::written::{
    Amendment, Assurable, Assured, BoxContents, BoxListEntry, CatalogEntry, Conditions, Count, Day,
    GroupEntry, GroupRow, Instruction, Judge, Limit, LimitChoice, LimitKind, Lots, Moment,
    NameInLanguage, Num, Observation, OtherGases, PlanEntry, PlannedReading, PreTubeUsed, Present,
    PumpEntry, PumpKindEntry, Reading, Repair, Rest, Seen, SourceEntry, Stated, StatedRange,
    StockBoxEntry, SubstanceEntry, SurveyEntry, TogetherMethod, TubeEntry,
};
pub use stainbook_catalog::{Book, Entry, EntryKind, ListedBox, SourceFile, WrittenEntry};
