//! What a spreadsheet makes of a text in a CSV file: it runs it, or takes it for a number, a day, a time, yes or no. Here
//! is the guard that keeps it a text: every writer of tables puts it on, the door takes it off. No file is read or written
//! here.
//!
//! What would run stands in quotation marks (`"=1"`): such a cell stays a text too when somebody edits it and confirms, or
//! saves the file under another name and opens it again, where an apostrophe is taken off. What would only be taken for
//! something else gets an apostrophe (`'00123`), and a size the inch mark of the trade (`3/8"`). Whole numbers as people
//! write them (`12`, `70156`) come back as they went in and need no guard. Behind what a program may split a cell at
//! (`;`, `,`, `|`, the end of a line) an apostrophe stands before what would run there.

use std::borrow::Cow;

use super::{is_unseen, kept};
use crate::ground::size::canonical;

/// What stands before a text that must stay one.
const MARK: char = '\'';

/// What stands around a text that would run.
const QUOTE: char = '"';

/// What begins a formula or a command, in whatever width it is written.
const RUNS: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];

/// Where a program may split a cell.
const PARTS: [char; 4] = [';', ',', '|', '\n'];

/// A whole number with more digits is shown in powers of ten.
const MOST_DIGITS: usize = 10;

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

const WEEKDAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];

/// A text as it stands in a CSV file.
pub(crate) fn guarded(text: &str) -> Cow<'_, str> {
    match written_in_a_sheet(text) {
        text if takes_mark(&text) => Cow::Owned(format!("{MARK}{text}")),
        text => text,
    }
}

/// A size as it stands in a CSV file: `3/8"` is no day and reads as `3/8` everywhere.
pub(crate) fn guarded_size(size: &str) -> Cow<'_, str> {
    if !takes_mark(size) {
        return guarded(size);
    }
    let inches = format!("{size}{QUOTE}");
    match canonical(&inches).as_deref() == Some(size) && *guarded(&inches) == *inches {
        true => Cow::Owned(inches),
        false => guarded(size),
    }
}

/// A text as it stands in a cell of a sheet, where it is known for a text: nothing in it runs, also not when the sheet is
/// saved as CSV.
pub(crate) fn written_in_a_sheet(text: &str) -> Cow<'_, str> {
    let text = kept(text);
    let parted = text.contains(PARTS).then(|| guarded_parts(&text)).flatten();
    match (would_run(&text), parted) {
        (true, parted) => Cow::Owned(format!("{QUOTE}{}{QUOTE}", parted.as_deref().unwrap_or(&text))),
        (false, Some(parted)) => Cow::Owned(parted),
        (false, None) => text,
    }
}

/// A text with a mark before what would run behind a separator; nothing where nothing would.
fn guarded_parts(text: &str) -> Option<String> {
    let mut guarded = String::new();
    let mut from = 0;
    for (at, _) in text.match_indices(PARTS) {
        let (before, behind) = text.split_at(at + 1);
        if would_run(behind) {
            guarded.extend([before.get(from..).unwrap_or(""), "'"]);
            from = before.len();
        }
    }
    guarded.push_str(text.get(from..).unwrap_or(""));
    (from > 0).then_some(guarded)
}

/// A text without the guard that a writer put on. A text of somebody's own that begins with such a mark keeps it.
pub(crate) fn bare(text: &str) -> Cow<'_, str> {
    let quoted = text.strip_prefix(QUOTE).and_then(|rest| rest.strip_suffix(QUOTE));
    let text = match quoted.filter(|within| would_run(within)) {
        Some(within) => within,
        None => text.strip_prefix(MARK).filter(|rest| takes_mark(rest)).unwrap_or(text),
    };
    let is_mark = |at: usize| {
        let (before, behind) = text.split_at(at);
        before.ends_with(PARTS) && behind.strip_prefix(MARK).is_some_and(would_run)
    };
    if !text.contains(MARK) || !text.contains(PARTS) {
        return Cow::Borrowed(text);
    }
    let marks: Vec<usize> = text.match_indices(MARK).map(|(at, _)| at).filter(|at| is_mark(*at)).collect();
    let kept = |(at, c): (usize, char)| (!marks.contains(&at)).then_some(c);
    if marks.is_empty() {
        Cow::Borrowed(text)
    } else {
        Cow::Owned(text.char_indices().filter_map(kept).collect())
    }
}

