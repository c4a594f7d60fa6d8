//! Data to standard output, messages to standard error, colour only where it is wanted.

use std::io::{self, Write};
use std::sync::atomic::{AtomicBool, Ordering};

use clap::builder::StyledStr;
use stainbook_present::Colour;

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

/// Writes a message.
pub(crate) fn message(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{text}");
}

/// Writes clap's help.
pub(crate) fn data_styled(text: &StyledStr) {
    let _ = written(anstream::stdout().lock(), &text.ansi().to_string());
}

/// Writes clap's usage errors.
pub(crate) fn message_styled(text: &StyledStr) {
    let _ = write!(anstream::stderr().lock(), "{}", text.ansi());
}

/// Colour for standard output: on a terminal, unless `NO_COLOR` or the like says otherwise.
pub(crate) fn colour() -> Colour {
    match anstream::AutoStream::choice(&io::stdout()) {
        anstream::ColorChoice::Never => Colour::Plain,
        _ => Colour::Terminal,
    }
}
