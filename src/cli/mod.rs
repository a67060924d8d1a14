//! The command line: flags, terminal, progress. The only floor that prints.
//!
//! One command a file: it gives what it has to say as one `Outcome`, which is drawn for people or printed as JSON here.
//! [`run`] is the walk from arguments to exit status: 0 done, 1 done and incomplete (error notices, or something that is not
//! counted, not priced or without hours; outputs are marked so), 2 could not do it.

mod args;
mod bar;
mod check;
mod compare;
mod document;
mod draw;
mod drawn;
mod estimate;
mod explain;
mod help;
mod job;
mod known;
mod layouts;
mod lessons;
mod limits;
mod manual;
mod new;
mod notices;
mod revise;
mod schema;
mod screen;
mod told;
mod words;

use std::ffi::OsString;
use std::fmt::Display;
use std::process::ExitCode;

use args::{Command, Form, Options, Stopped};
use document::document;
use drawn::{Goes, lines};
use screen::Screen;
use told::{Part, Told};

use crate::ground::{Notice, Severity};

/// Runs the program with its arguments (the first is its own name).
pub fn run(arguments: impl Iterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.collect();
    let options = match args::read(&arguments, screen::width()) {
        Ok(options) => options,
        Err(Stopped::Shown(text)) => {
            // Help and version go to standard output with status 0; nothing asked for at all is status 2.
            let _ = text.print();
            return ExitCode::from(if text.use_stderr() { 2 } else { 0 });
        }
        Err(Stopped::Wrong { command, json, refusal }) => {
            let mut screen = Screen::new(false, json);
            let form = if json { Form::Json } else { Form::Drawn };
            return end(&CouldNot::Refused(refusal), command.as_deref(), form, &mut screen);
        }
    };
    let mut screen = Screen::new(options.quiet, options.json);
    let name = Some(options.command.name());
    limits::tell();
    let outcome = match limits::caught(|| done(&options, &screen)) {
        Ok(outcome) => outcome,
        Err(could_not) => return end(&could_not, name, options.form(), &mut screen),
    };
    let status = outcome.status();
    let shown: Vec<&Notice> =
        outcome.notices.iter().filter(|notice| notice.is_error() || !options.quiet).collect();
    match options.form() {
        Form::Json => screen.bytes(&document(name, status, shown, Some(&outcome.told))),
        form @ (Form::Drawn | Form::Short) => {
            notices::show(&shown, form, &mut screen);
            show(&outcome.told, &mut screen);
        }
    }
    printed(status, &mut screen)
}

/// What a command has to say.
fn done(options: &Options, screen: &Screen) -> Result<Outcome, CouldNot> {
    let limits = &options.limits();
    match &options.command {
        Command::New(asked) => new::new(asked),
        Command::Check { job } => check::check(job, limits, options.short),
        Command::Estimate { job, out, trial } => estimate::estimate(job, out.as_deref(), trial, limits),
        Command::Compare { jobs, out, all_systems, trial } => {
            compare::compare(jobs, *all_systems, out.as_deref(), trial, limits)
        }
        Command::Draw { job, out } => draw::draw(job, out.as_deref(), limits),
        Command::Revise(asked) => revise::revise(asked, limits),
        Command::Explain { job, what, all_systems } => explain::explain(job, what, *all_systems, limits),
        Command::Help { words } => help::help(words, screen.width()),
        Command::Schema { file } => schema::schema(file),
        Command::Completions { shell } => args::completions(*shell),
        Command::Man => args::man(),
    }
}

/// Draws what a command says. Where only errors are shown, what is grave goes beside the result and the rest nowhere; what
/// was asked for as a text is printed in any case.
fn show(told: &Told, screen: &mut Screen) {
    for (goes, line) in lines(told, screen.width()) {
        match (screen.is_quiet(), goes) {
            (false, Goes::Out | Goes::Grave) => screen.result(&line),
            (true, Goes::Grave) => screen.aside(&line),
            (true, Goes::Out) => {}
        }
    }
    for (_, part) in &told.parts {
        if let Part::Verbatim(text) = part {
            screen.bytes(text.as_bytes());
        }
    }
}