/// Whether a spreadsheet would take a text for a formula or a command, in whatever width its sign is written and behind
/// whatever a program takes off: what nobody sees, spaces, quotation marks.
pub(crate) fn would_run(text: &str) -> bool {
    let off = |c: char| c.is_whitespace() || is_unseen(c) || c == MARK || c == QUOTE;
    let rest = text.trim_start_matches(off);
    // A sign alone is no formula: sheets have a dash where there is no number.
    rest.starts_with(RUNS) && rest.trim_end().chars().nth(1).is_some()
}

/// Whether a text gets a mark of its own: a spreadsheet would change it, or it begins with such a mark.
fn takes_mark(text: &str) -> bool {
    is_changed(text) || text.strip_prefix(MARK).is_some_and(takes_mark)
}

/// Whether a spreadsheet would take a text for something else and not give it back as it was.
pub(crate) fn is_changed(text: &str) -> bool {
    let text = text.trim();
    let is_truth = ["true", "false"].iter().any(|word| text.eq_ignore_ascii_case(word));
    is_truth || (!is_plain_whole(text) && is_like_a_number_or_a_day(text))
}

fn is_plain_whole(text: &str) -> bool {
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    digits && text.len() <= MOST_DIGITS && (text == "0" || !text.starts_with('0'))
}

/// Digits with nothing beside them but what stands in numbers, sums, percentages, fractions, days and times.
fn is_like_a_number_or_a_day(text: &str) -> bool {
    let mut has_digit = false;
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        if c.is_alphabetic() {
            let end = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
            let (word, behind) = rest.split_at(end);
            let before = text.get(..text.len() - rest.len()).unwrap_or("");
            if !stands_in_values(before, word, behind) {
                return false;
            }
            rest = behind;
            continue;
        }
        let digit = c.is_ascii_digit() || ('０'..='９').contains(&c);
        if !digit && !c.is_whitespace() && !".,/:-+%()$€£¥".contains(c) {
            return false;
        }
        has_digit |= digit;
        rest = rest.get(c.len_utf8()..).unwrap_or("");
    }
    has_digit
}

