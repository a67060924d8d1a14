//! Every command at every width: no line is wider than the terminal, by what is seen, and no figure is lost.

use std::path::Path;

use unicode_width::UnicodeWidthStr;

use crate::bench::{Bench, Ran};

fn example(path: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(path).to_str().unwrap().to_owned()
}

/// A run on so many columns.
fn at(bench: &Bench, words: &[&str], columns: usize) -> Ran {
    let output = bench.command(words).env("COLUMNS", columns.to_string()).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Ran { status: output.status.code().unwrap_or(-1), out: text(output.stdout), err: text(output.stderr) }
}

/// A house of wide letters with mistakes, one in each direction.
fn wide(bench: &Bench) {
    bench.clean(&["new", "wide"]);
    bench.write(
        "wide/runs.csv",
        "run,service,size,length,joins,at,pattern,to\n水管一号主管道,cold,3/4,40,main,,,\n\
         C1,cold,1/2,10,水管一号主管道,55,fixture supply,厨房的水槽在窗户下面的那一个\n\
         C2,cold,1/2,12,水管一号主管道,20,fixture supply,tub\n\
         C3,cold,1/2,十英尺十英尺十英尺十英尺十英尺十英尺,水管一号主管道,30,fixture supply,toilet\n",
    );
}

#[test]
fn no_line_is_wider_than_its_terminal_and_no_figure_is_lost() {
    let bench = Bench::new("widths");
    wide(&bench);
    let (cabin, changed, court) =
        (example("lake-cabin"), example("lake-cabin/changed"), example("courtyard-manifold"));
    let filled = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/revise");
    let (shed, used) = (filled.join("shed"), filled.join("saved-by-libreoffice.xlsx"));
    let (shed, used) = (shed.to_str().unwrap(), used.to_str().unwrap());
    for words in [
        &["check", "wide"][..],
        &["estimate", "wide", "-o", "out"],
        &["compare", "wide"],
        &["compare", &cabin],
        &["compare", &cabin, &changed, &court, "--all-systems"],
        &["estimate", &court, "-o", "out"],
        &["draw", "wide", "-o", "wide.svg"],
        &["draw", &cabin, "-o", "cabin.svg"],
        &["explain", &cabin, "tee"],
        &["explain", &cabin, "bid"],
        &["explain", &cabin, "hours"],
        &["explain", &cabin, "zeppelin mast of the airship on the roof"],
        &["revise", &cabin, &changed],
        &["revise", &cabin, "--price-change", "all", "3"],
        &["revise", shed, "--used", used],
        &["help", "runs"],
        &["help", "job"],
        &["help", "recirculation"],
        &["help", "how prices may be written"],
        &["help", "built-in parts"],
        &["help", "request-for-quote.csv"],
        &["help", "topics"],
        &["help"],
        &["help", "estimate"],
        &["help", "revise"],
        &["chek", "job"],
        &["check", "job", "--nonsense-that-is-long-enough-to-be-wrapped-on-a-narrow-terminal"],
        &["check", "no-such-job-of-a-name-that-is-longer-than-the-narrowest-terminal-holds"],
    ] {
        let most = at(&bench, words, 200);
        // The parser's own lines of usage are not wrapped: help of commands is for 60 columns and more.
        let least = if words.first() == Some(&"help") && words.len() < 3 { 60 } else { 40 };
        for columns in [40, 60, 80, 120, 200].into_iter().filter(|columns| *columns >= least) {
            let ran = at(&bench, words, columns);
            for line in ran.out.lines().chain(ran.err.lines()) {
                assert!(line.width() <= columns, "{words:?} at {columns}: {} of {line}", line.width());
            }
            // Figures are never broken: each that stands on a wide terminal stands on a narrow one.
            let figures = |text: &str| {
                let is_figure = |word: &&str| {
                    word.starts_with(|c: char| c.is_ascii_digit() || c == '+') && word.len() < 14
                };
                let mut all: Vec<String> =
                    text.split_whitespace().filter(is_figure).map(str::to_owned).collect();
                all.sort();
                all.dedup();
                all
            };
            let shown = figures(&ran.out);
            for figure in figures(&most.out) {
                assert!(shown.contains(&figure), "{words:?} at {columns}: {figure} is lost: {}", ran.out);
            }
            assert_eq!(ran.status, most.status);
        }
    }
}

#[test]
fn the_width_is_what_columns_says_and_something_usual_without_it() {
    let bench = Bench::new("columns");
    let cabin = example("lake-cabin");
    let longest = |ran: &Ran| ran.out.lines().map(UnicodeWidthStr::width).max().unwrap_or(0);
    let usual = bench.clean(&["compare", &cabin]);
    assert!((80..=100).contains(&longest(&usual)), "{}", usual.out);
    for odd in ["0", "many", "", "-3", "99999999999999999999"] {
        let output = bench.command(&["compare", &cabin]).env("COLUMNS", odd).output().unwrap();
        assert_eq!(String::from_utf8(output.stdout).unwrap(), usual.out, "{odd}");
    }
    let least = at(&bench, &["compare", &cabin], 1);
    assert!(longest(&least) <= 20, "{}", least.out);
}
