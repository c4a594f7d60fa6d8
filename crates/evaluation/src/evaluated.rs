//! One reading worked out, as facts: figures, steps, sources of uncertainty, flags and verdicts. No text is made here; the
//! [`words`](crate::words) of a result come after, once what several readings say together is known.

use std::rc::Rc;

use stainbook_catalog::model::{MeasuringRange, ResponseFactor, Scale, Substance, Tube};
use stainbook_core::Unit;

use crate::air::AirAtPlace;
use crate::budget::{Contribution, Relative, Source};
use crate::budget_words::{self, Origins};
use crate::chain::StepDone;
use crate::compiled_sheet::CompiledSheet;
use crate::interferents::Interferents;
use crate::judgement::{Judgement, JudgementSettings};
use crate::one_reading::IntervalEnds;
use crate::other_unit::OtherUnit;
use crate::outcome::{Flag, MayRead, Refusal, Statement};
use crate::pump_and_lot::PumpUsed;
use crate::result::{ReadingResult, SheetUsed, Status, StepBefore, SubstanceUsed};
use crate::stain::DrawnRange;
use crate::tube_trials::drawn_ends::DrawnEnds;
use crate::words;
use stainbook_uncertainty::monte_carlo;

pub(crate) mod not_prepared;
pub(crate) mod raised;
pub(crate) mod record_flag;

use not_prepared::NotPrepared;
use raised::{NoConcentration, NumericFlag, NumericStatement};
use record_flag::RecordFlag;

/// One reading worked out, before its words are made.
#[derive(Clone, Debug)]
pub struct Evaluated<'b> {
    /// Its name in the survey.
    pub(crate) id: String,
    /// Record of the reading, settled before a number was worked out.
    pub(crate) record: Record,
    /// Equipment that it was worked out with; nothing if it was refused before.
    pub(crate) equipment: Option<Equipment<'b>>,
    /// The numbers, as far as they go.
    pub(crate) numbers: Numbers,
    /// The reason why there is no result.
    pub(crate) refused: Option<NoResult>,
    /// The place of the field at fault.
    pub(crate) refused_at: Option<String>,
    /// Doubts that other readings of the survey raise.
    pub(crate) raised_by_others: Vec<Flag>,
    /// Statements that follow from other readings of the survey.
    pub(crate) stated_by_others: Vec<Statement>,
}

/// Record beside the numbers of a reading: its typed fields, and its preparation.
#[derive(Clone, Debug, Default)]
pub(crate) struct Record {
    /// Time of the reading, as typed.
    pub(crate) at: Option<String>,
    /// Place.
    pub(crate) place: Option<String>,
    /// Typed fields.
    pub(crate) inputs: serde_json::Value,
    /// The sheet, and why that one.
    pub(crate) sheet: Option<SheetUsed>,
    /// The gas.
    pub(crate) substance: Option<SubstanceUsed>,
    /// The steps before the air was drawn.
    pub(crate) before_use: Vec<StepBefore>,
    /// Doubts about record, preparation and air.
    pub(crate) flags: Vec<RecordFlag>,
    /// The survey's station pressure does not hold here.
    pub(crate) survey_pressure_not_used: bool,
    /// The revision of the catalog.
    pub(crate) catalog_revision: Option<String>,
    /// The digest of everything that the result depends on.
    pub(crate) sheet_digest: Option<String>,
}

/// The reason why there is no result.
#[derive(Clone, Debug)]
pub(crate) enum NoResult {
    /// The reading was refused before a number was worked out.
    NotPrepared(NotPrepared),
    /// The numbers lead to no concentration.
    NoConcentration(NoConcentration),
    /// The survey itself is at fault there.
    Faulty(Refusal),
}

/// Equipment of a reading.
#[derive(Clone, Debug)]
pub(crate) struct Equipment<'b> {
    pub(crate) sheet: Rc<CompiledSheet<'b>>,
    /// The stroke count, by its place among those of the tube.
    range: usize,
    /// Factor of the strokes that were drawn over that count, where more were drawn without a stain.
    more_strokes: f64,
    /// The row of another gas than the scale's.
    other: Option<usize>,
    pub(crate) place: AirAtPlace,
    pub(crate) pump: PumpUsed,
    pub(crate) settings: Rc<JudgementSettings>,
}

