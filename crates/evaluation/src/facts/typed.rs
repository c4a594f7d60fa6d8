//! Typed fields as JSON: without those that were left out, and whole numbers as whole numbers.
//!
//! A reading has some thirty fields, of which a person types ten. To make a value of all of them first and take the others out
//! again took a good part of the time of a reading.

use serde::ser::{
    Error as _, Impossible, Serialize, SerializeMap, SerializeSeq, SerializeStruct, SerializeTuple,
    SerializeTupleStruct, Serializer,
};
use serde_json::{Error, Map, Number, Value};

/// A value as it was typed; null where nothing was. Nothing that was typed is lost: of what this module does not know
/// all fields are kept.
pub(crate) fn typed(value: &impl Serialize) -> Value {
    value
        .serialize(Typed)
        .or_else(|_| serde_json::to_value(value))
        .unwrap_or(Value::Null)
}

/// Makes values without what was not typed.
struct Typed;

/// True of what nobody typed, as the field of a mapping: nothing, or a mapping or list with nothing in it.
fn is_absent(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Object(fields) => fields.is_empty(),
        Value::Array(items) => items.is_empty(),
        Value::Bool(_) | Value::Number(_) | Value::String(_) => false,
    }
}

/// Three strokes were typed as `3`, not as `3.0`.
fn whole(number: f64) -> Value {
    if 0.0 < number.fract().abs() {
        return Value::from(number);
    }
    let value = Value::from(number);
    let text = value.as_number().map(Number::to_string).unwrap_or_default();
    text.strip_suffix(".0")
        .and_then(|digits| digits.parse::<i64>().ok())
        .map_or(value, Value::from)
}

/// Items of a list.
struct Items(Vec<Value>);

/// Fields of a mapping, with the name of the one that comes next.
#[derive(Default)]
struct Fields {
    fields: Map<String, Value>,
    next: String,
}

impl Fields {
    fn add<T: Serialize + ?Sized>(&mut self, name: String, value: &T) -> Result<(), Error> {
        let value = value.serialize(Typed)?;
        if !is_absent(&value) {
            self.fields.insert(name, value);
        }
        Ok(())
    }
}

/// There is no such value in a survey, a sheet or a substance.
fn no_such_value<T>() -> Result<T, Error> {
    Err(Error::custom(
        "bytes and variants with several fields are not typed",
    ))
}

impl Serializer for Typed {
    type Ok = Value;
    type Error = Error;
    type SerializeSeq = Items;
    type SerializeTuple = Items;
    type SerializeTupleStruct = Items;
    type SerializeTupleVariant = Impossible<Value, Error>;
    type SerializeMap = Fields;
    type SerializeStruct = Fields;
    type SerializeStructVariant = Impossible<Value, Error>;

    fn serialize_bool(self, yes: bool) -> Result<Value, Error> {
        Ok(Value::Bool(yes))
    }

    fn serialize_i8(self, number: i8) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_i16(self, number: i16) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_i32(self, number: i32) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_i64(self, number: i64) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_u8(self, number: u8) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_u16(self, number: u16) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_u32(self, number: u32) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_u64(self, number: u64) -> Result<Value, Error> {
        Ok(Value::from(number))
    }

    fn serialize_f32(self, number: f32) -> Result<Value, Error> {
        self.serialize_f64(f64::from(number))
    }

    fn serialize_f64(self, number: f64) -> Result<Value, Error> {
        Ok(whole(number))
    }

    fn serialize_char(self, letter: char) -> Result<Value, Error> {
        Ok(Value::from(letter.to_string()))
    }

    fn serialize_str(self, text: &str) -> Result<Value, Error> {
        Ok(Value::from(text))
    }

    fn serialize_bytes(self, _: &[u8]) -> Result<Value, Error> {
        no_such_value()
    }

