//! A draft of a plan, with a tube chosen for every row that has none: the first of the search that is in stock on the day.

use jiff::civil::Date;
use stainbook_catalog::model::{Limit, PumpKind, Substance};
use stainbook_catalog::written::{LimitChoice, PlanEntry, PlannedReading};
use stainbook_catalog::{Book, Entry, EntryKind, READ_OPTIONS};
use stainbook_check::plans::{boxes_on, conditions_of, day_of, is_pump_ready, keeps_stock};
use stainbook_core::print;
use stainbook_document::Document;
use stainbook_document::edit::{self, EditRefusal, NewValue};
use stainbook_document::place::{FileId, Path};
use stainbook_evaluation::Options;
use stainbook_tube_search::{Search, SuitableTube, Wanted, find};

/// A plan with its tubes chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct PlanDraft {
    /// The file's text, with nothing but what was chosen added.
    pub text: String,
    /// The rows in the order of the plan, each with what came of it.
    pub rows: Vec<(String, RowDrafted)>,
}

impl PlanDraft {
    /// True if every row has a tube, chosen now or before.
    pub fn is_whole(&self) -> bool {
        !self
            .rows
            .iter()
            .any(|(_, row)| matches!(row, RowDrafted::NoTube(_)))
    }
}

/// Outcome of one row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RowDrafted {
    /// It names a tube already, which is not touched.
    Kept,
    /// A tube was chosen.
    Chosen(ChosenTube),
    /// No tube can serve, or the row says too little: the reason.
    NoTube(String),
}

/// The tube of a row, and what goes with it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ChosenTube {
    /// The sheet's short name.
    pub sheet: String,
    /// Its place in the search, from 1.
    pub rank: usize,
    /// The box to take from, by its short name, and its lot.
    pub from_box: Option<(String, String)>,
    /// Number of strokes; nothing where the limits ask for different ones.
    pub strokes: Option<String>,
    /// The scale, if the tube has two.
    pub scale: Option<String>,
    /// The pump, where the row named none and one can be counted on.
    pub pump: Option<String>,
    /// Things to see to: no box in stock, no pump.
    pub to_mind: Vec<String>,
}

/// Chooses tubes for the rows of a plan that have none.
///
/// Each row is asked of the search for tubes; of those that can serve, the first one is taken of which a box is in stock and within
/// its date on the plan's day, or the first of all where the catalog keeps no stock or none of them is there.
///
/// # Errors
///
/// [`EditRefusal`]: the file is laid out so that nothing can be put into a row of it.
///
/// # Example
///
/// ```
/// use stainbook::catalog::demo_files;
/// use stainbook::plan::{RowDrafted, draft_plan};
/// use stainbook::reading::Options;
/// use stainbook::{Book, EntryKind, SourceFile};
///
/// let plan = SourceFile::new("a.plan.yaml", "\
/// plan: a
/// title: Brine wash
/// day: 2026-12-02
/// places:
///   - {id: p1, place: brine wash, substance: chlorine, level: 3 ppm}
/// ");
/// let (book, _) = Book::read(demo_files().chain([plan]));
/// let entry = book.find(EntryKind::Plan, "a").unwrap();
/// let draft = draft_plan(&book, entry, book.plan("a").unwrap(), &Options::default()).unwrap();
/// assert!(matches!(draft.rows[0].1, RowDrafted::Chosen(_)));
/// assert!(draft.text.contains("level: 3 ppm, tube: brinewash-chlorine-a-r2, lot: 24-131, strokes: 3"));
/// ```
pub fn draft_plan(
    book: &Book,
    entry: &Entry,
    plan: &PlanEntry,
    options: &Options<'_>,
) -> Result<PlanDraft, EditRefusal> {
    let mut text = entry.document.text().to_owned();
    let mut rows = Vec::new();
    let day = day_of(plan);
    for (index, planned) in plan.places.iter().enumerate() {
        let id = planned
            .id
            .clone()
            .unwrap_or_else(|| format!("#{}", index + 1));
        if planned.tube.is_some() {
            rows.push((id, RowDrafted::Kept));
            continue;
        }
        let chosen = match chosen(book, plan, planned, day, options) {
            Ok(chosen) => chosen,
            Err(why) => {
                rows.push((id, RowDrafted::NoTube(why)));
                continue;
            }
        };
        let row = Path::root().key("places").index(index);
        let lot = chosen.from_box.as_ref().map(|(_, lot)| lot.clone());
        let fields = [
            ("tube", Some(NewValue::text(chosen.sheet.as_str()))),
            (
                "lot",
                lot.filter(|_| planned.lot.is_none()).map(NewValue::text),
            ),
            (
                "strokes",
                chosen
                    .strokes
                    .clone()
                    .filter(|_| planned.strokes.is_none())
                    .map(NewValue::Bare),
            ),
            (
                "scale",
                chosen
                    .scale
                    .as_deref()
                    .filter(|_| planned.scale.is_none())
                    .map(NewValue::text),
            ),
            ("pump", chosen.pump.as_deref().map(NewValue::text)),
        ];
        for (key, value) in fields {
            if let Some(value) = value {
                text = with(&text, &entry.path, &row.clone().key(key), &value)?;
            }
        }
        rows.push((id, RowDrafted::Chosen(chosen)));
    }
    Ok(PlanDraft { text, rows })
}

