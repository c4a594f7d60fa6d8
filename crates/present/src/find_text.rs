//! A search for tubes as a person reads it: the question, the sheets that can serve at a glance, then each with its
//! reasons, and those that cannot with what would have to change.

use stainbook_catalog::written::LimitKind;
use stainbook_core::{Dimension, print, unit_of};
use stainbook_evaluation::result::Verdict;
use stainbook_tube_search::{
    AtLevel, JudgedHere, LevelSought, Search, SuitableTube, Way, Weight, minutes, strokes_in_words,
};

use crate::Colour;
use crate::counts::counted;
use crate::lines::{columns, if_stated, push_hanging};

/// Lines are wrapped here.
pub const WIDTH: usize = 96;

/// The search as text.
pub fn render(search: &Search, colour: Colour) -> String {
    let mut out = String::new();
    head(&mut out, search, colour);
    glance(&mut out, search);
    for found in &search.serve {
        out.push('\n');
        one(&mut out, search, found, colour);
    }
    cannot(&mut out, search, colour);
    out.push('\n');
    if 1 < search.serve.len() {
        push_hanging(
            &mut out,
            "Ranked by: ",
            &format!("{}.", search.ranked_by.join("; then ")),
            WIDTH,
        );
    }
    for statement in &search.statements {
        push_hanging(&mut out, "Note: ", &statement.text, WIDTH);
    }
    let cautions: Vec<&str> = search.cautions.iter().map(|c| c.text.as_str()).collect();
    push_hanging(&mut out, "Mind: ", &cautions.join(" "), WIDTH);
    out
}

fn head(out: &mut String, search: &Search, colour: Colour) {
    let levels: Vec<String> = search.levels.iter().map(level_in_words).collect();
    let title = format!(
        "A tube for {} at {}",
        search.substance.name,
        levels.join(", and at ")
    );
    let mut rows = crate::lines::wrap(&title, WIDTH).into_iter();
    if let Some(first) = rows.next() {
        out.push_str(&colour.bold(&first));
        out.push('\n');
    }
    for row in rows {
        out.push_str(&format!("  {row}\n"));
    }
    let mut parts = Vec::new();
    let stated = |key: &str| {
        search
            .conditions
            .get(key)
            .and_then(|value| value.as_str())
            .map(str::to_owned)
    };
    let air: Vec<String> = [
        ("air_temperature", "air of "),
        ("tube_temperature", "tube at "),
        ("humidity", ""),
        ("pressure", ""),
        ("altitude", "altitude "),
        ("sea_level_pressure", "at sea level "),
    ]
    .into_iter()
    .filter_map(|(key, words)| Some(format!("{words}{}", spelt(&stated(key)?))))
    .collect();
    if !air.is_empty() {
        parts.push(air.join(", "));
    }
    for gas in &search.present {
        let level = gas.level.as_ref().map(|level| format!(" {level}"));
        parts.push(format!("with {}{}", gas.name, level.unwrap_or_default()));
    }
    if let Some(seconds) = search.within_seconds {
        parts.push(format!("within {}", minutes(seconds)));
    }
    if let Some(pump) = &search.pump {
        parts.push(match &pump.pump {
            Some(id) => format!("pump {id} ({})", pump.kind),
            None => format!("a pump of the kind {}", pump.kind),
        });
    }
    if !parts.is_empty() {
        push_hanging(out, "", &parts.join("; "), WIDTH);
    }
    let all = search.serve.len() + search.cannot.len();
    let catalog = search.catalog.as_deref().unwrap_or("without a name");
    let revision = if_stated(search.catalog_revision.as_ref(), |r| format!(" of {r}"));
    push_hanging(
        out,
        "",
        &format!(
            "catalog {catalog}{revision}: {} of {} can serve",
            search.serve.len(),
            counted(all, "sheet")
        ),
        WIDTH,
    );
}

