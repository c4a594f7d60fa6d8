//! `stainbook sheet`: a tube's data sheet, to hang above the bench.

use std::path::{Path, PathBuf};

use clap::Args;
use stainbook::catalog::model::series_of;
use stainbook::catalog::search::{folded, nearest};
use stainbook::catalog::written::TubeEntry;
use stainbook::present::sheet_text;
use stainbook::{Book, EntryKind};

use crate::catalog_choice::choose;
use crate::catalog_files::{Loaded, load};
use crate::end::End;
use crate::failure::Failure;
use crate::output;

/// Print a tube's data sheet, laid out by the work
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  stainbook sheet brinewash-chlorine-a-r2\n  stainbook sheet brinewash-chlorine-a     the newest revision, and which others there are"
)]
pub(crate) struct SheetOf {
    /// The sheet's short name, or the name without its revision; without it the sheets are listed
    tube: Option<String>,
    /// A folder with a `catalog.yaml`; without it the nearest one upward, else the embedded demo
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
}

impl SheetOf {
    pub(crate) fn run(&self) -> Result<End, Failure> {
        let choice = choose(self.catalog.as_deref(), Path::new(""))?;
        let Loaded {
            book,
            unreadable,
            words,
            ..
        } = load(&choice, Vec::new());
        for failure in &unreadable {
            failure.report(false);
        }
        output::message(&format!("catalog: {words}"));
        let Some(wanted) = &self.tube else {
            for (entry, tube) in book.tubes() {
                output::data(&format!(
                    "{}  {}\n",
                    entry.id(),
                    tube.name.as_deref().unwrap_or_default()
                ));
            }
            return Ok(End::Well);
        };
        let sheet = find(&book, wanted)?;
        output::data(&sheet_text::render(sheet, &book, output::colour()));
        Ok(if unreadable.is_empty() {
            End::Well
        } else {
            End::NotCarriedOut
        })
    }
}

/// The sheet of this name, or the newest of the series, that is not withdrawn if there is such a one.
fn find<'b>(book: &'b Book, wanted: &str) -> Result<&'b TubeEntry, Failure> {
    if let Some(sheet) = book.tube(wanted) {
        return Ok(sheet);
    }
    let mut series: Vec<&TubeEntry> = book
        .tubes()
        .map(|(_, tube)| tube)
        .filter(|tube| series_of(tube) == wanted)
        .collect();
    series.sort_by_key(|tube| {
        (
            tube.withdrawn.is_none(),
            tube.leaflet
                .as_ref()
                .and_then(|leaflet| leaflet.date.as_ref().map(|date| date.last())),
        )
    });
    if let Some(newest) = series.pop() {
        let older: Vec<&str> = series
            .iter()
            .filter_map(|tube| tube.tube.as_deref())
            .collect();
        if !older.is_empty() {
            output::message(&format!(
                "note: the newest revision is shown; older ones, for their own lots: {}",
                older.join(", ")
            ));
        }
        return Ok(newest);
    }
    let names: Vec<String> = book
        .ids(EntryKind::Tube)
        .into_iter()
        .map(ToOwned::to_owned)
        .collect();
    let near = nearest(&folded(wanted), &names);
    let help = if near.is_empty() {
        "`stainbook sheet` alone lists the sheets".to_owned()
    } else {
        format!("did you mean `{}`?", near.join("`, `"))
    };
    Err(Failure::new(
        "unknown-sheet",
        format!("there is no sheet `{wanted}`"),
        help,
    ))
}
