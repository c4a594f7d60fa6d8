//! The columns of a survey's table: what each is called, which field of a survey file it stands for, what its cells hold.
//!
//! A header, a row of a table, a cell of a spreadsheet, the place of a finding and the page about the columns follow from
//! this one list.

use serde_json::Value;
use stainbook_catalog::written::{
    Atmosphere, Day, Instruction, LeakTest, Moment, Num, Observation, OtherGases, Preparation,
    ReadsTo, Rest, Stated,
};
use stainbook_core::{
    Altitude, Concentration, Dimension, Duration, Humidity, Pressure, Quantity, Temperature,
};

use super::row::{OfGases, RowDraft};

/// A column of a survey's table.
#[derive(Debug)]
pub struct Column {
    /// The name in the header.
    pub name: &'static str,
    /// The field of a survey file that the column stands for, from the file's root; items of a list are not counted.
    pub field: &'static [&'static str],
    /// Contents of its cells, and the field that they set.
    pub(crate) holds: Holds,
}

/// Field that a cell sets in the row that is being read.
type Slot<T> = fn(&mut RowDraft) -> &mut Option<T>;

/// Contents of the cells of a column, and the field of the row that they set. Of a quantity this says as well which
/// unit a header usually names.
#[derive(Debug)]
pub(crate) enum Holds {
    Text(Slot<String>),
    /// Printed on a box or a leaflet: digits that are no number, so that a spreadsheet may have dropped a zero.
    Printed(Slot<String>),
    Moment(Slot<Moment>),
    /// A day, or a month that means its last day.
    Day(Slot<Day>),
    Number(Slot<Num>),
    YesNo(Slot<bool>),
    LeakTest(Slot<LeakTest>),
    Observation(Slot<Observation>),
    ReadsTo(Slot<ReadsTo>),
    Rest(Slot<Rest>),
    OtherGases(Slot<OtherGases>),
    /// Instructions, divided by semicolons.
    Instructions(fn(&mut RowDraft) -> &mut Vec<Instruction>),
    /// Preparations that were done, divided by semicolons.
    Preparations(fn(&mut RowDraft) -> &mut Vec<Preparation>),
    Atmosphere(Slot<Atmosphere>),
    Temperature(Slot<Stated<Temperature>>),
    Humidity(Slot<Stated<Humidity>>),
    Pressure(Slot<Stated<Pressure>>),
    Altitude(Slot<Stated<Altitude>>),
    Duration(&'static str, Slot<Stated<Duration>>),
    Concentration(Slot<Stated<Concentration>>),
    /// The other gases in the air, divided by semicolons.
    Gases(fn(&mut RowDraft) -> &mut Vec<String>),
    /// A concentration for each of the other gases.
    OfGases(fn(&mut RowDraft) -> &mut OfGases),
}

impl Column {
    /// The unit that a header usually names, if the cells are quantities.
    pub fn usual_unit(&self) -> Option<&'static str> {
        Some(self.quantity()?.1)
    }

    /// The part of a schema of survey files that says what the column is for, with an example of a cell.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_catalog::{EntryKind, schema};
    /// use stainbook_survey::table::COLUMNS;
    ///
    /// let schema = schema::schema(EntryKind::Survey, schema::Draft::Draft2020);
    /// let lot = COLUMNS.iter().find(|column| column.name == "lot").unwrap();
    /// assert_eq!(lot.in_schema(&schema).unwrap()["examples"][0], "24-117");
    /// ```
    pub fn in_schema<'s>(&self, schema: &'s Value) -> Option<&'s Value> {
        self.field.iter().try_fold(schema, |part, key| {
            let of_list = part.get("items").unwrap_or(part);
            let part = match of_list.get("$ref").and_then(Value::as_str) {
                Some(reference) => schema.pointer(reference.strip_prefix('#')?)?,
                None => part,
            };
            let alternatives = part.get("oneOf").and_then(Value::as_array);
            let alternatives = alternatives.into_iter().flatten();
            std::iter::once(part)
                .chain(alternatives)
                .find_map(|part| part.get("properties")?.get(key))
        })
    }

    /// The dimension of the cells with the unit that a header usually names.
    pub(super) fn quantity(&self) -> Option<(Dimension, &'static str)> {
        Some(match self.holds {
            Holds::Temperature(_) => (Temperature::DIMENSION, "°C"),
            Holds::Humidity(_) => (Humidity::DIMENSION, "%RH"),
            Holds::Pressure(_) => (Pressure::DIMENSION, "hPa"),
            Holds::Altitude(_) => (Altitude::DIMENSION, "m"),
            Holds::Duration(usual, _) => (Duration::DIMENSION, usual),
            Holds::Concentration(_) | Holds::OfGases(_) => (Concentration::DIMENSION, "ppm"),
            _ => return None,
        })
    }

    /// True if the column says something of the average that a row is a part of.
    pub(super) fn is_of_average(&self) -> bool {
        self.field.first() == Some(&"together")
    }
}

