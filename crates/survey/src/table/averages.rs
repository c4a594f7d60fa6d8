//! Averages in a table: a column names the average that a row is a part of.
//!
//! The period and the exposure of the unsampled rest, which a survey file says once under `together`, may stand in each
//! row of a table. Rows of one average that say different things leave it refused, never one of the two chosen.

use stainbook_catalog::written::{GroupRow, Rest, Stated, TogetherMethod};
use stainbook_core::Duration;

use stainbook_evaluation::outcome::{Code, Refusal};
use stainbook_evaluation::result::{GroupMethod, GroupResult};

/// The average that a row is a part of, as it says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PartOf {
    /// Its name.
    pub average: Option<String>,
    /// The period it is for; without it 8 h, as in a survey file.
    pub over: Option<Stated<Duration>>,
    /// Exposure in the time that no reading stands for.
    pub rest: Option<Rest>,
}

/// The averages of a table, in the order in which they are first named.
#[derive(Debug, Default)]
pub(crate) struct Averages {
    rows: Vec<GroupRow>,
    /// By the place in `rows`, what its rows say differently.
    contradictions: Vec<(usize, String)>,
}

impl Averages {
    /// A reading of this name.
    pub(crate) fn add(&mut self, part: &PartOf, reading: &str) {
        let Some(average) = &part.average else {
            return;
        };
        let named = |row: &GroupRow| row.id.as_ref() == Some(average);
        let index = self.rows.iter().position(named).unwrap_or_else(|| {
            self.rows.push(GroupRow {
                id: Some(average.clone()),
                method: Some(TogetherMethod::Average),
                ..GroupRow::default()
            });
            self.rows.len() - 1
        });
        let Some(row) = self.rows.get_mut(index) else {
            return;
        };
        row.readings.push(reading.to_owned());
        if let Some(over) = &part.over {
            let minutes = |over: &Stated<Duration>| over.value().minutes();
            match &row.over {
                Some(first) if minutes(first).total_cmp(&minutes(over)).is_ne() => {
                    let said = format!("`average_over` {} and {}", first.text(), over.text());
                    self.contradictions.push((index, said));
                }
                Some(_) => {}
                None => row.over = Some(over.clone()),
            }
        }
        if let Some(rest) = part.rest {
            match row.rest {
                Some(first) if first != rest => {
                    self.contradictions
                        .push((index, "`rest` in two ways".to_owned()));
                }
                _ => row.rest = Some(rest),
            }
        }
    }

    /// The averages, and a refusal for each whose rows contradict each other.
    pub(crate) fn rows(self) -> (Vec<GroupRow>, Vec<GroupResult>) {
        let refused = self.rows.iter().enumerate().filter_map(|(index, row)| {
            let (_, said) = self.contradictions.iter().find(|(of, _)| *of == index)?;
            let id = row.id.as_deref().unwrap_or_default();
            Some(GroupResult::refused(
                id,
                GroupMethod::Average,
                format!("average {id}"),
                Refusal::new(
                    Code::RowsContradict,
                    format!("the rows of this average say {said}"),
                    "say it in one row, or the same in all",
                ),
            ))
        });
        let refused = refused.collect();
        let sound = self
            .rows
            .into_iter()
            .enumerate()
            .filter(|(index, _)| self.contradictions.iter().all(|(of, _)| of != index));
        (sound.map(|(_, row)| row).collect(), refused)
    }
}
