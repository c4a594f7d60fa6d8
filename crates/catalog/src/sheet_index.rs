//! The sheets of a book by what they have in common: series, title of the leaflet, what they replace.
//!
//! Rules that compare sheets with each other look here, so that a catalog of ten thousand is not gone through for each of
//! them.

use std::collections::BTreeSet;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::OnceLock;

use jiff::civil::Date;

use crate::model::series_of;
use crate::written::TubeEntry;
use crate::{Book, Entry, WrittenEntry};

/// Made when it is first asked for.
#[derive(Debug, Default)]
pub(crate) struct SheetIndex {
    made: OnceLock<Made>,
}

#[derive(Debug, Default)]
struct Made {
    series: Positions,
    leaflets: Positions,
    replaced: BTreeSet<String>,
}

/// Positions of entries, each by a number that is made of what they are found by, in order. Two different things may have
/// one number, so that whoever looks here compares the things themselves as well.
#[derive(Debug, Default)]
struct Positions(Vec<(u64, usize)>);

impl Positions {
    fn of(&self, number: u64) -> impl Iterator<Item = usize> + use<'_> {
        let from = self.0.partition_point(|(other, _)| *other < number);
        let rest = self.0.get(from..).unwrap_or_default();
        rest.iter()
            .take_while(move |(other, _)| *other == number)
            .map(|(_, position)| *position)
    }
}

fn number_of(what: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    what.hash(&mut hasher);
    hasher.finish()
}

impl SheetIndex {
    fn of(&self, book: &Book) -> &Made {
        self.made.get_or_init(|| {
            let mut made = Made::default();
            for (position, entry) in book.entries().iter().enumerate() {
                let WrittenEntry::Tube(tube) = &entry.written else {
                    continue;
                };
                let series = number_of(&series_of(tube));
                made.series.0.push((series, position));
                if let Some(leaflet) = LeafletTraits::of(tube) {
                    made.leaflets.0.push((number_of(&leaflet), position));
                }
                made.replaced.extend(tube.replaces.clone());
            }
            made.series.0.sort_unstable();
            made.leaflets.0.sort_unstable();
            made
        })
    }
}

/// Features that tell leaflets apart in large catalogs, where one title may stand on hundreds.
#[derive(PartialEq, Eq, Hash)]
struct LeafletTraits<'t> {
    title: &'t str,
    revision: Option<&'t str>,
    days: Option<(Date, Date)>,
    substance: Option<&'t str>,
}

impl<'t> LeafletTraits<'t> {
    fn of(tube: &'t TubeEntry) -> Option<Self> {
        let leaflet = tube.leaflet.as_ref()?;
        let measures = tube.measures.as_ref();
        Some(Self {
            title: leaflet.title.as_deref()?,
            revision: leaflet.revision.as_deref(),
            days: leaflet.date.as_ref().map(|day| (day.first(), day.last())),
            substance: measures.and_then(|measures| measures.substance.as_deref()),
        })
    }
}

impl Book {
    /// The sheets of a series, those of catalogs below included, in the order in which they were read.
    pub fn sheets_of_series(&self, series: &str) -> impl Iterator<Item = (&Entry, &TubeEntry)> {
        self.sheets_at(self.sheet_index().of(self).series.of(number_of(&series)))
            .filter(move |(_, tube)| series_of(tube) == series)
    }

    /// The sheets whose leaflet has the same title, revision and day as that of this one, and that measure the same, those of
    /// catalogs below included, in the order in which they were read. None, if this one names no leaflet.
    pub fn sheets_of_leaflet<'a>(
        &'a self,
        tube: &'a TubeEntry,
    ) -> impl Iterator<Item = (&'a Entry, &'a TubeEntry)> {
        let leaflet = LeafletTraits::of(tube);
        let index = self.sheet_index().of(self);
        let positions = leaflet
            .as_ref()
            .map(|leaflet| index.leaflets.of(number_of(leaflet)));
        self.sheets_at(positions.into_iter().flatten())
            .filter(move |(_, other)| LeafletTraits::of(other) == leaflet)
    }

    /// True if some sheet says that it replaces the one of this short name.
    pub fn is_replaced(&self, id: &str) -> bool {
        self.sheet_index().of(self).replaced.contains(id)
    }

    fn sheets_at(
        &self,
        positions: impl Iterator<Item = usize>,
    ) -> impl Iterator<Item = (&Entry, &TubeEntry)> {
        positions.filter_map(|position| {
            let entry = self.entries().get(position)?;
            match &entry.written {
                WrittenEntry::Tube(tube) => {
                    let tube: &TubeEntry = tube;
                    Some((entry, tube))
                }
                _ => None,
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::{Book, SourceFile};

    #[test]
    fn sheets_are_found_by_what_they_have_in_common() {
        let sheet = |id: &str, more: &str| {
            SourceFile::new(
                format!("{id}.tube.yaml"),
                format!(
                    "tube: {id}\nleaflet: {{title: Sheet 3, revision: \"1\", date: 2024-03}}\n{more}"
                ),
            )
        };
        let (book, _) = Book::read([
            sheet("quay-r1", ""),
            sheet("quay-r2", "replaces: quay-r1\n"),
            sheet("pit", "series: quay\n"),
        ]);
        let ids = |found: &mut dyn Iterator<Item = (&crate::Entry, &crate::written::TubeEntry)>| {
            found
                .map(|(entry, _)| entry.id().to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(
            ids(&mut book.sheets_of_series("quay")),
            ["quay-r1", "quay-r2", "pit"]
        );
        let pit = book.tube("pit").unwrap();
        assert_eq!(ids(&mut book.sheets_of_leaflet(pit)).len(), 3);
        assert_eq!(ids(&mut book.sheets_of_series("quay-r1")), [""; 0]);
        assert!(book.is_replaced("quay-r1") && !book.is_replaced("quay-r2"));
    }
}
