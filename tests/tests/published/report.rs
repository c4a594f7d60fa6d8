//! Checks, and their outcomes.

use std::collections::BTreeMap;
use std::process::ExitCode;

use stainbook_core::Decimal;

use crate::data;

/// Who says a value: only what somebody published is counted as published, and once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Origin {
    /// Published, and read there or in a copy.
    Published,
    /// Published, and recalled without a look.
    FromMemory,
    /// A published row looked at in another way, or its name and number: no further value.
    Again,
    /// Worked out by another program or in closed form, and published by nobody.
    Computed,
    /// What the trade does, without a source.
    CommonPractice,
}

impl Origin {
    const ALL: [(Self, &str); 5] = [
        (Self::Published, "published values"),
        (Self::FromMemory, "published values recalled without a look"),
        (
            Self::Again,
            "published rows in another way, not counted again",
        ),
        (
            Self::Computed,
            "values that other programs or closed forms give",
        ),
        (Self::CommonPractice, "common practice, no source"),
    ];

    /// What a table's column `how` or `source` says.
    pub(crate) fn said(how: &str) -> Self {
        if how.contains("memory") {
            Self::FromMemory
        } else if how.contains("computed") {
            Self::Computed
        } else {
            Self::Published
        }
    }
}

/// All checks of all tables.
pub(crate) struct PublishedReport {
    /// Who says what is checked next.
    pub(crate) origin: Origin,
    groups: Vec<Group>,
    /// Group and id of what is known to disagree, with the reason.
    known: BTreeMap<(String, String), String>,
    faults: Vec<String>,
    not_computable: Vec<String>,
}

struct Group {
    origin: Origin,
    name: &'static str,
    checked: usize,
    agree: usize,
    disagree: Vec<String>,
}

impl PublishedReport {
    pub(crate) fn new() -> Self {
        let mut known = BTreeMap::new();
        for row in data::known_disagreements() {
            let key = (row.text("group").to_owned(), row.text("id").to_owned());
            assert!(!row.text("reason").is_empty(), "{key:?} has no reason");
            assert!(
                known
                    .insert(key.clone(), row.text("reason").to_owned())
                    .is_none(),
                "{key:?} stands twice"
            );
        }
        Self {
            origin: Origin::Published,
            groups: Vec::new(),
            known,
            faults: Vec::new(),
            not_computable: Vec::new(),
        }
    }

    /// A row of a mixture or a class of substances, for which there is nothing to compute.
    pub(crate) fn not_computable(&mut self, name: &str) {
        self.not_computable.push(name.to_owned());
    }

    /// One published value: whether it is reproduced.
    pub(crate) fn check(
        &mut self,
        group: &'static str,
        id: &str,
        agrees: bool,
        detail: impl FnOnce() -> String,
    ) {
        let expected = self
            .known
            .remove(&(group.to_owned(), id.to_owned()))
            .is_none();
        if agrees != expected {
            let what = if agrees {
                "is listed as a known disagreement but agrees"
            } else {
                "disagrees"
            };
            self.faults
                .push(format!("{group}: {id} {what}: {}", detail()));
        }
        let entry = self.group(group);
        entry.checked += 1;
        if agrees {
            entry.agree += 1;
        } else {
            entry.disagree.push(id.to_owned());
        }
    }

    /// A printed number that follows from the computed one: within half a unit of its last digit, and `open` more, which is
    /// what the digits of the source's inputs leave open.
    pub(crate) fn printed(
        &mut self,
        group: &'static str,
        id: &str,
        computed: f64,
        printed: &Decimal,
        open: f64,
    ) {
        let agrees = within(computed, printed, open);
        self.check(group, id, agrees, || {
            format!("printed {}, computed {computed}", printed.text())
        });
    }

    fn group(&mut self, name: &'static str) -> &mut Group {
        let origin = self.origin;
        let is = |group: &Group| group.name == name && group.origin == origin;
        if !self.groups.iter().any(is) {
            self.groups.push(Group {
                origin,
                name,
                checked: 0,
                agree: 0,
                disagree: Vec::new(),
            });
        }
        self.groups.iter_mut().find(|group| is(group)).unwrap()
    }

    pub(crate) fn finish(mut self) -> ExitCode {
        for ((group, id), _) in std::mem::take(&mut self.known) {
            self.faults.push(format!(
                "{group}: {id} is listed as a known disagreement but was never checked"
            ));
        }
        for (origin, words) in Origin::ALL {
            println!("\n{words}");
            for group in self.groups.iter().filter(|group| group.origin == origin) {
                println!(
                    "  {}: {} checked, {} agree",
                    group.name, group.checked, group.agree
                );
                if !group.disagree.is_empty() {
                    println!("      known to disagree: {}", group.disagree.join("; "));
                }
            }
        }
        println!(
            "not of one substance, nothing to compute: {}",
            self.not_computable.join("; ")
        );
        println!();
        for (origin, words) in Origin::ALL {
            let of_origin = self.groups.iter().filter(|group| group.origin == origin);
            let (checked, agree) = of_origin.fold((0, 0), |(checked, agree), group| {
                (checked + group.checked, agree + group.agree)
            });
            println!(
                "{words}: {checked} checked, {agree} agree within their printed digits, {} are known to disagree, each listed \
                 with its reason",
                checked - agree
            );
            if checked == 0 {
                self.faults
                    .push(format!("nothing of `{words}` was checked"));
            }
        }
        for fault in &self.faults {
            println!("FAULT {fault}");
        }
        if self.faults.is_empty() {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        }
    }
}

/// True if a computed number rounds to the printed one, but for `open`.
pub(crate) fn within(computed: f64, printed: &Decimal, open: f64) -> bool {
    // A tie may go either way: the last bit of a computed number is no reason to disagree.
    let rounding = 8.0 * f64::EPSILON * computed.abs();
    (computed - printed.value()).abs() <= printed.half_step() + open + rounding
}
