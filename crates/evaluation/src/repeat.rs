//! Off the scale: with how many strokes to repeat.

use stainbook_catalog::model::{MeasuringRange, Tube};
use stainbook_core::print;

use crate::result::RepeatWith;
use crate::stain::strokes_words;

/// End of the stain beside the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum OffScale {
    /// Before the first mark, or no stain at all: more strokes lengthen it.
    Below,
    /// Behind the last mark: fewer strokes shorten it.
    Beyond,
}

/// Half strokes of the pump: possible or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum HalfStrokes {
    /// It can, or it is not known that it cannot.
    Possible,
    /// It cannot.
    Impossible,
}

/// The row of the sheet that reaches further, next to the one that was used.
pub(crate) fn repeat_with(
    tube: &Tube,
    used: &MeasuringRange,
    off: OffScale,
    halves: HalfStrokes,
) -> RepeatWith {
    let base = |range: &MeasuringRange, value: f64| {
        tube.scales
            .get(range.scale)
            .map(|scale| (scale.unit, scale.unit.to_base(value)))
    };
    let ends = |range: &MeasuringRange| Some((base(range, range.from)?, base(range, range.to)?));
    let Some(((unit, from), (_, to))) = ends(used) else {
        return none(off);
    };
    let mut better: Vec<(f64, &MeasuringRange)> = tube
        .ranges
        .iter()
        .filter(|range| {
            halves == HalfStrokes::Possible || (range.strokes - range.strokes.round()).abs() < 1e-6
        })
        .filter_map(|range| {
            let ((other_unit, other_from), (_, other_to)) = ends(range)?;
            if other_unit.dimension() != unit.dimension() {
                return None;
            }
            match off {
                // The nearest neighbour first: its range adjoins, and it costs the least time.
                OffScale::Below if other_from < from => Some((-other_from, range)),
                OffScale::Beyond if to < other_to => Some((other_to, range)),
                _ => None,
            }
        })
        .collect();
    better.sort_by(|a, b| {
        a.0.total_cmp(&b.0)
            .then(a.1.strokes.total_cmp(&b.1.strokes))
    });
    let Some((_, range)) = better.first() else {
        return none(off);
    };
    let scale = tube.scales.get(range.scale);
    let other_scale = (range.scale != used.scale)
        .then(|| scale.and_then(|scale| scale.name.clone()))
        .flatten();
    let strokes = strokes_words(range.strokes);
    let unit = scale.map_or("", |scale| scale.unit.canonical());
    let on = other_scale
        .as_ref()
        .map_or(String::new(), |name| format!(" on the scale `{name}`"));
    RepeatWith {
        strokes: Some(range.strokes),
        scale: other_scale,
        text: format!(
            "repeat with a new tube and {strokes}{on}, which measures from {} to {} {unit}",
            print::number(range.from),
            print::number(range.to)
        ),
    }
}

fn none(off: OffScale) -> RepeatWith {
    RepeatWith {
        strokes: None,
        scale: None,
        text: match off {
            OffScale::Below => {
                "this tube reaches no lower; for a value use another tube".to_owned()
            }
            OffScale::Beyond => {
                "this tube reaches no higher; for a value use another tube".to_owned()
            }
        },
    }
}
