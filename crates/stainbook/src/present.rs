//! Findings, sheets and results as text, JSON or CSV: one module for each view.

pub use stainbook_present::cautions::{CAUTIONS, Caution};
pub use stainbook_present::comparison::{ComparedPair, FileComparison};
#[cfg(feature = "text")]
pub use stainbook_present::findings_text;
#[cfg(feature = "html")]
pub use stainbook_present::results_html;
#[cfg(feature = "xlsx")]
pub use stainbook_present::results_xlsx;
pub use stainbook_present::{
    Colour, Counts, Located, Sources, changes_json, changes_text, comparison_json, comparison_text,
    conversion_json, conversion_text, find_json, find_text, findings_github, findings_json,
    findings_junit, findings_sarif, findings_short, results_json, results_jsonl, results_text,
    sheet_text, verification_text,
};
#[cfg(feature = "csv")]
pub use stainbook_present::{find_csv, results_csv, together_csv, verification_csv};
