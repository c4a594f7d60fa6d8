//! Records worked out again, for people: what moved, by how much, which verdicts turned, and why.

use stainbook_core::print;

use crate::Colour;
use crate::change_words;
use crate::counts::counted;
use crate::lines::push_hanging;
use crate::verification::{Verification, VerifiedResult, VerifiedState};

/// The widest line.
const WIDTH: usize = 100;

/// As text.
pub fn render(verification: &Verification, colour: Colour) -> String {
    let mut out = String::new();
    for record in &verification.records {
        let mut head = record.record.clone();
        if let Some(revision) = &record.catalog_revision {
            head.push_str(&format!(", made with the catalog of {revision}"));
        }
        let states: Vec<String> = [
            VerifiedState::Holds,
            VerifiedState::Moved,
            VerifiedState::NotReproducible,
            VerifiedState::NothingToCheck,
        ]
        .into_iter()
        .filter_map(|state| {
            let count = record
                .results
                .iter()
                .filter(|result| result.state == state)
                .count();
            (0 < count).then(|| format!("{count} {}", plural(state, count)))
        })
        .collect();
        out.push_str(&colour.bold(&head));
        out.push('\n');
        push_hanging(
            &mut out,
            "  ",
            &format!(
                "{}: {}",
                counted(record.results.len(), "result"),
                states.join(", ")
            ),
            WIDTH,
        );
        if let Some(why) = &record.no_facts {
            push_hanging(
                &mut out,
                "  ",
                &format!("whether it was changed by hand cannot be told: {why}"),
                WIDTH,
            );
        }
        for result in &record.results {
            one(&mut out, result, colour);
        }
    }
    out.push('\n');
    push_hanging(&mut out, "", &summary(verification), WIDTH);
    out
}

fn plural(state: VerifiedState, count: usize) -> &'static str {
    match (state, count) {
        (VerifiedState::Holds, 1) => "holds",
        (VerifiedState::Holds, _) => "hold",
        (VerifiedState::Moved, _) => "moved",
        (VerifiedState::NotReproducible, _) => "not reproducible",
        (VerifiedState::NothingToCheck, _) => "never read, nothing to check",
    }
}

fn one(out: &mut String, result: &VerifiedResult, colour: Colour) {
    if matches!(
        result.state,
        VerifiedState::Holds | VerifiedState::NothingToCheck
    ) {
        return;
    }
    let mut head = format!("  {}", result.id);
    for part in [&result.place, &result.at].into_iter().flatten() {
        head.push_str(&format!(", {part}"));
    }
    out.push_str(&head);
    out.push('\n');
    if result.state == VerifiedState::NotReproducible {
        let text =
            "    does not follow from the record's own facts; it was changed after it was made:";
        out.push_str(&colour.red(text));
        out.push('\n');
        for one in result.not_from_own_facts.iter().take(SHOWN) {
            push_hanging(
                out,
                "      ",
                &format!(
                    "{}: recorded {}, follows {}",
                    one.pointer, one.recorded, one.computed
                ),
                WIDTH,
            );
        }
    }
    if let Some(moved) = &result.moved
        && result.state == VerifiedState::Moved
    {
        push_hanging(out, "    ", &change_words::move_words(moved), WIDTH);
    } else if result.state == VerifiedState::Moved {
        for one in result.otherwise.iter().take(SHOWN) {
            push_hanging(
                out,
                "    ",
                &format!("{}: {} → {}", one.pointer, one.recorded, one.computed),
                WIDTH,
            );
        }
    }
    for datum in result.because.iter().take(SHOWN) {
        push_hanging(out, "    because ", &datum.words(), WIDTH);
    }
    if SHOWN < result.because.len() {
        out.push_str(&format!(
            "    and {} more; --format json has all\n",
            result.because.len() - SHOWN
        ));
    }
}

/// More than this of one kind hides the rest.
const SHOWN: usize = 6;

/// `26 results in 2 records: 22 hold, 3 moved (by up to 12 %), 1 not reproducible; 2 verdicts turned`.
pub fn summary(verification: &Verification) -> String {
    let results = || {
        verification
            .records
            .iter()
            .flat_map(|record| &record.results)
    };
    let count = |state| results().filter(|result| result.state == state).count();
    let moved = || results().filter(|result| result.state == VerifiedState::Moved);
    let largest = moved()
        .filter_map(|result| result.moved.as_ref()?.by)
        .map(f64::abs)
        .fold(0.0, f64::max);
    let turned: usize = moved()
        .filter_map(|result| Some(result.moved.as_ref()?.verdicts.len()))
        .sum();
    let mut text = format!(
        "{} in {}: {} hold, {} moved",
        counted(results().count(), "result"),
        counted(verification.records.len(), "record"),
        count(VerifiedState::Holds),
        count(VerifiedState::Moved)
    );
    if 0.0 < largest {
        text.push_str(&format!(" (by up to {})", change_words::percent(largest)));
    }
    text.push_str(&format!(
        ", {} not reproducible",
        count(VerifiedState::NotReproducible)
    ));
    if 0 < turned {
        text.push_str(&format!("; {} turned", counted(turned, "verdict")));
    }
    text.push_str(&format!(
        ". Figures are the same within {} of themselves.",
        print::number(verification.tolerance)
    ));
    text
}
