//! The list of what is due for people: what is past first, each item on one line with its remedy below where it is past.

use stainbook_check::due::{DueItem, DueList, DueState};

use crate::lines::{Colour, printable};

/// The list, in columns.
pub fn render(list: &DueList, colour: Colour) -> String {
    let width = |of: fn(&DueItem) -> &str| {
        let widths = list
            .items
            .iter()
            .map(|item| printable(of(item)).chars().count());
        widths.max().unwrap_or(0)
    };
    let whats = width(|item| item.what.name());
    let abouts = width(|item| &item.about);
    let mut out = String::new();
    for item in &list.items {
        let state = format!("{:<8}", item.state.name());
        let state = match item.state {
            DueState::Coming => state,
            DueState::Missing => colour.amber(&state),
            DueState::Failed | DueState::Expired | DueState::Overdue => colour.red(&state),
        };
        out.push_str(&format!(
            "{state} {:<10}  {:<whats$}  {:<abouts$}  {}\n",
            item.day.as_deref().unwrap_or_default(),
            item.what.name(),
            printable(&item.about),
            printable(&item.text),
        ));
        if item.state != DueState::Coming {
            out.push_str(&format!("         {}\n", printable(&item.remedy)));
        }
    }
    out.push_str(&closing(list));
    out
}

/// The counts, in words.
fn closing(list: &DueList) -> String {
    let past = list
        .items
        .iter()
        .filter(|item| item.state != DueState::Coming)
        .count();
    let coming = list.items.len() - past;
    format!(
        "{}on {}: {past} past, failed or missing, {coming} to come within {} days\n",
        if list.items.is_empty() { "" } else { "\n" },
        list.as_of,
        list.within_days
    )
}