    fn serialize_none(self) -> Result<Value, Error> {
        Ok(Value::Null)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<Value, Error> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<Value, Error> {
        Ok(Value::Null)
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<Value, Error> {
        Ok(Value::Null)
    }

    fn serialize_unit_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
    ) -> Result<Value, Error> {
        Ok(Value::from(variant))
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<Value, Error> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<Value, Error> {
        let mut fields = Fields::default();
        fields.add(variant.to_owned(), value)?;
        Ok(Value::Object(fields.fields))
    }

    fn serialize_seq(self, length: Option<usize>) -> Result<Items, Error> {
        Ok(Items(Vec::with_capacity(length.unwrap_or(0))))
    }

    fn serialize_tuple(self, length: usize) -> Result<Items, Error> {
        self.serialize_seq(Some(length))
    }

    fn serialize_tuple_struct(self, _: &'static str, length: usize) -> Result<Items, Error> {
        self.serialize_seq(Some(length))
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, Error> {
        no_such_value()
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Fields, Error> {
        Ok(Fields::default())
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Fields, Error> {
        Ok(Fields::default())
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, Error> {
        no_such_value()
    }
}

impl SerializeSeq for Items {
    type Ok = Value;
    type Error = Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        self.0.push(value.serialize(Typed)?);
        Ok(())
    }

    fn end(self) -> Result<Value, Error> {
        Ok(Value::Array(self.0))
    }
}

impl SerializeTuple for Items {
    type Ok = Value;
    type Error = Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        SerializeSeq::serialize_element(self, value)
    }

    fn end(self) -> Result<Value, Error> {
        SerializeSeq::end(self)
    }
}

impl SerializeTupleStruct for Items {
    type Ok = Value;
    type Error = Error;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        SerializeSeq::serialize_element(self, value)
    }

    fn end(self) -> Result<Value, Error> {
        SerializeSeq::end(self)
    }
}

impl SerializeMap for Fields {
    type Ok = Value;
    type Error = Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Error> {
        match key.serialize(Typed)? {
            Value::String(key) => {
                self.next = key;
                Ok(())
            }
            _ => Err(Error::custom("the name of a field is a text")),
        }
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        let name = std::mem::take(&mut self.next);
        self.add(name, value)
    }

    fn end(self) -> Result<Value, Error> {
        Ok(Value::Object(self.fields))
    }
}

impl SerializeStruct for Fields {
    type Ok = Value;
    type Error = Error;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Error> {
        self.add(name.to_owned(), value)
    }

    fn end(self) -> Result<Value, Error> {
        Ok(Value::Object(self.fields))
    }
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::Book;

    use super::*;

    /// The same by way of a value with all fields.
    fn plainly(value: &impl Serialize) -> Value {
        let mut value = serde_json::to_value(value).unwrap();
        leave_out(&mut value);
        value
    }

    fn leave_out(value: &mut Value) {
        match value {
            Value::Object(fields) => fields.retain(|_, value| {
                leave_out(value);
                !is_absent(value)
            }),
            Value::Array(items) => items.iter_mut().for_each(leave_out),
            Value::Number(number) if number.is_f64() => {
                *value = whole(number.as_f64().unwrap());
            }
            _ => {}
        }
    }

    /// Also what is no survey: sheets, pumps and substances have the more intricate fields.
    #[test]
    fn as_by_way_of_all_fields() {
        let (book, _) = Book::demo();
        let same = |typed: Value, plainly: Value| {
            assert_eq!(typed.to_string(), plainly.to_string());
            assert!(1 < typed.as_object().unwrap().len());
        };
        for (_, survey) in book.surveys() {
            same(typed(survey), plainly(survey));
            for reading in &survey.readings {
                same(typed(reading), plainly(reading));
            }
        }
        for (_, sheet) in book.tubes() {
            same(typed(sheet), plainly(sheet));
        }
        same(
            typed(book.substance("ammonia").unwrap()),
            plainly(book.substance("ammonia").unwrap()),
        );
    }

    #[test]
    fn whole_numbers() {
        for (number, text) in [
            (3.0, "3"),
            (0.0, "0"),
            (-0.0, "0"),
            (0.1, "0.1"),
            (-12.5, "-12.5"),
            (1e15, "1000000000000000"),
            (2.0e300, "2e+300"),
        ] {
            assert_eq!(typed(&number).to_string(), text, "{number}");
        }
        assert_eq!(typed(&f64::NAN), Value::Null);
    }
}
