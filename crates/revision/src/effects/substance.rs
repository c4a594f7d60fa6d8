//! Effects of a change of a substance: conversions and judgements.

use stainbook_catalog::Book;
use stainbook_catalog::model::{Limit, Substance};

use super::{LimitMove, SubstanceEffects};
use crate::pairing::paired;
use crate::results::SMALLEST_MOVE;
use stainbook_evaluation::judgement;

/// Compares a substance of two catalogs: limits by authority, kind and period, and the molar mass.
pub fn of_substance(old: &Book, new: &Book, id: &str) -> SubstanceEffects {
    let mut effects = SubstanceEffects {
        name: id.to_owned(),
        ..SubstanceEffects::default()
    };
    let (was, is) = match (old.substance_model(id), new.substance_model(id)) {
        (Ok(was), Ok(is)) => (was, is),
        (Err(why), _) | (_, Err(why)) => {
            effects.not_compared = Some(why.to_string());
            return effects;
        }
    };
    effects.name.clone_from(&is.name);
    let masses = [was.molar_mass.g_per_mol(), is.molar_mass.g_per_mol()];
    if SMALLEST_MOVE < (masses[1] / masses[0] - 1.0).abs() {
        effects.molar_mass = Some(masses);
    }
    let (pairs, come) = paired(&was.limits, &is.limits, |a, b| same_limit(a, b));
    for (limit, now) in pairs {
        let now = now.map(|now| (&is, now));
        push(&mut effects.limits, Some((&was, limit)), now);
    }
    for limit in come {
        push(&mut effects.limits, None, Some((&is, limit)));
    }
    effects
}

fn period(limit: &Limit) -> Option<String> {
    limit
        .averaged_over
        .as_ref()
        .map(stainbook_core::Written::canonical)
}

fn same_limit(a: &Limit, b: &Limit) -> bool {
    a.kind == b.kind && a.authority == b.authority && period(a) == period(b)
}

fn push(
    moves: &mut Vec<LimitMove>,
    old: Option<(&Substance, &Limit)>,
    new: Option<(&Substance, &Limit)>,
) {
    let Some((_, limit)) = new.or(old) else {
        return;
    };
    let ppm = |side: Option<(&Substance, &Limit)>| {
        side.and_then(|(substance, limit)| judgement::limit_in_ppm(limit, substance))
    };
    let text = |side: Option<(&Substance, &Limit)>| side.map(|(_, l)| l.at_most.canonical());
    let (old_ppm, new_ppm) = (ppm(old), ppm(new));
    let same_text = text(old) == text(new);
    let same_ppm = match (old_ppm, new_ppm) {
        (Some(a), Some(b)) => (b / a - 1.0).abs() <= SMALLEST_MOVE,
        (None, None) => true,
        _ => false,
    };
    if same_text && same_ppm {
        return;
    }
    moves.push(LimitMove {
        authority: limit.authority.clone(),
        kind: limit.kind.name().to_owned(),
        averaged_over: period(limit),
        old: text(old),
        new: text(new),
        old_ppm,
        new_ppm,
    });
}
