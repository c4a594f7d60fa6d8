//! A mark that stands out of the progression of its neighbours.

use stainbook_core::elementary::ln;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::point_moved;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, ScaleView, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "mark-off-the-progression",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A mark rises, but stands out of the progression of its neighbours.",
    family: Family::Scale,
    docs: include_str!("mark-off-the-progression.md"),
    check: Check::Tube(check),
};

/// From one mark to the next a scale grows by less than this. Scales are printed about logarithmically with a few marks to a
/// factor of ten, so that readings can be told apart. Common practice, no source.
const LARGEST_STEP: f64 = 6.5;
/// … unless all of its steps are that large: so many times the usual step of the scale, in logarithms.
const STEP_AGAINST_USUAL: f64 = 3.2;
/// Least distance of a mark from either neighbour, as a part of their distance, straight and in logarithms.
const CLOSEST_TO_NEIGHBOUR: f64 = 0.15;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        if view.ends().is_none() {
            continue;
        }
        let marks: Vec<f64> = view.scale.marks.iter().map(|mark| mark.value()).collect();
        if let Some(step) = too_large_a_step(&marks) {
            large_step(view, step, sink);
        } else if let Some(index) = too_close(&marks) {
            close(view, index, sink);
        }
    }
}

/// The step, counted from its lower mark, that is larger than any honest one.
fn too_large_a_step(marks: &[f64]) -> Option<usize> {
    let steps: Vec<f64> = marks
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some(ln(b / a)),
            _ => None,
        })
        .collect();
    let mut sorted = steps.clone();
    sorted.sort_by(f64::total_cmp);
    let usual = *sorted.get((sorted.len().checked_sub(1)?) / 2)?;
    // With one or two steps there is no usual one.
    (3 <= steps.len())
        .then(|| {
            steps
                .iter()
                .position(|step| ln(LARGEST_STEP) < *step && STEP_AGAINST_USUAL * usual < *step)
        })
        .flatten()
}

/// The mark that crowds one of its two neighbours.
fn too_close(marks: &[f64]) -> Option<usize> {
    if marks.len() < 4 {
        return None;
    }
    marks
        .windows(3)
        .position(|three| {
            let [a, m, b] = *three else { return false };
            let straight = (m - a) / (b - a);
            let logarithmic = ln(m / a) / ln(b / a);
            let near = |part: f64| part < CLOSEST_TO_NEIGHBOUR;
            (near(straight) && near(logarithmic))
                || (near(1.0 - straight) && near(1.0 - logarithmic))
        })
        .map(|index| index + 1)
}

fn large_step(view: &ScaleView<'_>, step: usize, sink: &mut Sink<'_>) {
    let marks = &view.scale.marks;
    let (Some(low), Some(high)) = (marks.get(step), marks.get(step + 1)) else {
        return;
    };
    // A slip at the lower end makes the first step large, one at the upper end the last; between, either mark.
    let (at, wrong) = if step == 0 {
        (step, low)
    } else {
        (step + 1, high)
    };
    let fits = |value: f64| {
        let mut values: Vec<f64> = marks.iter().map(|mark| mark.value()).collect();
        if let Some(place) = values.get_mut(at) {
            *place = value;
        }
        values
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if a < b))
            && too_large_a_step(&values).is_none()
    };
    let help = point_moved(wrong)
        .into_iter()
        .find(|(value, _)| fits(*value))
        .map_or_else(
            || "compare the marks with the glass".into(),
            |(_, text)| {
                help!(
                    "look at the glass; if it shows {text}, write {}",
                    Offer::yaml(text.clone())
                )
            },
        );
    sink.report(
        sink.at(view.path().key("marks").index(at))
            .message("this mark is out of the progression of the others")
            .label(format!(
                "from {} to {} in one step, {} times",
                low.text(),
                view.words(high.text()),
                words::number(high.value() / low.value())
            ))
            .note("readings between the two are read off as if the scale went evenly there; a slipped decimal point makes them several times too high or too low")
            .help(help)
            .fact("written", words::number_fact(wrong, view.unit_text())),
    );
}

fn close(view: &ScaleView<'_>, index: usize, sink: &mut Sink<'_>) {
    let marks = &view.scale.marks;
    let (Some(low), Some(mark), Some(high)) = (
        index.checked_sub(1).and_then(|low| marks.get(low)),
        marks.get(index),
        marks.get(index + 1),
    ) else {
        return;
    };
    sink.report(
        sink.at(view.path().key("marks").index(index))
            .message("this mark crowds its neighbour")
            .label(format!("{} between {} and {}", view.words(mark.text()), low.text(), high.text()))
            .note("marks are printed so far apart that a stain can be read between them; one that is not usually has a wrong digit, and readings beside it are off by as much")
            .help("compare the mark with the glass; if it is printed so, accept the finding with that as the reason")
            .fact("written", words::number_fact(mark, view.unit_text())),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn honest_scales_and_slips() {
        for (marks, large, close) in [
            (&[0.7, 1.5, 3.0, 5.0, 9.0, 13.0][..], None, None),
            (&[2.0, 10.0, 20.0, 30.0, 40.0, 50.0], None, None),
            (&[10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0], None, None),
            (&[1.0, 10.0, 100.0, 1000.0], None, None),
            (&[0.07, 1.5, 3.0, 5.0, 9.0, 13.0], Some(0), None),
            (&[0.7, 1.5, 3.0, 5.0, 9.0, 130.0], Some(4), None),
            (&[0.7, 1.5, 3.0, 8.9, 9.0, 13.0], None, Some(3)),
        ] {
            assert_eq!(
                (too_large_a_step(marks), too_close(marks)),
                (large, close),
                "{marks:?}"
            );
        }
    }
}
