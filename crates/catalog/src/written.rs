//! The written form: what an author wrote, digits kept, nothing judged.
//!
//! One struct per kind of file; every scalar is an `Option` and every list may be empty, so that a file with
//! one bad line is still read as far as it goes. Which fields are required is said by the schema
//! (`x-required` below becomes `required` there), and whether the whole makes sense is for the rules.
//!
//! The doc comments are the descriptions that a hygienist sees in an editor.

mod absent;
pub mod catalog;
pub mod import_map;
pub mod limit_kind;
pub mod plan;
pub mod pump;
mod scalar_problem;
pub mod scalars;
pub(crate) mod shape;
pub mod source;
pub mod stock;
pub mod substance;
pub mod survey;
mod table_cell;
pub mod tube;

pub use catalog::{CatalogEntry, ReferenceConditions, RuleLevel, WrittenLevel};
pub use import_map::{ImportMap, MappedColumn};
pub use limit_kind::LimitKind;
pub use plan::{PlanEntry, PlannedReading};
pub use pump::{LeakTest, LeakTestRecord, PumpEntry, PumpKindEntry, Repair, VolumeCheck};
pub use scalars::{Count, Day, Lots, Moment, Num, Stated, StatedRange, StatedSpan};
pub use source::{Obtained, SourceEntry};
pub use stock::{BoxContents, BoxListEntry, StockBoxEntry};
pub use substance::{
    BoilingPoint, ExplosiveLimits, GroupEntry, Limit, NameInLanguage, Peak, SubstanceEntry,
    VapourPressure,
};
pub use survey::{
    Amendment, Assurable, Assured, Atmosphere, Conditions, GroupRow, Instruction, Judge,
    LimitChoice, Observation, OtherGases, PreTubeUsed, Preparation, Present, Reading, ReadsTo,
    Rest, Seen, SurveyEntry, TogetherMethod,
};
pub use table_cell::TableCell;
pub use tube::{Leaflet, Measures, Signed, TubeEntry};
