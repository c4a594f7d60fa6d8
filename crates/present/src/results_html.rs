//! Results as a field record to print and sign: on A4 or Letter, in black and white.
//!
//! The layout is a template, which a lab may put its own in the place of. A template is given `evaluation`, with the keys of
//! the [JSON](crate::results_json) output, and these filters beside the usual ones:
//!
//! | filter | makes | of |
//! | --- | --- | --- |
//! | `figure` | three significant digits | a number |
//! | `plain` | all digits, and no more than there are | a number |
//! | `part` | a percentage, `<0.1 %` and `>99.9 %` at the ends | a part of 1 |
//! | `words` | words | a word for scripts: `cannot_tell`, `leak-test` |
//!
//! Everything that is put into the page is escaped. What the evaluation does not have is an error of the template, never an
//! empty place on a record.

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{
    AutoEscape, Environment, ErrorKind, UndefinedBehavior, Value, context, escape_formatter,
};
use stainbook_core::print;
use stainbook_evaluation::Evaluation;

use crate::lines::printable_lines;
use crate::measurement_model;

/// The layout that is used if a lab has none of its own; a good beginning for one.
pub const TEMPLATE: &str = include_str!("results_html/field_record.html");

/// Bytes of the longest template: an expression in it can be as deep as it is long, and each level takes a place on the stack
/// of whoever reads it. [`STACK`] is enough for this.
pub const LONGEST_TEMPLATE: usize = 64 << 10;

/// Bytes of stack that any template within its length is read and filled in with. Whoever takes templates from others runs
/// [`render_with`] in a thread that has them.
pub const STACK: usize = 256 << 20;

/// Steps of a template, and what it makes in blocks of 64 bytes, before it is given up: some hundred times what the usual
/// layout takes, for the page and for each row of it.
const FUEL: u64 = 5_000_000;
const FUEL_FOR_A_ROW: u64 = 500_000;

/// Problem of a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateProblem {
    /// The line, counted from 1.
    pub line: Option<usize>,
    /// The problem.
    pub message: String,
}

impl std::fmt::Display for TemplateProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.message),
            None => f.write_str(&self.message),
        }
    }
}

impl std::error::Error for TemplateProblem {}

/// The field record.
///
/// # Errors
///
/// None that is known: the template is ours.
pub fn render(evaluation: &Evaluation) -> Result<String, TemplateProblem> {
    render_with(TEMPLATE, evaluation)
}