/// The columns of which a table has one at least: they say what was read.
pub(super) const WHAT_WAS_READ: [&str; 3] = ["reading", "short", "seen"];

/// The columns that are understood, in the order in which a new table should have them.
pub static COLUMNS: [Column; 50] = [
    Column {
        name: "id",
        field: &["readings", "id"],
        holds: Holds::Text(|row| &mut row.reading.id),
    },
    Column {
        name: "at",
        field: &["readings", "at"],
        holds: Holds::Moment(|row| &mut row.reading.at),
    },
    Column {
        name: "place",
        field: &["readings", "place"],
        holds: Holds::Text(|row| &mut row.reading.place),
    },
    Column {
        name: "tube",
        field: &["readings", "tube"],
        holds: Holds::Text(|row| &mut row.reading.tube),
    },
    Column {
        name: "leaflet",
        field: &["readings", "leaflet"],
        holds: Holds::Printed(|row| &mut row.reading.leaflet),
    },
    Column {
        name: "lot",
        field: &["readings", "lot"],
        holds: Holds::Printed(|row| &mut row.reading.lot),
    },
    Column {
        name: "expires",
        field: &["readings", "expires"],
        holds: Holds::Day(|row| &mut row.reading.expires),
    },
    Column {
        name: "pre_tube_lot",
        field: &["readings", "pre_tube", "lot"],
        holds: Holds::Printed(|row| &mut row.pre_tube().lot),
    },
    Column {
        name: "pre_tube_expires",
        field: &["readings", "pre_tube", "expires"],
        holds: Holds::Day(|row| &mut row.pre_tube().expires),
    },
    Column {
        name: "pre_tube_strokes_before",
        field: &["readings", "pre_tube", "strokes_before"],
        holds: Holds::Number(|row| &mut row.pre_tube().strokes_before),
    },
    Column {
        name: "opened",
        field: &["readings", "opened"],
        holds: Holds::Day(|row| &mut row.reading.opened),
    },
    Column {
        name: "manufactured",
        field: &["readings", "manufactured"],
        holds: Holds::Day(|row| &mut row.reading.manufactured),
    },
    Column {
        name: "used_before",
        field: &["readings", "used_before"],
        holds: Holds::YesNo(|row| &mut row.reading.used_before),
    },
    Column {
        name: "pump",
        field: &["readings", "pump"],
        holds: Holds::Text(|row| &mut row.reading.pump),
    },
    Column {
        name: "leak_test",
        field: &["readings", "leak_test"],
        holds: Holds::LeakTest(|row| &mut row.reading.leak_test),
    },
    Column {
        name: "brought_to_ambient",
        field: &["readings", "brought_to_ambient"],
        holds: Holds::YesNo(|row| &mut row.reading.brought_to_ambient),
    },
    Column {
        name: "strokes",
        field: &["readings", "strokes"],
        holds: Holds::Number(|row| &mut row.reading.strokes),
    },
    Column {
        name: "done",
        field: &["readings", "done"],
        holds: Holds::Preparations(|row| &mut row.reading.done),
    },
    Column {
        name: "read_after",
        field: &["readings", "read_after"],
        holds: Holds::Duration("min", |row| &mut row.reading.read_after),
    },
    Column {
        name: "not_kept",
        field: &["readings", "not_kept"],
        holds: Holds::Instructions(|row| &mut row.reading.not_kept),
    },
    Column {
        name: "scale",
        field: &["readings", "scale"],
        holds: Holds::Text(|row| &mut row.reading.scale),
    },
    Column {
        name: "substance",
        field: &["readings", "substance"],
        holds: Holds::Text(|row| &mut row.reading.substance),
    },
    Column {
        name: "stands_for",
        field: &["readings", "stands_for"],
        holds: Holds::Duration("min", |row| &mut row.reading.stands_for),
    },
    Column {
        name: "average",
        field: &["together", "id"],
        holds: Holds::Text(|row| &mut row.part_of.average),
    },
    Column {
        name: "average_over",
        field: &["together", "over"],
        holds: Holds::Duration("h", |row| &mut row.part_of.over),
    },
    Column {
        name: "rest",
        field: &["together", "rest"],
        holds: Holds::Rest(|row| &mut row.part_of.rest),
    },
    Column {
        name: "blank",
        field: &["readings", "blank"],
        holds: Holds::YesNo(|row| &mut row.reading.blank),
    },
    Column {
        name: "repeat_of",
        field: &["readings", "repeat_of"],
        holds: Holds::Text(|row| &mut row.reading.repeat_of),
    },
    Column {
        name: "reading",
        field: &["readings", "reading", "at"],
        holds: Holds::Concentration(|row| &mut row.seen().at),
    },
    Column {
        name: "short",
        field: &["readings", "reading", "short"],
        holds: Holds::Concentration(|row| &mut row.seen().short),
    },
    Column {
        name: "long",
        field: &["readings", "reading", "long"],
        holds: Holds::Concentration(|row| &mut row.seen().long),
    },
    Column {
        name: "reading_mm",
        field: &["readings", "reading", "at_mm"],
        holds: Holds::Number(|row| &mut row.seen().at_mm),
    },
    Column {
        name: "short_mm",
        field: &["readings", "reading", "short_mm"],
        holds: Holds::Number(|row| &mut row.seen().short_mm),
    },
    Column {
        name: "long_mm",
        field: &["readings", "reading", "long_mm"],
        holds: Holds::Number(|row| &mut row.seen().long_mm),
    },
    Column {
        name: "uncertainty",
        field: &["readings", "reading", "uncertainty"],
        holds: Holds::Concentration(|row| &mut row.seen().uncertainty),
    },
    Column {
        name: "reads_to",
        field: &["readings", "reads_to"],
        holds: Holds::ReadsTo(|row| &mut row.reading.reads_to),
    },
    Column {
        name: "seen",
        field: &["readings", "reading", "seen"],
        holds: Holds::Observation(|row| &mut row.seen().seen),
    },
    Column {
        name: "air_temperature",
        field: &["readings", "conditions", "air_temperature"],
        holds: Holds::Temperature(|row| &mut row.reading.conditions.air_temperature),
    },
    Column {
        name: "tube_temperature",
        field: &["readings", "conditions", "tube_temperature"],
        holds: Holds::Temperature(|row| &mut row.reading.conditions.tube_temperature),
    },
    Column {
        name: "humidity",
        field: &["readings", "conditions", "humidity"],
        holds: Holds::Humidity(|row| &mut row.reading.conditions.humidity),
    },
    Column {
        name: "pressure",
        field: &["readings", "conditions", "pressure"],
        holds: Holds::Pressure(|row| &mut row.reading.conditions.pressure),
    },
    Column {
        name: "altitude",
        field: &["readings", "conditions", "altitude"],
        holds: Holds::Altitude(|row| &mut row.reading.conditions.altitude),
    },
    Column {
        name: "sea_level_pressure",
        field: &["readings", "conditions", "sea_level_pressure"],
        holds: Holds::Pressure(|row| &mut row.reading.conditions.sea_level_pressure),
    },
    Column {
        name: "atmosphere",
        field: &["readings", "conditions", "atmosphere"],
        holds: Holds::Atmosphere(|row| &mut row.reading.conditions.atmosphere),
    },
    Column {
        name: "other_gases",
        field: &["readings", "other_gases"],
        holds: Holds::OtherGases(|row| &mut row.reading.interferents),
    },
    Column {
        name: "present",
        field: &["readings", "present", "substance"],
        holds: Holds::Gases(|row| &mut row.present),
    },
    Column {
        name: "present_level",
        field: &["readings", "present", "level"],
        holds: Holds::OfGases(|row| &mut row.levels),
    },
    Column {
        name: "present_uncertainty",
        field: &["readings", "present", "uncertainty"],
        holds: Holds::OfGases(|row| &mut row.uncertainties),
    },
    Column {
        name: "by",
        field: &["by"],
        holds: Holds::Text(|row| &mut row.by),
    },
    Column {
        name: "remark",
        field: &["readings", "remark"],
        holds: Holds::Text(|row| &mut row.reading.remark),
    },
];
