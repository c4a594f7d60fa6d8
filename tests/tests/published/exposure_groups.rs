//! The factors of the group test of EN 689.

use stainbook_uncertainty::tolerance_factor::tolerance_factor;

use crate::data;
use crate::report::PublishedReport;

pub(crate) fn check(report: &mut PublishedReport) {
    for row in data::en689_factors() {
        let n: usize = row.text("n").parse().unwrap();
        let (of, factor) = tolerance_factor(n).unwrap();
        assert_eq!(of, n, "a row of its own for each printed number of values");
        report.printed(
            "factors of EN 689",
            row.text("n"),
            factor,
            &row.decimal("printed"),
            0.0,
        );
    }
}
