//! The flags and commands, each with its help: the one definition behind `--help`, completions and the man page.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand};

use super::lessons::taught;
use super::told::{Part, Told};
use super::words::near;
use super::{CouldNot, Outcome, Refusal, why};
use crate::report::starter;
use crate::table::Limits;
use crate::trade::TABLES;

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "coilstick",
    version,
    bin_name = "coilstick",
    about = "Material takeoff and cost estimate for the plumbing rough-in of houses, from one run list",
    arg_required_else_help = true,
    subcommand_required = true,
    disable_help_subcommand = true
)]
pub(super) struct Options {
    /// What to do.
    #[command(subcommand)]
    pub(super) command: Command,
    /// Notices one line each
    #[arg(long, global = true, conflicts_with = "json")]
    pub(super) short: bool,
    /// One JSON document on standard output, for programs
    #[arg(long, global = true)]
    pub(super) json: bool,
    /// Nothing but errors on the terminal
    #[arg(long, short, global = true)]
    pub(super) quiet: bool,
    /// Read more or less of a job than goes without saying: rows=4000000; a wrong name lists all of them
    #[arg(long = "limit", global = true, value_name = "NAME=N", value_parser = limit)]
    limits: Vec<String>,
}

impl Options {
    /// How much of a job is read.
    pub(super) fn limits(&self) -> Limits {
        self.limits.iter().fold(Limits::default(), |limits, said| limits.with(said).unwrap_or(limits))
    }
}

/// A limit as it is said.
fn limit(said: &str) -> Result<String, String> {
    Limits::default().with(said).map(|_| said.to_owned())
}

/// How notices are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// With the row they speak of.
    Drawn,
    /// A line each.
    Short,
    /// As JSON, the result too.
    Json,
}

impl Options {
    /// How notices are shown.
    pub(super) fn form(&self) -> Form {
        match (self.json, self.short) {
            (true, _) => Form::Json,
            (false, true) => Form::Short,
            (false, false) => Form::Drawn,
        }
    }
}

/// What the program does.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Write a starter job that runs clean as it is
    New(New),
    /// Read everything, show every notice, write nothing
    Check {
        /// The job: a folder, a workbook, or a run list
        job: PathBuf,
    },
    /// Take off, cut, buy and cost a job; write the workbook and the files to order by
    Estimate {
        /// The job: a folder, a workbook, or a run list
        job: PathBuf,
        /// The folder to write into; without it `<job>-estimate` beside the job
        #[arg(long, short)]
        out: Option<PathBuf>,
        /// Prices tried
        #[command(flatten)]
        trial: Trial,
    },
    /// Show the systems of a job side by side, or several jobs
    Compare {
        /// The job: a folder, a workbook, or a run list; several are compared with the first
        #[arg(required = true)]
        jobs: Vec<PathBuf>,
        /// A folder to write comparison.csv (of several jobs layouts.csv) into, instead of the terminal
        #[arg(long, short)]
        out: Option<PathBuf>,
        /// Of several jobs show every system of each, not the chosen one alone
        #[arg(long)]
        all_systems: bool,
        /// Prices tried
        #[command(flatten)]
        trial: Trial,
    },
    /// Draw the house from the run list: are joins, at and bearings as meant?
    Draw {
        /// The job: a folder, a workbook, or a run list
        job: PathBuf,
        /// The picture to write, a name that ends in .svg; without it `<job>-drawing.svg` beside the job
        #[arg(long, short, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Show what changed and what it costs: another plan, newer prices, or what was used
    Revise(Revise),
    /// Say why a quantity or a sum is what it is, line by line, each with its cell
    Explain {
        /// The job: a folder, a workbook, or a run list
        job: PathBuf,
        /// A part by any of its names, with or without its size; a sum (material, labor, hours, overhead, sales tax,
        /// bid, "cost of tube"...); or a work of labor.csv
        what: String,
        /// Explain it in every system compared, not in the chosen one alone
        #[arg(long)]
        all_systems: bool,
    },
    /// Show the help of a command, a table, a file, an example or a word
    Help {
        /// A command, a table, a column, a part, a pattern, a file that is written, a topic (`topics` lists them), or a
        /// word of the trade: revise, runs, tie-in, takeoff.csv, recirculation, waste, per C
        words: Vec<String>,
    },
    /// Write the JSON Schema of estimate.json to standard output
    Schema {
        /// The file it is of: estimate.json or revision.json
        #[arg(default_value = "estimate.json", hide_default_value = true)]
        file: String,
    },
    /// Write shell completions to standard output
    Completions {
        /// The shell they are for
        shell: clap_complete::Shell,
    },
    /// Write the man page to standard output
    Man,
}

