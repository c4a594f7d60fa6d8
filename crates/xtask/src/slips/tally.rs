//! Counting slips, and the counts as they are committed.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::SlipClass;
use super::injected::InjectedSlip;
use super::judge::SeenBy;

/// Numbers of slips made and seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct SlipCounts {
    /// Made.
    pub(super) all: usize,
    /// Seen by the schema alone.
    pub(super) schema: usize,
    /// Seen by schema, reader and rules.
    pub(super) rules: usize,
    /// Seen by these on a sheet with control figures and examples.
    pub(super) control: usize,
    /// Seen by the comparison of two people's sheets.
    pub(super) compared: usize,
}

/// SheetPart of a sheet that a slip is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum SheetPart {
    /// The leaflet's data of the tube, which the targets are about.
    Leaflet,
    /// Of the leaflet itself: date, revision, page, lots.
    Paperwork,
    /// Entry and verification: by whom and when; each of two people writes an own one.
    People,
    /// The control figures and examples themselves.
    OnTop,
}

/// Everything that was counted.
#[derive(Clone, Debug, Default)]
pub(super) struct Tally {
    pub(super) sheets: BTreeMap<String, usize>,
    pub(super) counts: BTreeMap<(SheetPart, SlipClass, String), SlipCounts>,
    by_rule: BTreeMap<&'static str, usize>,
    passed: BTreeMap<(SlipClass, String), String>,
}

impl SlipCounts {
    fn note(&mut self, seen_by: SeenBy, compared: bool) {
        self.all += 1;
        self.schema += usize::from(seen_by <= SeenBy::Schema);
        self.rules += usize::from(seen_by <= SeenBy::Rules);
        self.control += usize::from(seen_by <= SeenBy::Control);
        self.compared += usize::from(compared);
    }

    pub(super) fn add(&mut self, other: Self) {
        self.all += other.all;
        self.schema += other.schema;
        self.rules += other.rules;
        self.control += other.control;
        self.compared += other.compared;
    }

    /// Number of slips that pass even with control figures.
    pub(super) fn passed(self) -> usize {
        self.all - self.control
    }
}

impl SheetPart {
    const ALL: [Self; 4] = [Self::Leaflet, Self::Paperwork, Self::People, Self::OnTop];

    fn name(self) -> &'static str {
        match self {
            Self::Leaflet => "leaflet",
            Self::Paperwork => "paperwork",
            Self::People => "people",
            Self::OnTop => "given on top",
        }
    }
}

impl Tally {
    pub(super) fn sheet(&mut self, shelf: &str) {
        *self.sheets.entry(shelf.to_owned()).or_default() += 1;
    }

    pub(super) fn slip(
        &mut self,
        slip: &InjectedSlip,
        seen_by: SeenBy,
        rule: Option<&'static str>,
        compared: bool,
        example: &dyn Fn() -> String,
    ) {
        if let Some(rule) = rule {
            *self.by_rule.entry(rule).or_default() += 1;
        }
        self.counts
            .entry((slip.part, slip.class, slip.field.clone()))
            .or_default()
            .note(seen_by, compared);
        if seen_by == SeenBy::Nobody || !compared {
            self.passed
                .entry((slip.class, slip.field.clone()))
                .or_insert_with(|| {
                    format!(
                        "{}{}",
                        if compared { "" } else { "NOT COMPARED " },
                        example()
                    )
                });
        }
    }

    pub(super) fn add(&mut self, other: Self) {
        for (shelf, sheets) in other.sheets {
            *self.sheets.entry(shelf).or_default() += sheets;
        }
        for (key, counts) in other.counts {
            self.counts.entry(key).or_default().add(counts);
        }
        for (rule, slips) in other.by_rule {
            *self.by_rule.entry(rule).or_default() += slips;
        }
        for (key, example) in other.passed {
            self.passed.entry(key).or_insert(example);
        }
    }

    /// The sum over what is wanted.
    pub(super) fn of(&self, wanted: impl Fn(SheetPart, SlipClass) -> bool) -> SlipCounts {
        let mut sum = SlipCounts::default();
        for ((part, class, _), counts) in &self.counts {
            if wanted(*part, *class) {
                sum.add(*counts);
            }
        }
        sum
    }

    /// Slips that pass the rules; those that pass the control figures as well, most first, each with an example; and
    /// which rule saw how many.
    pub(super) fn missed(&self) -> String {
        let mut rows: Vec<_> = self
            .counts
            .iter()
            .filter(|(_, counts)| counts.control < counts.all || counts.compared < counts.all)
            .collect();
        rows.sort_by_key(|(_, counts)| std::cmp::Reverse(counts.passed()));
        let mut text = String::new();
        let mut by_rules_alone: Vec<_> = self
            .counts
            .iter()
            .filter(|((part, ..), counts)| *part == SheetPart::Leaflet && counts.rules < counts.all)
            .collect();
        by_rules_alone.sort_by_key(|(_, counts)| std::cmp::Reverse(counts.all - counts.rules));
        for ((_, class, field), counts) in by_rules_alone {
            let _ = writeln!(
                text,
                "{:6} of {:6} without control figures: {class:?} {field}",
                counts.all - counts.rules,
                counts.all
            );
        }
        for ((_, class, field), counts) in rows {
            let example = self
                .passed
                .get(&(*class, field.clone()))
                .map_or("", String::as_str);
            let _ = writeln!(
                text,
                "{:6} of {:6} {class:?} {field}: {example}",
                counts.passed(),
                counts.all
            );
        }
        for (rule, slips) in &self.by_rule {
            let _ = writeln!(text, "{slips:7} {rule}");
        }
        text
    }

    /// The counts as a table for programs.
    pub(super) fn to_csv(&self) -> String {
        let mut text = format!("{HEAD}\n");
        for (shelf, sheets) in &self.sheets {
            let _ = writeln!(text, "sheets,,{shelf},{sheets},,,,");
        }
        for ((part, class, field), counts) in &self.counts {
            let _ = writeln!(
                text,
                "{},{},{field},{},{},{},{},{}",
                part.name(),
                class.name(),
                counts.all,
                counts.schema,
                counts.rules,
                counts.control,
                counts.compared
            );
        }
        text
    }

    /// The counts from such a table.
    pub(super) fn from_csv(text: &str) -> Option<Self> {
        let mut tally = Self::default();
        let mut lines = text.lines();
        if lines.next() != Some(HEAD) {
            return None;
        }
        for line in lines {
            let mut cells = line.split(',');
            let (part, class, field) = (cells.next()?, cells.next()?, cells.next()?);
            let mut number = || cells.next()?.parse::<usize>().ok();
            if part == "sheets" {
                tally.sheets.insert(field.to_owned(), number()?);
                continue;
            }
            let part = SheetPart::ALL
                .into_iter()
                .find(|known| known.name() == part)?;
            let (class, _) = SlipClass::ALL
                .into_iter()
                .find(|(_, name)| *name == class)?;
            let counts = SlipCounts {
                all: number()?,
                schema: number()?,
                rules: number()?,
                control: number()?,
                compared: number()?,
            };
            tally.counts.insert((part, class, field.to_owned()), counts);
        }
        Some(tally)
    }
}

const HEAD: &str = "part,slip,field,made,schema,rules,control figures,compare";
