//! Progress of a long run, for whoever waits at a terminal. Scripts, pipes and `--quiet` see nothing of it.

use std::io::{IsTerminal as _, Read};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Time below which a run needs no bar.
const PATIENCE: Duration = Duration::from_millis(700);

/// Extent of messages that are no errors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Talk {
    /// The catalog that is used, and the progress of the run.
    Usual,
    /// Errors only.
    Quiet,
}

/// A bar on standard error.
pub(crate) struct Progress {
    bar: ProgressBar,
    since: Instant,
    waits: bool,
}

impl Progress {
    /// A bar for so many of `unit`; nothing is drawn where no person watches.
    pub(crate) fn new(total: u64, unit: Unit, talk: Talk) -> Self {
        let bar = ProgressBar::with_draw_target(Some(total), ProgressDrawTarget::hidden());
        let template = match unit {
            Unit::Bytes => "{wide_bar} {percent} %, {eta} left ",
            Unit::Records => "{wide_bar} {pos} of {len} records, {eta} left ",
            Unit::Rows => "{wide_bar} {pos} of {len} rows, {eta} left ",
            Unit::Readings => "{wide_bar} {pos} of {len} readings, {eta} left ",
        };
        if let Ok(style) = ProgressStyle::with_template(template) {
            bar.set_style(style.progress_chars("=> "));
        }
        Self {
            bar,
            since: Instant::now(),
            waits: talk == Talk::Usual && std::io::stderr().is_terminal(),
        }
    }

    /// So many are done.
    pub(crate) fn at(&mut self, done: u64) {
        if self.waits && PATIENCE <= self.since.elapsed() {
            self.waits = false;
            self.bar
                .set_draw_target(ProgressDrawTarget::stderr_with_hz(4));
        }
        self.bar.set_position(done);
    }

    /// Takes the bar away.
    pub(crate) fn end(&self) {
        self.bar.finish_and_clear();
    }
}

/// Units of progress.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unit {
    /// Bytes of a file.
    Bytes,
    /// Records that are worked out again.
    Records,
    /// Rows of a worksheet.
    Rows,
    /// Readings of a survey file, each with its draws.
    Readings,
}

/// A reader that counts what went through it.
pub(crate) struct Counted<R> {
    inner: R,
    count: std::rc::Rc<std::cell::Cell<u64>>,
}

impl<R> Counted<R> {
    pub(crate) fn new(inner: R) -> (Self, std::rc::Rc<std::cell::Cell<u64>>) {
        let count = std::rc::Rc::new(std::cell::Cell::new(0));
        (
            Self {
                inner,
                count: std::rc::Rc::clone(&count),
            },
            count,
        )
    }
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let read = self.inner.read(buffer)?;
        self.count
            .set(self.count.get() + u64::try_from(read).unwrap_or(0));
        Ok(read)
    }
}
