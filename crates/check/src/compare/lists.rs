//! Lists that are sets, and the identity of their rows. Every other list is in an order that means something: marks, the
//! steps before use, the order of the corrections, coefficients.

use stainbook_catalog::EntryKind;

/// Alignment rules for the entries of a list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ListRule {
    /// In their order.
    Ordered,
    /// Single values, whatever their order.
    Set,
    /// Rows known by these fields, whatever their order.
    RowsBy(&'static [&'static str]),
    /// Rows of bare numbers, known by the first.
    RowsByFirst,
}

use EntryKind as K;
use ListRule::{RowsBy, RowsByFirst, Set};

/// The lists whose order means nothing: kind of file, the fields that lead to the list (rows of lists on the way left out),
/// and the fields by which a row is known.
const TABLE: &[(EntryKind, &[&str], ListRule)] = &[
    (K::Tube, &["before_use", "pump_kinds"], Set),
    (K::Tube, &["draw", "ranges"], RowsBy(&["strokes", "scale"])),
    (K::Tube, &["read", "scales"], RowsBy(&["name"])),
    (
        K::Tube,
        &["read", "also_measures"],
        RowsBy(&["substance", "strokes", "scale"]),
    ),
    (K::Tube, &["read", "also_measures", "rows"], RowsByFirst),
    (
        K::Tube,
        &["correct", "temperature", "bands"],
        RowsBy(&["within"]),
    ),
    (
        K::Tube,
        &["correct", "humidity", "bands"],
        RowsBy(&["within"]),
    ),
    (
        K::Tube,
        &["correct", "pressure", "bands"],
        RowsBy(&["within"]),
    ),
    (
        K::Tube,
        &["correct", "temperature", "humidities"],
        RowsBy(&["humidity"]),
    ),
    (K::Tube, &["doubt", "repeatability"], RowsBy(&["up_to"])),
    (K::Tube, &["doubt", "accuracy"], RowsBy(&["up_to"])),
    (
        K::Tube,
        &["doubt", "other_gases"],
        RowsBy(&["substance", "group"]),
    ),
    (
        K::Tube,
        &["worked"],
        RowsBy(&[
            "reading",
            "strokes",
            "temperature",
            "humidity",
            "pressure",
            "substance",
            "scale",
        ]),
    ),
    (K::Tube, &["control"], RowsBy(&["of", "scale", "column"])),
    (K::Tube, &["accept"], RowsBy(&["rule", "at"])),
    (K::Substance, &["also_called"], Set),
    (K::Substance, &["names"], RowsBy(&["language", "name"])),
    (K::Group, &["names"], RowsBy(&["language", "name"])),
    (
        K::Substance,
        &["vapour_pressure"],
        RowsBy(&["temperature", "source"]),
    ),
    (K::Substance, &["explosive_limits"], RowsBy(&["source"])),
    (
        K::Substance,
        &["limits"],
        RowsBy(&["source", "kind", "averaged_over"]),
    ),
    (K::Substance, &["accept"], RowsBy(&["rule", "at"])),
    (K::Group, &["members"], Set),
    (K::Group, &["expressed_as"], Set),
    (K::PumpKind, &["accept"], RowsBy(&["rule", "at"])),
    (K::Pump, &["volume_checks"], RowsBy(&["date"])),
    (K::Pump, &["leak_tests"], RowsBy(&["date"])),
    (K::Pump, &["accept"], RowsBy(&["rule", "at"])),
    (K::Survey, &["readings"], RowsBy(&["id"])),
    (K::Survey, &["readings", "present"], RowsBy(&["substance"])),
    (
        K::Survey,
        &["judge", "limits"],
        RowsBy(&["authority", "source", "kind"]),
    ),
    (K::Survey, &["together", "readings"], Set),
    (K::Survey, &["together", "averages"], Set),
    (K::Catalog, &["rules"], RowsBy(&["rule"])),
];

/// The rule of the list that these fields lead to.
pub(super) fn rule_of(kind: EntryKind, keys: &[String]) -> ListRule {
    TABLE
        .iter()
        .find(|(of, list, _)| *of == kind && list.iter().eq(keys.iter()))
        .map_or(ListRule::Ordered, |(_, _, rule)| *rule)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;
    use stainbook_catalog::schema::{Draft, schema};

    fn resolved<'s>(root: &'s Value, node: &'s Value) -> &'s Value {
        match node.get("$ref").and_then(Value::as_str) {
            Some(to) => root.pointer(&to[1..]).unwrap(),
            None => node,
        }
    }

    /// A field, of a group of fields that may depend on the method too.
    fn field<'s>(of: &'s Value, key: &str) -> &'s Value {
        let here = &of["properties"][key];
        let methods = of["oneOf"].as_array().map_or(&[][..], Vec::as_slice);
        let found = methods.iter().map(|one| &one["properties"][key]);
        if here.is_null() {
            found.into_iter().find(|one| !one.is_null()).unwrap_or(here)
        } else {
            here
        }
    }

    /// A field that is renamed in the written form has to be renamed here.
    #[test]
    fn every_list_and_key_is_in_the_schema() {
        for (kind, keys, rule) in TABLE {
            let root = schema(*kind, Draft::Draft2020);
            let mut at = &root;
            for key in *keys {
                at = resolved(&root, at);
                if let Some(items) = at.get("items") {
                    at = resolved(&root, items);
                }
                at = field(at, key);
                assert!(!at.is_null(), "{} {keys:?}: {key}", kind.name());
            }
            let at = resolved(&root, at);
            let row = resolved(&root, &at["items"]);
            assert!(row.is_object(), "{} {keys:?} is no list", kind.name());
            if let RowsBy(fields) = rule {
                for name in *fields {
                    assert!(field(row, name).is_object(), "{keys:?}: {name}");
                }
            }
        }
    }
}