/// Whether a word between such signs is one that a day, a time or a power of ten holds: `Mar`, `am`, the `E` of `1E5`.
fn stands_in_values(before: &str, word: &str, behind: &str) -> bool {
    let word = word.to_lowercase();
    let ends_in_digit = before.ends_with(|c: char| c.is_ascii_digit());
    match word.as_str() {
        "e" => {
            let power = behind.strip_prefix(['+', '-']).unwrap_or(behind);
            (ends_in_digit || before.ends_with(['.', ','])) && power.starts_with(|c: char| c.is_ascii_digit())
        }
        "a" | "p" => before.ends_with(char::is_whitespace),
        "am" | "pm" => !before.is_empty(),
        "t" => ends_in_digit && before.contains('-'),
        "z" => ends_in_digit && before.contains(':'),
        "sept" => true,
        name => name.len() >= 3 && MONTHS.iter().chain(&WEEKDAYS).any(|whole| whole.starts_with(name)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_would_run_stands_in_quotation_marks() {
        for words in
            ["=1+1", "+1", "-x", "@sum", "＝1+1", "－x", "＠a", " =1", "'=1", "\"=1", "'\"=1\"", "\"=1\""]
        {
            assert_eq!(guarded(words), format!("\"{words}\""), "{words:?}");
            assert_eq!(written_in_a_sheet(words), format!("\"{words}\""), "{words:?}");
        }
        // What nobody sees is left out first.
        for hidden in ["\u{feff}=1", "\u{200b}=1", "\u{1b}=1", "\u{202e}=1", "\u{e0020}=1"] {
            assert_eq!(guarded(hidden), "\"=1\"", "{hidden:?}");
        }
        for (words, written) in [("\t=x", "\" =x\""), ("\r=x", "\"\n'=x\""), ("\r\n@x", "\"\n'@x\"")] {
            assert_eq!(guarded(words), written, "{words:?}");
        }
        for words in ["tee = good", "a; b", "3 x 1/2, 4", "half-inch; 3/4 in.", "12' - 3'"] {
            assert_eq!(guarded(words), words);
        }
    }

    #[test]
    fn what_would_run_behind_a_separator_gets_a_mark_there() {
        for (words, written) in [
            ("a;=1", "a;'=1"),
            ("a; \"=1\"", "a;' \"=1\""),
            ("a,+b|-c\n@d", "a,'+b|'-c\n'@d"),
            ("=a;=b", "\"=a;'=b\""),
            ("a;\u{200b}=1", "a;'=1"),
            ("a;'=1", "a;''=1"),
        ] {
            assert_eq!(guarded(words), written, "{words:?}");
        }
    }

    /// What happens to a cell in other hands: it is edited and confirmed, which takes an apostrophe off; saved; split.
    #[test]
    fn a_guarded_text_never_begins_as_a_formula_however_often_it_is_typed_again_saved_and_split() {
        let signs = ["=", "+", "-", "@", "＝", "－"];
        let before =
            ["", " ", "'", "''", "\"", "\u{feff}", "\t", "\r\n", "x;", "x,", "x|", "x;'", "x; \"", "\u{ad}"];
        let shut = |text: &str| !text.trim_start().starts_with(RUNS);
        for text in before.iter().flat_map(|b| signs.map(|s| format!("{b}{s}cmd|' /C x'!A0"))) {
            let mut cell = guarded(&text).into_owned();
            for _ in 0..4 {
                assert!(shut(&cell), "{text:?}: {cell:?}");
                let parts = cell.split(PARTS);
                assert!(parts.clone().all(shut), "{text:?}: {cell:?}");
                cell = cell.strip_prefix(MARK).unwrap_or(&cell).to_owned();
            }
        }
    }

    #[test]
    fn what_a_spreadsheet_would_turn_into_a_number_or_a_day_gets_a_mark() {
        for words in [
            "3/8",
            "1-2",
            "3-4",
            "10-12",
            "00123",
            "1E5",
            "1.5e-3",
            "TRUE",
            "false",
            "2026-03-16",
            "3/4/2026",
            "Mar 5",
            "5-mar",
            "May-20",
            "12:30",
            "2 a",
            "9 pm",
            "5%",
            "$7.10",
            "1,234",
            "12.50",
            "1 1/2",
            "1-1/4",
            "123456789012345",
            "(5)",
            "５/８",
            "2026-03-16T10:00",
        ] {
            assert_eq!(guarded(words), format!("'{words}"), "{words}");
        }
        for words in [
            "",
            "H3",
            "12",
            "0",
            "70156",
            "1 x 3/4 x 1/2",
            "3/8\"",
            "12' 6\"",
            "100 ft",
            "F-4107",
            "1E",
            "12A",
            "2 x",
            "type L",
            "M1",
            "type M 1",
            "pack of 25",
            "half 1/2 x",
            "1;2",
            "mixed 1/2",
        ] {
            assert_eq!(guarded(words), words);
        }
    }

    #[test]
    fn a_size_is_guarded_as_the_trade_writes_it() {
        for (size, written) in [
            ("3/8", "3/8\""),
            ("1-1/4", "1-1/4\""),
            ("1", "1"),
            ("3/4 x 1/2", "3/4 x 1/2"),
            ("15 mm", "15 mm"),
            ("1e5", "1e5\""),
        ] {
            assert_eq!(guarded_size(size), written);
            assert_eq!(canonical(&bare(written)).as_deref(), Some(&*crate::ground::name::fold(size)));
        }
    }

    #[test]
    fn what_is_put_on_comes_off_and_a_mark_of_somebodys_own_stays() {
        for words in [
            "3/8",
            "'3/8",
            "''3/8",
            "'quick' tee",
            "'",
            "''",
            "'26",
            "=x",
            "'=x",
            "tee",
            "00123",
            "\"=1\"",
            "\"",
            "\"\"",
            "a;=1",
            "a;'=1",
            "=a;=b,+c",
            "12' 6\"",
            "\"x\"",
            "a,'b",
            "'=x'",
        ] {
            assert_eq!(bare(&guarded(words)), words);
        }
        assert_eq!(bare("'quick' tee"), "'quick' tee");
    }
}
