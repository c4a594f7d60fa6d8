//! The fields of a sheet that a laboratory's table can fill, with what may stand in each and the headers that people give them.

use stainbook_core::{Concentration, Humidity, Pressure, Quantity, Temperature, Volume};
use stainbook_document::typed::FromText;

use crate::written::{Day, Lots, Num, Stated, StatedRange};

/// The name of no field.
pub const UNPLACED: &str = "unplaced";

/// A field of a sheet that a column of a table can fill.
#[derive(Debug)]
pub struct ImportField {
    /// The way to it: groups of fields with points between them.
    pub path: &'static str,
    /// Contents of its cells.
    pub holds: ImportHolds,
    /// Headers that people give to such a column, in small letters. Common practice, no source.
    pub headers: &'static [&'static str],
}

/// Contents of the cells of a column.
#[derive(Clone, Copy, Debug)]
pub enum ImportHolds {
    /// Any text.
    Text,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A substance, by its short name or another one.
    Substance,
    /// A number without a unit.
    Number,
    /// Numbers with semicolons or blanks between them.
    Numbers,
    /// Texts with semicolons between them.
    Texts,
    /// A number in the unit of the scale, which may stand behind it.
    OnScale,
    /// A number with its unit.
    Quantity(fn(&str) -> Result<(), String>),
    /// A day or month.
    Day,
    /// Lots of a leaflet.
    Lots,
}

impl ImportHolds {
    /// Reads a text as what the cell holds.
    ///
    /// # Errors
    ///
    /// The problem, in one sentence without a full stop.
    pub fn read(self, text: &str) -> Result<(), String> {
        match self {
            Self::Text | Self::Texts | Self::Substance => Ok(()),
            Self::Words(words) if words.contains(&text) => Ok(()),
            Self::Words(words) => Err(format!("`{text}` is none of `{}`", words.join("`, `"))),
            Self::Number | Self::OnScale => read::<Num>(text),
            Self::Numbers => numbers(text).try_for_each(read::<Num>),
            Self::Quantity(read) => read(text),
            Self::Day => read::<Day>(text),
            Self::Lots => read::<Lots>(text),
        }
    }
}

/// The numbers of a cell that holds several.
pub fn numbers(text: &str) -> impl Iterator<Item = &str> {
    let divided = text.split([';', ' ', '\t', '|']);
    divided.map(str::trim).filter(|number| !number.is_empty())
}

fn read<T: FromText>(text: &str) -> Result<(), String> {
    T::read(text)
        .map(|_| ())
        .map_err(|problem| problem.message().to_owned())
}

const fn quantity<Q: Quantity>() -> ImportHolds {
    ImportHolds::Quantity(read::<Stated<Q>>)
}

const fn range<Q: Quantity>() -> ImportHolds {
    ImportHolds::Quantity(read::<StatedRange<Q>>)
}

/// Group of the fields that each row of a tube has for its own stroke count.
pub const OF_RANGE: &str = "draw.ranges.";

