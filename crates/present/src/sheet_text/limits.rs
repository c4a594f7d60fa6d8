//! The limits of what is measured.

use stainbook_catalog::Book;
use stainbook_catalog::written::{SubstanceEntry, TubeEntry};

use super::{Page, word};
use crate::lines::if_stated;

pub(super) fn limits(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    let measures = sheet.measures.as_ref();
    let id = measures.and_then(|measures| {
        measures
            .substance
            .as_deref()
            .or(measures.expressed_as.as_deref())
    });
    let Some(substance) = id.and_then(|id| book.substance(id)) else {
        return;
    };
    if substance.limits.is_empty() {
        return;
    }
    let name = substance.name.as_deref().unwrap_or_default();
    match measures.and_then(|measures| measures.group.as_deref()) {
        // The total of a group says nothing about the limit of one of its members.
        Some(group) => {
            let group = book
                .group(group)
                .and_then(|entry| entry.name.clone())
                .unwrap_or_else(|| group.to_owned());
            page.section(&format!(
                "Limits of {name} alone (the tube reads {group} together)"
            ));
        }
        None => page.section(&format!("Limits of {name}")),
    }
    page.table(&limit_rows(substance, book));
}

fn limit_rows(substance: &SubstanceEntry, book: &Book) -> Vec<Vec<String>> {
    substance
        .limits
        .iter()
        .map(|limit| {
            let source = limit.source.as_deref().unwrap_or("?");
            let authority = book
                .source(source)
                .and_then(|entry| entry.authority.clone());
            let value = limit.at_most.as_ref().map_or("?", |value| value.text());
            let also = if_stated(limit.also_printed.as_ref(), |also| {
                format!(" ({})", also.text())
            });
            let over = if_stated(limit.averaged_over.as_ref(), |over| {
                format!(" over {}", over.text())
            });
            vec![
                authority.unwrap_or_else(|| source.to_owned()),
                limit.kind.map_or_else(|| "?".to_owned(), word) + &over,
                format!("{value}{also}"),
            ]
        })
        .collect()
}
