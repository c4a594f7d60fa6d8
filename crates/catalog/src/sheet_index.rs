//! The sheets of a book by what they have in common: series, title of the leaflet, what they replace.
//!
//! Rules that compare sheets with each other look here, so that a catalog of ten thousand is not gone through for each of
//! them.

use std::collections::{BTreeMap, BTreeSet};
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
    series: BTreeMap<String, Vec<usize>>,
    leaflets: BTreeMap<LeafletKey, Vec<usize>>,
    replaced: BTreeSet<String>,
}

/// Title, revision, first and last day, substance: what tells leaflets apart in large catalogs, where one title may stand on
/// hundreds.
type LeafletKey = (String, Option<String>, Option<(Date, Date)>, Option<String>);

impl SheetIndex {
    fn of(&self, book: &Book) -> &Made {
        self.made.get_or_init(|| {
            let mut made = Made::default();
            for (position, entry) in book.entries().iter().enumerate() {
                let WrittenEntry::Tube(tube) = &entry.written else {
                    continue;
                };
                made.series
                    .entry(series_of(tube))
                    .or_default()
                    .push(position);
                if let Some(leaflet) = leaflet_of(tube) {
                    made.leaflets.entry(leaflet).or_default().push(position);
                }
                made.replaced.extend(tube.replaces.clone());
            }
            made
        })
    }
}

fn leaflet_of(tube: &TubeEntry) -> Option<LeafletKey> {
    let leaflet = tube.leaflet.as_ref()?;
    let days = leaflet.date.as_ref().map(|day| (day.first(), day.last()));
    let measures = tube.measures.as_ref();
    Some((
        leaflet.title.clone()?,
        leaflet.revision.clone(),
        days,
        measures.and_then(|measures| measures.substance.clone()),
    ))
}

impl Book {
    /// The sheets of a series, those of catalogs below included, in the order in which they were read.
    pub fn sheets_of_series(&self, series: &str) -> impl Iterator<Item = (&Entry, &TubeEntry)> {
        self.sheets_at(self.sheet_index().of(self).series.get(series))
    }

    /// The sheets whose leaflet has the same title, revision and day as that of this one, and that measure the same, those of
    /// catalogs below included, in the order in which they were read. None, if this one names no leaflet.
    pub fn sheets_of_leaflet(
        &self,
        tube: &TubeEntry,
    ) -> impl Iterator<Item = (&Entry, &TubeEntry)> {
        let leaflet = leaflet_of(tube);
        let positions =
            leaflet.and_then(|leaflet| self.sheet_index().of(self).leaflets.get(&leaflet));
        self.sheets_at(positions)
    }

    /// Whether some sheet says that it replaces the one of this short name.
    pub fn is_replaced(&self, id: &str) -> bool {
        self.sheet_index().of(self).replaced.contains(id)
    }

    fn sheets_at<'a>(
        &'a self,
        positions: Option<&'a Vec<usize>>,
    ) -> impl Iterator<Item = (&'a Entry, &'a TubeEntry)> {
        positions.into_iter().flatten().filter_map(|position| {
            let entry = self.entries().get(*position)?;
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
