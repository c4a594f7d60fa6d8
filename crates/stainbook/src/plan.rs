//! Plans of rounds: tubes chosen for a draft, and the survey that a plan is the beginning of.

mod draft;
mod survey_rows;

pub use draft::{ChosenTube, PlanDraft, RowDrafted, draft_plan};
pub use survey_rows::survey_of_plan;
