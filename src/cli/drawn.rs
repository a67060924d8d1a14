//! Lines for a terminal of any width, none wider than it and nothing left out: sentences wrap under themselves, words that
//! no line holds are broken, tables stand side by side where there is room and one below the other where there is none.
//! Widths are those of what is seen. It prints nothing; what acts instead of showing is named here before it is measured.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::told::{Cell, Fact, Lies, Paint, Part, Table, Told, Words};
use crate::ground::inert::shown;

/// The most columns of a sentence: a longer line is hard to follow.
const SENTENCE: usize = 96;

/// The fewest columns of words beside figures.
const FEWEST: usize = 18;

/// A line of a terminal: texts, some of them in a color.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Line(pub(super) Vec<(Option<Paint>, String)>);

impl Line {
    /// A line in one color, or none.
    pub(super) fn of(paint: Option<Paint>, text: impl Into<String>) -> Self {
        Self(vec![(paint, text.into())])
    }
}

impl From<String> for Line {
    fn from(text: String) -> Self {
        Self::of(None, text)
    }
}

/// Where a line goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Goes {
    /// To the result.
    Out,
    /// To the result, and beside it where only errors are shown.
    Grave,
}

/// All lines of what a command says; verbatim texts are none.
pub(super) fn lines(told: &Told, width: usize) -> Vec<(Goes, Line)> {
    let mut all = Vec::new();
    let plain = |lines: Vec<String>| lines.into_iter().map(|line| (Goes::Out, Line::from(line)));
    for (_, part) in &told.parts {
        match part {
            Part::Words(words) => all.extend(of_words(words, width)),
            Part::Table(table) => all.extend(plain(of_table(table, width))),
            Part::Group(told) => all.extend(lines(told, width)),
            Part::Each(each) => all.extend(each.iter().flat_map(|told| lines(told, width))),
            Part::Gap => all.extend(plain(vec![String::new()])),
            Part::Value(_) | Part::Verbatim(_) => {}
        }
    }
    all
}

fn of_words(words: &Words, width: usize) -> impl Iterator<Item = (Goes, Line)> {
    let (paint, goes) = (words.paint, if words.grave { Goes::Grave } else { Goes::Out });
    let lines = wrapped(&words.label, &words.words, width);
    lines.into_iter().map(move |line| (goes, Line::of(paint, line)))
}

/// A sentence behind a label, wrapped between words; later lines stand under the first word.
pub(super) fn wrapped(label: &str, sentence: &str, width: usize) -> Vec<String> {
    let (label, sentence) = (shown(label), shown(sentence));
    let width = width.min(SENTENCE);
    // Behind a label that leaves no room the sentence goes on below it, a little to the right.
    let (mut lines, indent) = match label.width() + FEWEST <= width || label.width() <= 4 {
        true => (Vec::new(), label.width()),
        false => (broken(label.trim_end(), width), 4.min(width / 4)),
    };
    let within = broken(&sentence, width.saturating_sub(indent).max(1));
    let first = if lines.is_empty() { label.into_owned() } else { " ".repeat(indent) };
    for (at, text) in within.into_iter().enumerate() {
        let before = if at == 0 { first.clone() } else { " ".repeat(indent) };
        lines.push(format!("{before}{text}").trim_end().to_owned());
    }
    lines
}

/// A text in lines of a width: parted between words, and within a word that no line holds. Never without a line.
fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut room = width;
    let indent = text.len() - text.trim_start_matches(' ').len();
    let (front, text) = text.split_at(indent);
    let push = |lines: &mut Vec<String>, text: &str| {
        if let Some(line) = lines.last_mut() {
            line.push_str(text);
        }
    };
    push(&mut lines, front);
    room = room.saturating_sub(indent);
    let mut fresh = true;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let gap = usize::from(!fresh);
        if gap + word.width() <= room {
            push(&mut lines, &" ".repeat(gap));
            push(&mut lines, word);
            room -= gap + word.width();
        } else {
            if !fresh {
                lines.push(String::new());
                room = width;
            }
            for c in word.chars() {
                let wide = c.width().unwrap_or(0);
                if wide > room && room < width {
                    lines.push(String::new());
                    room = width;
                }
                push(&mut lines, c.encode_utf8(&mut [0; 4]));
                room = room.saturating_sub(wide);
            }
        }
        fresh = false;
    }
    lines
}

