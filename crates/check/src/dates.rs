//! The dates of an entry with their places: what the rules about dates have in common.

use stainbook_catalog::written::Day;
use stainbook_catalog::{Entry, ListedBox, WrittenEntry};
use stainbook_document::place::Path;

/// A date of an entry.
#[derive(Clone, Debug)]
pub(crate) struct Dated<'a> {
    pub(crate) path: Path,
    pub(crate) day: &'a Day,
    /// The event, as a noun: `the leaflet's date`.
    pub(crate) what: &'static str,
}

fn dated<'a>(day: Option<&'a Day>, path: Path, what: &'static str) -> Option<Dated<'a>> {
    day.map(|day| Dated { path, day, what })
}

/// The dates on which something had happened when the entry was written.
pub(crate) fn past(entry: &Entry) -> Vec<Dated<'_>> {
    let root = Path::root;
    match &entry.written {
        WrittenEntry::Tube(tube) => [
            dated(
                tube.leaflet
                    .as_ref()
                    .and_then(|leaflet| leaflet.date.as_ref()),
                root().key("leaflet").key("date"),
                "the leaflet's date",
            ),
            dated(
                tube.entered
                    .as_ref()
                    .and_then(|signed| signed.date.as_ref()),
                root().key("entered").key("date"),
                "the day it was typed in",
            ),
            dated(
                tube.verified
                    .as_ref()
                    .and_then(|signed| signed.date.as_ref()),
                root().key("verified").key("date"),
                "the day it was verified",
            ),
        ]
        .into_iter()
        .flatten()
        .collect(),
        WrittenEntry::Pump(pump) => {
            let mut dates: Vec<Dated<'_>> = dated(
                pump.in_use_since.as_ref(),
                root().key("in_use_since"),
                "the day it was taken into use",
            )
            .into_iter()
            .collect();
            for (row, check) in pump.volume_checks.iter().enumerate() {
                dates.extend(dated(
                    check.date.as_ref(),
                    root().key("volume_checks").index(row).key("date"),
                    "the day of the volume check",
                ));
            }
            for (row, test) in pump.leak_tests.iter().enumerate() {
                dates.extend(dated(
                    test.date.as_ref(),
                    root().key("leak_tests").index(row).key("date"),
                    "the day of the leak test",
                ));
            }
            for (row, repair) in pump.repairs.iter().enumerate() {
                dates.extend(dated(
                    repair.date.as_ref(),
                    root().key("repairs").index(row).key("date"),
                    "the day of the repair",
                ));
            }
            dates
        }
        WrittenEntry::StockBox(_) | WrittenEntry::BoxList(_) => {
            of_boxes(entry).into_iter().flatten().collect()
        }
        WrittenEntry::Source(source) => dated(
            source.date.as_ref(),
            root().key("date"),
            "the edition's date",
        )
        .into_iter()
        .collect(),
        WrittenEntry::Catalog(catalog) => dated(
            catalog.revision.as_ref(),
            root().key("revision"),
            "the catalog's revision",
        )
        .into_iter()
        .collect(),
        WrittenEntry::Substance(_)
        | WrittenEntry::Group(_)
        | WrittenEntry::PumpKind(_)
        | WrittenEntry::Plan(_)
        | WrittenEntry::Survey(_) => Vec::new(),
    }
}

/// Pairs of dates of which the first cannot come after the second.
pub(crate) fn in_order(entry: &Entry) -> Vec<(Dated<'_>, Dated<'_>)> {
    let root = Path::root;
    let dates = past(entry);
    let mut pairs = Vec::new();
    match &entry.written {
        WrittenEntry::Tube(tube) => {
            pairs.extend(neighbours(&dates));
            let review = dated(
                tube.review_by.as_ref(),
                root().key("review_by"),
                "the day by which it is to be reviewed",
            );
            let withdrawn = tube
                .withdrawn
                .as_ref()
                .and_then(|withdrawn| withdrawn.since.as_ref());
            let withdrawn = dated(
                withdrawn,
                root().key("withdrawn").key("since"),
                "the day it was withdrawn",
            );
            let last_signed = dates.last().cloned();
            pairs.extend(last_signed.zip(review));
            pairs.extend(dates.first().cloned().zip(withdrawn));
        }
        WrittenEntry::Pump(pump) => {
            let of = |what: &str| -> Vec<Dated<'_>> {
                dates
                    .iter()
                    .filter(|date| date.what == what)
                    .cloned()
                    .collect()
            };
            let (checks, tests) = (
                of("the day of the volume check"),
                of("the day of the leak test"),
            );
            let start = dated(
                pump.in_use_since.as_ref(),
                root().key("in_use_since"),
                "the day it was taken into use",
            );
            let end = dated(
                pump.withdrawn.as_ref(),
                root().key("withdrawn"),
                "the day it was withdrawn",
            );
            pairs.extend(neighbours(&checks));
            pairs.extend(neighbours(&tests));
            pairs.extend(neighbours(&of("the day of the repair")));
            pairs.extend(start.zip(end));
        }
        WrittenEntry::StockBox(_) | WrittenEntry::BoxList(_) => {
            for dates in of_boxes(entry) {
                pairs.extend(neighbours(&dates));
            }
        }
        _ => {}
    }
    pairs
}

/// The dates of each box, in the order in which they come in its life.
fn of_boxes(entry: &Entry) -> Vec<Vec<Dated<'_>>> {
    fn of_box(listed: ListedBox<'_>) -> Vec<Dated<'_>> {
        let (stock, path) = (listed.stock, listed.path());
        let at = |key| path.clone().key(key);
        [
            dated(
                stock.manufactured.as_ref(),
                at("manufactured"),
                "the day of manufacture",
            ),
            dated(stock.received.as_ref(), at("received"), "the day it came"),
            dated(stock.opened.as_ref(), at("opened"), "the day it was opened"),
            dated(
                stock.used_up.as_ref(),
                at("used_up"),
                "the day it was used up",
            ),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
    ListedBox::of(entry).map(of_box).collect()
}

fn neighbours<'a>(dates: &[Dated<'a>]) -> Vec<(Dated<'a>, Dated<'a>)> {
    dates
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some((a.clone(), b.clone())),
            _ => None,
        })
        .collect()
}