/// The text with a field more in a row; one that stands there empty is filled.
fn with(text: &str, name: &str, path: &Path, value: &NewValue) -> Result<String, EditRefusal> {
    let (document, _) = Document::read(FileId(0), name, text.as_bytes(), &READ_OPTIONS);
    let edits = match edit::insert(&document, path, value) {
        Err(EditRefusal::Present(_)) => edit::set(&document, path, value),
        edits => edits,
    };
    Ok(edit::applied(&document, &edits?))
}

fn chosen(
    book: &Book,
    plan: &PlanEntry,
    planned: &PlannedReading,
    day: Option<Date>,
    options: &Options<'_>,
) -> Result<ChosenTube, String> {
    let wanted = wanted(book, plan, planned)?;
    let search = find(book, &wanted, options)
        .map_err(|refusal| format!("{}; {}", refusal.text, refusal.remedy))?;
    let serve: Vec<&SuitableTube> = search
        .serve
        .iter()
        .filter(|tube| tube.levels.iter().all(|level| level.best.is_some()))
        .collect();
    let Some(first) = serve.first().copied() else {
        return Err(none_serves(&search));
    };
    let lot = planned.lot.as_deref();
    let in_stock = |tube: &SuitableTube| {
        let boxes = boxes_on(book, &tube.sheet, lot, day?);
        let stock = boxes.usable.first()?.stock;
        Some((stock.id.clone()?, stock.lot.clone()?))
    };
    let with_box = serve
        .iter()
        .find_map(|tube| in_stock(tube).map(|from_box| (*tube, from_box)));
    let mut to_mind = Vec::new();
    if with_box.is_none() && keeps_stock(book) {
        to_mind.push("no box of it is in stock and within its date on that day".to_owned());
    }
    let (tube, from_box) =
        with_box.map_or((first, None), |(tube, from_box)| (tube, Some(from_box)));
    let mut strokes: Vec<f64> = tube
        .levels
        .iter()
        .filter_map(|level| level.best.as_ref())
        .map(|way| way.strokes)
        .collect();
    strokes.dedup();
    let strokes = match strokes.as_slice() {
        [only] => Some(*only),
        several => {
            let counts: Vec<String> = several.iter().map(|count| print::number(*count)).collect();
            to_mind.push(format!(
                "its limits ask for different strokes: {}",
                counts.join(", ")
            ));
            None
        }
    };
    let best = tube.levels.first().and_then(|level| level.best.as_ref());
    let scale = best
        .filter(|_| strokes.is_some())
        .and_then(|way| way.scale.clone());
    let pump = if planned.pump.is_some() {
        None
    } else {
        let pump = pump_for(book, tube, strokes, day);
        if pump.is_none() {
            to_mind.push(
                "no pump of its kind can be counted on for that day, by its own record".to_owned(),
            );
        }
        pump
    };
    Ok(ChosenTube {
        sheet: tube.sheet.clone(),
        rank: tube.rank,
        from_box,
        strokes: strokes.map(print::number),
        scale,
        pump,
        to_mind,
    })
}

