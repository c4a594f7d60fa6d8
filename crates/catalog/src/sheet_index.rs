//! The sheets of a book by what they have in common: series, title of the leaflet, what they replace.
//!
//! Rules that compare sheets with each other look here, so that a catalog of ten thousand is not gone through for each of
//! them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

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
    titles: BTreeMap<String, Vec<usize>>,
    replaced: BTreeSet<String>,
}

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
                if let Some(title) = tube
                    .leaflet
                    .as_ref()
                    .and_then(|leaflet| leaflet.title.as_ref())
                {
                    made.titles.entry(title.clone()).or_default().push(position);
                }
                made.replaced.extend(tube.replaces.clone());
            }
            made
        })
    }
}

impl Book {
    /// The sheets of a series, those of catalogs below included, in the order in which they were read.
    pub fn sheets_of_series(&self, series: &str) -> impl Iterator<Item = (&Entry, &TubeEntry)> {
        self.sheets_at(self.sheet_index().of(self).series.get(series))
    }

    /// The sheets that were typed from a leaflet of this title, those of catalogs below included, in the order in which
    /// they were read.
    pub fn sheets_titled(&self, title: &str) -> impl Iterator<Item = (&Entry, &TubeEntry)> {
        self.sheets_at(self.sheet_index().of(self).titles.get(title))
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
        assert_eq!(ids(&mut book.sheets_titled("Sheet 3")).len(), 3);
        assert_eq!(ids(&mut book.sheets_of_series("quay-r1")), [""; 0]);
        assert!(book.is_replaced("quay-r1") && !book.is_replaced("quay-r2"));
    }
}
