//! Records worked out again, for people: what moved, by how much, which verdicts turned, and why.

use stainbook_core::print;

use crate::Colour;
use crate::change_words;
use crate::counts::counted;
use crate::lines::push_hanging;
use stainbook_revision::verification::{Verification, Verified, VerifiedRecord, VerifiedState};

/// The widest line.
const WIDTH: usize = 100;

/// As text.
pub fn render(verification: &Verification, colour: Colour) -> String {
    let mut out = String::new();
    fallen(&mut out, verification, colour);
    for record in &verification.records {
        let mut head = record.record.clone();
        if let Some(revision) = &record.catalog_revision {
            head.push_str(&format!(", made with the catalog of {revision}"));
        }
        if record.earlier_model {
            head.push_str(", worked out with the earlier model");
        }
        out.push_str(&colour.bold(&head));
        out.push('\n');
        push_hanging(
            &mut out,
            "  ",
            &format!(
                "{}: {}",
                counted(record.results.len(), "result"),
                states(record.results.iter().map(|result| &result.verified))
            ),
            WIDTH,
        );
        if !record.together.is_empty() {
            let of = states(record.together.iter().map(|together| &together.verified));
            let count = record.together.len();
            push_hanging(
                &mut out,
                "  ",
                &format!("{count} of readings together: {of}"),
                WIDTH,
            );
        }
        if 0 < record.together_not_kept {
            push_hanging(
                &mut out,
                "  ",
                &format!(
                    "{} of readings together not kept: lines of JSON have no room for what several readings say; keep it as .json",
                    record.together_not_kept
                ),
                WIDTH,
            );
        }
        if let Some(why) = &record.no_facts {
            push_hanging(
                &mut out,
                "  ",
                &format!("whether it was changed by hand cannot be told: {why}"),
                WIDTH,
            );
        }
        for result in &record.results {
            let mut head = result.id.clone();
            for part in [&result.place, &result.at].into_iter().flatten() {
                head.push_str(&format!(", {part}"));
            }
            one(&mut out, &head, &result.verified, colour);
        }
        for together in &record.together {
            let head = if together.what.is_empty() {
                format!("{} ({})", together.id, together.method)
            } else {
                format!("{}, {}", together.id, together.what)
            };
            one(&mut out, &head, &together.verified, colour);
        }
    }
    out.push('\n');
    push_hanging(&mut out, "", &summary(verification), WIDTH);
    out
}

/// The verdicts that no longer stand, before anything else: somebody may have acted on them.
fn fallen(out: &mut String, verification: &Verification, colour: Colour) {
    let fallen = verification.fallen_verdicts();
    if fallen.is_empty() {
        return;
    }
    out.push_str(&colour.red("Verdicts that no longer stand:"));
    out.push('\n');
    for one in fallen {
        let places: Vec<&str> = one.place.into_iter().flatten().collect();
        let new = one.new.unwrap_or("not compared").replace('_', " ");
        let line = format!(
            "{} of {}{}{}: {}, was {}, is {new}",
            one.of,
            one.record,
            if places.is_empty() { "" } else { ", " },
            places.join(", "),
            one.limit,
            one.old
        );
        push_hanging(out, "  ", &line, WIDTH);
    }
    out.push('\n');
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

/// `4 hold, 1 moved`.
fn states<'v>(of: impl Iterator<Item = &'v Verified>) -> String {
    let of: Vec<VerifiedState> = of.map(|verified| verified.state).collect();
    let counted: Vec<String> = [
        VerifiedState::Holds,
        VerifiedState::Moved,
        VerifiedState::NotReproducible,
        VerifiedState::NothingToCheck,
    ]
    .into_iter()
    .filter_map(|state| {
        let count = of.iter().filter(|other| **other == state).count();
        (0 < count).then(|| format!("{count} {}", plural(state, count)))
    })
    .collect();
    counted.join(", ")
}

fn one(out: &mut String, head: &str, result: &Verified, colour: Colour) {
    if matches!(
        result.state,
        VerifiedState::Holds | VerifiedState::NothingToCheck
    ) {
        return;
    }
    push_hanging(out, "  ", head, WIDTH);
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

/// `26 results in 2 records: 22 hold, 3 moved, 1 not reproducible; of readings together: 2 hold; moved by up to 12 %`.
pub fn summary(verification: &Verification) -> String {
    let records = &verification.records;
    let results = || records.iter().flat_map(|record| &record.results);
    let together = || records.iter().flat_map(|record| &record.together);
    let count = |state| {
        let of_state = results().filter(|result| result.verified.state == state);
        of_state.count()
    };
    let moved = || {
        let all = records.iter().flat_map(VerifiedRecord::verified);
        all.filter(|verified| verified.state == VerifiedState::Moved)
            .filter_map(|verified| verified.moved.as_ref())
    };
    let largest = moved()
        .filter_map(|moved| moved.by)
        .map(f64::abs)
        .fold(0.0, f64::max);
    let turned: usize = moved().map(|moved| moved.verdicts.len()).sum();
    let mut text = format!(
        "{} in {}: {} hold, {} moved",
        counted(results().count(), "result"),
        counted(verification.records.len(), "record"),
        count(VerifiedState::Holds),
        count(VerifiedState::Moved)
    );
    text.push_str(&format!(
        ", {} not reproducible",
        count(VerifiedState::NotReproducible)
    ));
    if together().next().is_some() {
        text.push_str(&format!(
            "; of readings together: {}",
            states(together().map(|together| &together.verified))
        ));
    }
    if 0.0 < largest {
        text.push_str(&format!(
            "; moved by up to {}",
            change_words::percent(largest)
        ));
    }
    if 0 < turned {
        text.push_str(&format!("; {} turned", counted(turned, "verdict or test")));
    }
    text.push_str(&format!(
        ". Figures are the same within {} of themselves.",
        print::number(verification.tolerance)
    ));
    text
}