impl Command {
    /// Its name.
    pub(super) fn name(&self) -> &'static str {
        match self {
            Self::New(_) => "new",
            Self::Check { .. } => "check",
            Self::Estimate { .. } => "estimate",
            Self::Compare { .. } => "compare",
            Self::Draw { .. } => "draw",
            Self::Revise(_) => "revise",
            Self::Explain { .. } => "explain",
            Self::Help { .. } => "help",
            Self::Schema { .. } => "schema",
            Self::Completions { .. } => "completions",
            Self::Man => "man",
        }
    }
}

/// The command line as it is defined, its help for so many columns.
pub(super) fn definition(width: usize) -> clap::Command {
    taught(Options::command(), width.min(96))
}

/// A revision.
#[derive(Debug, Args)]
pub(super) struct Revise {
    /// The job before: a folder, a workbook, a run list, or the folder of an estimate
    pub(super) old: PathBuf,
    /// The job now; or the estimate.xlsx of the job with its sheet Used filled in
    pub(super) new: Option<PathBuf>,
    /// A newer price list, or a folder of them, in place of those of the job
    #[arg(long, value_name = "LIST")]
    pub(super) prices: Option<PathBuf>,
    /// The day that new prices must be good on, as 2026-03-01
    #[arg(long, value_name = "DAY")]
    pub(super) on: Option<String>,
    /// The estimate.xlsx of the job with its sheet Used filled in
    #[arg(long, value_name = "WORKBOOK", conflicts_with_all = ["new", "prices", "on", "price_change", "hold"])]
    pub(super) used: Option<PathBuf>,
    /// Prices tried
    #[command(flatten)]
    pub(super) trial: Trial,
    /// A folder to write the change order into (with --used: variance.csv)
    #[arg(long, short)]
    pub(super) out: Option<PathBuf>,
}

/// Prices tried, and choices kept.
#[derive(Debug, Default, Args)]
pub(super) struct Trial {
    /// Try other prices: a part, what narrows it behind commas, and by how many percent: "tube, copper" 12
    #[arg(long, num_args = 2, value_names = ["PART", "PERCENT"], action = clap::ArgAction::Append, allow_hyphen_values = true)]
    pub(super) price_change: Vec<String>,
    /// Keep the offers and packs that are chosen at the prices before, instead of choosing again
    #[arg(long)]
    pub(super) hold: bool,
}

impl Trial {
    /// Whether prices are changed.
    pub(super) fn changes_prices(&self) -> bool {
        !self.price_change.is_empty()
    }

    /// The changes: part and percentage.
    pub(super) fn changes(&self) -> impl Iterator<Item = (&str, &str)> {
        self.price_change.chunks_exact(2).map(|pair| (&*pair[0], &*pair[1]))
    }
}

/// A starter job.
#[derive(Debug, Args)]
pub(super) struct New {
    /// The folder to make, or with --workbook the workbook; it must not be there yet
    #[arg(required_unless_present = "table")]
    pub(super) path: Option<PathBuf>,
    /// Write one workbook with drop-downs and a walk sheet to fill by pencil, instead of a folder of CSV tables
    #[arg(long)]
    pub(super) workbook: bool,
    #[arg(long, value_name = "NAME", conflicts_with_all = ["path", "workbook"], help = tables_to_print())]
    pub(super) table: Option<String>,
}

fn tables_to_print() -> String {
    let names = |(name, _): &(&'static str, &'static str)| *name;
    let built_in: Vec<&str> = TABLES.iter().map(names).collect();
    let invented: Vec<&str> = starter::invented().map(|table| names(&table)).collect();
    format!(
        "Print one of the built-in tables as CSV, to copy rows from: {}; or the invented {} of the starter",
        built_in.join(", "),
        invented.join(" and ")
    )
}

