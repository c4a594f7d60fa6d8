//! A survey evaluated, reading by reading.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use serde_json::Value;
use stainbook_catalog::references::with_short_names;
use stainbook_catalog::written::{Assured, Conditions, Judge, Reading, ReadsTo, SurveyEntry};
use stainbook_catalog::{Book, Entry, EntryKind};

use crate::air;
use crate::cautions::cautions;
use crate::compiled_sheet::CompiledSheet;
use crate::defaults;
use crate::evaluated::Evaluated;
use crate::evaluated::not_prepared::NotPrepared;
use crate::evaluated::record_flag::RecordFlag;
use crate::facts::{self, Provenance};
use crate::judgement;
use crate::one_reading::{self, PreparedReading, evaluate_one};
use crate::outcome::Refusal;
use crate::refused_at;
use crate::repeated_ids::RepeatedIds;
use crate::result::{Evaluation, ReadingResult, SCHEMA_VERSION, SOFTWARE};
use crate::sheet_choice::{self, ChosenSheet};
use crate::sheet_errors::SheetErrors;
use crate::stock::{BoxInStock, StandIns};
use crate::survey_faults::SurveyFaults;
use crate::together::{self, GroupInputs};
use crate::words;
use stainbook_uncertainty::monte_carlo::{InBlocks, Settings};

/// Options of the caller, beyond the catalog.
#[derive(Clone, Copy, Default)]
#[non_exhaustive]
pub struct Options<'o> {
    /// Errors that the checker found in the sheet of a short name, and in the files that it rests on.
    pub sheet_errors: Option<&'o dyn Fn(&str) -> SheetErrors>,
    /// Treatment of a sheet that has errors.
    pub faulty_sheets: FaultySheets,
    /// Settings of the Monte Carlo method, if the uncertainty is to be worked out by it as well.
    pub monte_carlo: Option<MonteCarloOptions<'o>>,
}

/// Settings of the Monte Carlo method.
#[derive(Clone, Copy)]
#[non_exhaustive]
pub struct MonteCarloOptions<'o> {
    /// Number of draws, and the seed. Every reading starts from the seed, so that its result does not depend on the others.
    pub settings: Settings,
    /// Executor of blocks of draws; [`one_after_another`](stainbook_uncertainty::monte_carlo::one_after_another) where
    /// there are no threads.
    pub in_blocks: &'o InBlocks<'o>,
}

impl<'o> MonteCarloOptions<'o> {
    /// Draws with these settings, whose blocks are worked through in this way.
    pub fn new(settings: Settings, in_blocks: &'o InBlocks<'o>) -> Self {
        Self {
            settings,
            in_blocks,
        }
    }
}

impl<'o> Options<'o> {
    /// The same, with the errors that the checker found in the sheet of a short name, and in the files that it rests on.
    #[must_use]
    pub fn with_sheet_errors(mut self, errors: &'o dyn Fn(&str) -> SheetErrors) -> Self {
        self.sheet_errors = Some(errors);
        self
    }

    /// The same, with another treatment of sheets that have errors.
    #[must_use]
    pub fn with_faulty_sheets(mut self, treatment: FaultySheets) -> Self {
        self.faulty_sheets = treatment;
        self
    }

    /// The same, with the uncertainty worked out by drawing as well, or not.
    #[must_use]
    pub fn with_monte_carlo(mut self, drawing: impl Into<Option<MonteCarloOptions<'o>>>) -> Self {
        self.monte_carlo = drawing.into();
        self
    }
}

/// Treatment of a sheet that has errors.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FaultySheets {
    /// Refuse the result.
    #[default]
    Refuse,
    /// Give the result and flag it.
    FlagOnly,
}

/// Evaluates a survey: one result for each reading, in its order. A reading that cannot be evaluated is refused and never
/// stops the others.
///
/// # Example
///
/// ```no_run
/// use stainbook_catalog::Book;
/// use stainbook_evaluation::{Options, evaluate};
///
/// let (book, _) = Book::demo();
/// if let Some((_, survey)) = book.surveys().next() {
///     for result in evaluate(&book, survey, &Options::default()).results {
///         println!("{}: {}", result.id, result.status.name());
///     }
/// }
/// ```
pub fn evaluate(book: &Book, survey: &SurveyEntry, options: &Options<'_>) -> Evaluation {
    evaluate_with(book, survey, options, None, |_, _, evaluated| evaluated)
}

