//! Lines for a terminal, none wider than [`WIDTH`] where words allow it: sentences that wrap under themselves, and
//! tables of figures with a column a system. It prints nothing; the commands call it.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::estimate::revision::Named;

/// The most columns of a line.
pub(super) const WIDTH: usize = 96;

/// The most columns of a table's first column.
const HEAD: usize = 24;

/// A sentence behind a label, wrapped between words; later lines stand under the first word.
pub(super) fn wrapped(label: &str, sentence: &str) -> Vec<String> {
    let indent = label.width();
    let mut lines = Vec::new();
    let mut line = label.to_owned();
    let mut width = indent;
    for word in sentence.split(' ').filter(|word| !word.is_empty()) {
        let long = word.width();
        if width > indent && width + 1 + long > WIDTH {
            lines.push(std::mem::replace(&mut line, " ".repeat(indent)));
            width = indent;
        }
        if width > indent {
            line.push(' ');
            width += 1;
        }
        line.push_str(word);
        width += long;
    }
    lines.push(line);
    lines
}

/// A text cut to a width, with a mark where something is missing; what would move the cursor is a space.
pub(super) fn cut(text: &str, width: usize) -> String {
    let clean = |c: char| if c.is_control() { ' ' } else { c };
    let text: String = text.chars().map(clean).collect();
    if text.width() <= width {
        return text;
    }
    let mut room = width.saturating_sub(1);
    let fits = |c: &char| {
        let fits = c.width().unwrap_or(0) <= room;
        room = if fits { room - c.width().unwrap_or(0) } else { 0 };
        fits
    };
    text.chars().take_while(fits).chain(['…']).collect()
}

/// A text with spaces behind it, up to a width.
pub(super) fn padded(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(text.width())))
}

/// An item by its name, and the system it is for in brackets.
pub(super) fn called(named: &Named) -> String {
    if named.system.is_empty() { named.called() } else { format!("{} ({})", named.called(), named.system) }
}

/// One row of a table of figures.
pub(super) struct Figures {
    /// What the figures are.
    pub(super) head: String,
    /// One a column.
    pub(super) cells: Vec<String>,
}

/// A table of figures: the heads of its columns, then its rows; more columns than a line holds go on below.
pub(super) fn table(heads: &[String], rows: &[Figures]) -> Vec<String> {
    let mut lines = Vec::new();
    let widths: Vec<usize> = (0..heads.len())
        .map(|at| {
            let cells = rows.iter().filter_map(|row| row.cells.get(at)).chain(heads.get(at));
            cells.map(|cell| cell.width()).max().unwrap_or(0).max(10) + 3
        })
        .collect();
    let mut from = 0;
    while from < heads.len() {
        let mut to = from + 1;
        while to < heads.len() && HEAD + widths[from..=to].iter().sum::<usize>() <= WIDTH {
            to += 1;
        }
        if from > 0 {
            lines.push(String::new());
        }
        let line = |head: &str, cells: &[String]| {
            let head = padded(&cut(head, HEAD), HEAD);
            let cells = cells.iter().zip(&widths).skip(from).take(to - from);
            let right = |cell: &str, width: usize| " ".repeat(width.saturating_sub(cell.width())) + cell;
            cells.fold(head, |line, (cell, width)| line + &right(cell, *width)).trim_end().to_owned()
        };
        lines.push(line("", heads));
        lines.extend(rows.iter().map(|row| line(&row.head, &row.cells)));
        from = to;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wide_letter_takes_two_columns() {
        assert_eq!((cut("水管水管", 5), padded("水管", 6)), ("水管…".to_owned(), "水管  ".to_owned()));
    }

    #[test]
    fn a_long_sentence_stands_under_its_own_first_word() {
        let lines = wrapped("  do        ", &"word ".repeat(40));
        assert_eq!(lines.len(), 3);
        assert!(lines[1].starts_with("            word"));
        assert!(lines.iter().all(|line| line.chars().count() <= WIDTH && !line.ends_with(' ')));
    }

    #[test]
    fn a_word_that_no_line_holds_stands_alone_and_whole() {
        let long = "x".repeat(200);
        let lines = wrapped("  ", &format!("see {long} there"));
        assert_eq!(lines, ["  see".to_owned(), format!("  {long}"), "  there".to_owned()]);
    }

    #[test]
    fn a_table_with_many_columns_goes_on_below() {
        let heads: Vec<String> = (0..9).map(|n| format!("system-{n}")).collect();
        let cells = heads.iter().map(|_| "1234.56".to_owned()).collect();
        let lines = table(&heads, &[Figures { head: "tube".to_owned(), cells }]);
        assert!(lines.iter().all(|line| line.chars().count() <= WIDTH));
        assert_eq!(lines.iter().filter(|line| line.starts_with("tube")).count(), 2);
    }

    #[test]
    fn what_is_cut_says_so() {
        assert_eq!(cut("a\tb", 10), "a b");
        assert_eq!(cut("0123456789", 5), "0123…");
    }
}
