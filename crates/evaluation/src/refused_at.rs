//! Line and column of a refusal's field in a survey file.

use stainbook_document::Document;
use stainbook_document::place::{FileId, Path, PathStep, Place};

use crate::outcome::Refusal;

/// The way from the root of a survey file to the field that a refusal of the reading with this index names. A condition
/// that the reading does not state itself is the survey's.
fn way(refusal: &Refusal, index: usize, document: &Document) -> Path {
    let reading = Path::root().key("readings").index(index);
    let Some(field) = &refusal.field else {
        return reading;
    };
    let field = Path::from_pointer(field);
    let joined = |start: Path, steps: &[PathStep]| {
        steps.iter().fold(start, |mut path, step| {
            path.push(step.clone());
            path
        })
    };
    match field.steps() {
        [PathStep::Key(first), rest @ ..] if first == "reading" => joined(reading, rest),
        steps => {
            let (own, shared) = (joined(reading, steps), field.clone());
            if document.find(&own).is_none() && document.find(&shared).is_some() {
                shared
            } else {
                own
            }
        }
    }
}

/// `quay.survey.yaml:16:49`: where the field is, or the nearest thing that is there if it was left out.
pub(crate) fn in_file(refusal: &Refusal, index: usize, path: &str, document: &Document) -> String {
    let place = Place::value(FileId::default(), way(refusal, index, document));
    at(path, document, document.locate(&place).start)
}

/// `quay.survey.yaml:16:49`.
pub(crate) fn at(path: &str, document: &Document, byte: usize) -> String {
    let at = document.line_column(byte);
    format!("{path}:{}:{}", at.line, at.column)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outcome::Code;
    use stainbook_catalog::READ_OPTIONS;

    const SURVEY: &str = "\
conditions: {air_temperature: 80 °C, humidity: 50 %RH}
readings:
  - {id: a, strokes: 1}
  - id: b
    conditions: {air_temperature: 81 °C}
";

    #[test]
    fn the_nearest_thing_that_is_there() {
        let (document, _) = Document::read(
            FileId::default(),
            "s.survey.yaml",
            SURVEY.as_bytes(),
            &READ_OPTIONS,
        );
        for (index, field, expected) in [
            (0, Some("/conditions/air_temperature"), "1:31"),
            (1, Some("/conditions/air_temperature"), "5:35"),
            (0, Some("/conditions/humidity"), "1:48"),
            (0, Some("/reading/strokes"), "3:22"),
            // Left out: the reading's conditions, or the reading.
            (1, Some("/conditions/pressure"), "5:5"),
            (0, Some("/conditions/pressure"), "3:5"),
            (1, Some("/reading/reading/at"), "4:5"),
            (1, None, "4:5"),
        ] {
            let mut refusal = Refusal::new(Code::ReadingMissing, "x", "x");
            refusal.field = field.map(str::to_owned);
            assert_eq!(
                in_file(&refusal, index, "s", &document),
                format!("s:{expected}"),
                "{index} {field:?}"
            );
        }
    }
}
