//! Counting slips, and the table of them.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::Class;
use super::injected::Slip;
use super::judge::SeenBy;
use super::why::WHY;

/// How many slips there were and how many were seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    all: usize,
    schema: usize,
    rules: usize,
    control: usize,
    compared: usize,
}

/// Everything that was counted.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tally {
    sheets: BTreeMap<&'static str, usize>,
    classes: BTreeMap<Class, Counts>,
    fields: BTreeMap<String, Counts>,
    paperwork: Counts,
    by_rule: BTreeMap<&'static str, usize>,
    missed: BTreeMap<(Class, String), (usize, usize, String)>,
}

impl Counts {
    fn note(&mut self, seen_by: SeenBy, compared: bool) {
        self.all += 1;
        self.schema += usize::from(seen_by <= SeenBy::Schema);
        self.rules += usize::from(seen_by <= SeenBy::Rules);
        self.control += usize::from(seen_by <= SeenBy::Control);
        self.compared += usize::from(compared);
    }

    fn add(&mut self, other: Self) {
        self.all += other.all;
        self.schema += other.schema;
        self.rules += other.rules;
        self.control += other.control;
        self.compared += other.compared;
    }
}

impl Tally {
    pub(super) fn sheet(&mut self, shelf: &'static str) {
        *self.sheets.entry(shelf).or_default() += 1;
    }

    pub(super) fn slip(
        &mut self,
        slip: &Slip,
        seen_by: SeenBy,
        rule: Option<&'static str>,
        compared: bool,
        example: &dyn Fn() -> String,
    ) {
        if let Some(rule) = rule {
            *self.by_rule.entry(rule).or_default() += 1;
        }
        if slip.paperwork {
            self.paperwork.note(seen_by, compared);
            return;
        }
        self.classes
            .entry(slip.class)
            .or_default()
            .note(seen_by, compared);
        self.fields
            .entry(slip.field.clone())
            .or_default()
            .note(seen_by, compared);
        let passes = seen_by == SeenBy::Nobody;
        let missed = self
            .missed
            .entry((slip.class, slip.field.clone()))
            .or_insert_with(|| (0, 0, String::new()));
        missed.0 += usize::from(passes);
        missed.1 += 1;
        if (passes || !compared) && missed.2.is_empty() {
            missed.2 = format!(
                "{}{}",
                if compared { "" } else { "NOT COMPARED " },
                example()
            );
        }
    }

    pub(super) fn add(&mut self, other: Self) {
        for (shelf, sheets) in other.sheets {
            *self.sheets.entry(shelf).or_default() += sheets;
        }
        for (class, counts) in other.classes {
            self.classes.entry(class).or_default().add(counts);
        }
        for (field, counts) in other.fields {
            self.fields.entry(field).or_default().add(counts);
        }
        self.paperwork.add(other.paperwork);
        for (rule, slips) in other.by_rule {
            *self.by_rule.entry(rule).or_default() += slips;
        }
        for (key, (passed, all, example)) in other.missed {
            let own = self
                .missed
                .entry(key)
                .or_insert_with(|| (0, 0, String::new()));
            own.0 += passed;
            own.1 += all;
            if own.2.is_empty() {
                own.2 = example;
            }
        }
    }

    fn of(&self, wanted: impl Fn(Class) -> bool) -> Counts {
        let mut sum = Counts::default();
        for (_, counts) in self.classes.iter().filter(|(class, _)| wanted(**class)) {
            sum.add(*counts);
        }
        sum
    }

    /// What passes everything, most first, each with an example; and which rule saw how many.
    pub(super) fn missed(&self) -> String {
        let mut rows: Vec<_> = self
            .missed
            .iter()
            .filter(|(_, (passed, _, example))| 0 < *passed || !example.is_empty())
            .collect();
        rows.sort_by_key(|(_, (passed, ..))| std::cmp::Reverse(*passed));
        let mut text = String::new();
        for ((class, field), (passed, all, example)) in rows {
            let _ = writeln!(text, "{passed:6} of {all:6} {class:?} {field}: {example}");
        }
        for (rule, slips) in &self.by_rule {
            let _ = writeln!(text, "{slips:7} {rule}");
        }
        text
    }
}

