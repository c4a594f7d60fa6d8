//! Every rule: its module, with its document beside it, and its line in the list of those that run.
//!
//! `cargo xtask new-rule NAME` writes both lines and the files. A test compares files, list, documents and fixtures as sets.

mod accuracy_absent;
mod accuracy_does_not_cover;
mod accuracy_implausible;
mod accuracy_short;
mod accuracy_unclear;
mod ambiguous_reference;
mod band_off_the_scale;
pub(crate) mod baseline_unused;
mod blank_among_readings;
mod box_count_impossible;
mod box_expired_when_taken;
mod box_lot_without_sheet;
mod box_named_twice;
mod box_open_too_long;
mod calibration_outside_usable;
mod cas_check_digit;
mod cas_unreadable;
mod cas_used_twice;
mod condition_implausible;
mod conditions_missing;
mod control_figure_differs;
mod conversion_differs;
mod correction_axis_not_rising;
mod correction_bands_gap;
mod correction_bands_overlap;
mod correction_copied;
mod correction_does_not_cover;
mod correction_not_one_at_calibration;
mod correction_of_no_sheet;
mod correction_off_the_trend;
mod correction_row_doubled;
mod correction_row_shape;
mod correction_size_implausible;
mod correction_strokes_off_the_sheet;
mod correction_together_half_stated;
mod count_table_not_falling;
mod date_in_the_future;
mod date_order;
mod duplicate_id;
pub(crate) mod exception_expired;
pub(crate) mod exception_unused;
mod expiry_beyond_shelf_life;
mod expiry_not_of_the_box;
mod explosive_limits_reversed;
mod extension_overlaps;
mod factor_against_response;
mod formula_of_another_substance;
mod formula_unreadable;
mod formula_used_twice;
mod gas_not_on_the_sheet;
mod gases_not_for_the_method;
mod half_stroke_impossible;
mod half_stroke_time_doubtful;
mod humidity_above_saturation;
mod humidity_kind_not_said;
mod id_not_file_name;
mod id_not_kebab_case;
mod interference_of_itself;
mod leaflet_entered_twice;
mod leaflet_revision_unknown;
mod limit_above_explosive;
mod limit_above_saturation;
mod limit_given_twice;
mod limit_pair_disagrees;
mod limit_without_authority;
mod limit_without_conditions;
mod limits_out_of_order;
mod lot_of_another_leaflet;
mod lot_with_two_expiries;
mod lots_of_two_leaflets;
mod lowest_visible_above_range;
mod lowest_visible_implausible;
mod lowest_visible_strokes_unknown;
mod lowest_visible_unclear;
mod mark_off_the_progression;
mod marks_not_rising;
mod measures_unclear;
mod millimetre_marks_unclear;
mod molar_mass_against_formula;
mod multiplier_exponent_implausible;
mod multiplier_not_falling;
mod multiplier_not_one;
mod multiplier_off_the_line;
mod name_of_another_substance;
mod name_used_twice;
mod no_way_to_read;
mod not_verified;
mod other_gas_range_off_the_scale;
mod other_gas_twice;
mod plan_id_doubled;
mod plan_misses_the_limit;
mod plan_outside_usable;
mod plan_pump_not_for_the_tube;
mod plan_tube_expired;
mod plan_tube_not_in_stock;
mod present_gas_unclear;
mod pressure_against_altitude;
mod pressure_factor_direction;
mod pressure_factor_implausible;
mod pump_check_overdue;
mod pump_leaks;
mod pump_unchecked_since_repair;
mod pump_volume_out_of_tolerance;
mod range_beyond_scale;
mod range_gap;
mod range_incomplete;
mod range_misses_the_limit;
mod range_reversed;
mod read_times_reversed;
mod reading_id_doubled;
mod reading_named_twice;
mod reading_not_on_the_scale;
mod reading_not_one_kind;
mod reading_unknown;
mod repeatability_absent;
mod repeatability_does_not_cover;
mod repeatability_implausible;
mod repeatability_of_one_reading;
mod replaces_another_tube;
mod response_against_effect;
mod review_due;
mod rule_unknown;
mod sampling_time_not_rising;
mod scale_doubled;
mod scale_mass_not_stated;
mod scales_of_two_kinds;
mod seconds_per_stroke_implausible;
mod storage_implausible;
mod stroke_volume_differs;
mod strokes_doubled;
mod strokes_not_on_the_sheet;
mod strokes_the_pump_cannot_draw;
mod substance_by_another_name;
mod substance_hides_another;
mod thresholds_contradict;
mod times_not_for_the_average;
mod times_out_of_order;
mod together_id_taken;
mod together_not_judged;
mod too_few_readings_together;
mod unit_not_of_the_scale;
mod unnumbered_lines_unclear;
mod unresolved_reference;
mod usable_range_reversed;
mod verified_by_the_same_person;
mod volume_check_implausible;
mod volume_tolerance_wide;
mod withdrawn_still_used;
mod worked_example_differs;

use std::sync::LazyLock;

use stainbook_catalog::rules::reader_rules;

use crate::{Check, Family, Rule};