/// A text cut to a width, with a mark where something is missing: a cell beside others that are drawn to find it by.
pub(super) fn cut(text: &str, width: usize) -> String {
    let text = shown(text);
    if text.width() <= width {
        return text.into_owned();
    }
    let mut room = width.saturating_sub(1);
    let fits = |c: &char| {
        let wide = c.width().unwrap_or(0);
        let fits = wide <= room;
        room = if fits { room - wide } else { 0 };
        fits
    };
    text.chars().take_while(fits).chain(['…']).collect()
}

/// A text with spaces behind it, up to a width.
pub(super) fn padded(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(text.width())))
}

fn flushed(text: &str, width: usize) -> String {
    format!("{}{text}", " ".repeat(width.saturating_sub(text.width())))
}

fn of_table(table: &Table, width: usize) -> Vec<String> {
    match &table.lies {
        Lies::Across => across(table, width),
        Lies::Down { headed, most } => {
            let mut lines = down(table, *headed, most.as_ref().map_or(usize::MAX, |(most, _)| *most), width);
            if let Some((most, elsewhere)) = most
                && table.things.len() > *most
            {
                let more = table.things.len() - most;
                lines.extend(wrapped("  ", &format!("and {more} more{elsewhere}"), width));
            }
            lines
        }
    }
}

/// Cells in lines side by side, each as wide as is said; the first is flush left, the others flush right.
fn side_by_side(cells: &[(Vec<String>, usize)]) -> Vec<String> {
    let most = cells.iter().map(|(lines, _)| lines.len()).max().unwrap_or(0);
    let nothing = String::new();
    let line = |at: usize| {
        let texts = cells.iter().enumerate().map(|(column, (lines, width))| {
            let text = lines.get(at).unwrap_or(&nothing);
            if column == 0 { padded(text, *width) } else { flushed(text, *width) }
        });
        texts.collect::<String>().trim_end().to_owned()
    };
    (0..most).map(line).collect()
}

/// The space between columns.
const BETWEEN: usize = 3;

/// The indent of a table.
const INDENT: usize = 2;

/// A column a thing behind the heads of the facts; more things than a line holds go on below.
fn across(table: &Table, width: usize) -> Vec<String> {
    let facts: Vec<usize> = (1..table.facts.len()).filter(|at| !table.facts[*at].head.is_empty()).collect();
    let head = |at: usize| format!("{}{}", " ".repeat(INDENT), shown(&table.facts[at].head));
    let longest = facts.iter().map(|at| head(*at).width()).max().unwrap_or(0);
    let text = |thing: &[Cell], at: usize| {
        thing.get(at).map_or(String::new(), |cell| shown(&cell.shown).into_owned())
    };
    let natural = |thing: &Vec<Cell>| {
        let cells = facts.iter().copied().chain([0]).map(|at| text(thing, at).width());
        cells.max().unwrap_or(0).max(10)
    };
    let widest = table.things.iter().map(natural).max().unwrap_or(0);
    // The heads give way first, down to the fewest columns of words; then the cells wrap.
    let heads = longest.min(width.saturating_sub(widest + BETWEEN).max(FEWEST.min(width / 2)));
    let room = width.saturating_sub(heads + BETWEEN).max(1);
    let mut lines = Vec::new();
    let mut rest = table.things.as_slice();
    while !rest.is_empty() {
        let mut used = heads;
        let mut taken = 0;
        for thing in rest {
            let wide = natural(thing).min(room) + BETWEEN;
            if taken > 0 && used + wide > width {
                break;
            }
            used += wide;
            taken += 1;
        }
        let (now, later) = rest.split_at(taken);
        if !lines.is_empty() {
            lines.push(String::new());
        }
        for at in std::iter::once(0).chain(facts.iter().copied()) {
            let named = if at == 0 { String::new() } else { head(at) };
            let mut cells = vec![(under(&named, heads), heads)];
            cells.extend(now.iter().map(|thing| {
                let wide = natural(thing).min(room);
                (broken(&text(thing, at), wide), wide + BETWEEN)
            }));
            lines.extend(side_by_side(&cells));
        }
        rest = later;
    }
    lines
}

