//! Pieces of text that help offers, to be put in as they stand.
//!
//! An offer says where it goes, so that a test can put each one in where it is offered and see that it is taken. Where it was
//! built is known, too: a place of the code whose offers no test has tried is found by that.
//!
//! ```
//! use stainbook_document::help;
//! use stainbook_document::offer::{Help, Offer};
//!
//! let help: Help = help!("look at the paper; if it says 0.7, write {}", Offer::field("holds: 0.7"));
//! assert_eq!(help.words(), "look at the paper; if it says 0.7, write `holds: 0.7`");
//! assert_eq!(help.offers()[0].text(), "holds: 0.7");
//! ```

use std::borrow::Cow;
use std::panic::Location;

use crate::finding::Words;
use crate::place::Place;

/// Offers of one list that are shown at most; more would bury the message.
const MOST_OFFERS: usize = 16;

/// The way in which an offer is put in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OfferForm {
    /// In place of the value.
    Value,
    /// As a further entry of the list.
    Entry,
    /// As `name: value` in the group of fields that the place is or lies in, instead of a field of that name.
    Field,
    /// The name of a field of that group whose value somebody has to know.
    Name,
    /// In place of the name of a field.
    NewName,
    /// The name of a field of that group that is taken out.
    LeftOut,
    /// In a cell of a table, in the column of this name if it is another one than that of the place.
    Cell(Option<&'static str>),
    /// In a command line, by itself or among the arguments.
    Command,
}

/// A piece of text that help offers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    form: OfferForm,
    text: Cow<'static, str>,
    at: Option<Place>,
    in_part: bool,
    built_at: BuiltAt,
}

/// The place of the code that built an offer.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BuiltAt {
    /// Its file, as the compiler names it.
    pub file: Cow<'static, str>,
    /// Its line, from 1.
    pub line: u32,
}

impl Offer {
    #[track_caller]
    fn of(form: OfferForm, text: impl Into<Cow<'static, str>>) -> Self {
        let here = Location::caller();
        Self {
            form,
            text: text.into(),
            at: None,
            in_part: false,
            built_at: BuiltAt {
                file: Cow::Borrowed(here.file()),
                line: here.line(),
            },
        }
    }

    /// YAML in place of the value that the finding speaks of.
    #[must_use]
    #[track_caller]
    pub fn yaml(text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::Value, text)
    }

    /// A further entry of the list that the finding speaks of.
    #[must_use]
    #[track_caller]
    pub fn entry(text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::Entry, text)
    }

    /// A field with its value, in the group of fields that the finding speaks of or in which its value stands. What only a
    /// look at the paper can tell is `…`.
    #[must_use]
    #[track_caller]
    pub fn field(text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::Field, text)
    }

    /// The name of a field of that group, whose value only a look at the paper can tell.
    #[must_use]
    #[track_caller]
    pub fn name(text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::Name, text)
    }

    /// Another name for the field that the finding speaks of.
    #[must_use]
    #[track_caller]
    pub fn new_name(text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::NewName, text)
    }

    /// The name of a field of that group that is taken out.
    #[must_use]
    #[track_caller]
    pub fn left_out(name: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::LeftOut, name)
    }

    /// Text for the cell that is spoken of.
    #[must_use]
    #[track_caller]
    pub fn cell(text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::Cell(None), text)
    }

    /// Text for the cell of that row under this column.
    #[must_use]
    #[track_caller]
    pub fn cell_under(column: &'static str, text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::Cell(Some(column)), text)
    }

    /// A command, or arguments of one.
    #[must_use]
    #[track_caller]
    pub fn command(text: impl Into<Cow<'static, str>>) -> Self {
        Self::of(OfferForm::Command, text)
    }

    /// The same offer for another place than that of the finding.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.at = Some(place);
        self
    }

    /// The same offer as one that settles nothing before the rest of what is asked for is done, too.
    #[must_use]
    pub fn in_part(mut self) -> Self {
        self.in_part = true;
        self
    }

    /// The way in which it is put in.
    pub fn form(&self) -> OfferForm {
        self.form
    }

    /// The text, as it is to be put in.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The place, if it is another one than that of the finding.
    pub fn place(&self) -> Option<&Place> {
        self.at.as_ref()
    }

    /// True if something else has to be done as well.
    pub fn is_in_part(&self) -> bool {
        self.in_part
    }

    /// The place of the code that built it.
    pub fn built_at(&self) -> &BuiltAt {
        &self.built_at
    }

    /// The text as help shows it: in backticks, unless it brings quotes of its own.
    fn shown(&self) -> String {
        if self.text.starts_with('"') {
            return self.text.clone().into_owned();
        }
        format!("`{}`", self.text)
    }

    /// Everything about an offer without a place as text; fields are parted by this character.
    pub(crate) fn packed(&self, between: char) -> String {
        let form = match self.form {
            OfferForm::Value => "value",
            OfferForm::Entry => "entry",
            OfferForm::Field => "field",
            OfferForm::Name => "name",
            OfferForm::NewName => "new name",
            OfferForm::LeftOut => "left out",
            OfferForm::Cell(_) => "cell",
            OfferForm::Command => "command",
        };
        let text = self.text.replace(between, " ");
        let BuiltAt { file, line } = &self.built_at;
        let in_part = if self.in_part { "in part" } else { "" };
        format!("{form}{between}{text}{between}{in_part}{between}{file}{between}{line}")
    }

    /// The offer that [`Self::packed`] made a text of.
    pub(crate) fn unpacked(packed: &str, between: char) -> Option<Self> {
        let mut parts = packed.split(between);
        let form = match parts.next()? {
            "value" => OfferForm::Value,
            "entry" => OfferForm::Entry,
            "field" => OfferForm::Field,
            "name" => OfferForm::Name,
            "new name" => OfferForm::NewName,
            "left out" => OfferForm::LeftOut,
            "cell" => OfferForm::Cell(None),
            "command" => OfferForm::Command,
            _ => return None,
        };
        Some(Self {
            form,
            text: Cow::Owned(parts.next()?.to_owned()),
            at: None,
            in_part: parts.next()? == "in part",
            built_at: BuiltAt {
                file: Cow::Owned(parts.next()?.to_owned()),
                line: parts.next()?.parse().ok()?,
            },
        })
    }
}