/// The rules that are functions of an entry, in the order in which they run.
pub(crate) const RULES: &[Rule] = &[
    // Identity
    duplicate_id::RULE,
    id_not_file_name::RULE,
    id_not_kebab_case::RULE,
    unresolved_reference::RULE,
    ambiguous_reference::RULE,
    withdrawn_still_used::RULE,
    formula_of_another_substance::RULE,
    name_of_another_substance::RULE,
    cas_used_twice::RULE,
    formula_used_twice::RULE,
    name_used_twice::RULE,
    leaflet_entered_twice::RULE,
    lots_of_two_leaflets::RULE,
    replaces_another_tube::RULE,
    substance_by_another_name::RULE,
    // Substances
    cas_check_digit::RULE,
    cas_unreadable::RULE,
    explosive_limits_reversed::RULE,
    formula_unreadable::RULE,
    limit_pair_disagrees::RULE,
    limit_above_explosive::RULE,
    limit_above_saturation::RULE,
    limit_given_twice::RULE,
    limit_without_authority::RULE,
    limit_without_conditions::RULE,
    limits_out_of_order::RULE,
    molar_mass_against_formula::RULE,
    substance_hides_another::RULE,
    // Scale and ranges
    extension_overlaps::RULE,
    half_stroke_impossible::RULE,
    half_stroke_time_doubtful::RULE,
    lowest_visible_above_range::RULE,
    lowest_visible_implausible::RULE,
    lowest_visible_strokes_unknown::RULE,
    mark_off_the_progression::RULE,
    marks_not_rising::RULE,
    multiplier_exponent_implausible::RULE,
    multiplier_not_falling::RULE,
    multiplier_not_one::RULE,
    multiplier_off_the_line::RULE,
    range_beyond_scale::RULE,
    range_gap::RULE,
    range_reversed::RULE,
    scale_doubled::RULE,
    scale_mass_not_stated::RULE,
    sampling_time_not_rising::RULE,
    scales_of_two_kinds::RULE,
    range_misses_the_limit::RULE,
    seconds_per_stroke_implausible::RULE,
    strokes_doubled::RULE,
    unit_not_of_the_scale::RULE,
    range_incomplete::RULE,
    read_times_reversed::RULE,
    conversion_differs::RULE,
    lowest_visible_unclear::RULE,
    unnumbered_lines_unclear::RULE,
    millimetre_marks_unclear::RULE,
    no_way_to_read::RULE,
    thresholds_contradict::RULE,
    count_table_not_falling::RULE,
    // Corrections
    correction_axis_not_rising::RULE,
    correction_does_not_cover::RULE,
    correction_not_one_at_calibration::RULE,
    correction_off_the_trend::RULE,
    correction_copied::RULE,
    correction_row_doubled::RULE,
    correction_row_shape::RULE,
    correction_size_implausible::RULE,
    humidity_kind_not_said::RULE,
    pressure_factor_implausible::RULE,
    pressure_factor_direction::RULE,
    correction_bands_overlap::RULE,
    correction_bands_gap::RULE,
    correction_strokes_off_the_sheet::RULE,
    correction_of_no_sheet::RULE,
    correction_together_half_stated::RULE,
    // Repeatability and conditions
    accuracy_absent::RULE,
    accuracy_does_not_cover::RULE,
    accuracy_short::RULE,
    accuracy_implausible::RULE,
    band_off_the_scale::RULE,
    calibration_outside_usable::RULE,
    condition_implausible::RULE,
    control_figure_differs::RULE,
    repeatability_does_not_cover::RULE,
    repeatability_implausible::RULE,
    repeatability_of_one_reading::RULE,
    usable_range_reversed::RULE,
    humidity_above_saturation::RULE,
    worked_example_differs::RULE,
    accuracy_unclear::RULE,
    repeatability_absent::RULE,
    // Other gases
    factor_against_response::RULE,
    interference_of_itself::RULE,
    other_gas_range_off_the_scale::RULE,
    other_gas_twice::RULE,
    response_against_effect::RULE,
    // Provenance
    date_in_the_future::RULE,
    date_order::RULE,
    not_verified::RULE,
    review_due::RULE,
    storage_implausible::RULE,
    verified_by_the_same_person::RULE,
    // What is measured, pumps and surveys
    measures_unclear::RULE,
    reading_not_one_kind::RULE,
    conditions_missing::RULE,
    gas_not_on_the_sheet::RULE,
    leaflet_revision_unknown::RULE,
    lot_of_another_leaflet::RULE,
    pressure_against_altitude::RULE,
    reading_id_doubled::RULE,
    reading_not_on_the_scale::RULE,
    strokes_not_on_the_sheet::RULE,
    strokes_the_pump_cannot_draw::RULE,
    times_out_of_order::RULE,
    stroke_volume_differs::RULE,
    volume_check_implausible::RULE,
    volume_tolerance_wide::RULE,
    too_few_readings_together::RULE,
    together_not_judged::RULE,
    together_id_taken::RULE,
    times_not_for_the_average::RULE,
    reading_unknown::RULE,
    reading_named_twice::RULE,
    gases_not_for_the_method::RULE,
    blank_among_readings::RULE,
    box_lot_without_sheet::RULE,
    box_expired_when_taken::RULE,
    expiry_beyond_shelf_life::RULE,
    box_named_twice::RULE,
    lot_with_two_expiries::RULE,
    box_count_impossible::RULE,
    expiry_not_of_the_box::RULE,
    pump_volume_out_of_tolerance::RULE,
    pump_leaks::RULE,
    pump_check_overdue::RULE,
    pump_unchecked_since_repair::RULE,
    plan_tube_not_in_stock::RULE,
    plan_tube_expired::RULE,
    plan_pump_not_for_the_tube::RULE,
    plan_outside_usable::RULE,
    plan_misses_the_limit::RULE,
    present_gas_unclear::RULE,
    plan_id_doubled::RULE,
    box_open_too_long::RULE,
    // Exceptions
    baseline_unused::RULE,
    exception_expired::RULE,
    exception_unused::RULE,
    rule_unknown::RULE,
];

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
    "layout-slip"
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
    "table-columns-passed-over"
    "table-header-unreadable"
    "table-read-as"
    "table-rows-passed-over"
    "text-cut-short"
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