/// A head in lines, the later ones a little to the right of its beginning.
fn under(head: &str, width: usize) -> Vec<String> {
    let indent = head.len() - head.trim_start().len();
    let later = indent + 2;
    if head.width() <= width || width <= later + 4 {
        return broken(head, width);
    }
    let lines = broken(head.trim_start(), width - later);
    let before = |at: usize| " ".repeat(if at == 0 { indent } else { later });
    lines.iter().enumerate().map(|(at, line)| before(at) + line).collect()
}

/// A row a thing: figures flush right, the last fact behind them in words that wrap; where the words have no room, a line a
/// fact.
fn down(table: &Table, headed: bool, most: usize, width: usize) -> Vec<String> {
    let facts: Vec<usize> = (0..table.facts.len()).filter(|at| !table.facts[*at].head.is_empty()).collect();
    let things: Vec<&Vec<Cell>> = table.things.iter().take(most).collect();
    let Some((words, figures)) = facts.split_last() else { return Vec::new() };
    let text = |thing: &[Cell], at: usize| {
        thing.get(at).map_or(String::new(), |cell| shown(&cell.shown).into_owned())
    };
    let widths: Vec<usize> = figures
        .iter()
        .map(|at| {
            let head = if headed { table.facts[*at].head.width() } else { 0 };
            things.iter().map(|thing| text(thing, *at).width()).max().unwrap_or(0).max(head)
        })
        .collect();
    let used = INDENT + widths.iter().filter(|wide| **wide > 0).map(|wide| wide + 2).sum::<usize>();
    if used + FEWEST > width {
        return things.iter().flat_map(|thing| stacked(&table.facts, &facts, thing, width)).collect();
    }
    // Words stand flush left, figures flush right.
    let are_words = |at: usize| {
        let mut texts = things.iter().map(|thing| text(thing, at)).filter(|text| !text.is_empty());
        texts.all(|text| text.starts_with(char::is_alphabetic))
    };
    let columns = figures.iter().zip(&widths).filter(|(_, wide)| **wide > 0);
    let columns: Vec<(usize, usize, bool)> = columns.map(|(at, wide)| (*at, *wide, are_words(*at))).collect();
    let line = |cell: &dyn Fn(usize) -> String| {
        let mut before = " ".repeat(INDENT);
        for (at, wide, are_words) in &columns {
            let text = if *are_words { padded(&cell(*at), *wide) } else { flushed(&cell(*at), *wide) };
            before += &format!("{text}  ");
        }
        wrapped(&before, &cell(*words), width)
    };
    let head = |at: usize| shown(&table.facts[at].head).into_owned();
    let heads = if headed { line(&head) } else { Vec::new() };
    heads.into_iter().chain(things.iter().flat_map(|thing| line(&|at| text(thing, at)))).collect()
}

