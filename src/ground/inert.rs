//! What a spreadsheet makes of a text in a CSV file: it runs it, or takes it for a number, a day, a time, yes or no. Here
//! is the guard that keeps it a text: every CSV writer puts it on, the door takes it off. No file is read or written here.
//!
//! A size gets the inch mark of the trade (`3/8"`), any other text an apostrophe (`'00123`). Whole numbers as people write
//! them (`12`, `70156`) come back as they went in and need no guard.

use std::borrow::Cow;

use super::size::canonical;

/// What stands before a text that must stay one.
const MARK: char = '\'';

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
    if needs_guard(text) { Cow::Owned(format!("{MARK}{text}")) } else { Cow::Borrowed(text) }
}

/// A size as it stands in a CSV file: `3/8"` is no day and reads as `3/8` everywhere.
pub(crate) fn guarded_size(size: &str) -> Cow<'_, str> {
    if !needs_guard(size) {
        return Cow::Borrowed(size);
    }
    let inches = format!("{size}\"");
    match canonical(&inches).as_deref() == Some(size) && !needs_guard(&inches) {
        true => Cow::Owned(inches),
        false => guarded(size),
    }
}

/// A text without the guard that a writer put on. A text of somebody's own that begins with an apostrophe keeps it.
pub(crate) fn bare(text: &str) -> &str {
    text.strip_prefix(MARK).filter(|rest| needs_guard(rest)).unwrap_or(text)
}

/// Whether a spreadsheet would take a text for a formula or a command, in whatever width its sign is written and behind
/// whatever nobody sees.
pub(crate) fn would_run(text: &str) -> bool {
    let unseen = |c: char| {
        c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{ad}')
    };
    text.starts_with(['\t', '\r', '\n'])
        || text.trim_start_matches(unseen).starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
}

fn needs_guard(text: &str) -> bool {
    would_run(text) || is_changed(text) || text.strip_prefix(MARK).is_some_and(needs_guard)
}

/// Whether a spreadsheet would take a text for something else and not give it back as it was.
fn is_changed(text: &str) -> bool {
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
    fn what_a_spreadsheet_would_run_gets_a_mark_in_any_width_and_behind_what_nobody_sees() {
        for words in [
            "=1+1",
            "+1",
            "-x",
            "@sum",
            "\tx",
            "\rx",
            "＝1+1",
            "－x",
            "＠a",
            "\u{feff}=1",
            " =1",
            "\u{200b}+1",
        ] {
            assert_eq!(guarded(words), format!("'{words}"), "{words:?}");
        }
        assert_eq!(guarded("tee = good"), "tee = good");
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
            assert_eq!(canonical(bare(written)).as_deref(), Some(&*crate::ground::name::fold(size)));
        }
    }

    #[test]
    fn what_is_put_on_comes_off_and_a_mark_of_somebodys_own_stays() {
        for words in ["3/8", "'3/8", "''3/8", "'quick' tee", "'", "''", "'26", "=x", "'=x", "tee", "00123"] {
            assert_eq!(bare(&guarded(words)), words);
        }
        assert_eq!(bare("'quick' tee"), "'quick' tee");
    }
}
