//! What is printed and where: results on standard output, notices and progress on standard error, color only on
//! terminals.
#![allow(clippy::print_stdout, clippy::print_stderr)] // the one file that prints

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// A color of the terminal.
#[derive(Debug, Clone, Copy)]
pub(super) enum Paint {
    /// Errors.
    Red,
    /// Warnings.
    Yellow,
    /// What to look at.
    Bold,
    /// What stands behind.
    Dim,
}

/// The terminal.
pub(super) struct Screen {
    quiet: bool,
    color: bool,
    progress: bool,
    begun: Instant,
    drawn: bool,
}

impl Screen {
    /// The terminal of this process.
    pub(super) fn new(quiet: bool) -> Self {
        let terminal = std::io::stderr().is_terminal();
        let color = terminal && std::env::var_os("NO_COLOR").is_none();
        Self { quiet, color, progress: terminal && !quiet, begun: Instant::now(), drawn: false }
    }

    /// Whether only errors are shown.
    pub(super) fn is_quiet(&self) -> bool {
        self.quiet
    }

    /// A line of the result, on standard output. A closed pipe is no error of ours.
    pub(super) fn say(&mut self, line: &str) {
        if !self.quiet {
            self.result(line);
        }
    }

    /// A line that was asked for: `--quiet` does not take it away.
    pub(super) fn result(&mut self, line: &str) {
        self.clear();
        let _ = writeln!(std::io::stdout().lock(), "{line}");
    }

    /// Bytes that were asked for, on standard output.
    pub(super) fn bytes(&mut self, bytes: &[u8]) {
        self.clear();
        let _ = std::io::stdout().lock().write_all(bytes);
    }

    /// A line on standard error.
    pub(super) fn aside(&mut self, line: &str) {
        self.clear();
        let _ = writeln!(std::io::stderr().lock(), "{line}");
    }

    /// Why a command did nothing.
    pub(super) fn problem(&mut self, why: &str) {
        let word = self.paint(Paint::Red, "could not do it");
        self.aside(&format!("{word}: {why}"));
    }

    /// What long work is at; drawn on a terminal once the work has taken a while.
    pub(super) fn step(&mut self, doing: &str) {
        if self.progress && self.begun.elapsed() > Duration::from_millis(400) {
            let _ = write!(std::io::stderr().lock(), "\r\u{1b}[2K{doing}...");
            let _ = std::io::stderr().lock().flush();
            self.drawn = true;
        }
    }

    /// A text in color where there is color.
    pub(super) fn paint(&self, paint: Paint, text: &str) -> String {
        if !self.color {
            return text.to_owned();
        }
        let code = match paint {
            Paint::Red => "31;1",
            Paint::Yellow => "33;1",
            Paint::Bold => "1",
            Paint::Dim => "2",
        };
        format!("\u{1b}[{code}m{text}\u{1b}[0m")
    }

    fn clear(&mut self) {
        if self.drawn {
            let _ = write!(std::io::stderr().lock(), "\r\u{1b}[2K");
            self.drawn = false;
        }
    }
}
