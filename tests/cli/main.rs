//! The command, run as a user runs it: contracts that scripts rely on, exit codes, and what is said about bad input.

#![cfg(test)]
#![allow(
    clippy::float_cmp,
    reason = "a test may stop at the first thing that is not as it says"
)]

mod catalog_choice;
mod changes;
mod check;
mod check_baseline;
mod check_fix;
mod check_formats;
mod check_levels;
mod check_many_findings;
mod check_spreadsheet;
mod check_watch;
mod compare;
mod convert;
mod convert_table;
mod demo;
mod due;
mod endless_input;
mod evaluate;
mod evaluate_bad_input;
mod evaluate_draws;
mod evaluate_record;
mod evaluate_spreadsheet;
mod find;
mod full_disk;
mod import;
mod killed;
mod limit_kinds;
mod new;
mod new_survey_table;
mod output_file;
mod output_over_input;
mod plan;
mod reference;
mod runner;
mod sheet;
mod spreadsheets;
mod spreadsheets_out_of_bounds;
mod stock;
mod substance_names;
mod tables_above_below;
mod tables_as_kept;
mod tables_dates;
mod terminal;
mod tidy;
