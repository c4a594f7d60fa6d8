//! Findings about a file: the rule, the place, the words and the facts.

use std::borrow::Cow;

use crate::offer::{Help, Offer};
use crate::place::Place;

/// Words of a finding: most of them are the same wherever its rule speaks.
pub type Words = Cow<'static, str>;

/// Characters of a value that are shown where a message quotes it in backticks: what is longer is told by its beginning.
pub const LONGEST_QUOTE: usize = 80;
/// The same in notes and in help, which quote our own examples as well: the longest has some 200.
const LONGEST_EXAMPLE: usize = 400;
/// Characters of what stands between two quotes, and of a fact: only a value that nobody typed is longer.
const LONGEST_REST: usize = 2000;
const LONGEST_FACT: usize = 2000;

/// Words in which every value in backticks is cut to [`LONGEST_QUOTE`] characters.
///
/// ```
/// use stainbook_document::finding::shortened;
///
/// assert_eq!(shortened("`5 ppn` is no quantity".into()), "`5 ppn` is no quantity");
/// let long = format!("`{}` is no quantity", "5".repeat(1_000_000));
/// assert_eq!(shortened(long.into()), format!("`{}…` is no quantity", "5".repeat(80)));
/// ```
#[must_use]
pub fn shortened(words: Words) -> Words {
    with_quotes_of(words, LONGEST_QUOTE)
}

fn with_quotes_of(words: Words, longest: usize) -> Words {
    // Nearly all are shorter than the shortest that is cut.
    if words.len() <= LONGEST_QUOTE {
        return words;
    }
    let parts = words.split('`').enumerate().map(|(index, part)| {
        let most = if index % 2 == 1 {
            longest
        } else {
            LONGEST_REST
        };
        cut(part, most)
    });
    let parts: Vec<Cow<'_, str>> = parts.collect();
    if parts.iter().all(|part| matches!(part, Cow::Borrowed(_))) && parts.len() <= MOST_PARTS {
        drop(parts);
        return words;
    }
    let mut shown = parts
        .iter()
        .take(MOST_PARTS)
        .map(AsRef::as_ref)
        .collect::<Vec<&str>>()
        .join("`");
    if MOST_PARTS < parts.len() {
        shown.push('…');
    }
    Words::Owned(shown)
}

/// Pieces between backticks that words are made of at most; those of a long list have some forty.
const MOST_PARTS: usize = 200;

/// The first characters of a text, with dots for the rest.
fn cut(text: &str, most: usize) -> Cow<'_, str> {
    if text.len() <= most {
        return Cow::Borrowed(text);
    }
    match text.char_indices().nth(most) {
        Some((end, _)) => Cow::Owned(format!("{}…", text.get(..end).unwrap_or_default())),
        None => Cow::Borrowed(text),
    }
}

/// Severity of a finding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Worth knowing; nothing has to change.
    Note,
    /// Doubtful: look again.
    Warning,
    /// Wrong, or not to be understood.
    Error,
}

impl Level {
    /// The level as printed: `note`, `warning` or `error`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// Whose fault it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Fault {
    /// The file is to be changed.
    #[default]
    Author,
    /// The schema took what the model refuses: a fault of this software, to be reported.
    Ours,
}

/// A figure that a finding rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// The number, where there is one.
    pub value: Option<f64>,
    /// Its unit; empty for a bare number or words.
    pub unit: Cow<'static, str>,
    /// As it was written, or as it is printed.
    pub text: String,
}

impl Fact {
    /// Words or digits exactly as they stand in the file.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Self {
            value: None,
            unit: Cow::Borrowed(""),
            text: text.into(),
        }
    }

    /// A number with its unit and its printed form.
    #[must_use]
    pub fn number(value: f64, unit: impl Into<Cow<'static, str>>, text: impl Into<String>) -> Self {
        Self {
            value: Some(value),
            unit: unit.into(),
            text: text.into(),
        }
    }
}

