//! Doubts that may have made a tube read too low or too high by an amount that nobody knows: then a verdict does not stand
//! on it. What a verdict that stands rests on is said in the same breath.

use crate::evaluated::Evaluated;
use crate::outcome::{Code, Flag, MayRead};
use crate::result::{LimitComparison, Verdict};

/// Withdraws a verdict that a flag makes doubtful, and says what stands beside one that stays.
pub(crate) fn withdraw(against: &mut LimitComparison, flags: &[Flag]) {
    let withheld = against
        .verdict
        .and_then(|verdict| Some((verdict, doubts(verdict, flags).next()?)));
    if let Some((verdict, flag)) = withheld {
        against.reason = Some(super::words::not_relied_on(verdict.name(), &flag.text));
        against.verdict = Some(Verdict::CannotTell);
    }
    say_beside(against, withheld.map(|(verdict, _)| verdict), flags);
}

/// Says of a verdict what withheld it, or on what it rests.
pub(crate) fn say_beside(against: &mut LimitComparison, withheld: Option<Verdict>, flags: &[Flag]) {
    against.act_as_if = withheld.filter(|verdict| *verdict == Verdict::Above);
    against.said_beside.clear();
    let mut say = |flag: &Flag| {
        let Some(words) = flag.code.in_verdict() else {
            return;
        };
        // Where something is kept is no word of the registry.
        let words = if flag.code == Code::Assured {
            flag.text.as_str()
        } else {
            words
        };
        let said = Flag::new(flag.code.clone(), words);
        if !against.said_beside.contains(&said) {
            against.said_beside.push(said);
        }
    };
    match (withheld, against.verdict) {
        (Some(verdict), _) => doubts(verdict, flags).for_each(&mut say),
        (None, Some(Verdict::Below | Verdict::Above)) => flags
            .iter()
            .filter(|flag| flag.code.may_read() == MayRead::AsGiven)
            .for_each(&mut say),
        (None, Some(Verdict::CannotTell)) => {
            against
                .reason
                .get_or_insert_with(|| super::words::WITHIN_UNCERTAINTY.to_owned());
        }
        (None, None) => {}
    }
}

/// The flags that a verdict does not stand on.
fn doubts(verdict: Verdict, flags: &[Flag]) -> impl Iterator<Item = &Flag> {
    let side: fn(MayRead) -> bool = match verdict {
        Verdict::Below => MayRead::too_low,
        Verdict::Above => MayRead::too_high,
        Verdict::CannotTell => |_| false,
    };
    flags.iter().filter(move |flag| side(flag.code.may_read()))
}

/// The flags that can make a verdict doubtful or are said beside one, each with the reading it is about.
pub(crate) fn among(evaluated: &Evaluated<'_>) -> Vec<Flag> {
    let reading = &evaluated.id;
    crate::words::doubts(evaluated)
        .into_iter()
        .map(|flag| Flag::new(flag.code, format!("{reading}: {}", flag.text)))
        .collect()
}
