//! A lowest visible concentration in two forms at once, in none, or against the order of its strokes.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "lowest-visible-unclear",
    level: Level::Error,
    since: "0.1.0",
    summary: "The lowest visible concentration is given in no form, in two, or does not fall with the strokes.",
    family: Family::Scale,
    docs: include_str!("lowest-visible-unclear.md"),
    check: Check::Tube(check),
};

/// Fields that say the least that can be seen.
const FORMS: [&str; 3] = ["concentration", "part_of_first_mark", "by_strokes"];

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(lowest) = sheet.limit_of_detection() else {
        return;
    };
    let path = Path::root().key("read").key("lowest_visible");
    let note = "a reading of `no stain` is reported as less than this concentration: in two ways it would be two bounds";
    let given = [
        lowest.concentration.is_some(),
        lowest.part_of_first_mark.is_some(),
        !lowest.by_strokes.is_empty(),
    ];
    let blamed = FORMS
        .iter()
        .zip(given)
        .any(|(key, given)| !given && !context.is_absent(None::<&()>, &path.clone().key(*key)));
    let fields = [
        "concentration",
        "part_of_first_mark",
        "by_strokes",
        "strokes",
    ];
    if blamed || context.may_have_others(&path, &fields) {
        return;
    }
    let count = given.into_iter().filter(|given| *given).count();
    if count != 1 {
        let (message, label) = if count == 0 {
            ("the lowest visible concentration is not given", "no figure")
        } else {
            (
                "the lowest visible concentration is given in more than one form",
                "two figures",
            )
        };
        sink.report(
            sink.at(path)
                .message(message)
                .label(label)
                .note(note)
                .help("keep the form that the leaflet prints: `concentration` with `strokes`, `part_of_first_mark`, or `by_strokes`"),
        );
        return;
    }
    if lowest.concentration.is_some()
        && context.is_absent(lowest.strokes.as_ref(), &path.clone().key("strokes"))
    {
        sink.report(
            sink.at(path.key("concentration"))
                .message("the lowest visible concentration does not say with how many strokes")
                .label("no strokes")
                .note("with fewer strokes less can be seen; without the count nothing follows from seeing no stain")
                .help(help!("write {} beside it, as the leaflet prints them", Offer::name("strokes"))),
        );
        return;
    }
    for (index, pair) in lowest.by_strokes.windows(2).enumerate() {
        let [fewer, more] = pair else { continue };
        let (Some(few), Some(many), Some(least), Some(less)) = (
            &fewer.strokes,
            &more.strokes,
            &fewer.concentration,
            &more.concentration,
        ) else {
            continue;
        };
        if few.value() < many.value() && less.value() < least.value() {
            continue;
        }
        sink.report(
            sink.at(path.clone().key("by_strokes").index(index + 1))
                .message("the lowest visible concentration does not fall with the strokes")
                .label(format!(
                    "{} with {} strokes, {} with {}",
                    least.text(),
                    few.text(),
                    less.text(),
                    many.text()
                ))
                .note("more strokes lengthen the stain, so less can be seen with them; a slip here makes air look cleaner than it is")
                .help("write the fewest strokes first, and compare the figures with the leaflet")
                .fact("unit", crate::Fact::text(less.unit().canonical())),
        );
    }
}