/// Safety of a change: made at once, or left to a person.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Safety {
    /// A guess at the meaning, however good: a person decides.
    #[default]
    Suggested,
    /// The file says afterwards what it said before, or what it cannot but have meant.
    Safe,
}

/// A change that would settle a finding: the place's bytes give way to the replacement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// The place that is replaced.
    pub place: Place,
    /// The replacement, byte for byte.
    pub replacement: String,
}

/// One thing to say about a file.
///
/// A finding cannot be made without the place it speaks of.
///
/// # Example
///
/// ```
/// use stainbook_document::finding::{Fact, Finding, ReaderRule};
/// use stainbook_document::help;
/// use stainbook_document::offer::Offer;
/// use stainbook_document::place::{FileId, Path, Place};
///
/// let place = Place::value(FileId(0), Path::root().key("holds").key("water"));
/// let finding = Finding::new(&stainbook_document::rules::DECIMAL_COMMA, place)
///     .message("`0,5 L` has a decimal comma")
///     .fact("written", Fact::text("0,5 L"))
///     .help(help!("write {}", Offer::yaml("0.5 L")));
/// assert_eq!(finding.rule(), "decimal-comma");
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    rule: &'static str,
    level: Level,
    place: Place,
    message: Words,
    label: Option<Words>,
    notes: Vec<Help>,
    help: Option<Help>,
    facts: Vec<(&'static str, Fact)>,
    related: Vec<(Place, String)>,
    fix: Vec<Edit>,
    safety: Safety,
    fault: Fault,
}

impl Finding {
    /// A finding of one of the reader's own rules, at the rule's level.
    #[must_use]
    pub fn new(rule: &ReaderRule, place: Place) -> Self {
        Self::of(rule.name, rule.level, place)
    }

    /// A finding of any rule.
    #[must_use]
    pub fn of(rule: &'static str, level: Level, place: Place) -> Self {
        Self {
            rule,
            level,
            place,
            message: Words::default(),
            label: None,
            notes: Vec::new(),
            help: None,
            facts: Vec::new(),
            related: Vec::new(),
            fix: Vec::new(),
            safety: Safety::Suggested,
            fault: Fault::Author,
        }
    }

    /// The problem, in one sentence without a full stop.
    #[must_use]
    pub fn message(mut self, message: impl Into<Words>) -> Self {
        self.message = shortened(message.into());
        self
    }

    /// The few words at the caret.
    #[must_use]
    pub fn label(mut self, label: impl Into<Words>) -> Self {
        self.label = Some(shortened(label.into()));
        self
    }

    /// Adds a reason why it matters; may be called again.
    #[must_use]
    pub fn note(mut self, note: impl Into<Help>) -> Self {
        let note: Help = note.into();
        self.notes
            .push(note.reworded(|words| with_quotes_of(words, LONGEST_EXAMPLE)));
        self
    }

    /// The remedy; what it offers to write is an [`Offer`], see [`help!`](crate::help).
    #[must_use]
    pub fn help(mut self, help: impl Into<Help>) -> Self {
        let help: Help = help.into();
        self.help = Some(help.reworded(|words| with_quotes_of(words, LONGEST_EXAMPLE)));
        self
    }

    /// A named figure.
    #[must_use]
    pub fn fact(mut self, name: &'static str, fact: Fact) -> Self {
        let text = cut(&fact.text, LONGEST_FACT).into_owned();
        self.facts.push((name, Fact { text, ..fact }));
        self
    }

    /// Another place that has to do with it, and what is there.
    #[must_use]
    pub fn related(mut self, place: Place, words: impl Into<String>) -> Self {
        let words = shortened(Words::Owned(words.into())).into_owned();
        self.related.push((place, words));
        self
    }

    /// A change that would settle it, for a person to decide on; several edits belong together.
    #[must_use]
    pub fn fix(mut self, place: Place, replacement: impl Into<String>) -> Self {
        self.fix.push(Edit {
            place,
            replacement: replacement.into(),
        });
        // Edits belong together, so that one guess makes a guess of the whole.
        self.safety = Safety::Suggested;
        self
    }

