//! The list of what is due on a day: boxes, pumps, reviews, exceptions, plans.

pub use stainbook_check::due::{DueItem, DueKind, DueList, DueState, DueWhen, due};