/// Every field that can be filled.
pub static FIELDS: [ImportField; 35] = [
    field(
        "tube",
        ImportHolds::Text,
        &["id", "short name", "sheet", "kurzname"],
    ),
    field(
        "name",
        ImportHolds::Text,
        &[
            "name",
            "tube",
            "tube name",
            "röhrchen",
            "roehrchen",
            "bezeichnung",
            "tubes",
        ],
    ),
    field("series", ImportHolds::Text, &["series", "reihe"]),
    field(
        "leaflet.title",
        ImportHolds::Text,
        &[
            "leaflet",
            "leaflet title",
            "instructions",
            "gebrauchsanweisung",
            "beipackzettel",
        ],
    ),
    field(
        "leaflet.designation",
        ImportHolds::Text,
        &[
            "designation",
            "order no",
            "order no.",
            "part no",
            "part no.",
            "artikelnummer",
            "bestellnummer",
            "type",
        ],
    ),
    field(
        "leaflet.revision",
        ImportHolds::Text,
        &["revision", "rev", "rev.", "edition", "ausgabe"],
    ),
    field(
        "leaflet.date",
        ImportHolds::Day,
        &[
            "leaflet date",
            "issued",
            "date of leaflet",
            "stand",
            "date",
            "datum",
        ],
    ),
    field(
        "leaflet.lots",
        ImportHolds::Lots,
        &["lots", "lot", "batch", "batches", "charge", "chargen"],
    ),
    field(
        "measures.substance",
        ImportHolds::Substance,
        &["substance", "gas", "analyte", "stoff", "measures", "gaz"],
    ),
    field(
        "measures.formula",
        ImportHolds::Text,
        &["formula", "formel", "chemical formula"],
    ),
    field(
        "before_use.pump_kinds",
        ImportHolds::Texts,
        &["pump", "pump kind", "pump kinds", "pumpe", "pumps"],
    ),
    field(
        "before_use.usable.temperature",
        range::<Temperature>(),
        &[
            "temperature range",
            "usable temperature",
            "temperaturbereich",
            "operating temperature",
            "temperature",
        ],
    ),
    field(
        "before_use.usable.humidity",
        range::<Humidity>(),
        &[
            "humidity range",
            "usable humidity",
            "feuchtebereich",
            "operating humidity",
            "humidity",
        ],
    ),
    field(
        "draw.stroke",
        quantity::<Volume>(),
        &["stroke", "stroke volume", "volume per stroke", "hubvolumen"],
    ),
    field("draw.stroke_ends", ImportHolds::Text, &["end of stroke"]),
    field(
        "draw.ranges.strokes",
        ImportHolds::Number,
        &[
            "strokes",
            "number of strokes",
            "n",
            "no of strokes",
            "no. of strokes",
            "pump strokes",
            "hübe",
            "huebe",
            "hubzahl",
            "coups",
        ],
    ),
    field(
        "draw.ranges.multiply_by",
        ImportHolds::Number,
        &[
            "factor",
            "multiplier",
            "multiply by",
            "stroke factor",
            "correction factor for strokes",
            "faktor",
            "facteur",
        ],
    ),
    field(
        "draw.ranges.from",
        ImportHolds::OnScale,
        &[
            "from",
            "range from",
            "lowest",
            "min",
            "minimum",
            "lower",
            "von",
            "messbereich von",
            "de",
        ],
    ),
    field(
        "draw.ranges.to",
        ImportHolds::OnScale,
        &[
            "to",
            "range to",
            "highest",
            "max",
            "maximum",
            "upper",
            "bis",
            "messbereich bis",
            "à",
        ],
    ),
    field(
        "draw.ranges.seconds_per_stroke",
        ImportHolds::Number,
        &[
            "seconds per stroke",
            "time per stroke",
            "stroke time",
            "s per stroke",
            "hubdauer",
            "zeit je hub",
        ],
    ),
    field(
        "draw.ranges.uses",
        ImportHolds::Words(&["whole scale", "extension"]),
        &["uses", "kind of range"],
    ),
    field("draw.ranges.scale", ImportHolds::Text, &["scale name"]),
    field(
        "read.scales.unit",
        ImportHolds::Text,
        &["unit", "scale unit", "einheit", "unité"],
    ),
    field(
        "read.scales.marks",
        ImportHolds::Numbers,
        &[
            "marks",
            "scale",
            "scale marks",
            "skala",
            "teilstriche",
            "graduations",
        ],
    ),
    field(
        "read.scales.printed_for_strokes",
        ImportHolds::Number,
        &[
            "printed for",
            "scale strokes",
            "printed for strokes",
            "scale printed for",
        ],
    ),
    field(
        "read.stain.from",
        ImportHolds::Text,
        &[
            "colour before",
            "color before",
            "farbe vorher",
            "colour from",
        ],
    ),
    field(
        "read.stain.to",
        ImportHolds::Text,
        &[
            "colour after",
            "color after",
            "farbe nachher",
            "colour to",
            "stain",
        ],
    ),
    field(
        "read.reaction",
        ImportHolds::Text,
        &["reaction", "reaktion", "principle"],
    ),
    field(
        "read.lowest_visible.concentration",
        quantity::<Concentration>(),
        &[
            "lowest visible",
            "detection limit",
            "limit of detection",
            "lod",
            "nachweisgrenze",
        ],
    ),
    field(
        "read.lowest_visible.strokes",
        ImportHolds::Number,
        &["detection limit strokes", "lowest visible strokes"],
    ),
    field(
        "read.when",
        ImportHolds::Text,
        &["read when", "time to read", "ablesen"],
    ),
    field(
        "correct.calibrated_at.temperature",
        quantity::<Temperature>(),
        &[
            "calibration temperature",
            "calibrated at temperature",
            "kalibriertemperatur",
        ],
    ),
    field(
        "correct.calibrated_at.pressure",
        quantity::<Pressure>(),
        &[
            "calibration pressure",
            "calibrated at pressure",
            "kalibrierdruck",
        ],
    ),
    field(
        "correct.calibrated_at.humidity",
        quantity::<Humidity>(),
        &[
            "calibration humidity",
            "calibrated at humidity",
            "kalibrierfeuchte",
        ],
    ),
    field(
        "remark",
        ImportHolds::Text,
        &[
            "remark",
            "remarks",
            "comment",
            "comments",
            "note",
            "notes",
            "bemerkung",
            "bemerkungen",
        ],
    ),
];

