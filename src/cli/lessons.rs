//! What the help of the program and of its commands teaches beside the flags: examples, and a few sentences, laid out for so
//! many columns. It prints nothing and reads no arguments.

use super::drawn::{padded, wrapped};
use crate::report::FILES;

/// A command line and what it does.
type Example = (&'static str, &'static str);

/// What the help of the program begins with, before its commands.
const BEGIN: [Example; 2] = [
    ("Usage: coilstick <COMMAND> [OPTIONS]", ""),
    ("       coilstick JOB", "the same as `coilstick estimate JOB`"),
];

/// What it shows behind its commands.
const JOBS: &str = "A JOB is a folder of CSV tables, a workbook with a sheet a table, or a run list alone. Only the tables \
                    runs and prices are needed.";

const EXAMPLES: [Example; 7] = [
    ("coilstick new my-house", "a starter job: write your own over it"),
    ("coilstick check my-house", "what is wrong or doubtful, cell by cell"),
    ("coilstick estimate my-house -o my-house-estimate", "workbook, order, cut plan, comparison"),
    ("coilstick compare my-house", "the systems side by side"),
    ("coilstick revise my-house my-house-b", "what changed, as a change order"),
    ("coilstick explain my-house \"tee 3/4 x 3/4 x 1/2\"", "where each of them comes from"),
    ("coilstick help topics", "tables, prices, examples, at length"),
];

const AFTER: [&str; 2] = [
    "Exit status: 0 done, 1 done and incomplete (errors, or parts that are not priced), 2 not done.",
    "An aid, not a design: local code, the inspector and a licensed plumber decide.",
];

/// A command line whose help teaches, for so many columns.
pub(super) fn taught(command: clap::Command, width: usize) -> clap::Command {
    let after = paragraphs(&AFTER, width).join("\n");
    let command = command.help_template(template(width)).after_help(after).term_width(width);
    let names: Vec<String> = command.get_subcommands().map(|one| one.get_name().to_owned()).collect();
    // Each is taken out and put back, those without a lesson too, so that they stay in their order.
    names.into_iter().fold(command, |command, name| {
        let taught = LESSONS.iter().find(|lesson| lesson.command == name).map(|lesson| lesson.text(width));
        command.mut_subcommand(name, |one| match taught {
            Some(text) => one.after_help(text),
            None => one,
        })
    })
}

/// What the help of a command ends with: paragraphs, examples, paragraphs.
struct Lesson {
    command: &'static str,
    /// Paragraphs; `{files}` are the files of an estimate.
    before: &'static [&'static str],
    examples: &'static [Example],
    after: &'static [&'static str],
}

impl Lesson {
    fn text(&self, width: usize) -> String {
        let files = FILES.join(", ");
        let before: Vec<String> = self.before.iter().map(|words| words.replace("{files}", &files)).collect();
        let mut lines = paragraphs(&before, width);
        lines.extend(examples(self.examples, "  ", width));
        if !self.after.is_empty() {
            lines.push(String::new());
            lines.extend(paragraphs(self.after, width));
        }
        lines.join("\n")
    }
}

