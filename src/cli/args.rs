//! The flags and commands, each with its help: the one definition behind `--help`, completions and the man page.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{Args, CommandFactory, Parser, Subcommand};

use super::screen::Screen;
use super::{CouldNot, Done, why};
use crate::table::Limits;

/// What `--help` shows: the whole program on one screen.
const HELP: &str = "\
{about}

Usage: coilstick <COMMAND> [OPTIONS]
       coilstick JOB              the same as `coilstick estimate JOB`

{subcommands}

Options:
{options}

A JOB is a folder of CSV tables, a workbook with a sheet a table, or a run list alone.
Only the tables runs and prices are needed.

Examples:
  coilstick new my-house                            a starter job: write your own over it
  coilstick check my-house                          what is wrong or doubtful, cell by cell
  coilstick estimate my-house -o my-house-estimate  workbook, order, cut plan, comparison
  coilstick compare my-house                        the systems side by side
  coilstick revise my-house my-house-b              what changed, as a change order
  coilstick explain my-house \"tee 3/4 x 3/4 x 1/2\"  where each of them comes from{after-help}";

const AFTER: &str = "\
Exit status: 0 done, 1 done and incomplete (errors, or parts that are not priced), 2 not done.
An aid, not a design: local code, the inspector and a licensed plumber decide.";

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "coilstick",
    version,
    bin_name = "coilstick",
    about = "Material takeoff and cost estimate for the plumbing rough-in of houses, from one run list",
    help_template = HELP,
    max_term_width = 96,
    after_help = AFTER,
    arg_required_else_help = true,
    subcommand_required = true
)]
pub(super) struct Options {
    /// What to do.
    #[command(subcommand)]
    pub(super) command: Command,
    /// Notices one line each
    #[arg(long, global = true, conflicts_with = "json")]
    pub(super) short: bool,
    /// Notices as JSON lines, for programs
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
    #[command(after_help = ESTIMATE)]
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
    #[command(after_help = COMPARE)]
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
    /// Show what changed and what it costs: from one job to another, at newer prices, or as really used
    #[command(after_help = REVISE)]
    Revise(Revise),
    /// Say why a quantity or a sum is what it is, line by line, each with its cell
    #[command(after_help = "Examples:\n  coilstick explain examples/lake-cabin \"tee 3/4 x 3/4 x 1/2\"\n  \
                            coilstick explain examples/lake-cabin overhead\n  \
                            coilstick explain examples/lake-cabin \"cost of tube\"\n  \
                            coilstick explain examples/lake-cabin \"joint, pex-clamp 1/2\"")]
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
    /// Write shell completions to standard output
    Completions {
        /// The shell they are for
        shell: clap_complete::Shell,
    },
    /// Write the man page to standard output
    Man,
}

/// What the help ends with, of `estimate`.
const ESTIMATE: &str = "\
Writes estimate.xlsx, takeoff.csv, order.csv, orders.csv, request-for-quote.csv, cut-plan.csv, labor.csv,
comparison.csv, bid.csv, owner.csv, owner.json, held.csv and estimate.json, and in inputs/ the tables it was
made from. Outputs appear whole or not at all; an input is never overwritten. A file that somebody wrote in is
kept as estimate-edited.xlsx and the like; the folder may stand for the job in check, explain and revise.

A price is tried without a new price list:
  coilstick estimate my-house --price-change \"tube, copper\" 12
  coilstick estimate my-house --price-change fittings -5 --price-change \"tube, pex, 1/2\" 3.5 --hold
The part (or a class of parts, or all) comes first, what narrows it behind commas: a system or
tube family, a size, a variant, a color, a supplier or a code. The percentage comes behind it, apart.
Without -o the trial goes to `<job>-estimate-trial`; every output says that it is one.";

/// What the help ends with, of `compare`.
const COMPARE: &str = "\
Examples:
  coilstick compare my-house
  coilstick compare my-house --price-change \"tube, copper\" 12 --hold
  coilstick compare house-on-manifolds house-on-trunks    two layouts, each in its chosen system
  coilstick compare house-a house-b house-c -o out        the same as layouts.csv";

