//! What is printed and where: results on standard output, notices and progress on standard error, color only on
//! terminals. Every line goes through here, and nothing in it acts on a terminal but our own colors.
#![allow(clippy::print_stdout, clippy::print_stderr)] // the one file that prints

use std::io::{self, IsTerminal, Write};

use terminal_size::{Width, terminal_size_of};

use super::bar::Bar;
use super::drawn::{Line, wrapped};
use super::told::Paint;
use crate::ground::inert::shown;

/// The columns of a line where no terminal says otherwise.
const WIDTH: usize = 96;

/// The fewest columns that are kept to.
const NARROWEST: usize = 20;

/// The terminal.
pub(super) struct Screen {
    quiet: bool,
    width: usize,
    /// Whether standard error takes color.
    color: bool,
    /// Whether standard output does.
    result_color: bool,
    bar: Option<Bar>,
    /// Why standard output took nothing more.
    failed: Option<io::Error>,
}

impl Screen {
    /// The terminal of this process.
    pub(super) fn new(quiet: bool, json: bool) -> Self {
        let (out, err) = (io::stdout().is_terminal(), io::stderr().is_terminal());
        let colors =
            takes_color(&|name| std::env::var_os(name).map(|word| word.to_string_lossy().into_owned()));
        // A terminal that only takes letters cannot take a line back.
        let draws = err && !quiet && !json && !is_dumb(std::env::var("TERM").ok().as_deref());
        Self {
            quiet,
            width: width(),
            color: colors && err,
            result_color: colors && out,
            bar: draws.then(|| Bar::start(print_over)).flatten(),
            failed: None,
        }
    }

    /// Whether only errors are shown.
    pub(super) fn is_quiet(&self) -> bool {
        self.quiet
    }

    /// How many columns a line has.
    pub(super) fn width(&self) -> usize {
        self.width
    }

    /// A line of the result, on standard output.
    pub(super) fn result(&mut self, line: &Line) {
        let line = painted(line, self.result_color);
        self.bytes(format!("{line}\n").as_bytes());
    }

    /// Bytes that were asked for, on standard output. A closed pipe is no error of ours: nobody wants more.
    pub(super) fn bytes(&mut self, bytes: &[u8]) {
        self.bar = None;
        if self.failed.is_some() {
            return;
        }
        let mut out = io::stdout().lock();
        self.failed = out.write_all(bytes).and_then(|()| out.flush()).err();
    }

    /// Why not all of the result could be printed; nothing where its reader wanted no more.
    pub(super) fn could_not_print(&self) -> Option<&io::Error> {
        self.failed.as_ref().filter(|why| why.kind() != io::ErrorKind::BrokenPipe)
    }

    /// A line on standard error.
    pub(super) fn aside(&mut self, line: &Line) {
        self.bar = None;
        let line = painted(line, self.color);
        let _ = writeln!(io::stderr().lock(), "{line}");
    }

    /// Why a command did nothing, what is near to what was asked for, and how the command is used.
    pub(super) fn problem(&mut self, why: &str, near: &[String], usage: &str) {
        const HEAD: &str = "could not do it:";
        for (at, line) in wrapped("", &format!("{HEAD} {why}"), self.width).into_iter().enumerate() {
            match line.strip_prefix(HEAD).filter(|_| at == 0) {
                Some(rest) => {
                    self.aside(&Line(vec![(Some(Paint::Red), HEAD.to_owned()), (None, rest.to_owned())]));
                }
                None => self.aside(&line.into()),
            }
        }
        for (at, one) in near.iter().enumerate() {
            let label = if at == 0 { "  nearest: " } else { "           " };
            wrapped(label, one, self.width).into_iter().for_each(|line| self.aside(&line.into()));
        }
        let usage = usage.lines().flat_map(|line| wrapped("", line, self.width)).collect::<Vec<_>>();
        usage.into_iter().for_each(|line| self.aside(&line.into()));
    }
}

/// Prints on the line that the cursor is in.
fn print_over(text: &str) {
    let mut err = io::stderr().lock();
    let _ = err.write_all(text.as_bytes()).and_then(|()| err.flush());
}

/// Whether anybody wants color: neither `NO_COLOR` nor a terminal that only takes letters.
fn takes_color(variable: &dyn Fn(&str) -> Option<String>) -> bool {
    variable("NO_COLOR").is_none_or(|word| word.is_empty()) && !is_dumb(variable("TERM").as_deref())
}

fn is_dumb(terminal: Option<&str>) -> bool {
    terminal == Some("dumb")
}

/// The columns of the terminal; where there is none those that `COLUMNS` says, else [`WIDTH`].
pub(super) fn width() -> usize {
    let terminal = terminal_size_of(io::stdout()).or_else(|| terminal_size_of(io::stderr()));
    let terminal = terminal.map(|(Width(columns), _)| usize::from(columns));
    let said = || std::env::var("COLUMNS").ok().and_then(|columns| columns.trim().parse().ok());
    terminal
        .filter(|columns| *columns > 0)
        .or_else(said)
        .filter(|columns| *columns > 0)
        .map_or(WIDTH, |columns| columns.max(NARROWEST))
}

/// A line as the terminal gets it.
fn painted(line: &Line, color: bool) -> String {
    let text = |(paint, text): &(Option<Paint>, String)| match paint.filter(|_| color && !text.is_empty()) {
        Some(paint) => format!("\u{1b}[{}m{}\u{1b}[0m", code(paint), shown(text)),
        None => shown(text).into_owned(),
    };
    line.0.iter().map(text).collect()
}

fn code(paint: Paint) -> &'static str {
    match paint {
        Paint::Red => "31;1",
        Paint::Yellow => "33;1",
        Paint::Bold => "1",
        Paint::Dim => "2",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_acts_on_a_terminal_but_our_own_colors() {
        let line = Line(vec![(Some(Paint::Red), "error".to_owned()), (None, " \u{1b}[2J\u{7}x".to_owned())]);
        assert_eq!(painted(&line, true), "\u{1b}[31;1merror\u{1b}[0m <U+001B>[2J<U+0007>x");
        assert_eq!(painted(&line, false), "error <U+001B>[2J<U+0007>x");
    }

    #[test]
    fn no_color_where_nobody_wants_it() {
        let takes = |variables: &[(&str, &str)]| {
            takes_color(&|name| {
                variables.iter().find(|(known, _)| *known == name).map(|(_, word)| (*word).to_owned())
            })
        };
        assert!(takes(&[]) && takes(&[("TERM", "xterm"), ("NO_COLOR", "")]));
        assert!(!takes(&[("TERM", "dumb")]) && !takes(&[("NO_COLOR", "1")]));
    }
}