/// Words on what to do, and what they offer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Help {
    words: Words,
    offers: Vec<Offer>,
}

impl Help {
    /// The words.
    pub fn words(&self) -> &str {
        &self.words
    }

    /// The offers among them, in their order.
    pub fn offers(&self) -> &[Offer] {
        &self.offers
    }

    /// Takes what is offered and gives it back as help shows it; for [`help!`](crate::help).
    pub fn quote(&mut self, offers: impl IntoOffers) -> String {
        let offers = offers.into_offers();
        let shown: Vec<String> = offers.iter().take(MOST_OFFERS).map(Offer::shown).collect();
        let more = if MOST_OFFERS < offers.len() {
            " …"
        } else {
            ""
        };
        self.offers.extend(offers);
        format!("{}{more}", shown.join(", "))
    }

    /// Help with these words, in which all that it offers stands already; for [`help!`](crate::help).
    #[must_use]
    pub fn in_words(mut self, words: impl Into<Words>) -> Self {
        self.words = words.into();
        self
    }

    /// The same with other words.
    pub(crate) fn reworded(self, reword: impl FnOnce(Words) -> Words) -> Self {
        Self {
            words: reword(self.words),
            offers: self.offers,
        }
    }

    /// Words and offers.
    pub fn into_parts(self) -> (Words, Vec<Offer>) {
        (self.words, self.offers)
    }

    /// Help of which the parts are known.
    pub fn from_parts(words: impl Into<Words>, offers: Vec<Offer>) -> Self {
        Self {
            words: words.into(),
            offers,
        }
    }
}

impl From<&'static str> for Help {
    fn from(words: &'static str) -> Self {
        Self::default().in_words(words)
    }
}

impl From<String> for Help {
    fn from(words: String) -> Self {
        Self::default().in_words(words)
    }
}

impl From<Words> for Help {
    fn from(words: Words) -> Self {
        Self::default().in_words(words)
    }
}

/// One offer, or several of which one is to be chosen.
pub trait IntoOffers {
    /// The offers, in the order in which they are shown.
    fn into_offers(self) -> Vec<Offer>;
}

impl IntoOffers for Offer {
    fn into_offers(self) -> Vec<Offer> {
        vec![self]
    }
}

impl IntoOffers for Vec<Offer> {
    fn into_offers(self) -> Vec<Offer> {
        self
    }
}

/// Words with offers in them, written like [`format!`]: each `{}` stands for an offer, or for several with commas between
/// them, and other values are captured by name.
///
/// ```
/// use stainbook_document::help;
/// use stainbook_document::offer::Offer;
///
/// let celsius = 20;
/// let ways = ["kettle", "pot"].map(|way| Offer::yaml(way));
/// let help = help!("at {celsius} °C write one of {}", ways.to_vec());
/// assert_eq!(help.words(), "at 20 °C write one of `kettle`, `pot`");
/// ```
#[macro_export]
macro_rules! help {
    ($words:literal $(, $offers:expr)+ $(,)?) => {{
        let mut help = $crate::offer::Help::default();
        let words = format!($words $(, help.quote($offers))+);
        help.in_words(words)
    }};
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_offer_knows_where_it_was_built() {
        let offer = Offer::yaml("1.5 L");
        let built_at = offer.built_at();
        assert!(built_at.file.ends_with("offer.rs"), "{}", built_at.file);
        let source = include_str!("offer.rs");
        let line = source.lines().nth(built_at.line as usize - 1);
        assert_eq!(
            line.map(str::trim),
            Some("let offer = Offer::yaml(\"1.5 L\");")
        );
    }

    #[test]
    fn a_packed_offer_is_the_same_again() {
        let offer = Offer::field("holds: 1.5 L").in_part();
        assert_eq!(
            Offer::unpacked(&offer.packed('|'), '|').as_ref(),
            Some(&offer)
        );
        assert_eq!(Offer::unpacked("teapot|x||y|1", '|'), None);
    }

    #[test]
    fn quotes_of_its_own_are_enough() {
        let help = help!("put it in quotes: {}", Offer::yaml("\"no\""));
        assert_eq!(help.words(), "put it in quotes: \"no\"");
    }

    #[test]
    fn a_long_list_is_cut() {
        let many: Vec<Offer> = (0..20).map(|n| Offer::yaml(n.to_string())).collect();
        let help = help!("one of {}", many);
        assert!(help.words().ends_with("`15` …"), "{}", help.words());
        assert_eq!(help.offers().len(), 20);
    }
}