/// One thing of a narrow table: its words, then its figures, each behind its head.
fn stacked(facts: &[Fact], shown_facts: &[usize], thing: &[Cell], width: usize) -> Vec<String> {
    let Some((words, figures)) = shown_facts.split_last() else { return Vec::new() };
    let text = |at: usize| thing.get(at).map_or("", |cell| cell.shown.as_str());
    let mut lines = wrapped("  ", text(*words), width);
    for at in figures.iter().filter(|at| !text(**at).is_empty()) {
        lines.extend(wrapped(&format!("    {}: ", facts[*at].head), text(*at), width));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(texts: &[&str]) -> Vec<Cell> {
        texts.iter().map(|text| Cell::text(*text)).collect()
    }

    fn table(heads: &[&str], things: &[&[&str]], lies: Lies) -> Table {
        let facts = heads.iter().map(|head| Fact::new("", *head)).collect();
        Table { facts, things: things.iter().map(|texts| row(texts)).collect(), lies }
    }

    #[test]
    fn a_wide_letter_takes_two_columns() {
        assert_eq!((cut("水管水管", 5), padded("水管", 6)), ("水管…".to_owned(), "水管  ".to_owned()));
        assert_eq!(wrapped("", "水管水管水管", 5), ["水管", "水管", "水管"]);
    }

    #[test]
    fn a_long_sentence_stands_under_its_own_first_word() {
        let lines = wrapped("  do        ", &"word ".repeat(40), 60);
        assert!(lines[1].starts_with("            word"));
        assert!(lines.iter().all(|line| line.width() <= 60 && !line.ends_with(' ')));
        // Behind a label that leaves no room it goes on below.
        let lines = wrapped(&format!("{}: ", "label ".repeat(8).trim_end()), "some words that follow", 50);
        assert_eq!(lines, ["label label label label label label label label:", "    some words that follow"]);
    }

    #[test]
    fn a_word_that_no_line_holds_is_broken_and_whole() {
        let long = "x".repeat(200);
        let lines = wrapped("  ", &format!("see {long} there"), 60);
        assert!(lines.iter().all(|line| line.width() <= 60), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), format!("see{long}there"));
    }

    #[test]
    fn what_acts_is_named_before_it_is_measured() {
        let lines = wrapped("", &"\u{202e}a ".repeat(30), 40);
        assert!(lines.iter().all(|line| line.width() <= 40 && line.contains("<U+202E>a")), "{lines:?}");
        assert_eq!(cut("a\tb", 10), "a b");
        assert_eq!(cut("0123456789", 5), "0123…");
    }

    #[test]
    fn no_table_is_wider_than_its_terminal_and_no_cell_is_lost() {
        let systems: Vec<Vec<String>> = (0..7)
            .map(|n| vec![format!("system-of-水管-{n}"), format!("{n}123456.78"), format!("{n}9.5 %")])
            .collect();
        let things: Vec<Vec<&str>> =
            systems.iter().map(|cells| cells.iter().map(String::as_str).collect()).collect();
        let things: Vec<&[&str]> = things.iter().map(Vec::as_slice).collect();
        let heads = ["", "supports, plates, insulation and all that is nailed", "difference"];
        let lists = ["amount", "quantity", "part"];
        for width in [20, 40, 60, 80, 120, 200] {
            let across = of_table(&table(&heads, &things, Lies::Across), width);
            let down = of_table(&table(&lists, &things, Lies::Down { headed: true, most: None }), width);
            for lines in [&across, &down] {
                assert!(lines.iter().all(|line| line.width() <= width), "{width}: {lines:#?}");
            }
            // Broken cells stand in columns: what is joined again is looked for letter by letter.
            let all: String = down.concat().chars().filter(|c| *c != ' ').collect();
            for cell in systems.iter().flatten() {
                let cell: String = cell.chars().filter(|c| *c != ' ').collect();
                assert!(all.contains(&cell), "{width}: {cell} {down:#?}");
                assert!(
                    width < 40 || across.iter().any(|line| line.replace(' ', "").contains(&cell)),
                    "{width}: {cell} {across:#?}"
                );
            }
            assert!(width < 40 || across.concat().contains("difference"), "{across:#?}");
        }
    }

    #[test]
    fn a_table_with_many_columns_goes_on_below() {
        let names: Vec<String> = (0..9).map(|n| format!("system-{n}")).collect();
        let things: Vec<Vec<&str>> = names.iter().map(|name| vec![name.as_str(), "1234.56"]).collect();
        let things: Vec<&[&str]> = things.iter().map(Vec::as_slice).collect();
        let lines = of_table(&table(&["", "tube"], &things, Lies::Across), 96);
        assert_eq!(lines.iter().filter(|line| line.starts_with("  tube")).count(), 2, "{lines:#?}");
    }

    #[test]
    fn what_is_not_shown_is_counted() {
        let lies = Lies::Down { headed: false, most: Some((1, "; -o DIR writes all of them".to_owned())) };
        let lines = of_table(&table(&["sum", "part"], &[&["1", "tee"], &["2", "elbow"]], lies), 80);
        assert_eq!(lines, ["  1  tee", "  and 1 more; -o DIR writes all of them"]);
    }
}