    /// Edits that would settle it, for a person to decide on; they belong together.
    ///
    /// ```
    /// use stainbook_document::edit::{NewValue, set};
    /// use stainbook_document::finding::Finding;
    /// use stainbook_document::place::{FileId, Path, Place};
    /// use stainbook_document::{Document, ReadOptions, rules};
    ///
    /// let (document, _) = Document::read(FileId(0), "a", b"holds: '0,5 L'\n", &ReadOptions::DEFAULT);
    /// let holds = Path::root().key("holds");
    /// let edits = set(&document, &holds, &NewValue::text("0.5 L")).unwrap_or_default();
    /// let finding = Finding::new(&rules::DECIMAL_COMMA, Place::value(FileId(0), holds)).fixes(edits);
    /// assert_eq!(finding.edits().first().map(|edit| edit.replacement.as_str()), Some("'0.5 L'"));
    /// ```
    #[must_use]
    pub fn fixes(self, edits: impl IntoIterator<Item = Edit>) -> Self {
        edits.into_iter().fold(self, |finding, edit| {
            finding.fix(edit.place, edit.replacement)
        })
    }

    /// A change that may be made without anybody looking: the file says the same afterwards, or what it cannot but have
    /// meant. The place has to cover exactly the bytes that are replaced.
    #[must_use]
    pub fn safe_fix(self, place: Place, replacement: impl Into<String>) -> Self {
        let safe = self.fix.is_empty() || self.safety == Safety::Safe;
        let mut finding = self.fix(place, replacement);
        if safe {
            finding.safety = Safety::Safe;
        }
        finding
    }

    /// Another level than the rule's, as whoever keeps the files may set it.
    #[must_use]
    pub fn at_level(mut self, level: Level) -> Self {
        self.level = level;
        self
    }

    /// Marks the finding as a fault of this software.
    #[must_use]
    pub fn our_fault(mut self) -> Self {
        self.fault = Fault::Ours;
        self
    }

    /// The rule's name, kebab-case.
    pub fn rule(&self) -> &'static str {
        self.rule
    }

    /// Severity.
    pub fn level(&self) -> Level {
        self.level
    }

    /// Place.
    pub fn place(&self) -> &Place {
        &self.place
    }

    /// The problem.
    pub fn message_text(&self) -> &str {
        &self.message
    }

    /// The words at the caret.
    pub fn label_text(&self) -> Option<&str> {
        self.label.as_deref()
    }

    /// Reasons why it matters.
    pub fn notes(&self) -> impl Iterator<Item = &str> {
        self.notes.iter().map(Help::words)
    }

    /// The remedy.
    pub fn help_text(&self) -> Option<&str> {
        self.help.as_ref().map(Help::words)
    }

    /// All that notes and remedy offer to write.
    pub fn offers(&self) -> impl Iterator<Item = &Offer> {
        self.notes.iter().chain(&self.help).flat_map(Help::offers)
    }

    /// The named figures, in the order they were given.
    pub fn facts(&self) -> &[(&'static str, Fact)] {
        &self.facts
    }

    /// Other places that have to do with it.
    pub fn related_places(&self) -> &[(Place, String)] {
        &self.related
    }

    /// The change that would settle it; empty if there is none to propose.
    pub fn edits(&self) -> &[Edit] {
        &self.fix
    }

    /// True if that change may be made without anybody looking at it.
    pub fn safety(&self) -> Safety {
        self.safety
    }

    /// Whose fault it is.
    pub fn fault(&self) -> Fault {
        self.fault
    }
}

/// A rule that reading itself may report, declared once with [`reader_rules!`](crate::reader_rules).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReaderRule {
    /// Its name, kebab-case, named after the defect.
    pub name: &'static str,
    /// Its level unless another is set.
    pub level: Level,
    /// One line on what it finds.
    pub summary: &'static str,
}
