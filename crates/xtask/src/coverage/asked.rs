//! Answers of the program to each reading: it is asked once, with a survey, as any program that embeds it asks.

use std::fmt::Write as _;

use stainbook::reading::{
    Evaluation, MonteCarloOptions, Options, ReadingResult, Verdict, evaluate,
};
use stainbook::uncertainty::monte_carlo::{Draws, Settings, one_after_another};
use stainbook::{Book, EntryKind, Level, SourceFile};
use stainbook_tests::honest;

use super::reader::as_written;
use super::scale::TriedScale;

/// The lab of the limits that are tried, beside those that are shipped.
const LAB: &str = "coverage";
/// The seed of the draws.
const SEED: u64 = 11;

/// Readings that the program is asked about together.
#[derive(Clone, Debug)]
pub(super) struct AskedReadings {
    /// Values on the scale, rising.
    pub(super) readings: Vec<f64>,
    /// Fineness of reading, as the person states it.
    pub(super) reads_to: &'static str,
    /// The certainty that a verdict has to have, percent.
    pub(super) certainty: u32,
}

/// Answer to one reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Answer {
    /// The concentrations that it says the air may have had, in the unit of the scale; nothing where it refuses.
    pub(super) interval: Option<[f64; 2]>,
    /// For each limit the verdict.
    pub(super) verdicts: Vec<Option<Verdict>>,
    /// For each limit the printed probability of being above.
    pub(super) above: Vec<Option<f64>>,
}

/// The limits of a scale, and the answers to each question.
#[derive(Clone, Debug)]
pub(super) struct Answers {
    /// The limits, as concentrations in the unit of the scale, with their names.
    pub(super) limits: Vec<(f64, String)>,
    /// For each question, in the order asked: stain before the first mark, each reading, stain behind the last mark.
    pub(super) of: Vec<Vec<Answer>>,
}

/// Files of a catalog whose tubes are tried.
pub(super) struct Shelf {
    files: Vec<SourceFile<'static>>,
}

impl Shelf {
    /// The demo without its surveys. A tube for a group is tried as one for the gas that stands for the group, or there would
    /// be no limit to hold it against.
    pub(super) fn demo() -> Self {
        let files = stainbook::catalog::demo_files();
        Self::of(files.filter(|file| !file.path.contains(".survey.")))
    }

    /// Made-up sheets.
    pub(super) fn generated(seed: u64, sheets: usize) -> Self {
        let files = honest::catalog(seed, sheets).into_iter();
        Self::of(files.map(|file| SourceFile::new(file.path, file.text)))
    }

    fn of(files: impl Iterator<Item = SourceFile<'static>>) -> Self {
        let files = files.map(|file| {
            let text = String::from_utf8_lossy(&file.bytes).into_owned();
            let group = text
                .find("measures: {group: ")
                .zip(text.find(", expressed_as: "));
            let text = match group {
                Some((from, to)) => {
                    let gas = text.get(to..).unwrap_or_default();
                    let gas = gas.replacen(", expressed_as: ", "measures: {substance: ", 1);
                    format!("{}{gas}", text.get(..from).unwrap_or_default())
                }
                None => text,
            };
            SourceFile::new(file.path, text)
        });
        Self {
            files: files.collect(),
        }
    }

    /// Every scale of every sheet with every stroke count.
    ///
    /// # Errors
    ///
    /// A sheet that is not followed here.
    pub(super) fn scales(&self) -> Result<Vec<TriedScale>, String> {
        let (book, _) = Book::read(self.files.iter().cloned());
        let mut scales = Vec::new();
        for (entry, tube) in book.tubes() {
            scales.extend(TriedScale::of_sheet(&book, entry.id(), tube)?);
        }
        Ok(scales)
    }