impl<'b> Equipment<'b> {
    /// From the rows of the sheet that a reading belongs to.
    pub(crate) fn new(
        sheet: &Rc<CompiledSheet<'b>>,
        (drawn, other): (&DrawnRange<'_>, Option<&ResponseFactor>),
        place: AirAtPlace,
        pump: PumpUsed,
        settings: Rc<JudgementSettings>,
    ) -> Self {
        let range = drawn.range;
        Self {
            more_strokes: drawn.more_strokes.map_or(1.0, |more| more / range.strokes),
            range: sheet
                .tube
                .ranges
                .iter()
                .position(|one| std::ptr::eq(one, range))
                .unwrap_or_default(),
            other: other.map(|other| other.row),
            sheet: Rc::clone(sheet),
            place,
            pump,
            settings,
        }
    }

    pub(crate) fn tube(&self) -> &Tube {
        &self.sheet.tube
    }

    pub(crate) fn range(&self) -> Option<&MeasuringRange> {
        self.tube().ranges.get(self.range)
    }

    /// Time in which the air was drawn, in seconds.
    pub(crate) fn sampling_seconds(&self) -> Option<f64> {
        Some(self.range()?.sampling_seconds * self.more_strokes)
    }

    pub(crate) fn scale(&self) -> Option<&Scale> {
        self.tube().scales.get(self.range()?.scale)
    }

    /// The row of another gas than the scale's, if the reading is about one.
    pub(crate) fn other(&self) -> Option<&ResponseFactor> {
        let row = self.other?;
        self.tube()
            .response_factors
            .iter()
            .find(|other| other.row == row)
    }

    /// The gas that the result is about.
    pub(crate) fn substance(&self) -> &Substance {
        self.other().map_or_else(
            || self.tube().measured.substance(),
            |other| &other.substance,
        )
    }
}

/// The numbers of a reading, as far as they go.
#[derive(Clone, Debug, Default)]
pub(crate) struct Numbers {
    /// The share of interferents that was taken off, if any was.
    pub(crate) interference: Option<InterferentShare>,
    /// The steps of the chain.
    pub(crate) steps: Vec<StepDone>,
    /// Doubts, in the order of the work.
    pub(crate) flags: Vec<NumericFlag>,
    /// Statements, in the order of the work.
    pub(crate) statements: Vec<NumericStatement>,
    /// The concentration that they lead to.
    pub(crate) concentration: Option<WorkedOut>,
    /// Reason for which they lead to nothing.
    pub(crate) none: Option<NoConcentration>,
    /// Effects of interferents.
    pub(crate) interferents: Interferents,
    /// True if a reading of which nobody says how finely it was read lies on a mark, false if it lies between.
    pub(crate) on_mark: Option<bool>,
}

impl Numbers {
    /// Numbers that lead to nothing.
    pub(crate) fn none(why: NoConcentration) -> Self {
        Self {
            none: Some(why),
            ..Self::default()
        }
    }
}

/// A share of interferents taken off the reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct InterferentShare {
    /// The reading on the scale.
    pub(crate) reading: f64,
    /// Amount taken off; negative where it was put back.
    pub(crate) share: f64,
}

/// A concentration or a bound, with everything that is known of it.
#[derive(Clone, Debug)]
pub(crate) struct WorkedOut {
    /// Measured or a bound.
    pub(crate) status: Status,
    /// The reading on the scale, or the mark that bounds it.
    pub(crate) reading: f64,
    /// The concentration or bound, in the unit of the scale.
    pub(crate) value: f64,
    /// The unit of the scale.
    pub(crate) unit: &'static Unit,
    /// The same in the other unit, and as the volume fraction that limits are compared with.
    pub(crate) converted: OtherUnit,
    /// The relative standard uncertainty; for a bound that of a reading on it.
    pub(crate) relative: Relative,
    /// The ends of the interval, or what a bound reaches to its open side.
    pub(crate) ends: IntervalEnds,
    /// The concentrations of both ends of the piece of scale on which the stain ends; of a bound the value.
    pub(crate) cell_ends: [f64; 2],
    /// The contributions to it.
    pub(crate) contributions: Vec<Contribution>,
    /// Origins of their figures.
    pub(crate) origins: Origins,
    /// The model of each end for draws, where they were asked for.
    pub(crate) drawn_ends: Option<DrawnEnds>,
    /// The draws, if any were made.
    pub(crate) drawn: Option<DrawnResult>,
    /// The comparison with each limit.
    pub(crate) judgements: Vec<Judgement>,
}

impl WorkedOut {
    /// The standard uncertainty, in the unit of the scale.
    pub(crate) fn standard(&self) -> f64 {
        self.value * self.relative.standard
    }

