//! Which sheet a reading belongs to: the leaflet that lay in its own box, not the newest one.

use stainbook_catalog::model::series_of;
use stainbook_catalog::search;
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::{Book, EntryKind};

use crate::outcome::{Code, Refusal};
use crate::pointers;
use crate::result::ChosenBy;

/// A sheet and why it is that one.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ChosenSheet<'b> {
    /// Its short name.
    pub(crate) id: &'b str,
    /// The sheet.
    pub(crate) entry: &'b TubeEntry,
    /// How it was found.
    pub(crate) how: ChosenBy,
}

/// Finds the sheet for the tube that a reading names, by its full short name, or by the name of the series with the
/// lot or the revision of the leaflet.
///
/// # Errors
///
/// A [`Refusal`]: no such tube, lot and leaflet contradict each other, or more than one sheet could be meant.
pub(crate) fn choose<'b>(
    book: &'b Book,
    tube: &str,
    leaflet: Option<&str>,
    lot: Option<&str>,
) -> Result<ChosenSheet<'b>, Refusal> {
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
            return Err(Refusal::new(
                Code::LeafletUnknown,
                format!(
                    "there is no sheet of `{tube}` for revision {leaflet} of the leaflet; there is {}",
                    list(&series)
                ),
                "enter the leaflet that lay in the box as a sheet of its own",
            )
            .at(pointers::LEAFLET));
        }
    }
    if let Some(lot) = lot {
        let named = fitting.clone();
        let by_lot: Vec<_> = named
            .iter()
            .copied()
            .filter(|(_, entry)| has_lot(entry, lot) == Some(true))
            .collect();
        // A sheet that does not say to which lots it belongs may belong to this one.
        let silent: Vec<_> = named
            .iter()
            .copied()
            .filter(|(_, entry)| has_lot(entry, lot).is_none())
            .collect();
        fitting = if by_lot.is_empty() { silent } else { by_lot };
        if fitting.is_empty() {
            let elsewhere: Vec<_> = series
                .iter()
                .copied()
                .filter(|(_, entry)| has_lot(entry, lot) == Some(true))
                .collect();
            return Err(match (leaflet, elsewhere.is_empty()) {
                (Some(leaflet), false) => Refusal::new(
                    Code::LotAndLeafletDisagree,
                    format!(
                        "lot `{lot}` does not belong to revision {leaflet} of the leaflet but to {}",
                        list(&elsewhere)
                    ),
                    "look at the box and its leaflet again and correct the one that is wrong",
                )
                .at(pointers::LOT),
                _ => Refusal::new(
                    Code::LotWithoutSheet,
                    format!(
                        "lot `{lot}` belongs to none of the sheets of `{tube}`: {}",
                        list(&series)
                    ),
                    "look at the lot again; if it is right, enter the leaflet from its box as a sheet",
                )
                .at(pointers::LOT),
            });
        }
    }
    match (fitting.as_slice(), leaflet, lot) {
        ([(id, entry)], leaflet, lot) => Ok(ChosenSheet {
            id,
            entry,
            how: match (leaflet, lot) {
                (Some(_), Some(_)) => ChosenBy::LotAndLeafletRevision,
                (Some(_), None) => ChosenBy::LeafletRevision,
                (None, Some(_)) if series.len() > 1 => ChosenBy::Lot,
                _ => ChosenBy::OnlyRevision,
            },
        }),
        (several, _, _) => Err(Refusal::new(
            Code::SheetAmbiguous,
            format!(
                "more than one sheet could be meant by `{tube}`: {}",
                list(several)
            ),
            "state the lot, or the revision of the leaflet in the box: a lot is evaluated with its own leaflet, not with the newest",
        )
        .at(if lot.is_none() {
            pointers::LOT
        } else {
            pointers::LEAFLET
        })),
    }
}

/// A sheet named in full can still be the wrong one for the lot.
fn contradiction(
    book: &Book,
    id: &str,
    entry: &TubeEntry,
    leaflet: Option<&str>,
    lot: Option<&str>,
) -> Result<(), Refusal> {
    if let (Some(leaflet), Some(revision)) = (leaflet, revision(entry))
        && leaflet != revision
    {
        return Err(Refusal::new(
            Code::LotAndLeafletDisagree,
            format!(
                "sheet `{id}` is revision {revision} of the leaflet, the reading says revision {leaflet}"
            ),
            "look at the leaflet in the box and correct the one that is wrong",
        )
        .at(pointers::LEAFLET));
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
        let belongs = if fits.is_empty() {
            "to none of its revisions here".to_owned()
        } else {
            format!("to {}", list(&fits))
        };
        return Err(Refusal::new(
            Code::LotAndLeafletDisagree,
            format!("lot `{lot}` does not belong to sheet `{id}` but {belongs}"),
            "look at the box and its leaflet again and correct the one that is wrong",
        )
        .at(pointers::LOT));
    }
    Ok(())
}

fn no_such_tube(tube: &str, known: impl Iterator<Item = (String, String)>) -> Refusal {
    let mut names: Vec<String> = known.flat_map(|(id, series)| [id, series]).collect();
    names.sort();
    names.dedup();
    let near = search::nearest(&search::folded(tube), &names);
    let instead = if near.is_empty() {
        "look at the name again, or enter the leaflet as a sheet".to_owned()
    } else {
        format!(
            "did you mean {}?",
            near.iter()
                .map(|name| format!("`{name}`"))
                .collect::<Vec<_>>()
                .join(" or ")
        )
    };
    Refusal::new(
        Code::TubeUnknown,
        format!("no sheet in the catalog is called `{tube}`"),
        instead,
    )
    .at(pointers::TUBE)
}

fn revision(entry: &TubeEntry) -> Option<&str> {
    entry.leaflet.as_ref()?.revision.as_deref()
}

/// Whether a lot belongs to the sheet; nothing if the sheet does not say.
fn has_lot(entry: &TubeEntry, lot: &str) -> Option<bool> {
    entry.lots().map(|lots| lots.contains(lot))
}

fn list(sheets: &[(&str, &TubeEntry)]) -> String {
    let one = |(id, entry): &(&str, &TubeEntry)| {
        let revision =
            revision(entry).map_or(String::new(), |revision| format!("revision {revision}"));
        let lots = entry
            .lots()
            .map_or(String::new(), |lots| format!(", lots {}", lots.text()));
        format!("`{id}` ({revision}{lots})")
    };
    sheets.iter().map(one).collect::<Vec<_>>().join(" and ")
}
