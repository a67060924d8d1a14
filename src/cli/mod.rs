//! The command line: flags, terminal, progress. The only floor that prints.
//!
//! One command a file; [`run`] is the walk from arguments to exit status: 0 done, 1 done and incomplete (error notices,
//! or something that is not counted, not priced or without hours; outputs are marked so), 2 could not do it.

mod args;
mod check;
mod compare;
mod estimate;
mod explain;
mod job;
mod layouts;
mod limits;
mod narrow;
mod new;
mod notices;
mod revise;
mod screen;

use std::ffi::OsString;
use std::fmt::Display;
use std::process::ExitCode;

use args::{Command, Options};
use screen::Screen;

use crate::ground::Notice;

/// Runs the program with its arguments (the first is its own name).
pub fn run(arguments: impl Iterator<Item = OsString>) -> ExitCode {
    let options = match args::read(arguments) {
        Ok(options) => options,
        Err(told) => {
            // Help and version go to standard output with status 0, what is wrong with the arguments is status 2.
            let code = if told.use_stderr() { 2 } else { 0 };
            let _ = told.print();
            return ExitCode::from(code);
        }
    };
    let mut screen = Screen::new(options.quiet);
    limits::tell();
    let done = limits::caught(|| act(&options, &mut screen));
    match done {
        Ok(Done::Clean) => ExitCode::SUCCESS,
        Ok(Done::Incomplete) => ExitCode::from(1),
        Err(CouldNot::Notice(notice)) => {
            notices::show(&[*notice], &options, &mut screen);
            ExitCode::from(2)
        }
        Err(CouldNot::Say(why)) => {
            match options.json {
                true => screen.aside(&notices::could_not_as_json(&why)),
                false => screen.problem(&why),
            }
            ExitCode::from(2)
        }
    }
}

/// Does what is asked.
fn act(options: &Options, screen: &mut Screen) -> Result<Done, CouldNot> {
    match &options.command {
        Command::New(new) => new::new(new, screen),
        Command::Check { job } => check::check(job, options, screen),
        Command::Estimate { job, out, trial } => {
            estimate::estimate(job, out.as_deref(), trial, options, screen)
        }
        Command::Compare { jobs, out, all_systems, trial } => {
            compare::compare(jobs, *all_systems, out.as_deref(), trial, options, screen)
        }
        Command::Revise(asked) => revise::revise(asked, options, screen),
        Command::Explain { job, what, all_systems } => {
            explain::explain(job, what, *all_systems, options, screen)
        }
        Command::Completions { shell } => args::completions(*shell, screen),
        Command::Man => args::man(screen),
    }
}

/// How a command went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Done {
    /// Nothing was in error, and all is in the sums.
    Clean,
    /// There are error notices, or something is in no sum.
    Incomplete,
}

/// Why a command did nothing.
enum CouldNot {
    /// The job could not be read.
    Notice(Box<Notice>),
    /// Something else, in a sentence.
    Say(String),
}

impl From<Notice> for CouldNot {
    fn from(notice: Notice) -> Self {
        Self::Notice(Box::new(notice))
    }
}

/// What was refused or could not be written, in a sentence.
fn why(why: impl Display) -> CouldNot {
    CouldNot::Say(why.to_string())
}

/// Shows all notices at once and says how the command went as far as they say it.
fn finish(notices: &[Notice], options: &Options, screen: &mut Screen) -> Done {
    notices::show(notices, options, screen);
    if notices.iter().any(Notice::is_error) { Done::Incomplete } else { Done::Clean }
}

impl Done {
    /// The same, incomplete where a sum of the command does not hold everything.
    fn unless(self, whole: bool) -> Self {
        if whole { self } else { Self::Incomplete }
    }
}
