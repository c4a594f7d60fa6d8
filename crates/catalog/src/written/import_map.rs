//! `*.import-map.yaml`: which column of a laboratory's table goes where in a sheet.

use crate::import_fields;
use crate::written::absent::written_form;
use macro_rules_attribute::apply;

/// The columns of a laboratory's table, and the fields of a sheet that each goes to.
#[apply(written_form)]
pub struct ImportMap {
    /// The kind of file that is made of the table: `tube`.
    #[serde(rename = "as")]
    #[schemars(extend("x-required" = true, "enum" = ["tube"]), example = &"tube")]
    pub target: Option<String>,
    /// The columns, each by its header. One that is not listed is passed over, as one whose field is `unplaced`, and named.
    #[schemars(extend("x-required" = true), example = serde_json::json!([{"header": "Hübe", "field": "draw.ranges.strokes"}]))]
    pub columns: Vec<MappedColumn>,
}

/// A column of the table.
#[apply(written_form)]
pub struct MappedColumn {
    /// The header, as it stands in the table.
    #[schemars(extend("x-required" = true), example = &"Hübe")]
    pub header: Option<String>,
    /// The field of a sheet, or `unplaced`.
    #[schemars(extend("x-required" = true, "enum" = import_fields::names()), example = &"draw.ranges.strokes")]
    pub field: Option<String>,
    /// The unit of its numbers, where they stand without one.
    #[schemars(example = &"ppm")]
    pub unit: Option<String>,
}