/// The field record in a lab's own layout.
///
/// # Errors
///
/// [`TemplateProblem`]: the template cannot be read, or asks for what is not there.
///
/// # Example
///
/// ```
/// use stainbook_present::results_html::render_with;
/// use stainbook_evaluation::Evaluation;
///
/// let mut evaluation = Evaluation::default();
/// evaluation.title = Some("Quay & hold".to_owned());
/// assert_eq!(render_with("<h1>{{ evaluation.title }}</h1>", &evaluation).unwrap(), "<h1>Quay &amp; hold</h1>");
/// assert_eq!(render_with("\n{{ evaluation.titel }}", &evaluation).unwrap_err().line, Some(2));
/// ```
pub fn render_with(template: &str, evaluation: &Evaluation) -> Result<String, TemplateProblem> {
    if LONGEST_TEMPLATE < template.len() {
        let (has, most) = (template.len(), LONGEST_TEMPLATE >> 10);
        return Err(TemplateProblem {
            line: None,
            message: format!("the template has {has} bytes, and at most {most} KiB are read"),
        });
    }
    let mut environment = Environment::new();
    let rows = evaluation.results.len() + evaluation.together.len();
    let rows = u64::try_from(rows).unwrap_or(u64::MAX);
    environment.set_fuel(Some(
        FUEL.saturating_add(rows.saturating_mul(FUEL_FOR_A_ROW)),
    ));
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    // Lines that hold a tag only leave nothing behind on the page.
    if let Ok(syntax) = SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .build()
    {
        environment.set_syntax(syntax);
    }
    // A page too can be made to read otherwise than what is on record, by marks that turn the direction of writing.
    environment.set_formatter(|out, state, value| match value.as_str() {
        Some(text) if !value.is_safe() => {
            escape_formatter(out, state, &Value::from(printable_lines(text).as_ref()))
        }
        _ => escape_formatter(out, state, value),
    });
    environment.add_filter("figure", |number: f64| print::to_significant(number, 3));
    environment.add_filter("plain", print::number);
    environment.add_filter("part", print::probability_in_percent);
    environment.add_filter("words", |word: String| word.replace(['_', '-'], " "));
    environment
        .render_str(
            template,
            context! {
                evaluation => Value::from(Serde(evaluation)),
                measurement_model => measurement_model::PARAGRAPH,
            },
        )
        .map_err(|error| TemplateProblem {
            line: error.line(),
            message: match error.detail() {
                _ if error.kind() == ErrorKind::OutOfFuel => {
                    "the template goes on and on; look for a loop that repeats too often".to_owned()
                }
                Some(detail) => format!("{}: {detail}", error.kind()),
                None => error.kind().to_string(),
            },
        })
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::Book;
    use stainbook_evaluation::result::Verdict;
    use stainbook_evaluation::{Options, evaluate};

    use super::*;

    #[test]
    fn a_template_that_does_not_end_is_given_up() {
        let forever = [
            "{% for a in range(99999) %}{% for b in range(99999) %}{% endfor %}{% endfor %}".to_owned(),
            "{% set n = namespace(x='xxxxxxxx') %}{% for a in range(99) %}{% set n.x = n.x ~ n.x %}{% endfor %}".to_owned(),
            format!("{{% set a = 'x' %}}{}", "{% set a = a ~ a %}".repeat(60)),
            "{{ \"%1000000000d\"|format(1) }}".to_owned(),
            "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}".to_owned(),
        ];
        for template in forever {
            let problem = render_with(&template, &Evaluation::default()).unwrap_err();
            assert!(!problem.message.is_empty(), "{template}");
        }
        // The usual layout takes a small part of what there is.
        assert!(render(&demo()).is_ok());
    }

    #[test]
    fn a_template_as_deep_as_it_is_long_is_read_or_refused() {
        for piece in [
            "-",
            "not ",
            "1+",
            "(",
            "[",
            "{% if 1 %}",
            "x.",
            "a|b|",
            "{{",
            "-(",
            "x[",
        ] {
            let mut template = "{{ ".to_owned() + &piece.repeat(LONGEST_TEMPLATE / piece.len() - 8);
            template.truncate(LONGEST_TEMPLATE - 5);
            template.push_str("1 }}");
            let run = move || render_with(&template, &Evaluation::default()).map(|page| page.len());
            let thread = std::thread::Builder::new().stack_size(STACK).spawn(run);
            // That it comes to an end is all that is asked.
            thread.unwrap().join().unwrap().ok();
        }
        let long = " ".repeat(LONGEST_TEMPLATE + 1);
        assert!(render_with(&long, &Evaluation::default()).is_err());
    }

    fn demo() -> Evaluation {
        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        evaluate(&book, survey, &Options::default())
    }

    #[test]
    fn the_record_has_a_page_for_each_reading_and_all_that_is_signed() {
        let evaluation = demo();
        let page = render(&evaluation).unwrap();
        let read = page.replace("&#x2f;", "/").replace("&#x27;", "'");
        assert_eq!(page.matches("<article>").count(), evaluation.results.len());
        for wanted in [
            "never clear a confined space",
            "pump leak-tested with an unbroken tube",
            "Reviewed by (initials, date)",
            evaluation.software.as_str(),
            evaluation.catalog_revision.as_deref().unwrap(),
            evaluation.results[0].sheet_digest.as_deref().unwrap(),
        ] {
            assert!(page.contains(wanted), "{wanted}");
        }
        for result in &evaluation.results {
            for step in &result.corrections {
                assert!(read.contains(&step.from.words), "{}", step.from.words);
            }
        }
        assert!(!page.contains("<script") && !page.contains("http"));
    }

    #[test]
    fn what_was_typed_cannot_become_part_of_the_page() {
        let mut evaluation = demo();
        let bad = "<img src=x onerror=alert(1)>&\"'";
        evaluation.title = Some(bad.to_owned());
        for result in &mut evaluation.results {
            result.place = Some(bad.to_owned());
            result.id = bad.to_owned();
            if let Some(remark) = result.inputs.pointer_mut("/reading/remark") {
                *remark = bad.into();
            }
        }
        let page = render(&evaluation).unwrap();
        assert!(!page.contains("<img") && page.contains("&lt;img"));
    }

    /// Readings together and common notes: each stands on the record once.
    #[test]
    fn readings_together_and_notes() {
        let (book, _) = Book::demo();
        let (_, survey) = book
            .surveys()
            .find(|(_, survey)| !survey.together.is_empty())
            .unwrap();
        let evaluation = evaluate(&book, survey, &Options::default());
        let page = render(&evaluation).unwrap();
        let read = page.replace("&#x2f;", "/").replace("&#x27;", "'");
        assert!(1 < evaluation.together.len());
        for together in &evaluation.together {
            assert!(
                read.contains(&format!("<b>{}</b>", together.id)),
                "{}",
                together.id
            );
            assert!(read.contains(&together.what), "{}", together.what);
        }
        // What is found of gases solved for together is judged on the record as well.
        let solved = evaluation.together.iter().flat_map(|row| &row.solved);
        let mut judged = 0;
        for (gas, against) in solved.flat_map(|gas| gas.against.iter().map(move |a| (gas, a))) {
            let verdict = match against.verdict {
                Some(Verdict::Above) => "ABOVE",
                Some(Verdict::Below) => "below",
                Some(Verdict::CannotTell) => "cannot tell",
                None => continue,
            };
            judged += 1;
            let row = format!("{}: <b>{verdict}</b>", gas.reading);
            assert!(read.contains(&row), "{row}");
        }
        assert!(4 < judged);
        for remark in evaluation
            .results
            .iter()
            .flat_map(|result| &result.statements)
        {
            let note = format!("<li>{}</li>", remark.text);
            assert_eq!(read.matches(&note).count(), 1, "{note}");
        }
        // Each reading names the numbers of its notes.
        let first = evaluation
            .results
            .iter()
            .find(|result| !result.statements.is_empty())
            .unwrap();
        let article = read.split("<article>").nth(1).unwrap();
        assert_eq!(first.id, evaluation.results[0].id);
        assert!(article.contains("Read with it note"), "{article}");
    }

    #[test]
    fn a_refused_row_of_a_table_has_its_page_too() {
        let mut evaluation = Evaluation::default();
        let row = stainbook_evaluation::ReadingResult::empty("line 3");
        evaluation.results.push(row);
        assert!(render(&evaluation).unwrap().contains("no result"));
    }
}