    /// Asks about a scale. `limits` are concentrations in its unit; the gas's shipped limits are held against as well.
    /// With `draws`, intervals and verdicts are those by so many draws.
    ///
    /// # Errors
    ///
    /// The program does not take what is asked.
    pub(super) fn ask(
        &self,
        scale: &TriedScale,
        limits: &[f64],
        questions: &[AskedReadings],
        draws: Option<u64>,
    ) -> Result<Answers, String> {
        let mut files: Vec<SourceFile<'static>> = self
            .files
            .iter()
            .filter(|file| {
                let kind = EntryKind::of_file(&file.path).map(|(kind, _)| kind);
                kind != Some(EntryKind::Tube)
                    || file.path.ends_with(&format!("{}.tube.yaml", scale.sheet))
            })
            .cloned()
            .collect();
        let (book, _) = Book::read(files.iter().cloned());
        files.extend(own_files(&book, scale, limits)?);
        for (index, question) in questions.iter().enumerate() {
            let id = format!("{LAB}-{index}");
            files.push(SourceFile::new(
                format!("{id}.survey.yaml"),
                survey(&book, &id, scale, question)?,
            ));
        }
        let (book, findings) = Book::read(files);
        if let Some(finding) = findings
            .iter()
            .find(|finding| finding.level() == Level::Error)
        {
            return Err(format!(
                "{}: {}: {}",
                scale.words(),
                finding.rule(),
                finding.message_text()
            ));
        }
        let settings = draws.map(|draws| Settings::new(Draws::Exactly(draws), SEED));
        let options = Options::default().with_monte_carlo(
            settings.map(|settings| MonteCarloOptions::new(settings, &one_after_another)),
        );
        let mut answers = Answers {
            limits: Vec::new(),
            of: Vec::new(),
        };
        for index in 0..questions.len() {
            let survey = book
                .survey(&format!("{LAB}-{index}"))
                .ok_or("a survey was not read")?;
            let said = evaluate(&book, survey, &options);
            if answers.limits.is_empty() {
                answers.limits = limits_of(&said, scale)?;
            }
            let of = said.results.iter().map(|result| answer(result, scale));
            answers.of.push(of.collect::<Result<_, _>>()?);
        }
        Ok(answers)
    }
}

/// A pump that is in order, and limits of the lab's own.
fn own_files(
    book: &Book,
    scale: &TriedScale,
    limits: &[f64],
) -> Result<Vec<SourceFile<'static>>, String> {
    let tube = book.tube(&scale.sheet).ok_or("no sheet")?;
    let kind = tube.pump_kinds().first().ok_or("no kind of pump")?;
    let stroke = tube.stroke().ok_or("no stroke")?.text();
    let pump = format!(
        "pump: {LAB}-pump\nkind: {kind}\nserial: C 1\nin_use_since: 2024-01-08\nvolume_checks:\n  - {{date: 2026-02-02, volume: {stroke}, uncertainty: 0.1 mL, by: KL}}\n"
    );
    let source = format!(
        "source: {LAB}-limits\ntitle: Limits along a scale\npublisher: tests\nedition: first\nauthority: {LAB}\nlicence: own work\nobtained: computed\n"
    );
    let gas = scale.substance();
    let mut substance = format!("substance: {gas}\nadds_to: stainbook-reference\nlimits:\n");
    for limit in limits {
        let _ = writeln!(
            substance,
            "  - {{kind: ceiling, at_most: {} ppm, source: {LAB}-limits}}",
            as_written(limit * scale.ppm)
        );
    }
    Ok([
        (format!("{LAB}-pump.pump.yaml"), pump),
        (format!("{LAB}-limits.source.yaml"), source),
        (format!("{gas}.substance.yaml"), substance),
    ]
    .map(|(path, text)| SourceFile::new(path, text))
    .into())
}

