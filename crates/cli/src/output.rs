//! Data to standard output, messages to standard error, colour only where it is wanted.

use std::io::{self, Write};

use clap::builder::StyledStr;
use stainbook::present::Colour;

/// Writes data. A reader that has had enough (`| head`) is no failure.
pub(crate) fn data(text: &str) {
    let _ = io::stdout().lock().write_all(text.as_bytes());
}

/// Writes a message.
pub(crate) fn message(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{text}");
}

/// Writes clap's help.
pub(crate) fn data_styled(text: &StyledStr) {
    let _ = write!(anstream::stdout().lock(), "{}", text.ansi());
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
