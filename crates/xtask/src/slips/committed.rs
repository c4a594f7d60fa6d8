//! The counts as they are committed, and the README's part of them.

use std::fs;

use crate::output::{self, Generated, root};

use super::tables;
use super::tally::Tally;

/// The whole count.
const COUNTS: &str = "tests/slips/counts.csv";
/// The part of it that a test repeats.
const SAMPLE: &str = "tests/slips/sample.csv";
/// The count by field, with what passes and why.
const FIELDS: &str = "tests/slips/fields.md";

/// Everything that is made from the counts.
pub(super) fn files(tally: &Tally, sample: &Tally) -> Result<Vec<Generated>, String> {
    let readme = output::readme_with("slips", &tables::readme(tally))?;
    let texts = [
        (COUNTS, tally.to_csv()),
        (SAMPLE, sample.to_csv()),
        (FIELDS, tables::fields(tally)),
    ];
    let files = texts.into_iter().map(|(path, text)| Generated {
        path: path.to_owned(),
        text,
    });
    Ok(files.chain([readme]).collect())
}

/// The committed counts of the whole and of the part.
pub(super) fn counts() -> Result<(Tally, Tally), String> {
    let of = |path| Tally::from_csv(&read(path)?).ok_or_else(|| format!("{path}: not read"));
    Ok((of(COUNTS)?, of(SAMPLE)?))
}

fn read(path: &str) -> Result<String, String> {
    fs::read_to_string(root().join(path)).map_err(|error| format!("{path}: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::slips::tally::SheetPart;
    use crate::slips::{SlipClass, sample};

    #[test]
    fn counting_a_part_again_gives_the_committed_figures() {
        let counted = sample().unwrap().to_csv();
        let committed = read(SAMPLE).unwrap();
        let differs = counted
            .lines()
            .zip(committed.lines())
            .find(|(counted, committed)| counted != committed);
        assert_eq!(differs, None, "run `cargo xtask slips --write`");
        assert_eq!(counted, committed);
    }

    #[test]
    fn the_tables_are_made_from_the_committed_counts() {
        let (counts, _) = counts().unwrap();
        assert_eq!(counts.to_csv(), read(COUNTS).unwrap());
        assert_eq!(tables::fields(&counts), read(FIELDS).unwrap());
        let readme = output::readme_with("slips", &tables::readme(&counts)).unwrap();
        assert_eq!(readme.text, read(&readme.path).unwrap());
    }

    #[test]
    fn the_part_counted_again_is_a_part_of_the_whole() {
        let (all, part) = counts().unwrap();
        for (key, few) in &part.counts {
            let many = all.counts.get(key).unwrap();
            assert!(few.all <= many.all && few.passed() <= many.passed());
            assert!(few.schema <= many.schema && few.rules <= many.rules);
        }
        let classes = SlipClass::ALL.map(|(class, _)| part.of(|_, of| of == class).all);
        assert!(classes.iter().filter(|made| 0 < **made).count() > 12);
    }

    #[test]
    fn the_targets_are_reached() {
        let (counts, _) = counts().unwrap();
        for (what, least, wanted) in [
            (
                "decimal point",
                97,
                (|class| class == SlipClass::DecimalPoint) as fn(SlipClass) -> bool,
            ),
            ("rows and columns", 95, SlipClass::is_row_or_column),
            ("all", 85, |_| true),
        ] {
            let of = counts.of(|part, class| part == SheetPart::Leaflet && wanted(class));
            assert!(of.all * least <= of.control * 100, "{what}: {of:?}");
            assert_eq!(of.compared, of.all, "{what}");
        }
    }

    #[test]
    fn everything_that_passes_has_a_reason() {
        assert_eq!(
            tables::unexplained(&counts().unwrap().0),
            Vec::<String>::new()
        );
    }
}
