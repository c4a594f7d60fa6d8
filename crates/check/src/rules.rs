//! Every rule, one line each: the module below `rules` that declares it, with its document beside it.
//!
//! `cargo fmt` does not follow modules that a macro names: format them with `rustfmt crates/check/src/rules/*.rs`.

use std::sync::LazyLock;

use stainbook_catalog::rules::reader_rules;

use crate::{Check, Family, Rule};

macro_rules! rules {
    ($($module:ident)*) => {
        $(pub(crate) mod $module;)*

        /// The rules that are functions of an entry, in the order in which they run.
        pub(crate) const RULES: &[Rule] = &[$($module::RULE),*];
    };
}

rules! {
    // Identity
    duplicate_id
    id_not_file_name
    id_not_kebab_case
    unresolved_reference
    ambiguous_reference
    withdrawn_still_used
    formula_of_another_substance
    name_of_another_substance
    cas_used_twice
    formula_used_twice
    name_used_twice
    leaflet_entered_twice
    lots_of_two_leaflets
    replaces_another_tube
    // Substances
    cas_check_digit
    cas_unreadable
    explosive_limits_reversed
    formula_unreadable
    limit_pair_disagrees
    limit_above_explosive
    limit_above_saturation
    limit_given_twice
    limit_without_authority
    limit_without_conditions
    limits_out_of_order
    molar_mass_against_formula
    // Scale and ranges
    extension_overlaps
    half_stroke_impossible
    lowest_visible_above_range
    lowest_visible_implausible
    lowest_visible_strokes_unknown
    mark_off_the_progression
    marks_not_rising
    multiplier_exponent_implausible
    multiplier_not_falling
    multiplier_not_one
    multiplier_off_the_line
    range_beyond_scale
    range_gap
    range_reversed
    scale_doubled
    scale_mass_not_stated
    sampling_time_not_rising
    scales_of_two_kinds
    range_misses_the_limit
    seconds_per_stroke_implausible
    strokes_doubled
    unit_not_of_the_scale
    // Corrections
    correction_axis_not_rising
    correction_does_not_cover
    correction_not_one_at_calibration
    correction_off_the_trend
    correction_copied
    correction_row_doubled
    correction_row_shape
    correction_size_implausible
    humidity_kind_not_said
    pressure_factor_implausible
    pressure_factor_direction
    // Repeatability and conditions
    accuracy_absent
    accuracy_does_not_cover
    accuracy_short
    accuracy_implausible
    band_off_the_scale
    calibration_outside_usable
    condition_implausible
    control_figure_differs
    repeatability_does_not_cover
    repeatability_implausible
    repeatability_of_one_reading
    usable_range_reversed
    humidity_above_saturation
    worked_example_differs
    // Other gases
    factor_against_response
    interference_of_itself
    other_gas_range_off_the_scale
    other_gas_twice
    response_against_effect
    // Provenance
    date_in_the_future
    date_order
    not_verified
    review_due
    storage_implausible
    verified_by_the_same_person
    // What is measured, pumps and surveys
    measures_unclear
    reading_not_one_kind
    conditions_missing
    gas_not_on_the_sheet
    leaflet_revision_unknown
    lot_of_another_leaflet
    pressure_against_altitude
    reading_id_doubled
    reading_not_on_the_scale
    strokes_not_on_the_sheet
    strokes_the_pump_cannot_draw
    times_out_of_order
    stroke_volume_differs
    volume_check_implausible
    volume_tolerance_wide
    too_few_readings_together
    together_not_judged
    together_id_taken
    times_not_for_the_average
    reading_unknown
    reading_named_twice
    gases_not_for_the_method
    blank_among_readings
    // Exceptions
    baseline_unused
    exception_expired
    exception_unused
    rule_unknown
}

macro_rules! reader_docs {
    ($($name:literal)*) => {
        /// The documents of the rules that reading a file reports.
        const READER_DOCS: &[(&str, &str)] = &[$(($name, include_str!(concat!("rules/", $name, ".md")))),*];
    };
}

reader_docs! {
    "byte-order-mark"
    "control-character"
    "decimal-comma"
    "document-too-large"
    "duplicate-key"
    "empty-document"
    "impossible-value"
    "look-alike-character"
    "lots-unreadable"
    "missing-key"
    "not-a-date"
    "not-a-number"
    "not-a-quantity"
    "not-allowed-value"
    "not-utf-8"
    "number-out-of-bounds"
    "repeated-entry"
    "several-documents"
    "tab-indentation"
    "table-cell-unreadable"
    "table-header-unreadable"
    "too-deep"
    "too-many-nodes"
    "unit-missing"
    "unit-not-canonical"
    "unit-of-another-kind"
    "unit-unknown"
    "unknown-file-kind"
    "unknown-key"
    "unreadable-value"
    "wrong-form"
    "wrong-length"
    "wrong-shape"
    "yaml-1-1-word"
    "yaml-anchor"
    "yaml-syntax"
    "yaml-tag"
}

/// Every rule, those of the reader included, in alphabetical order.
pub fn registry() -> &'static [Rule] {
    static REGISTRY: LazyLock<Vec<Rule>> = LazyLock::new(|| {
        let reader = reader_rules().map(|rule| Rule {
            name: rule.name,
            level: rule.level,
            since: "0.1.0",
            summary: rule.summary,
            family: Family::Text,
            docs: READER_DOCS
                .iter()
                .find(|(name, _)| *name == rule.name)
                .map_or("", |(_, docs)| docs),
            check: Check::Reader,
        });
        let mut rules: Vec<Rule> = reader.chain(RULES.iter().copied()).collect();
        rules.sort_by_key(|rule| rule.name);
        rules
    });
    &REGISTRY
}

/// The rule of this name.
pub fn find_rule(name: &str) -> Option<&'static Rule> {
    let rules = registry();
    let index = rules.binary_search_by(|rule| rule.name.cmp(name)).ok()?;
    rules.get(index)
}

/// A rule's document: what it checks, why that matters for a measurement, and examples.
///
/// # Example
///
/// ```
/// assert!(stainbook_check::explain("cas-check-digit").is_some_and(|docs| docs.starts_with("# ")));
/// assert!(stainbook_check::explain("no-such-rule").is_none());
/// ```
pub fn explain(rule: &str) -> Option<&'static str> {
    find_rule(rule).map(|rule| rule.docs)
}