const LESSONS: [Lesson; 8] = [
    Lesson {
        command: "new",
        before: &["Examples:"],
        examples: &[
            ("coilstick new my-house", ""),
            ("coilstick new my-house.xlsx --workbook", ""),
            ("coilstick new --table patterns > patterns.csv", ""),
        ],
        after: &[],
    },
    Lesson {
        command: "estimate",
        before: &[
            "Writes {files}; in papers/ what is handed over: the bid, an order and a request to each supplier, the shopping list, \
             the cut plan and the test sheet; and in inputs/ the tables it was made from. `coilstick help files` says what each \
             is. Outputs appear whole or not at all; an input is never overwritten. A file that somebody wrote in is kept as \
             estimate-edited.xlsx and the like; the folder may stand for the job in check, explain and revise.",
            "",
            "A price is tried without a new price list:",
        ],
        examples: &[
            ("coilstick estimate my-house --price-change \"tube, copper\" 12", ""),
            (
                "coilstick estimate my-house --price-change fittings -5 --price-change \"tube, pex, 1/2\" 3.5 --hold",
                "",
            ),
        ],
        after: &[
            "The part (or a class of parts, or all) comes first, what narrows it behind commas: a system or tube family, \
             a size, a variant, a color, a supplier or a code. The percentage comes behind it, apart.",
            "Without -o the trial goes to `<job>-estimate-trial`; every output says that it is one.",
        ],
    },
    Lesson {
        command: "compare",
        before: &["Examples:"],
        examples: &[
            ("coilstick compare my-house", ""),
            ("coilstick compare my-house --price-change \"tube, copper\" 12 --hold", ""),
            (
                "coilstick compare house-on-manifolds house-on-trunks",
                "two layouts, each in its chosen system",
            ),
            ("coilstick compare house-a house-b house-c -o out", "the same as layouts.csv"),
        ],
        after: &[],
    },
    Lesson {
        command: "draw",
        before: &["Examples:"],
        examples: &[
            ("coilstick draw my-house", ""),
            ("coilstick draw my-house -o pictures/my-house.svg", ""),
        ],
        after: &[
            "Runs with a path are drawn to scale: east to the right, north to the right and up, up is up. Runs without one are a line \
             diagram, feet along from where they join. What a notice speaks of has a ring with its number. Nothing is counted or \
             priced. Open the picture in any browser; it prints on one sheet.",
            "A drawing of this program is replaced, and kept under another name where somebody wrote in it; no other file is.",
        ],
    },
    Lesson {
        command: "revise",
        before: &["Examples:"],
        examples: &[
            ("coilstick revise my-house my-house-b", "the plan changed: adds and deducts, run by run"),
            (
                "coilstick revise my-house my-house-b -o change",
                "change-order.xlsx, change-order.csv, revision.json, and papers/ to hand over",
            ),
            (
                "coilstick revise my-house --prices new-list.csv",
                "the prices changed: what moved, by how much",
            ),
            ("coilstick revise my-house --price-change \"tube, copper\" 12 --hold", ""),
            (
                "coilstick revise my-house --used estimate.xlsx",
                "the sheet Used, filled in: used against bought",
            ),
        ],
        after: &[
            "Items and runs are matched by their names. Quantities are priced at the old prices, and what prices alone \
             moved is shown apart, at the new quantities; the two are the whole difference. A newer price list is taken \
             on the first day all of it is good, unless --on names a day.",
        ],
    },
    Lesson {
        command: "explain",
        before: &["Examples:"],
        examples: &[
            ("coilstick explain examples/lake-cabin \"tee 3/4 x 3/4 x 1/2\"", ""),
            ("coilstick explain examples/lake-cabin overhead", ""),
            ("coilstick explain examples/lake-cabin \"cost of tube\"", ""),
            ("coilstick explain examples/lake-cabin \"joint, pex-clamp 1/2\"", ""),
        ],
        after: &[],
    },
    Lesson {
        command: "schema",
        before: &["Examples:"],
        examples: &[
            ("coilstick schema > estimate.schema.json", ""),
            ("coilstick schema revision.json", "of the file that revise -o writes"),
        ],
        after: &[
            "`format` in a file and at the end of the schema's $id is the version: added keys keep it, so pass over keys that you do \
                  not know.",
        ],
    },
    Lesson {
        command: "help",
        before: &["Examples:"],
        examples: &[
            ("coilstick help estimate", "a command"),
            ("coilstick help runs", "a table: how it is written, and its columns"),
            ("coilstick help recirculation", "a worked example, with the rows to type"),
            ("coilstick help order.csv", "a file that is written"),
            ("coilstick help toilet", "a pattern, part or fixture"),
            ("coilstick help allowance", "a word"),
            ("coilstick help topics", "what is written at length"),
        ],
        after: &[],
    },
];

/// Paragraphs, wrapped.
fn paragraphs(all: &[impl AsRef<str>], width: usize) -> Vec<String> {
    all.iter().flat_map(|words| wrapped("", words.as_ref(), width)).collect()
}

/// Command lines with what they do behind them; where a line does not hold both, below them.
fn examples(all: &[Example], indent: &str, width: usize) -> Vec<String> {
    let longest =
        all.iter().filter(|(_, does)| !does.is_empty()).map(|(line, _)| line.len()).max().unwrap_or(0);
    let beside = |(line, does): &Example| format!("{indent}{}  {does}", padded(line, longest));
    let fits = all.iter().filter(|(_, does)| !does.is_empty()).all(|one| beside(one).len() <= width);
    let draw = |one: &Example| match (one.1.is_empty(), fits) {
        (false, true) => vec![beside(one)],
        (empty, _) => {
            let mut lines = wrapped(indent, one.0.trim_start(), width);
            if !empty {
                lines.extend(wrapped(&format!("{indent}    "), one.1, width));
            }
            lines
        }
    };
    all.iter().flat_map(draw).collect()
}

/// What `--help` shows: the whole program on one screen.
fn template(width: usize) -> String {
    let lines = |lines: Vec<String>| lines.join("\n");
    let (usage, jobs) = (lines(examples(&BEGIN, "", width)), lines(paragraphs(&[JOBS], width)));
    let shown = lines(examples(&EXAMPLES, "  ", width));
    format!(
        "{{about}}\n\n{usage}\n\n{{subcommands}}\n\nOptions:\n{{options}}\n\n{jobs}\n\nExamples:\n{shown}{{after-help}}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_example_stands_beside_what_it_does_where_there_is_room() {
        let all = [("coilstick new a", "a starter"), ("coilstick check a", "")];
        assert_eq!(examples(&all, "  ", 80), ["  coilstick new a  a starter", "  coilstick check a"]);
        assert_eq!(examples(&all, "  ", 24), ["  coilstick new a", "      a starter", "  coilstick check a"]);
    }
}