/// A condition as it was typed, with its unit spelt as everywhere: `6 °C` for `6C`.
fn spelt(typed: &str) -> String {
    let spelt = |dimension| {
        let number = typed.trim_end_matches(|c: char| !c.is_ascii_digit() && c != '.');
        let unit = unit_of(dimension, typed.strip_prefix(number)?.trim()).ok()?;
        Some(format!("{number} {}", unit.canonical()))
    };
    [
        Dimension::Temperature,
        Dimension::RelativeHumidity,
        Dimension::AbsoluteHumidity,
        Dimension::Pressure,
        Dimension::Altitude,
    ]
    .into_iter()
    .find_map(spelt)
    .unwrap_or_else(|| typed.to_owned())
}

fn level_in_words(level: &LevelSought) -> String {
    let Some(sought) = &level.limit else {
        return amount(level);
    };
    sought.limit.words()
}

/// A level with its unit spelt as everywhere: `5 mg/m³`, whatever was typed.
fn amount(level: &LevelSought) -> String {
    match level.text.strip_suffix(&level.unit) {
        Some(number) if number.ends_with(' ') => level.text.clone(),
        _ => format!("{} {}", print::number(level.value), level.unit),
    }
}

/// One line for each sheet and level.
fn glance(out: &mut String, search: &Search) {
    if search.serve.is_empty() {
        return;
    }
    out.push('\n');
    let head = [
        "", "sheet", "level", "draw", "time", "measures", "reading", "±",
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for found in &search.serve {
        for (place, at) in found.levels.iter().enumerate() {
            let Some(sought) = search.levels.get(at.level) else {
                continue;
            };
            let name = if place == 0 {
                [format!("{}.", found.rank), found.sheet.clone()]
            } else {
                [String::new(), String::new()]
            };
            let mut row = name.to_vec();
            row.push(amount(sought));
            match &at.best {
                Some(way) => row.extend([
                    strokes(way),
                    minutes(way.seconds),
                    measures(way, &sought.unit),
                    format!("{} {}", short(way.reading), way.reading_unit),
                    print::percent(way.relative_expanded, 0),
                ]),
                None => row.push("no stroke count".to_owned()),
            }
            rows.push(row);
        }
    }
    for line in columns(&rows) {
        out.push_str("  ");
        out.push_str(&line);
        out.push('\n');
    }
}

fn one(out: &mut String, search: &Search, found: &SuitableTube, colour: Colour) {
    out.push_str(&colour.bold(&format!("{}. {}", found.rank, found.sheet)));
    let lots = if_stated(found.lots.as_ref(), |lots| format!(", lots {lots}"));
    out.push_str(&format!(
        "  {}, revision {}{lots}\n",
        crate::lines::printable(&found.name),
        found.revision
    ));
    let mut line =
        |name: &str, text: &str| push_hanging(out, &format!("  {name:<11} "), text, WIDTH);
    for at in &found.levels {
        if let Some(sought) = search.levels.get(at.level) {
            level(&mut line, sought, at);
        }
    }
    if search.pump.is_none() {
        line(
            "pump",
            &format!("of the kind {}", found.pump_kinds.join(" or ")),
        );
    }
    for (name, list, weight) in [
        ("for", &found.pro, Weight::Light),
        ("AGAINST", &found.against, Weight::Heavy),
        ("against", &found.against, Weight::Light),
    ] {
        let mut name = name;
        for reason in list.iter().filter(|reason| reason.weight == weight) {
            line(name, &reason.text);
            name = "";
        }
    }
    let watch: Vec<&str> = found
        .watch_for
        .iter()
        .map(|gas| gas.text.as_str())
        .collect();
    if !watch.is_empty() {
        line("watch for", &watch.join("; "));
    }
}

fn level(line: &mut impl FnMut(&str, &str), sought: &LevelSought, at: &AtLevel) {
    let Some(way) = &at.best else {
        if let Some(why) = &at.why_not {
            line(
                &amount(sought),
                &format!("not read: {}; needed: {}", why.text, why.remedy),
            );
        }
        return;
    };
    let [below, above] = way.between_marks;
    let where_it_ends = if (above - below).abs() <= f64::EPSILON * above {
        format!("on the mark {}", print::number(above))
    } else {
        format!(
            "between the marks {} and {}",
            print::number(below),
            print::number(above)
        )
    };
    let third = match way.position {
        p if p < 1.0 / 3.0 => "lower",
        p if p <= 2.0 / 3.0 => "middle",
        _ => "upper",
    };
    line(
        &amount(sought),
        &format!(
            "{} in {}: the stain ends at {} {}, {where_it_ends}, in the {third} third of {}; ± {} {} ({})",
            strokes(way),
            minutes(way.seconds),
            short(way.reading),
            way.reading_unit,
            measures(way, &sought.unit),
            print::to_significant(way.expanded, 2),
            sought.unit,
            print::percent(way.relative_expanded, 0),
        ),
    );
    for judged in &way.judged {
        line("", &judgement(judged, way, &sought.unit));
    }
    let others: Vec<String> = at
        .others
        .iter()
        .map(|way| {
            format!(
                "{} in {}, ± {}",
                strokes(way),
                minutes(way.seconds),
                print::percent(way.relative_expanded, 0)
            )
        })
        .collect();
    if !others.is_empty() {
        line("", &format!("or {}", others.join("; or ")));
    }
}

/// `US OSHA ceiling 1 ppm: below up to 0.6 ppm, above from 1.9 ppm; no stain says below`.
fn judgement(judged: &JudgedHere, way: &Way, unit: &str) -> String {
    let mut parts = Vec::new();
    if let Some(verdict) = judged.verdict {
        parts.push(
            match verdict {
                Verdict::Below => "says below at this level",
                Verdict::Above => "says above at this level",
                Verdict::CannotTell => "cannot tell at this level",
            }
            .to_owned(),
        );
    } else if judged.kind == LimitKind::EightHours {
        parts.push("not compared with one reading; several over the shift are combined".to_owned());
    } else if let Some(reason) = &judged.reason {
        parts.push(format!("not compared: {reason}"));
    }
    let same = |a: f64, b: f64| (a - b).abs() <= 1e-6 * b;
    match judged.below_up_to {
        Some(up_to) if same(up_to, way.highest) => {
            parts.push("below all along the range".to_owned());
        }
        Some(up_to) => parts.push(format!(
            "below up to {} {unit}",
            print::to_significant(up_to, 2)
        )),
        None => {}
    }
    match judged.above_from {
        Some(from) if same(from, way.lowest) => parts.push("above all along the range".to_owned()),
        Some(from) => parts.push(format!(
            "above from {} {unit}",
            print::to_significant(from, 2)
        )),
        None => {}
    }
    if judged.no_stain_says_below {
        parts.push("no stain says below".to_owned());
    }
    format!("{}: {}", judged.limit, parts.join(", "))
}

fn cannot(out: &mut String, search: &Search, colour: Colour) {
    let (near, far): (Vec<_>, Vec<_>) = search.cannot.iter().partition(|sheet| sheet.measures_it);
    if !near.is_empty() {
        out.push('\n');
        out.push_str(&colour.bold("Cannot serve"));
        out.push('\n');
    }
    for sheet in near {
        // A hanging indent as deep as a name would leave little room.
        out.push_str(&format!("  {}\n", sheet.sheet));
        for why in &sheet.why {
            let text = format!("{}; needed: {}", why.text, why.remedy);
            push_hanging(out, "      ", &text, WIDTH);
        }
    }
    if !far.is_empty() {
        let names: Vec<&str> = far.iter().map(|sheet| sheet.sheet.as_str()).collect();
        out.push('\n');
        push_hanging(
            out,
            "For other gases only: ",
            &format!("{}.", names.join(", ")),
            WIDTH,
        );
    }
}

fn strokes(way: &Way) -> String {
    let count = strokes_in_words(way.strokes);
    match &way.scale {
        Some(scale) => format!("{count}, scale {scale}"),
        None => count,
    }
}

fn measures(way: &Way, unit: &str) -> String {
    format!("{} to {} {unit}", short(way.lowest), short(way.highest))
}

fn short(value: f64) -> String {
    print::to_significant(value, 3)
}