/// The question of a row.
fn wanted(book: &Book, plan: &PlanEntry, planned: &PlannedReading) -> Result<Wanted, String> {
    let Some(substance) = planned.substance.clone() else {
        return Err("the row names no gas".to_owned());
    };
    if planned.limits.is_empty() && planned.level.is_none() {
        return Err(
            "the row says neither which `limits` nor which `level` the tube has to read".to_owned(),
        );
    }
    let mut wanted = Wanted::default();
    wanted.level = planned.level.as_ref().map(|level| (**level).clone());
    wanted.limits = limits(book, &substance, &planned.limits)?;
    wanted.substance = substance;
    wanted.conditions = conditions_of(plan, planned);
    wanted.present.clone_from(&planned.present);
    wanted.interferents = planned.interferents;
    wanted.within = planned.within.as_ref().map(|within| within.value());
    wanted.pump.clone_from(&planned.pump);
    Ok(wanted)
}

/// The limits that a row means, each in the words that tell it apart.
fn limits(book: &Book, gas: &str, choices: &[LimitChoice]) -> Result<Vec<String>, String> {
    if choices.is_empty() {
        return Ok(Vec::new());
    }
    let substance = book
        .substance_model(gas)
        .map_err(|why| format!("its limits cannot be looked up: {}", why.message))?;
    let mut words = Vec::new();
    for choice in choices {
        let chosen: Vec<&Limit> = substance
            .limits
            .iter()
            .filter(|limit| is_chosen(choice, limit))
            .collect();
        if chosen.is_empty() {
            return Err(no_limit(&substance, choice));
        }
        words.extend(chosen.into_iter().map(tell_apart));
    }
    words.dedup();
    Ok(words)
}

fn no_limit(substance: &Substance, choice: &LimitChoice) -> String {
    let known: Vec<String> = substance.limits.iter().map(tell_apart).collect();
    format!(
        "no limit of {} is meant by `{}`; there is {}",
        substance.name,
        stainbook_check::plans::limit_words(choice),
        if known.is_empty() {
            "none".to_owned()
        } else {
            known.join(", ")
        }
    )
}

fn is_chosen(choice: &LimitChoice, limit: &Limit) -> bool {
    choice.kind.is_none_or(|kind| kind == limit.kind)
        && choice
            .source
            .as_ref()
            .is_none_or(|source| *source == limit.source)
        && choice
            .authority
            .as_ref()
            .is_none_or(|authority| authority.eq_ignore_ascii_case(&limit.authority))
}

/// `US NIOSH ceiling over 15 min 0.5 ppm`, as the search names it.
fn tell_apart(limit: &Limit) -> String {
    let over = limit
        .averaged_over
        .as_ref()
        .map(|period| format!(" over {}", period.text()));
    format!(
        "{} {}{} {}",
        limit.authority,
        limit.kind.name(),
        over.unwrap_or_default(),
        limit.at_most.text()
    )
}

/// Reason of the sheet that comes nearest, where none can serve, or none reads all that the row asks for.
fn none_serves(search: &Search) -> String {
    let partly = search.serve.iter().find_map(|tube| {
        let level = tube.levels.iter().find(|level| level.best.is_none())?;
        let wanted = search.levels.get(level.level)?;
        let why = level.why_not.as_ref()?;
        Some(format!(
            "no tube reads all of it with one box; `{}` does not read {}: {}; needed: {}",
            tube.sheet, wanted.text, why.text, why.remedy
        ))
    });
    let of_gas = search
        .cannot
        .iter()
        .filter(|excluded| excluded.measures_it)
        .find_map(|excluded| {
            let why = excluded.why.first()?;
            Some(format!(
                "no tube can serve; `{}`: {}; needed: {}",
                excluded.sheet, why.text, why.remedy
            ))
        });
    partly
        .or(of_gas)
        .unwrap_or_else(|| "no sheet of the catalog measures the gas".to_owned())
}

/// The first pump of a kind that the sheet allows which can be counted on for the day.
fn pump_for(
    book: &Book,
    tube: &SuitableTube,
    strokes: Option<f64>,
    day: Option<Date>,
) -> Option<String> {
    let halves = strokes.is_some_and(|strokes| (strokes - strokes.round()).abs() > 1e-6);
    let draws =
        |kind: &PumpKind| tube.pump_kinds.contains(&kind.id) && (!halves || kind.half_strokes);
    book.ids(EntryKind::Pump).into_iter().find_map(|id| {
        let pump = book.pump_model(id).ok()?;
        (draws(&pump.kind) && day.is_none_or(|day| is_pump_ready(&pump, day)))
            .then(|| id.to_owned())
    })
}