/// Evaluates a survey that was read from a file, with what is known to be wrong in it: a reading that could not be read
/// whole is refused with its place, and every refusal says in which line and column its field stands.
///
/// `done` is told how many readings are done, for whoever waits. `faults` are those of the same file. If they
/// [stop all](SurveyFaults::stop_all), the caller has the survey corrected first.
pub fn evaluate_entry<'b>(
    book: &'b Book,
    entry: &Entry,
    survey: &SurveyEntry,
    faults: &SurveyFaults,
    options: &Options<'b>,
    mut done: impl FnMut(usize),
) -> Evaluation {
    let mut furthest = 0;
    let look = |index, reading: &Reading, mut evaluated: Evaluated<'b>| {
        evaluated.place_refusal(|refusal| {
            refused_at::in_file(refusal, index, &entry.path, &entry.document)
        });
        let judged = faults.judge(index, reading, options.faulty_sheets, evaluated);
        // A survey that turns out to be read on marks only is gone through again.
        if furthest <= index {
            furthest = index + 1;
            done(furthest);
        }
        judged
    };
    evaluate_with(book, survey, options, Some(faults), look)
}

fn evaluate_with<'b>(
    book: &'b Book,
    survey: &SurveyEntry,
    options: &Options<'b>,
    faults: Option<&SurveyFaults>,
    mut look: impl FnMut(usize, &Reading, Evaluated<'b>) -> Evaluated<'b>,
) -> Evaluation {
    let mut evaluator = Evaluator::new(book, *options);
    evaluator.judge_by(&survey.judge);
    evaluator.rest_on(&survey.assured);
    evaluator.read_to(survey.reads_to);
    let stated = (&survey.conditions, survey.by.as_deref());
    let mut evaluated: Vec<Evaluated<'b>> = survey
        .readings
        .iter()
        .enumerate()
        .map(|(index, reading)| look(index, reading, evaluator.evaluated(index, reading, stated)))
        .collect();
    if lies_on_marks_only(&evaluated) {
        for (index, (slot, reading)) in evaluated.iter_mut().zip(&survey.readings).enumerate() {
            if slot.lies_on_mark().is_some() {
                *slot = look(
                    index,
                    reading,
                    evaluator.on_marks_only(slot, reading, stated),
                );
            }
        }
    }
    let taken = GroupInputs {
        readings: survey.readings.iter().map(Some).collect(),
        conditions: &survey.conditions,
        by: survey.by.as_deref(),
        rows: &survey.together,
        faults: survey
            .together
            .iter()
            .enumerate()
            .filter_map(|(index, _)| {
                let fault = faults?.of_together(index, options.faulty_sheets)?;
                Some((index, fault))
            })
            .collect(),
    };
    let together = together::all(&evaluator, &taken, &mut evaluated);
    let results = evaluated.into_iter().map(Evaluated::result).collect();
    Evaluation {
        together,
        ..evaluator.frame_of(survey, results)
    }
}

/// Number of readings from which on marks alone are no chance.
const READ_ON_MARKS: usize = 3;

/// True if nobody says how finely was read, and every one of several readings lies on a mark: they were read to the nearest.
pub fn lies_on_marks_only<'e>(
    evaluated: impl IntoIterator<Item = &'e Evaluated<'e>, IntoIter: Clone>,
) -> bool {
    let evaluated = evaluated.into_iter();
    let on_marks = || evaluated.clone().filter_map(Evaluated::lies_on_mark);
    READ_ON_MARKS <= on_marks().count() && on_marks().all(|on_mark| on_mark)
}

/// The part of a space to which a reading was read, and who says so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ReadsToUsed {
    /// The survey.
    Stated(ReadsTo),
    /// Nobody.
    Assumed,
    /// Nobody, and all readings lie on marks.
    OnMarksOnly,
}

impl ReadsToUsed {
    /// The part of a space.
    pub(crate) fn part(self) -> f64 {
        match self {
            Self::Stated(reads_to) => reads_to,
            Self::Assumed => defaults::READS_TO,
            Self::OnMarksOnly => ReadsTo::NearestMark,
        }
        .part()
    }
}

/// Names that are told of at most: a table of a million rows may name as many.
const MOST_UNDERSTOOD: usize = 64;