/// A survey in which everything was done as it should be, at the conditions for which the scale is right as printed.
fn survey(
    book: &Book,
    id: &str,
    scale: &TriedScale,
    question: &AskedReadings,
) -> Result<String, String> {
    let tube = book.tube(&scale.sheet).ok_or("no sheet")?;
    let lot = ["24-150", "24-050"]
        .into_iter()
        .find(|lot| tube.lots().is_none_or(|lots| lots.contains_as_spelt(lot)))
        .ok_or_else(|| format!("{}: no lot that fits", scale.sheet))?;
    let mut text = format!(
        "survey: {id}\ntitle: Every reading\nby: KL\nconditions: {{{}}}\njudge: {{certainty: {} %}}\nreads_to: {}\nreadings:\n",
        scale.conditions, question.certainty, question.reads_to
    );
    let at = question
        .readings
        .iter()
        .map(|value| format!("at: {value} {}", scale.unit));
    let seen = std::iter::once("seen: below first mark".to_owned())
        .chain(at)
        .chain(std::iter::once("seen: beyond last mark".to_owned()));
    let named = scale
        .name
        .as_ref()
        .map(|name| format!("scale: {name}, "))
        .unwrap_or_default();
    let pre_tube = tube
        .pre_tube()
        .map_or("", |_| "pre_tube: {lot: P-31, expires: 2027-12}, ");
    for (index, seen) in seen.enumerate() {
        let _ = writeln!(
            text,
            "  - {{id: r{index}, at: \"2026-03-02T07:40+00:00\", place: bench, tube: {}, lot: {lot}, expires: 2027-12, pump: {LAB}-pump, leak_test: held, brought_to_ambient: true, {pre_tube}{named}strokes: {}, reading: {{{seen}}}}}",
            scale.sheet, scale.strokes
        );
    }
    Ok(text)
}

/// The limits that a survey was held against, in the unit of the scale.
fn limits_of(said: &Evaluation, scale: &TriedScale) -> Result<Vec<(f64, String)>, String> {
    // A refused reading is held against nothing.
    let given = said
        .results
        .iter()
        .find(|result| !result.against.is_empty());
    let first = given.ok_or_else(|| format!("{}: no result", scale.words()))?;
    let limits = first.against.iter().map(|against| {
        let limit = &against.limit;
        let name = if limit.authority == LAB {
            LAB.to_owned()
        } else {
            format!("{} {}", limit.authority, limit.text)
        };
        let at = limit.as_ppm.filter(|_| against.directly_comparable);
        (at.map_or(f64::NAN, |ppm| ppm / scale.ppm), name)
    });
    Ok(limits.collect())
}

/// The concentrations and verdicts of one result.
fn answer(result: &ReadingResult, scale: &TriedScale) -> Result<Answer, String> {
    let Some(concentration) = &result.concentration else {
        return Ok(Answer::default());
    };
    // Scale and program have to speak of the same air; the saturation pressures of the two are apart by less.
    let apart = result
        .as_ppm
        .map(|ppm| ppm / (concentration.value * scale.ppm) - 1.0);
    if apart.is_none_or(|apart| 2e-4 < apart.abs()) {
        return Err(format!(
            "{}: {concentration:?} is {:?} ppm",
            scale.words(),
            result.as_ppm
        ));
    }
    Ok(Answer {
        interval: interval(result),
        verdicts: result
            .against
            .iter()
            .map(|against| against.verdict)
            .collect(),
        above: result
            .against
            .iter()
            .map(|against| against.probability_above)
            .collect(),
    })
}

/// The concentrations that a result leaves: by the draws where there are any; for a bound, everything up to or down to what it
/// reaches.
fn interval(result: &ReadingResult) -> Option<[f64; 2]> {
    let uncertainty = result
        .uncertainty
        .as_ref()
        .or(result.uncertainty_at_bound.as_ref())?;
    let drawn = uncertainty
        .monte_carlo
        .as_ref()
        .map(|drawn| drawn.interval_symmetric);
    let [low, high] = drawn.unwrap_or(uncertainty.interval);
    Some([low.unwrap_or(0.0), high.unwrap_or(f64::INFINITY)])
}
