//! What is printed and where: results on standard output, notices and progress on standard error, color only on
//! terminals.
#![allow(clippy::print_stdout, clippy::print_stderr)] // the one file that prints

use std::io::{IsTerminal, Write};
use std::path::Path;
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
    /// Whether standard error takes color.
    color: bool,
    /// Whether standard output does.
    result_color: bool,
    progress: bool,
    begun: Instant,
    drawn: bool,
}

impl Screen {
    /// The terminal of this process.
    pub(super) fn new(quiet: bool) -> Self {
        let terminal = std::io::stderr().is_terminal();
        let wanted = std::env::var_os("NO_COLOR").is_none_or(|word| word.is_empty());
        Self {
            quiet,
            color: wanted && terminal,
            result_color: wanted && std::io::stdout().is_terminal(),
            progress: terminal && !quiet,
            begun: Instant::now(),
            drawn: false,
        }
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

    /// Lines of the result, as [`Screen::say`].
    pub(super) fn say_all(&mut self, lines: impl IntoIterator<Item = String>) {
        lines.into_iter().for_each(|line| self.say(&line));
    }

    /// Lines that were asked for, as [`Screen::result`].
    pub(super) fn results(&mut self, lines: impl IntoIterator<Item = String>) {
        lines.into_iter().for_each(|line| self.result(&line));
    }

    /// That a file was written.
    pub(super) fn written(&mut self, path: &Path) {
        self.say(&format!("written: {}", path.display()));
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

    /// A text for standard error, in color where there is color.
    pub(super) fn paint(&self, paint: Paint, text: &str) -> String {
        if self.color { colored(paint, text) } else { text.to_owned() }
    }

    /// A text for standard output, in color where there is color.
    pub(super) fn paint_result(&self, paint: Paint, text: &str) -> String {
        if self.result_color { colored(paint, text) } else { text.to_owned() }
    }

    fn clear(&mut self) {
        if self.drawn {
            let _ = write!(std::io::stderr().lock(), "\r\u{1b}[2K");
            self.drawn = false;
        }
    }
}

fn colored(paint: Paint, text: &str) -> String {
    let code = match paint {
        Paint::Red => "31;1",
        Paint::Yellow => "33;1",
        Paint::Bold => "1",
        Paint::Dim => "2",
    };
    format!("\u{1b}[{code}m{text}\u{1b}[0m")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_result_in_a_file_has_no_color_though_notices_on_a_terminal_do() {
        let screen = Screen {
            quiet: false,
            color: true,
            result_color: false,
            progress: false,
            begun: Instant::now(),
            drawn: false,
        };
        assert_eq!(screen.paint(Paint::Red, "error"), "\u{1b}[31;1merror\u{1b}[0m");
        assert_eq!(screen.paint_result(Paint::Bold, "total"), "total");
    }
}
