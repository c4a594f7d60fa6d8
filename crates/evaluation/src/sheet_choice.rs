//! Choice of the sheet for a reading: the leaflet that lay in its own box, not the newest one.

use stainbook_catalog::model::series_of;
use stainbook_catalog::search;
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::{Book, EntryKind};

use crate::evaluated::not_prepared::NotPrepared;
use crate::result::ChosenBy;

/// A sheet and why it is that one.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ChosenSheet<'b> {
    /// Its short name.
    pub(crate) id: &'b str,
    /// The sheet.
    pub(crate) entry: &'b TubeEntry,
    /// Means by which it was found.
    pub(crate) how: ChosenBy,
}

/// A sheet as a refusal lists it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ListedSheet {
    /// Its short name.
    pub(crate) id: String,
    /// The revision of the leaflet.
    pub(crate) revision: Option<String>,
    /// The lots it belongs to, as written.
    pub(crate) lots: Option<String>,
}

/// Finds the sheet for the tube that a reading names, by its full short name, or by the name of the series with the
/// lot or the revision of the leaflet.
///
/// # Errors
///
/// [`NotPrepared`]: no such tube, lot and leaflet contradict each other, or more than one sheet could be meant.
pub(crate) fn choose<'b>(
    book: &'b Book,
    tube: &str,
    leaflet: Option<&str>,
    lot: Option<&str>,
) -> Result<ChosenSheet<'b>, NotPrepared> {
    let sheets = || {
        book.ids(EntryKind::Tube)
            .into_iter()
            .filter_map(|id| book.tube(id).map(|entry| (id, entry)))
    };
    if let Some((id, entry)) = sheets().find(|(id, _)| *id == tube) {
        contradiction(book, id, entry, leaflet, lot)?;
        return Ok(ChosenSheet {
            id,
            entry,
            how: ChosenBy::Name,
        });
    }
    let series: Vec<(&str, &TubeEntry)> = sheets()
        .filter(|(_, entry)| series_of(entry) == tube)
        .collect();
    if series.is_empty() {
        return Err(no_such_tube(
            tube,
            sheets().map(|(id, entry)| (id.to_owned(), series_of(entry))),
        ));
    }
    let mut fitting = series.clone();
    if let Some(leaflet) = leaflet {
        fitting.retain(|(_, entry)| revision(entry) == Some(leaflet));
        if fitting.is_empty() {
            return Err(NotPrepared::LeafletUnknown {
                tube: tube.to_owned(),
                leaflet: leaflet.to_owned(),
                sheets: listed(&series),
            });
        }
    }
    if let Some(lot) = lot {
        let those = |of: &[(&'b str, &'b TubeEntry)], has| -> Vec<(&'b str, &'b TubeEntry)> {
            let mut those = of.to_vec();
            those.retain(|(_, entry)| has_lot(entry, lot) == has);
            those
        };
        let by_lot = those(&fitting, Some(true));
        // A sheet that does not say to which lots it belongs may belong to this one.
        fitting = if by_lot.is_empty() {
            those(&fitting, None)
        } else {
            by_lot
        };
        if fitting.is_empty() {
            let elsewhere = those(&series, Some(true));
            let lot = lot.to_owned();
            return Err(match leaflet {
                Some(leaflet) if !elsewhere.is_empty() => NotPrepared::LotOfOtherRevisions {
                    lot,
                    leaflet: leaflet.to_owned(),
                    revisions: listed(&elsewhere),
                },
                _ => NotPrepared::LotWithoutSheet {
                    lot,
                    tube: tube.to_owned(),
                    sheets: listed(&series),
                },
            });
        }
    }
    let [(id, entry)] = fitting.as_slice() else {
        return Err(NotPrepared::SheetAmbiguous {
            tube: tube.to_owned(),
            sheets: listed(&fitting),
            lot_missing: lot.is_none(),
        });
    };
    Ok(ChosenSheet {
        id,
        entry,
        how: match (leaflet, lot) {
            (Some(_), Some(_)) => ChosenBy::LotAndLeafletRevision,
            (Some(_), None) => ChosenBy::LeafletRevision,
            (None, Some(_)) if series.len() > 1 => ChosenBy::Lot,
            _ => ChosenBy::OnlyRevision,
        },
    })
}

/// A sheet named in full can still be the wrong one for the lot.
fn contradiction(
    book: &Book,
    id: &str,
    entry: &TubeEntry,
    leaflet: Option<&str>,
    lot: Option<&str>,
) -> Result<(), NotPrepared> {
    if let (Some(leaflet), Some(revision)) = (leaflet, revision(entry))
        && leaflet != revision
    {
        return Err(NotPrepared::SheetOfAnotherRevision {
            sheet: id.to_owned(),
            revision: revision.to_owned(),
            leaflet: leaflet.to_owned(),
        });
    }
    if let Some(lot) = lot
        && has_lot(entry, lot) == Some(false)
    {
        let series = series_of(entry);
        let fits: Vec<(&str, &TubeEntry)> = book
            .ids(EntryKind::Tube)
            .into_iter()
            .filter_map(|other| book.tube(other).map(|entry| (other, entry)))
            .filter(|(_, other)| series_of(other) == series && has_lot(other, lot) == Some(true))
            .collect();
        return Err(NotPrepared::LotOfOtherSheets {
            lot: lot.to_owned(),
            sheet: id.to_owned(),
            sheets: listed(&fits),
        });
    }
    Ok(())
}

fn no_such_tube(tube: &str, known: impl Iterator<Item = (String, String)>) -> NotPrepared {
    let mut names: Vec<String> = known.flat_map(|(id, series)| [id, series]).collect();
    names.sort();
    names.dedup();
    let near = search::nearest(&search::folded(tube), &names);
    NotPrepared::TubeUnknown {
        tube: tube.to_owned(),
        near,
    }
}

fn revision(entry: &TubeEntry) -> Option<&str> {
    entry.leaflet.as_ref()?.revision.as_deref()
}

/// True if a lot belongs to the sheet; nothing if the sheet does not say.
fn has_lot(entry: &TubeEntry, lot: &str) -> Option<bool> {
    entry.lots().map(|lots| lots.contains(lot))
}

fn listed(sheets: &[(&str, &TubeEntry)]) -> Vec<ListedSheet> {
    let one = |(id, entry): &(&str, &TubeEntry)| ListedSheet {
        id: (*id).to_owned(),
        revision: revision(entry).map(str::to_owned),
        lots: entry.lots().map(|lots| lots.text().to_owned()),
    };
    sheets.iter().map(one).collect()
}