const fn field(
    path: &'static str,
    holds: ImportHolds,
    headers: &'static [&'static str],
) -> ImportField {
    ImportField {
        path,
        holds,
        headers,
    }
}

/// The field of this path.
pub fn field_at(path: &str) -> Option<&'static ImportField> {
    FIELDS.iter().find(|field| field.path == path)
}

/// The names that a map may give.
pub(crate) fn names() -> Vec<&'static str> {
    let fields = FIELDS.iter().map(|field| field.path);
    fields.chain([UNPLACED]).collect()
}

/// A header without its unit, and the unit that stands in brackets or parentheses behind it.
pub fn header_and_unit(header: &str) -> (&str, Option<&str>) {
    let header = header.trim_start_matches('\u{feff}').trim();
    let divided = |open: char, close: char| {
        let (name, unit) = header.strip_suffix(close)?.rsplit_once(open)?;
        Some((name.trim(), Some(unit.trim())))
    };
    divided('[', ']')
        .or_else(|| divided('(', ')'))
        .unwrap_or((header, None))
}

/// The field that a header names, by the names that people give it or by its own.
pub fn field_of_header(header: &str) -> Option<&'static ImportField> {
    let (name, _) = header_and_unit(header);
    let folded = name.to_lowercase().replace(['_', '-'], " ");
    let folded = folded.trim_end_matches([':', '.']);
    let by_habit = FIELDS.iter().find(|field| {
        let mut known = field.headers.iter();
        known.any(|known| known.trim_end_matches('.') == folded)
    });
    // What people call `tube` is its name, whatever the short name's field is called.
    by_habit.or_else(|| {
        FIELDS.iter().find(|field| {
            let own = field.path.rsplit('.').next().unwrap_or_default();
            field.path == name || own.replace('_', " ") == folded
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::EntryKind;
    use crate::schema::{Draft, schema};

    #[test]
    fn every_field_is_one_of_a_sheet() {
        let schema = schema(EntryKind::Tube, Draft::Draft2020);
        for field in &FIELDS {
            let mut at = &schema;
            for key in field.path.split('.') {
                let of_list = at.get("items").unwrap_or(at);
                let of = match of_list.get("$ref").and_then(|it| it.as_str()) {
                    Some(reference) => schema.pointer(&reference[1..]).unwrap(),
                    None => of_list,
                };
                at = of
                    .get("properties")
                    .and_then(|it| it.get(key))
                    .unwrap_or_else(|| panic!("{}: no {key}", field.path));
            }
        }
    }

    #[test]
    fn no_header_means_two_fields() {
        let mut all: Vec<&str> = FIELDS
            .iter()
            .flat_map(|field| field.headers.iter().copied())
            .collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
        for (header, wanted) in [
            ("Strokes", Some("draw.ranges.strokes")),
            ("Range from [ppm]", Some("draw.ranges.from")),
            ("Hübe", Some("draw.ranges.strokes")),
            ("Rev.", Some("leaflet.revision")),
            ("draw.stroke", Some("draw.stroke")),
            ("Regal", None),
        ] {
            assert_eq!(
                field_of_header(header).map(|field| field.path),
                wanted,
                "{header}"
            );
        }
    }
}