/// Says why a command did nothing.
fn end(could_not: &CouldNot, command: Option<&str>, form: Form, screen: &mut Screen) -> ExitCode {
    match (form, could_not) {
        (Form::Json, _) => screen.bytes(&document(command, 2, [&could_not.notice()], None)),
        (Form::Drawn | Form::Short, CouldNot::Notice(notice)) => notices::show(&[&**notice], form, screen),
        (Form::Drawn | Form::Short, CouldNot::Refused(refusal)) => {
            screen.problem(&refusal.said(), refusal.listed(), &refusal.usage)
        }
    }
    printed(2, screen)
}

/// The exit status, once all that was asked for is printed. A reader that wants no more is no failure, a full disk is.
fn printed(status: u8, screen: &mut Screen) -> ExitCode {
    let why = screen.could_not_print().map(ToString::to_string);
    match why {
        Some(why) => {
            screen.problem(&format!("not all of the result could be printed: {why}"), &[], "");
            ExitCode::from(2)
        }
        None => ExitCode::from(status),
    }
}

/// How a command went, and what it has to say.
struct Outcome {
    /// What was found in the tables, in order.
    notices: Vec<Notice>,
    /// Its result.
    told: Told,
    /// Whether its sums hold everything.
    whole: bool,
}

impl Outcome {
    /// A result that rests on no tables.
    fn of(told: Told) -> Self {
        Self { notices: Vec::new(), told, whole: true }
    }

    fn status(&self) -> u8 {
        u8::from(!self.whole || self.notices.iter().any(Notice::is_error))
    }
}

/// Why a command did nothing.
enum CouldNot {
    /// The job could not be read.
    Notice(Box<Notice>),
    /// Something else.
    Refused(Refusal),
}

/// What was refused, or could not be done.
struct Refusal {
    /// Its kind, for programs.
    kind: &'static str,
    /// In a sentence.
    why: String,
    /// What is near to what was asked for, at most [`words::MOST`].
    near: Vec<String>,
    /// How the command is used, where its words were wrong.
    usage: String,
}

impl Refusal {
    fn new(kind: &'static str, why: impl Into<String>) -> Self {
        Self { kind, why: why.into(), near: Vec::new(), usage: String::new() }
    }

    /// The same, with what is near.
    fn near(self, near: Vec<String>) -> Self {
        Self { near, ..self }
    }

    /// The sentence, with what was meant if only one thing can be.
    fn said(&self) -> String {
        match self.near.as_slice() {
            [only] => format!("{}; did you mean `{only}`?", self.why),
            _ => self.why.clone(),
        }
    }

    /// What is listed below the sentence.
    fn listed(&self) -> &[String] {
        if self.near.len() > 1 { &self.near } else { &[] }
    }
}

impl CouldNot {
    /// It as a notice.
    fn notice(&self) -> Notice {
        match self {
            Self::Notice(notice) => (**notice).clone(),
            Self::Refused(refusal) => {
                let remedy = match refusal.near.as_slice() {
                    [] => String::new(),
                    [only] => format!("type {only}"),
                    several => format!("type one of: {}", several.join("; ")),
                };
                let (why, usage) = (refusal.why.clone(), refusal.usage.clone());
                Notice::new(Severity::Error, refusal.kind, Vec::new(), why, usage, remedy)
            }
        }
    }
}

impl From<Notice> for CouldNot {
    fn from(mut notice: Notice) -> Self {
        // It is about what was named on the command line: so it is named here.
        notice.show_paths();
        Self::Notice(Box::new(notice))
    }
}

impl From<Refusal> for CouldNot {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

/// What was refused or could not be written, in a sentence.
fn why(why: impl Display) -> CouldNot {
    Refusal::new("could-not", why.to_string()).into()
}
