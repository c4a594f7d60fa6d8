//! Reading: the scale, the stain, what else the tube measures.

use stainbook_catalog::Book;
use stainbook_catalog::written::tube::paper_words::Factor;
use stainbook_catalog::written::tube::{Read, ResponseFactor, Scale};
use stainbook_catalog::written::{Num, StatedSpan, TubeEntry};

use super::{Page, digits, substance_name, word};
use stainbook_core::print;

/// Thresholds of a tube without a scale.
fn without_scale(page: &mut Page, read: &Read) {
    if let Some(indicates) = &read.indicates {
        let unit = indicates.unit.as_deref().unwrap_or("?");
        page.line("no scale", "a colour or none, after so many strokes");
        let mut rows = vec![
            [
                "strokes",
                "a colour: at least",
                "none: less than",
                "wait each",
                "for",
            ]
            .map(ToOwned::to_owned)
            .to_vec(),
        ];
        for row in &indicates.rows {
            let says = |number: &Option<Num>| match number {
                Some(number) => format!("{} {unit}", number.text()),
                None => "says nothing".to_owned(),
            };
            let air = [
                row.temperature.as_ref().map(StatedSpan::text),
                row.pressure.as_ref().map(StatedSpan::text),
            ];
            let air: Vec<&str> = air.into_iter().flatten().collect();
            rows.push(vec![
                digits(row.strokes.as_ref()),
                says(&row.colour_at_least),
                says(&row.no_colour_less_than),
                format!("{} s", digits(row.seconds_per_stroke.as_ref())),
                if air.is_empty() {
                    "any air".to_owned()
                } else {
                    air.join(", ")
                },
            ]);
        }
        page.table(&rows);
    }
    if let Some(counts) = &read.counts {
        let unit = counts.unit.as_deref().unwrap_or("?");
        page.line(
            "no scale",
            &format!(
                "count the strokes until {}; wait each {} s",
                counts.until.as_deref().unwrap_or("?"),
                digits(counts.seconds_per_stroke.as_ref())
            ),
        );
        if let Some(by) = counts.count_by_pressure {
            page.line("", &format!("the count {}", word(by)));
        }
        let mut rows = vec![vec!["strokes".to_owned(), "at least".to_owned()]];
        for row in &counts.rows {
            let cell = |index: usize| row.get(index).map_or("?", |cell| cell.text());
            rows.push(vec![cell(0).to_owned(), format!("{} {unit}", cell(1))]);
        }
        page.table(&rows);
    }
}

pub(super) fn reading(page: &mut Page, sheet: &TubeEntry, book: &Book) {
    page.section("Reading");
    let Some(read) = &sheet.read else {
        page.line("", "not on the sheet");
        return;
    };
    for scale in &read.scales {
        let name = scale
            .name
            .as_ref()
            .map_or_else(|| "scale".to_owned(), |name| format!("scale {name}"));
        let marks: Vec<&str> = scale.marks.iter().map(|mark| mark.text()).collect();
        let unit = scale.unit.as_deref().unwrap_or("?");
        page.line(&name, &format!("{} {unit}", marks.join(", ")));
        let mut about = format!(
            "printed for {}",
            strokes(&digits(scale.printed_for_strokes.as_ref()))
        );
        if let Some(stated) = scale.mass_stated {
            about.push_str(&format!(", mass {}", word(stated)));
        }
        if let Some(at) = scale.mass_stated_at.as_deref() {
            let [temperature, pressure] = [
                at.temperature.as_ref().map_or("?", |t| t.text()),
                at.pressure.as_ref().map_or("?", |p| p.text()),
            ];
            about.push_str(&format!(", mass at {temperature} and {pressure}"));
        }
        if let Some(stated) = scale.stated_in {
            about.push_str(&format!(", in {}", word(stated)));
        }
        if let Some(length) = &scale.length_mm {
            about.push_str(&format!(", {} mm long", length.text()));
        }
        page.line("", &about);
        if !scale.millimetres.is_empty() {
            let places: Vec<&str> = scale.millimetres.iter().map(|at| at.text()).collect();
            let places = places.join(", ");
            page.line(
                "",
                &format!(
                    "the glass shows millimetres: {places} mm for these, by the leaflet's table"
                ),
            );
        }
        if !scale.unnumbered.is_empty() {
            let lines: Vec<String> = scale
                .unnumbered
                .iter()
                .map(|count| count.value().to_string())
                .collect();
            let each = if lines.len() == 1 { " each" } else { "" };
            page.line(
                "",
                &format!(
                    "{}{each} unnumbered lines between two marks: \"half\" and \"nearest mark\" are of these",
                    lines.join(", ")
                ),
            );
        }
    }
    without_scale(page, read);
    if let Some(stain) = &read.stain {
        let from = stain.from.as_ref();
        let from = from.map(|from| format!("{from} ")).unwrap_or_default();
        let to = stain.to.as_deref().unwrap_or("?");
        let front = stain
            .front
            .map(|front| format!("; front {}", word(front)))
            .unwrap_or_default();
        let read_at = stain
            .read_at
            .map(|at| format!("; read at the {}", word(at)))
            .unwrap_or_default();
        page.line("stain", &format!("{from}turns {to}{front}{read_at}"));
    }
    page.some("read it", read.when.as_deref());
    let times = [
        read.wait
            .as_ref()
            .map(|wait| format!("wait {} after the last stroke", wait.text())),
        read.within
            .as_ref()
            .map(|within| format!("read within {} of it", within.text())),
        read.colour_fades_after
            .as_ref()
            .map(|fades| format!("the colour fades after {}", fades.text())),
    ];
    let times: Vec<String> = times.into_iter().flatten().collect();
    if !times.is_empty() {
        page.line("time", &times.join("; "));
    }
    if let Some(lowest) = &read.limit_of_detection {
        let with = |count: &Option<Num>| match count {
            Some(count) => format!(" with {}", strokes(count.text())),
            None => String::new(),
        };
        let mut least: Vec<String> = Vec::new();
        if let Some(part) = &lowest.part_of_first_mark {
            let with = with(&lowest.strokes);
            least.push(format!("{} of the first mark{with}", part.text()));
        }
        if let Some(visible) = &lowest.concentration {
            least.push(format!("{}{}", visible.text(), with(&lowest.strokes)));
        }
        least.extend(lowest.by_strokes.iter().map(|row| {
            let visible = row
                .concentration
                .as_ref()
                .map_or("?", |visible| visible.text());
            format!("{visible}{}", with(&row.strokes))
        }));
        page.line("seen from", &least.join(", "));
    }
    page.some("reaction", read.reaction.as_deref());
    for other in &read.response_factors {
        let named = read.scales.iter().find(|scale| scale.name == other.scale);
        let unit = named
            .or(read.scales.first())
            .and_then(|scale| scale.unit.as_deref())
            .unwrap_or("?");
        page.line(
            "also for",
            &also_words(other, unit, (named.or(read.scales.first()), book)),
        );
    }
}

