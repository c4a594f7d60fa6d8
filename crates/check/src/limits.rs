//! Limit values with their authority and the conditions of their mg/m³: what the rules about limits have in common.

use stainbook_catalog::EntryKind;
use stainbook_catalog::written::{Limit, LimitKind, SourceEntry, SubstanceEntry};
use stainbook_core::{Concentration, Conditions, Formula, MolarVolume, Written};

use stainbook_document::place::{Path, Place};

use crate::Context;
use crate::printed::Interval;

/// The temperature and pressure at which a source states mg/m³.
pub(crate) fn stated_at(source: &SourceEntry) -> Option<Conditions> {
    let at = source.mass_stated_at.as_ref()?;
    Some(Conditions::new(
        at.temperature.as_ref()?.value(),
        at.pressure.as_ref()?.value(),
    ))
}

/// The source of a limit, if it is known.
pub(crate) fn source_of<'a>(limit: &Limit, context: &Context<'a>) -> Option<&'a SourceEntry> {
    context.book.source(limit.source.as_deref()?)
}

/// The place of a source's entry.
pub(crate) fn place_of_source(name: &str, context: &Context<'_>) -> Option<Place> {
    let mut entries = context.book.entries().iter();
    entries
        .find(|entry| entry.kind == EntryKind::Source && entry.id() == name)
        .map(|entry| Place::value(entry.file, Path::root()))
}

/// The values of a limit, the binding one first, each with the key that it stands under.
pub(crate) fn values(
    limit: &Limit,
) -> impl Iterator<Item = (&'static str, &Written<Concentration>)> {
    let binding = limit.at_most.as_ref().map(|value| ("at_most", &**value));
    let printed = limit
        .also_printed
        .as_ref()
        .map(|value| ("also_printed", &**value));
    binding.into_iter().chain(printed)
}

/// The kind of limit in words.
pub(crate) fn kind_words(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::EightHours => "8-hour limit",
        LimitKind::ShortTerm => "short-term limit",
        LimitKind::Ceiling => "ceiling",
        LimitKind::Danger => "danger level",
    }
}

/// A limit as a volume fraction in ppm, with what its digits leave open: one in mg/m³ is brought there at its source's own
/// temperature and pressure, and nothing comes of it where the source states none.
pub(crate) fn as_volume_fraction(
    written: &Written<Concentration>,
    limit: &Limit,
    substance: &SubstanceEntry,
    context: &Context<'_>,
) -> Option<Interval> {
    let part = written.half_step() / written.number().abs().max(f64::MIN_POSITIVE);
    let ppm = match written.value() {
        Concentration::VolumeFraction(fraction) => fraction.ppm(),
        Concentration::MassConcentration(mass) => {
            let formula = Formula::parse(substance.formula.as_deref()?).ok()?;
            let conditions = stated_at(source_of(limit, context)?)?;
            let molar_volume = MolarVolume::of_ideal_gas(conditions).l_per_mol();
            mass.mg_per_m3() * molar_volume / formula.molar_mass().g_per_mol()
        }
    };
    Some(Interval::around(ppm, ppm * part))
}
