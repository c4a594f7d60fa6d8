//! Data to standard output, messages to standard error, colour only where it is wanted.

use std::io::{self, Write};
use std::sync::atomic::{AtomicBool, Ordering};

use clap::builder::StyledStr;
use stainbook_present::Colour;
use stainbook_present::lines::printable_lines;

/// Set once data was lost on its way out.
static LOST: AtomicBool = AtomicBool::new(false);

/// Writes data. A reader that has had enough (`| head`) is no failure; a full disk is.
pub(crate) fn data(text: &str) {
    let _ = piece(text);
}

/// Writes a piece of data; false if nobody reads on, so that nothing further need be worked out.
pub(crate) fn piece(text: &str) -> bool {
    written(io::stdout().lock(), text)
}

/// Writes to standard output, whichever way leads there; false if it did not take it.
fn written(mut stdout: impl Write, text: &str) -> bool {
    match stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush())
    {
        Ok(()) => true,
        Err(error) => {
            if error.kind() != io::ErrorKind::BrokenPipe && !LOST.swap(true, Ordering::Relaxed) {
                message(&format!("error: cannot write to standard output: {error}"));
            }
            false
        }
    }
}

/// True if data was lost on its way out.
pub(crate) fn is_lost() -> bool {
    LOST.load(Ordering::Relaxed)
}

/// Writes a message. Names of files and of catalogs, and what stands in them, steer no terminal by it.
pub(crate) fn message(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", printable_lines(text));
}

/// Writes clap's help.
pub(crate) fn data_styled(text: &StyledStr) {
    let _ = written(anstream::stdout().lock(), &text.ansi().to_string());
}

/// Writes clap's usage errors, which repeat what was given.
pub(crate) fn message_styled(text: &StyledStr) {
    let text = only_coloured(&text.ansi().to_string());
    let _ = write!(anstream::stderr().lock(), "{text}");
}

/// The text in which nothing but colours and ends of lines steers a terminal.
fn only_coloured(text: &str) -> String {
    let mut parts = text.split('\u{1b}');
    let mut out = printable_lines(parts.next().unwrap_or_default()).into_owned();
    for part in parts {
        let sequence = part.strip_prefix('[').and_then(|rest| {
            let end = rest.find(|c: char| !c.is_ascii_digit() && c != ';')?;
            rest.get(end..)?.starts_with('m').then_some(())
        });
        out.push(if sequence.is_some() {
            '\u{1b}'
        } else {
            '\u{fffd}'
        });
        out.push_str(&printable_lines(part));
    }
    out
}

/// Colour for standard output: on a terminal, unless `NO_COLOR` or the like says otherwise.
pub(crate) fn colour() -> Colour {
    match anstream::AutoStream::choice(&io::stdout()) {
        anstream::ColorChoice::Never => Colour::Plain,
        _ => Colour::Terminal,
    }
}

#[cfg(test)]
mod tests {
    use super::only_coloured;

    #[test]
    fn colours_are_let_through_and_nothing_else() {
        assert_eq!(
            only_coloured("\u{1b}[31merror:\u{1b}[0m a\u{1b}[2Kb\u{1b}]0;c\u{7}\n\u{9b}1A"),
            "\u{1b}[31merror:\u{1b}[0m a\u{fffd}[2Kb\u{fffd}]0;c\u{fffd}\n\u{fffd}1A"
        );
    }
}