    /// The standard uncertainty times the coverage factor.
    pub(crate) fn expanded(&self) -> f64 {
        self.standard() * self.relative.coverage_factor()
    }

    /// The interval about the value; without an upper end that is at infinity.
    pub(crate) fn interval(&self) -> [f64; 2] {
        [self.ends.lowest, self.ends.highest.unwrap_or(f64::INFINITY)]
    }

    /// A source of its uncertainty in words.
    pub(crate) fn source_words(&self, source: Source, others: &Interferents) -> String {
        budget_words::source(source, &self.origins, &others.parts)
    }
}

/// Result of the Monte Carlo method, beside the law of propagation.
#[derive(Clone, Debug)]
pub(crate) struct DrawnResult {
    pub(crate) outcome: monte_carlo::MonteCarloResult,
    pub(crate) settings: monte_carlo::Settings,
    pub(crate) comparison: monte_carlo::Comparison,
}

impl Evaluated<'_> {
    /// True if it lies on a mark, and false if it lies between, of a reading of which nobody says how finely it was read.
    pub fn lies_on_mark(&self) -> Option<bool> {
        self.numbers.on_mark
    }

    /// The reading's name in the survey.
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The result, in words.
    pub fn result(self) -> ReadingResult {
        words::result(self)
    }

    /// Says where the field of a refusal stands, if the reading was refused.
    pub fn place_refusal(&mut self, place: impl FnOnce(&Refusal) -> String) {
        self.refused_at = self.refusal().as_ref().map(place);
    }

    /// The refusal in words, if there is no result.
    pub(crate) fn refusal(&self) -> Option<Refusal> {
        words::refusal(self, self.refused_at.as_deref())
    }

    /// A reading that is refused before anything was worked out.
    pub(crate) fn refused(id: String, refusal: Refusal) -> Self {
        Self {
            refused: Some(NoResult::Faulty(refusal)),
            ..Self::nothing_yet(id)
        }
    }

    /// A reading of which nothing is known yet.
    pub(crate) fn nothing_yet(id: String) -> Self {
        Self {
            id,
            record: Record::default(),
            equipment: None,
            numbers: Numbers::default(),
            refused: None,
            refused_at: None,
            raised_by_others: Vec::new(),
            stated_by_others: Vec::new(),
        }
    }

    /// The concentration or bound; nothing if the reading was refused.
    pub(crate) fn worked_out(&self) -> Option<&WorkedOut> {
        self.numbers
            .concentration
            .as_ref()
            .filter(|_| self.refused.is_none())
    }

    /// Measured, a bound, or refused.
    pub(crate) fn status(&self) -> Status {
        self.worked_out().map_or(Status::Refused, |out| out.status)
    }

    /// The volume fraction in ppm that limits are compared with, where it can be given.
    pub(crate) fn ppm(&self) -> Option<f64> {
        self.worked_out()?.converted.ppm
    }

    /// The short name of the sheet.
    pub(crate) fn sheet_id(&self) -> Option<&str> {
        self.record.sheet.as_ref().map(|sheet| sheet.id.as_str())
    }

    /// Takes back what was worked out, and says why there is none.
    pub(crate) fn refuse(&mut self, refusal: Refusal) {
        self.refused = Some(NoResult::Faulty(refusal));
    }

    /// Adds a doubt that another reading raises, and withdraws the verdicts that do not stand on it.
    pub(crate) fn doubt(&mut self, flag: Flag) {
        let may_read = flag.code.may_read();
        for judgement in self.judgements() {
            judgement.withdraw_later(may_read);
        }
        self.raised_by_others.push(flag);
    }

    /// Compares with no limit after all.
    pub(crate) fn compare_with_none(&mut self) {
        if let Some(out) = &mut self.numbers.concentration {
            out.judgements.clear();
        }
    }

    fn judgements(&mut self) -> impl Iterator<Item = &mut Judgement> {
        self.numbers
            .concentration
            .iter_mut()
            .flat_map(|out| &mut out.judgements)
    }
}

/// Sides to which doubts leave no verdict standing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Doubtful {
    /// It may have read too low.
    pub(crate) low: bool,
    /// It may have read too high.
    pub(crate) high: bool,
}

impl Doubtful {
    /// Of several doubts together.
    pub(crate) fn of(doubts: impl Iterator<Item = MayRead>) -> Self {
        doubts.fold(Self::default(), |known, may_read| Self {
            low: known.low || may_read.too_low(),
            high: known.high || may_read.too_high(),
        })
    }

    /// These and others.
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            low: self.low || other.low,
            high: self.high || other.high,
        }
    }
}