/// Why arguments are no command.
pub(super) enum Stopped {
    /// Help or the version was asked for: it is shown.
    Shown(clap::Error),
    /// They are not understood.
    Wrong {
        /// The command that they name, if any.
        command: Option<String>,
        /// Whether a program asks.
        json: bool,
        refusal: Refusal,
    },
}

/// Reads the arguments; a path alone means `estimate`. Help is for so many columns.
pub(super) fn read(arguments: &[OsString], width: usize) -> Result<Options, Stopped> {
    let mut arguments = arguments.to_vec();
    let mut command = definition(width);
    let json = arguments.iter().skip(1).take_while(|word| *word != "--").any(|word| word == "--json");
    let names: Vec<String> = command.get_subcommands().map(|one| one.get_name().to_owned()).collect();
    let first = first_word(&arguments, &command);
    let wrong = |command, refusal| Stopped::Wrong { command, json, refusal };
    let mut named = None;
    // The first word that is no flag: a command, or a path that stands for `estimate`.
    if let Some(at) = first {
        let word = arguments[at].to_string_lossy().into_owned();
        let more = arguments.get(at + 1).is_some_and(|next| !next.to_string_lossy().starts_with('-'));
        if names.contains(&word) {
            named = Some(word);
        } else if let Some(refusal) = no_command(&word, Path::new(&arguments[at]), more, &names) {
            return Err(wrong(None, refusal));
        } else {
            arguments.insert(at, OsString::from("estimate"));
            named = Some("estimate".to_owned());
        }
    }
    let read =
        command.try_get_matches_from_mut(arguments).and_then(|found| Options::from_arg_matches(&found));
    read.map_err(|error| {
        let asked = matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion);
        let bare = error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand;
        if asked || bare && !json { Stopped::Shown(error) } else { wrong(named, refused(&error)) }
    })
}

/// Where the first word stands that is neither a flag nor the value of one that goes before every command.
fn first_word(arguments: &[OsString], command: &clap::Command) -> Option<usize> {
    let takes_value = |flag: &str| {
        let mut known = command.get_arguments().filter(|one| one.get_action().takes_values());
        known.any(|one| one.get_long().is_some_and(|long| flag.strip_prefix("--") == Some(long)))
    };
    let mut at = 1;
    loop {
        match &*arguments.get(at)?.to_string_lossy() {
            "--" => return None,
            flag if flag.starts_with('-') => at += if takes_value(flag) { 2 } else { 1 },
            _ => return Some(at),
        }
    }
}

/// Why a first word is no command, if it is no path either: it is near to one, or more words follow it.
fn no_command(word: &str, path: &Path, more: bool, names: &[String]) -> Option<Refusal> {
    if path.exists() || word.contains(['/', '\\', '.']) {
        return None;
    }
    let near = near(word, names.iter().map(String::as_str));
    let refusal = Refusal::new("no-such-command", format!("no command `{word}`"));
    match (near.is_empty(), more) {
        (false, _) => Some(refusal.near(near)),
        (true, true) => {
            let why = format!("{}; there are {}", refusal.why, names.join(", "));
            Some(Refusal { why, ..refusal })
        }
        (true, false) => None,
    }
}

/// What the parser says, in a sentence, with what is near and how the command is used.
fn refused(error: &clap::Error) -> Refusal {
    let text = error.render().to_string();
    let said = text.strip_prefix("error: ").unwrap_or(&text).split("\n\n").next().unwrap_or_default();
    let why = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let context = |kind| match error.get(kind) {
        Some(ContextValue::String(one)) => vec![one.clone()],
        Some(ContextValue::Strings(several)) => several.clone(),
        Some(ContextValue::StyledStr(text)) => vec![text.to_string()],
        Some(_) | None => Vec::new(),
    };
    let near = [ContextKind::SuggestedArg, ContextKind::SuggestedSubcommand, ContextKind::SuggestedValue];
    let near = near.into_iter().flat_map(context).take(super::words::MOST).collect();
    let usage = context(ContextKind::Usage).concat();
    let usage = usage.lines().map(str::trim).collect::<Vec<_>>().join(" ");
    Refusal { usage, ..Refusal::new("arguments", why) }.near(near)
}

