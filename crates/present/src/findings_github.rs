//! Findings as workflow commands of GitHub Actions, which shows them beside the changed lines.
//!
//! The form is that of the GitHub documentation, "Workflow commands": `::error file=…,line=…::message`, with `%`, line
//! ends, and in parameters `:` and `,` written as percent codes.

use stainbook_document::finding::{Finding, Level};

use crate::Sources;
use crate::lines::steers;

/// One line for each finding.
pub fn render(findings: &[Finding], sources: &Sources<'_>) -> String {
    let mut out = String::new();
    for finding in findings {
        let at = sources.locate(finding.place());
        let mut line = format!(
            "::{} file={},line={},endLine={}",
            command(finding.level()),
            parameter(at.path),
            at.start.line,
            at.end.line
        );
        // Columns of different lines are refused with the whole annotation.
        if at.start.line == at.end.line && at.cell.is_none() {
            line.push_str(&format!(
                ",col={},endColumn={}",
                at.start.column, at.end.column
            ));
        }
        line.push_str(&format!(",title={}::", parameter(finding.rule())));
        let mut message = match &at.cell {
            Some(cell) => format!("{cell}: {}", finding.message_text()),
            None => finding.message_text().to_owned(),
        };
        for more in finding.notes().chain(finding.help_text()) {
            message.push('\n');
            message.push_str(more);
        }
        line.push_str(&data(&message));
        out.push_str(&line);
        out.push('\n');
    }
    out
}

/// A line for something that could not be carried out, such as a file that could not be read.
pub fn failure(code: &str, message: &str) -> String {
    format!("::error title={}::{}\n", parameter(code), data(message))
}

fn command(level: Level) -> &'static str {
    match level {
        Level::Error => "error",
        Level::Warning => "warning",
        Level::Note => "notice",
    }
}

fn data(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '%' => out.push_str("%25"),
            '\r' => out.push_str("%0D"),
            '\n' => out.push_str("%0A"),
            c if steers(c) => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

fn parameter(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}

#[cfg(test)]
mod tests {
    use stainbook_catalog::{Book, SourceFile};
    use stainbook_document::place::{FileId, Path, Place};

    use super::*;

    #[test]
    fn nothing_in_a_text_ends_the_command() {
        assert_eq!(
            data("5 % of::this\r\nthat\u{7}"),
            "5 %25 of::this%0D%0Athat\u{fffd}"
        );
        assert_eq!(parameter("a,b:c%\n"), "a%2Cb%3Ac%25%0A");
        assert_eq!(
            failure("no-catalog", "a\nb"),
            "::error title=no-catalog::a%0Ab\n"
        );
    }

    #[test]
    fn each_level_has_its_command() {
        let file = SourceFile::new(
            "a, b.pump.yaml",
            "pump: b\nkind: quay\nremark: |\n  one\n  two\n",
        );
        let (book, _) = Book::read([file]);
        let at = |key: &'static str| Place::value(FileId(0), Path::root().key(key));
        let findings = [
            Finding::of("one", Level::Error, at("kind"))
                .message("it is wrong")
                .help("write 5 %"),
            Finding::of("two", Level::Warning, at("pump"))
                .message("it is odd")
                .note("why"),
            Finding::of("three", Level::Note, Place::bytes(FileId(0), 0..14)).message("it is so"),
        ];
        assert_eq!(
            render(&findings, &Sources::of_book(&book)),
            "::error file=a%2C b.pump.yaml,line=2,endLine=2,col=7,endColumn=11,title=one::it is wrong%0Awrite 5 %25\n\
             ::warning file=a%2C b.pump.yaml,line=1,endLine=1,col=7,endColumn=8,title=two::it is odd%0Awhy\n\
             ::notice file=a%2C b.pump.yaml,line=1,endLine=2,title=three::it is so\n"
        );
    }
}
