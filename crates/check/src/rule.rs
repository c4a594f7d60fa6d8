//! Rules: one declaration each, with its document.

use stainbook_catalog::EntryKind;
use stainbook_catalog::written::{
    CatalogEntry, GroupEntry, PlanEntry, PumpEntry, PumpKindEntry, SourceEntry, SubstanceEntry,
    SurveyEntry,
};
use stainbook_document::finding::Level;

use crate::{Context, SheetView, Sink};

/// A rule, declared once.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Its name, kebab-case, named after the defect.
    pub name: &'static str,
    /// Its level unless a catalog sets another.
    pub level: Level,
    /// The version that brought it.
    pub since: &'static str,
    /// One line on what it finds.
    pub summary: &'static str,
    /// The part of a catalog that it is about.
    pub family: Family,
    /// Its document, in Markdown.
    pub docs: &'static str,
    /// The check.
    pub check: Check,
}

/// The part of a catalog that a rule is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// Text, syntax, shape and units of a file.
    Text,
    /// Names, and references from one entry to another.
    Identity,
    /// Substances and their limits.
    Substance,
    /// Marks, strokes, multipliers and ranges.
    Scale,
    /// Temperature, humidity and pressure.
    Correction,
    /// Repeatability, accuracy and conditions of use.
    Performance,
    /// Other gases.
    Interferent,
    /// Entry and verification: by whom, and when.
    Provenance,
    /// Pumps and surveys.
    Field,
    /// Accepted findings and changed levels.
    Exception,
}

impl Family {
    /// Its name as a heading.
    pub fn name(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Identity => "identity",
            Self::Substance => "substance",
            Self::Scale => "scale and ranges",
            Self::Correction => "corrections",
            Self::Performance => "repeatability and conditions",
            Self::Interferent => "other gases",
            Self::Provenance => "provenance",
            Self::Field => "pump and survey",
            Self::Exception => "exceptions",
        }
    }
}

/// Check of a rule: of every entry of one kind, or of every entry.
///
/// Each function sees what could be understood and has to be silent about the rest, which the reader has blamed.
#[derive(Clone, Copy, Debug)]
pub enum Check {
    /// Reading the file reports it.
    Reader,
    /// Applying levels and exceptions reports it.
    Exceptions,
    /// Evaluating the sheet reports it: the crate that turns readings into results, which this one knows nothing of.
    Evaluation,
    /// At every entry of these kinds.
    Any(&'static [EntryKind], fn(&Context<'_>, &mut Sink<'_>)),
    /// At every sheet.
    Tube(fn(&SheetView<'_>, &Context<'_>, &mut Sink<'_>)),
    /// At every substance.
    Substance(fn(&SubstanceEntry, &Context<'_>, &mut Sink<'_>)),
    /// At every group.
    Group(fn(&GroupEntry, &Context<'_>, &mut Sink<'_>)),
    /// At every source.
    Source(fn(&SourceEntry, &Context<'_>, &mut Sink<'_>)),
    /// At every kind of pump.
    PumpKind(fn(&PumpKindEntry, &Context<'_>, &mut Sink<'_>)),
    /// At every pump.
    Pump(fn(&PumpEntry, &Context<'_>, &mut Sink<'_>)),
    /// At every plan.
    Plan(fn(&PlanEntry, &Context<'_>, &mut Sink<'_>)),
    /// At every survey.
    Survey(fn(&SurveyEntry, &Context<'_>, &mut Sink<'_>)),
    /// At the root file.
    Catalog(fn(&CatalogEntry, &Context<'_>, &mut Sink<'_>)),
}