fn name(class: Class) -> &'static str {
    match class {
        Class::DecimalPoint => "decimal point moved by a place",
        Class::DigitsSwapped => "two neighbouring digits swapped",
        Class::DigitWrong => "one digit wrong",
        Class::DigitDropped => "a digit dropped",
        Class::DigitDoubled => "a digit doubled",
        Class::SignLost => "sign lost",
        Class::UnitSibling => "unit replaced by a sibling",
        Class::RowLeftOut => "a row left out",
        Class::RowDoubled => "a row doubled",
        Class::RowsSwapped => "two rows swapped",
        Class::ColumnsSwapped => "two columns swapped",
        Class::ShiftedByACell => "a column shifted by one cell",
        Class::WrongSubstance => "wrong substance",
        Class::WrongReference => "wrong pump kind, group, sheet or scale",
        Class::BlockCopied => "a block copied from another sheet",
    }
}

fn is_row_or_column(class: Class) -> bool {
    matches!(
        class,
        Class::RowLeftOut
            | Class::RowDoubled
            | Class::RowsSwapped
            | Class::ColumnsSwapped
            | Class::ShiftedByACell
    )
}

/// So many of so many in percent with one decimal, rounded down, so that 100 means all.
fn percent(part: usize, all: usize) -> String {
    if all == 0 {
        return "–".to_owned();
    }
    let tenths = part * 1000 / all;
    if tenths == 1000 {
        "100 %".to_owned()
    } else {
        format!("{}.{} %", tenths / 10, tenths % 10)
    }
}

fn line(text: &mut String, name: &str, counts: Counts) {
    let of = |part| percent(part, counts.all);
    let _ = writeln!(
        text,
        "| {name} | {} | {} | {} | {} | {} |",
        counts.all,
        of(counts.schema),
        of(counts.rules),
        of(counts.control),
        of(counts.compared)
    );
}

/// The line by which a test compares a part of the count.
pub(crate) fn sample_line(tally: &Tally) -> String {
    let all = tally.of(|_| true);
    let sheets: usize = tally.sheets.values().sum();
    format!(
        "<!-- sample of {sheets} sheets: {} slips, {} by the schema, {} by rules, {} with control figures, {} by compare -->",
        all.all, all.schema, all.rules, all.control, all.compared
    )
}

/// Fields are listed below this part of slips seen with control figures.
const LISTED_BELOW: usize = 95;

/// The figures as the README shows them.
pub(crate) fn readme(tally: &Tally, sample: &Tally) -> String {
    let mut text = String::new();
    let all = tally.of(|_| true);
    let sheets: Vec<String> = tally
        .sheets
        .iter()
        .map(|(shelf, sheets)| format!("{sheets} {shelf}"))
        .collect();
    let _ = writeln!(text, "{}", sample_line(sample));
    let _ = writeln!(
        text,
        "`cargo xtask slips` made {} slips, one at a time, in {} sheets:\n",
        all.all,
        sheets.join(" and ")
    );
    text.push_str("| slip | made | schema | rules | rules, control figures given | `compare` |\n| --- | ---: | ---: | ---: | ---: | ---: |\n");
    for (class, counts) in &tally.classes {
        line(&mut text, name(*class), *counts);
    }
    line(
        &mut text,
        "**all rows and columns**",
        tally.of(is_row_or_column),
    );
    line(&mut text, "**all classes**", all);
    line(
        &mut text,
        "dates, lots, revision, page (not in the sums)",
        tally.paperwork,
    );
    text.push_str("\nFields in which slips pass even with control figures:\n\n| field | made | rules | with control figures | why |\n| --- | ---: | ---: | ---: | --- |\n");
    for (field, counts) in tally
        .fields
        .iter()
        .filter(|(_, counts)| counts.control * 100 < counts.all * LISTED_BELOW)
    {
        let why = WHY
            .iter()
            .find(|(start, _)| field.starts_with(start))
            .map_or("", |(_, why)| *why);
        let _ = writeln!(
            text,
            "| `{field}` | {} | {} | {} | {why} |",
            counts.all,
            percent(counts.rules, counts.all),
            percent(counts.control, counts.all)
        );
    }
    text
}