/// Evaluates readings one after the other and keeps what their sheets have in common, for which no result is another.
pub struct Evaluator<'b> {
    book: &'b Book,
    options: Options<'b>,
    chosen: RefCell<BTreeMap<String, Result<ChosenSheet<'b>, NotPrepared>>>,
    sheets: RefCell<BTreeMap<String, Result<Rc<CompiledSheet<'b>>, NotPrepared>>>,
    digests: RefCell<BTreeMap<String, Option<String>>>,
    facts: RefCell<BTreeMap<String, Value>>,
    ids: RepeatedIds,
    understood: RefCell<BTreeSet<String>>,
    settings: Rc<judgement::JudgementSettings>,
    reads_to: Option<ReadsTo>,
    on_marks_only: bool,
    assured: Vec<Rc<Assured>>,
    /// True if there are no records yet.
    planning: bool,
}

impl<'b> Evaluator<'b> {
    /// An evaluator for a catalog.
    pub fn new(book: &'b Book, options: Options<'b>) -> Self {
        Self {
            book,
            options,
            chosen: RefCell::default(),
            sheets: RefCell::default(),
            digests: RefCell::default(),
            facts: RefCell::default(),
            ids: RepeatedIds::default(),
            understood: RefCell::default(),
            settings: Rc::new(judgement::JudgementSettings::default()),
            reads_to: None,
            on_marks_only: false,
            assured: Vec::new(),
            planning: false,
        }
    }

    /// Words for each substance that readings named otherwise than by its short name, and for what was understood: each once, of
    /// as many as a person looks through.
    pub fn understood(&self) -> BTreeSet<String> {
        self.understood.borrow().clone()
    }