/// What the help ends with, of `revise`.
const REVISE: &str = "\
Examples:
  coilstick revise my-house my-house-b             the plan changed: adds and deducts, run by run
  coilstick revise my-house my-house-b -o change   change-order.xlsx, change-order.csv, revision.json
  coilstick revise my-house --prices new-list.csv  the prices changed: what moved, by how much
  coilstick revise my-house --price-change \"tube, copper\" 12 --hold
  coilstick revise my-house --used estimate.xlsx   the sheet Used, filled in: used against bought

Items and runs are matched by their names. Quantities are priced at the old prices, and what
prices alone moved is shown apart, at the new quantities; the two are the whole difference.
A newer price list is taken on the first day all of it is good, unless --on names a day.";

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
#[command(
    after_help = "Examples:\n  coilstick new my-house\n  coilstick new my-house.xlsx --workbook\n  coilstick new \
                        --table patterns > patterns.csv"
)]
pub(super) struct New {
    /// The folder to make, or with --workbook the workbook; it must not be there yet
    #[arg(required_unless_present = "table")]
    pub(super) path: Option<PathBuf>,
    /// Write one workbook with drop-downs and a walk sheet to fill by pencil, instead of a folder of CSV tables
    #[arg(long)]
    pub(super) workbook: bool,
    /// Print one of the built-in tables as CSV, to copy rows from: parts, patterns, systems, sizes, joints, supports,
    /// fixtures; or the invented labor and tools of the starter
    #[arg(long, value_name = "NAME", conflicts_with_all = ["path", "workbook"])]
    pub(super) table: Option<String>,
}

/// Reads the arguments; a path alone means `estimate`.
pub(super) fn read(arguments: impl Iterator<Item = OsString>) -> Result<Options, clap::Error> {
    let mut arguments: Vec<OsString> = arguments.collect();
    let known = |word: &str| {
        // `help` is the parser's own and no subcommand of the definition.
        word == "help" || Options::command().get_subcommands().any(|c| c.get_name() == word)
    };
    // The first word that is no flag: a command, or a path that stands for `estimate`.
    if let Some(at) = arguments.iter().skip(1).position(|a| !a.to_string_lossy().starts_with('-'))
        && !known(&arguments[at + 1].to_string_lossy())
    {
        arguments.insert(at + 1, OsString::from("estimate"));
    }
    Options::try_parse_from(arguments)
}

/// Writes completions for a shell.
pub(super) fn completions(shell: clap_complete::Shell, screen: &mut Screen) -> Result<Done, CouldNot> {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut Options::command(), "coilstick", &mut bytes);
    screen.bytes(&bytes);
    Ok(Done::Clean)
}

/// Writes the man page.
pub(super) fn man(screen: &mut Screen) -> Result<Done, CouldNot> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(Options::command()).render(&mut bytes).map_err(why)?;
    screen.bytes(&bytes);
    Ok(Done::Clean)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_words(words: &[&str]) -> Result<Options, clap::Error> {
        read(words.iter().map(OsString::from))
    }

    #[test]
    fn the_definition_of_the_command_line_is_sound() {
        Options::command().debug_assert();
    }

    #[test]
    fn a_path_alone_means_estimate() {
        let options = read_words(&["coilstick", "cabin", "-o", "out"]).unwrap();
        assert!(
            matches!(options.command, Command::Estimate { job, out: Some(_), .. } if job.ends_with("cabin"))
        );
        let options = read_words(&["coilstick", "--quiet", "cabin"]).unwrap();
        assert!(matches!(options.command, Command::Estimate { out: None, .. }));
    }

    #[test]
    fn a_command_stays_a_command() {
        assert!(matches!(
            read_words(&["coilstick", "check", "cabin"]).unwrap().command,
            Command::Check { .. }
        ));
        assert!(read_words(&["coilstick"]).is_err());
    }

    #[test]
    fn help_is_no_job() {
        for words in [
            &["coilstick", "help"][..],
            &["coilstick", "help", "revise"],
            &["coilstick", "-q", "help", "new"],
        ] {
            assert_eq!(
                read_words(words).unwrap_err().kind(),
                clap::error::ErrorKind::DisplayHelp,
                "{words:?}"
            );
        }
    }
}