/// A text that was asked for, as it is.
pub(super) fn verbatim(bytes: &[u8]) -> Outcome {
    let text = String::from_utf8_lossy(bytes).into_owned();
    Outcome::of(Told { parts: vec![("text", Part::Verbatim(text))] })
}

/// Completions for a shell.
pub(super) fn completions(shell: clap_complete::Shell) -> Result<Outcome, CouldNot> {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut definition(usize::MAX), "coilstick", &mut bytes);
    Ok(verbatim(&bytes))
}

/// The man page.
pub(super) fn man() -> Result<Outcome, CouldNot> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(definition(usize::MAX)).render(&mut bytes).map_err(why)?;
    Ok(verbatim(&bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_words(words: &[&str]) -> Result<Options, Stopped> {
        read(&words.iter().map(OsString::from).collect::<Vec<_>>(), 80)
    }

    #[test]
    fn the_definition_of_the_command_line_is_sound() {
        definition(60).debug_assert();
    }

    /// What is said of wrong words, and what is near.
    fn refusal(words: &[&str]) -> (Option<String>, String, Vec<String>) {
        match read_words(words) {
            Err(Stopped::Wrong { command, refusal, .. }) => (command, refusal.why, refusal.near),
            Ok(_) | Err(Stopped::Shown(_)) => panic!("{words:?}"),
        }
    }

    #[test]
    fn a_path_alone_means_estimate() {
        let command = |words: &[&str]| read_words(words).ok().map(|options| options.command);
        assert!(matches!(
            command(&["coilstick", "cabin", "-o", "out"]),
            Some(Command::Estimate { job, out: Some(_), .. }) if job.ends_with("cabin")
        ));
        assert!(matches!(
            command(&["coilstick", "--quiet", "cabin"]),
            Some(Command::Estimate { out: None, .. })
        ));
        // A path with the name of no command, though near to one, is a path if it is there or looks like one.
        assert!(matches!(command(&["coilstick", "./chek"]), Some(Command::Estimate { .. })));
    }

    #[test]
    fn a_command_stays_a_command() {
        assert!(matches!(
            read_words(&["coilstick", "check", "cabin"]).ok().map(|options| options.command),
            Some(Command::Check { .. })
        ));
        assert!(matches!(read_words(&["coilstick"]), Err(Stopped::Shown(_))));
    }

    #[test]
    fn a_misspelled_command_or_flag_is_told_with_what_was_meant() {
        let (command, why, near) = refusal(&["coilstick", "estimat", "cabin"]);
        assert_eq!(
            (command, why.as_str(), near),
            (None, "no command `estimat`", vec!["estimate".to_owned()])
        );
        assert_eq!(refusal(&["coilstick", "chek", "cabin", "-q"]).2, ["check"]);
        assert!(refusal(&["coilstick", "frobnicate", "cabin"]).1.contains("there are new, check, estimate"));
        let (command, why, near) = refusal(&["coilstick", "check", "cabin", "--shrt"]);
        assert_eq!((command.as_deref(), near), (Some("check"), vec!["--short".to_owned()]));
        assert!(why.contains("--shrt"), "{why}");
        assert!(refusal(&["coilstick", "check", "cabin", "--short", "--json"]).1.contains("--json"));
    }

    #[test]
    fn commands_stand_in_the_order_of_a_job() {
        let definition = definition(80);
        let names: Vec<&str> = definition.get_subcommands().map(clap::Command::get_name).collect();
        assert_eq!(names[..6], ["new", "check", "estimate", "compare", "draw", "revise"]);
    }

    #[test]
    fn help_is_as_wide_as_its_terminal() {
        for width in [60, 80, 120] {
            for words in [
                &["coilstick", "--help"][..],
                &["coilstick", "revise", "--help"],
                &["coilstick", "estimate", "-h"],
            ] {
                let words: Vec<OsString> = words.iter().map(OsString::from).collect();
                let Err(Stopped::Shown(text)) = read(&words, width) else { panic!("{words:?}") };
                for line in text.render().to_string().lines() {
                    assert!(line.chars().count() <= width, "{width}: {line}");
                }
            }
        }
    }
}