/// A stroke count in words: `1 stroke`, `3 strokes`.
fn strokes(count: &str) -> String {
    let one = count.parse().is_ok_and(|number: f64| number <= 1.0);
    format!("{count} {}", if one { "stroke" } else { "strokes" })
}

fn also_words(
    other: &ResponseFactor,
    unit: &str,
    (scale, book): (Option<&Scale>, &Book),
) -> String {
    let gas = other
        .substance
        .as_deref()
        .map_or_else(|| "?".to_owned(), |id| substance_name(id, book));
    let target = other.multiply.map_or_else(|| "reading".to_owned(), word);
    if other.qualitatively == Some(true) {
        return format!("{gas}: qualitatively only; a stain says that it is there, not how much");
    }
    let factor = if let Some(by) = &other.by {
        let middle = by.relative_half_width().map_or_else(String::new, |_| {
            let middle = print::to_significant_at_most(by.value(), 4);
            format!(" (the middle, {middle}, counts)")
        });
        format!("{target} × {}{middle}", by.text())
    } else {
        let rows: Vec<String> = other
            .rows
            .iter()
            .filter_map(|row| Some(format!("{} at {}", row.get(1)?.text(), row.first()?.text())))
            .collect();
        format!("{target} × {}", rows.join(", "))
    };
    let marks = scale
        .map(|scale| scale.marks.as_slice())
        .unwrap_or_default();
    let end = |printed: &Option<Num>, mark: Option<&Num>| {
        let by = other.by.as_ref().map(Factor::value);
        match (printed, mark.zip(by)) {
            (None, Some((mark, by))) => {
                format!("({})", print::to_significant_at_most(mark.value() * by, 4))
            }
            _ => digits(printed.as_ref()),
        }
    };
    let (from, to) = (
        end(&other.from, marks.first()),
        end(&other.to, marks.last()),
    );
    let count = match (
        &other.strokes,
        scale.and_then(|scale| scale.printed_for_strokes.as_ref()),
    ) {
        (None, Some(of_scale)) => format!("({})", strokes(of_scale.text())),
        (printed, _) => strokes(&digits(printed.as_ref())),
    };
    let mut text = format!("{gas}: {factor}, {from} to {to} {unit} with {count}");
    if other.from.is_none() || other.to.is_none() {
        text.push_str("; the range follows from the marks times the factor");
    }
    if other.strokes.is_none() {
        text.push_str("; the strokes are those of the scale");
    }
    if let Some(scale) = &other.scale {
        text.push_str(&format!(", on scale {scale}"));
    }
    if let Some(uncertainty) = &other.uncertainty {
        text.push_str(&format!(
            "; standard uncertainty of the factor {}",
            uncertainty.text()
        ));
    }
    if let Some(between) = other.between {
        text.push_str(&format!("; between readings {}", word(between)));
    }
    text
}
