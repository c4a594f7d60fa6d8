//! `*.box.yaml` and `*.boxes.yaml`: the boxes of tubes that a lab has, one in a file of its own or several in a list.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::scalars::{Count, Day};
use super::tube::Accept;

/// One box of tubes in stock. Where a survey says tube and lot and no expiry, the box of that lot stands in for it, and the result says so.
#[apply(written_form)]
pub struct StockBoxEntry {
    /// The box's own short name, as it is written on it: small letters, digits and hyphens. A file of its own is called so, too.
    #[serde(rename = "box")]
    #[schemars(extend("x-required" = true), example = &"box-031")]
    pub id: Option<String>,
    /// The tube: the name of a sheet, or the name without its revision.
    #[schemars(extend("x-required" = true), example = &"brinewash-chlorine-a")]
    pub tube: Option<String>,
    /// What is in it, if not the tubes themselves: the separate pre-tubes that the sheet asks for.
    #[schemars(example = &"pre-tubes")]
    pub holds: Option<BoxContents>,
    /// The lot printed on it.
    #[schemars(extend("x-required" = true), example = &"24-117")]
    pub lot: Option<String>,
    /// The expiry printed on it; a month means its last day.
    #[schemars(extend("x-required" = true), example = &"2027-01")]
    pub expires: Option<Day>,
    /// The day or month of manufacture, if it is printed.
    #[schemars(example = &"2025-01")]
    pub manufactured: Option<Day>,
    /// How many tubes it holds when it is full.
    #[schemars(example = 10)]
    pub number: Option<Count>,
    /// How many are left, when they were last counted.
    #[schemars(example = 6)]
    pub left: Option<Count>,
    /// Where it is kept, so that somebody else finds it.
    #[schemars(example = &"cold store, shelf 2")]
    pub place: Option<String>,
    /// The day it came.
    #[schemars(example = &"2025-04-02")]
    pub received: Option<Day>,
    /// The day its seal was broken.
    #[schemars(example = &"2026-06-16")]
    pub opened: Option<Day>,
    /// The day its last tube was used, or it was thrown away. Nobody is told any more that it expires.
    #[schemars(example = &"2026-09-01")]
    pub used_up: Option<Day>,
    /// What to mind.
    #[schemars(example = &"lid cracked, kept in a bag")]
    pub remark: Option<String>,
    /// Findings that are right to be there, each with the reason.
    #[schemars(example = serde_json::json!([{"rule": "box-expired-when-taken", "because": "for teaching only, marked so"}]))]
    pub accept: Vec<Accept>,
}

/// Contents of a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum BoxContents {
    /// The tubes of the sheet.
    #[serde(rename = "tubes")]
    Tubes,
    /// The separate pre-tubes that the sheet asks for.
    #[serde(rename = "pre-tubes")]
    PreTubes,
}

/// Boxes of tubes in a list: the stock of a shelf or of a lab. The same may be kept as a table, `….boxes.csv`, with a column for each field of a box.
#[apply(written_form)]
pub struct BoxListEntry {
    /// The list's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"stock-2026")]
    pub boxes: Option<String>,
    /// The boxes.
    #[schemars(extend("x-required" = true), example = serde_json::json!([{"box": "box-031", "tube": "brinewash-chlorine-a", "lot": "24-117", "expires": "2027-01", "number": 10, "place": "cold store, shelf 2"}]))]
    pub list: Vec<StockBoxEntry>,
    /// What to mind.
    #[schemars(example = &"counted every quarter")]
    pub remark: Option<String>,
}

impl StockBoxEntry {
    /// Contents, which are tubes unless something else is said.
    pub fn contents(&self) -> BoxContents {
        self.holds.unwrap_or(BoxContents::Tubes)
    }
}
