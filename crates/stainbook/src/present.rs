//! Findings, sheets and results as text, JSON or CSV: one module for each view.

pub use stainbook_present::cautions::{CAUTIONS, Caution};
pub use stainbook_present::comparison::{ComparedPair, FileComparison};
#[cfg(feature = "html")]
pub use stainbook_present::results_html;
#[cfg(feature = "xlsx")]
pub use stainbook_present::results_xlsx;
pub use stainbook_present::{
    Colour, Counts, Located, Sources, changes_json, comparison_json, conversion_json, due_calendar,
    due_json, find_json, findings_github, findings_json, findings_junit, findings_sarif,
    findings_short, results_json, results_jsonl,
};
#[cfg(feature = "text")]
pub use stainbook_present::{
    changes_text, comparison_text, conversion_text, due_text, find_text, findings_text,
    results_text, sheet_text, verification_text,
};
#[cfg(feature = "csv")]
pub use stainbook_present::{due_csv, find_csv, results_csv, together_csv, verification_csv};