    /// A reading with short names in the place of other names.
    pub(crate) fn with_short_names<'r>(&self, reading: &'r Reading) -> Cow<'r, Reading> {
        let (understood, named) = with_short_names(reading, self.book);
        let mut kept = self.understood.borrow_mut();
        for one in named {
            if kept.len() < MOST_UNDERSTOOD {
                kept.insert(one.to_string());
            }
        }
        understood
    }

    /// Takes readings from now on as read to this part of a space, where they do not say themselves.
    pub fn read_to(&mut self, reads_to: Option<ReadsTo>) {
        self.reads_to = reads_to;
    }

    /// A reading once more, as read to the nearest mark: see [`lies_on_marks_only`].
    pub fn on_marks_only(
        &mut self,
        before: &Evaluated<'b>,
        reading: &Reading,
        stated: (&Conditions, Option<&str>),
    ) -> Evaluated<'b> {
        let drawing = self.options.monte_carlo;
        self.on_marks_only = true;
        let mut again = evaluate_one(self, before.id.clone(), reading, stated, drawing.as_ref());
        self.on_marks_only = false;
        if before.record.flags.contains(&RecordFlag::IdRepeated) {
            again.record.flags.insert(0, RecordFlag::IdRepeated);
        }
        again
    }

    pub(crate) fn reads_to(&self, reading: &Reading) -> ReadsToUsed {
        match reading.reads_to.or(self.reads_to) {
            Some(reads_to) => ReadsToUsed::Stated(reads_to),
            None if self.on_marks_only => ReadsToUsed::OnMarksOnly,
            None => ReadsToUsed::Assumed,
        }
    }

    /// Compares from now on with the limits that a survey names, and as surely as it asks for.
    pub fn judge_by(&mut self, judge: &Judge) {
        self.settings = Rc::new(judgement::JudgementSettings::of(judge));
    }

    /// Takes everything as done from now on that is a matter of a record, for readings that nobody has taken yet: what the
    /// registry calls [of the record](crate::outcome::InSearch::OfTheRecord) is not raised.
    pub fn plan(&mut self) {
        self.planning = true;
    }

    pub(crate) fn is_planning(&self) -> bool {
        self.planning
    }

    /// Takes from now on what a survey says is kept elsewhere in place of what it does not say.
    pub fn rest_on(&mut self, assured: &[Assured]) {
        self.assured = assured.iter().cloned().map(Rc::new).collect();
    }

    pub(crate) fn assured(&self) -> &[Rc<Assured>] {
        &self.assured
    }

    pub(crate) fn settings(&self) -> Rc<judgement::JudgementSettings> {
        Rc::clone(&self.settings)
    }

    /// Results with what stands once for all of them.
    pub fn frame(&self, results: Vec<ReadingResult>) -> Evaluation {
        let catalog = self.book.catalog().map(|(_, catalog)| catalog);
        Evaluation {
            schema_version: SCHEMA_VERSION,
            software: SOFTWARE.to_owned(),
            survey: None,
            title: None,
            by: None,
            inputs: Value::Null,
            catalog: catalog.and_then(|catalog| catalog.catalog.clone()),
            catalog_revision: self.catalog_revision(),
            facts: self.facts.borrow().clone(),
            results,
            judged_by: self.settings.judged_by(),
            together: Vec::new(),
            cautions: cautions(),
        }
    }

    /// Results of a survey, with what stands once for all of them and what the survey itself says once.
    pub fn frame_of(&self, survey: &SurveyEntry, results: Vec<ReadingResult>) -> Evaluation {
        let says_nothing = *survey == SurveyEntry::default();
        Evaluation {
            survey: survey.survey.clone(),
            title: survey.title.clone(),
            by: survey.by.clone(),
            inputs: if says_nothing {
                Value::Null
            } else {
                facts::survey_inputs(survey)
            },
            ..self.frame(results)
        }
    }

    /// Puts together what readings were worked out to, in the order of the results: blanks, repeats, and what the survey says
    /// under `together`. A reading that could not be read is none. The survey's own list of readings is not looked at.
    pub fn put_together(
        &self,
        survey: &SurveyEntry,
        readings: &[Option<Reading>],
        mut evaluated: Vec<Evaluated<'b>>,
    ) -> Evaluation {
        let taken = GroupInputs {
            readings: readings.iter().map(Option::as_ref).collect(),
            conditions: &survey.conditions,
            by: None,
            rows: &survey.together,
            faults: BTreeMap::new(),
        };
        let together = together::all(self, &taken, &mut evaluated);
        let results = evaluated.into_iter().map(Evaluated::result).collect();
        Evaluation {
            together,
            ..self.frame_of(survey, results)
        }
    }

    /// True if there were more readings than names are remembered: see [`crate::repeated_ids::REMEMBERED`].
    pub fn has_forgotten_ids(&self) -> bool {
        self.ids.has_forgotten()
    }

    /// The catalog that is evaluated with.
    pub fn book(&self) -> &'b Book {
        self.book
    }

    /// The revision of the catalog that is evaluated with, as it is written.
    pub fn catalog_revision(&self) -> Option<String> {
        let (_, catalog) = self.book.catalog()?;
        catalog
            .revision
            .as_ref()
            .map(|revision| revision.text().to_owned())
    }

    /// Evaluates the reading with this index, counted from 0. `survey` are the conditions that stand once for the survey.
    pub fn reading(
        &mut self,
        index: usize,
        reading: &Reading,
        survey: &Conditions,
        by: Option<&str>,
    ) -> ReadingResult {
        self.evaluated(index, reading, (survey, by)).result()
    }

    /// Prepares a reading, and works with it as often as is wanted: for trying numbers out, where a result with its words is
    /// not needed.
    ///
    /// # Errors
    ///
    /// The [`Refusal`]: there is no such sheet, or what the reading says of its tube, pump, stain or air is refused.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_catalog::Book;
    /// use stainbook_evaluation::{Evaluator, Options};
    ///
    /// let (book, _) = Book::demo();
    /// let (_, survey) = book.surveys().next().unwrap();
    /// let mut evaluator = Evaluator::new(&book, Options::default());
    /// let reading = &survey.readings[0];
    /// let worked_out = evaluator
    ///     .with_prepared(reading, &survey.conditions, |prepared| prepared.concentration())
    ///     .unwrap();
    /// let result = evaluator.reading(0, reading, &survey.conditions, None);
    /// assert_eq!(worked_out.map(|it| it.value), result.concentration.map(|it| it.value));
    /// ```
    pub fn with_prepared<T>(
        &self,
        reading: &Reading,
        survey: &Conditions,
        work: impl FnOnce(&PreparedReading<'_>) -> T,
    ) -> Result<T, Refusal> {
        let conditions = air::merged(survey, &reading.conditions);
        let (_, done) =
            one_reading::with_prepared(self, (reading, survey, &conditions), |prepared, _| {
                work(prepared)
            });
        done.map_err(|why| words::not_prepared::refusal(&why))
    }

    /// A reading that is refused before anything was worked out.
    pub fn refused(&self, id: String, refusal: Refusal) -> Evaluated<'b> {
        let mut refused = Evaluated::refused(id, refusal);
        refused.record.catalog_revision = self.catalog_revision();
        refused
    }

    /// A reading worked out as facts, before its words are made. `stated` are the conditions that stand once for the survey,
    /// and who read.
    pub fn evaluated(
        &mut self,
        index: usize,
        reading: &Reading,
        stated: (&Conditions, Option<&str>),
    ) -> Evaluated<'b> {
        let id = reading
            .id
            .clone()
            .unwrap_or_else(|| format!("#{}", index + 1));
        let repeated = self.ids.seen(&id);
        let drawing = self.options.monte_carlo;
        let mut evaluated = evaluate_one(self, id, reading, stated, drawing.as_ref());
        if repeated {
            evaluated.record.flags.insert(0, RecordFlag::IdRepeated);
        }
        evaluated
    }

    /// Settings of the Monte Carlo method, if it was asked for.
    pub(crate) fn monte_carlo(&self) -> Option<MonteCarloOptions<'b>> {
        self.options.monte_carlo
    }

    /// The sheet that a reading belongs to.
    pub(crate) fn choose(
        &self,
        tube: &str,
        leaflet: Option<&str>,
        lot: Option<&str>,
    ) -> Result<ChosenSheet<'b>, NotPrepared> {
        let key = format!(
            "{tube}\n{}\n{}",
            leaflet.unwrap_or_default(),
            lot.unwrap_or_default()
        );
        let book = self.book;
        let mut chosen = self.chosen.borrow_mut();
        keep_bounded(&mut chosen);
        chosen
            .entry(key)
            .or_insert_with(|| sheet_choice::choose(book, tube, leaflet, lot))
            .clone()
    }

    /// The sheet made ready, and whether it has errors and is used nevertheless.
    ///
    /// # Errors
    ///
    /// The [`Refusal`]: it cannot be computed with, or has errors that are not to be passed over.
    pub fn sheet(&self, id: &str) -> Result<(Rc<CompiledSheet<'b>>, Faults), Refusal> {
        // There is no reading that the field could lie in.
        self.compiled(id).map_err(|why| Refusal {
            field: None,
            ..words::not_prepared::refusal(&why)
        })
    }

    pub(crate) fn compiled(
        &self,
        id: &str,
    ) -> Result<(Rc<CompiledSheet<'b>>, Faults), NotPrepared> {
        let errors = self
            .options
            .sheet_errors
            .map(|errors| errors(id))
            .unwrap_or_default();
        let unsound = self
            .book
            .find(EntryKind::Tube, id)
            .is_some_and(|entry| !entry.sound);
        let faulty = !errors.is_empty() || unsound;
        if faulty && self.options.faulty_sheets == FaultySheets::Refuse {
            return Err(NotPrepared::SheetHasErrors {
                sheet: id.to_owned(),
                errors,
            });
        }
        let book = self.book;
        let sheet = self
            .sheets
            .borrow_mut()
            .entry(id.to_owned())
            .or_insert_with(|| CompiledSheet::new(book, id).map(Rc::new))
            .clone()?;
        let faults = if faulty {
            Faults::Overridden
        } else {
            Faults::None
        };
        Ok((sheet, faults))
    }

    pub(crate) fn digest(
        &self,
        sheet: &CompiledSheet<'b>,
        gases: &[String],
        pump: Option<&str>,
        stand_ins: &StandIns,
    ) -> Option<String> {
        let boxes: Vec<String> = stand_ins.all().map(BoxInStock::key).collect();
        let key = format!(
            "{}\n{}\n{}\n{}",
            sheet.tube.id,
            gases.join(" "),
            pump.unwrap_or_default(),
            boxes.join(" ")
        );
        let mut digests = self.digests.borrow_mut();
        if let Some(known) = digests.get(&key) {
            return known.clone();
        }
        keep_bounded(&mut digests);
        let facts = Provenance::gather(
            self.book,
            &sheet.tube.id,
            sheet.entry,
            gases,
            pump,
            stand_ins,
        );
        let digest = facts.as_ref().map(|facts| facts.digest.clone());
        if let Some(facts) = facts {
            self.facts.borrow_mut().insert(facts.digest, facts.embedded);
        }
        digests.insert(key, digest.clone());
        digest
    }

    /// The facts of results so far that were not taken before, by digest: what each line of a long record adds to those
    /// before it.
    pub fn take_facts(&mut self) -> BTreeMap<String, Value> {
        self.facts.take()
    }
}

/// Number of answers kept for lots, gases and pumps that come back. A table of a million rows may name a million lots.
const KEPT: usize = 4096;

fn keep_bounded<V>(kept: &mut BTreeMap<String, V>) {
    if KEPT <= kept.len() {
        kept.clear();
    }
}

/// Use of a sheet with errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Faults {
    /// It has none.
    None,
    /// It has, and the caller wants the result nevertheless.
    Overridden,
}
