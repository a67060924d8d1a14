//! Texts that do nothing but stand there. A text of somebody else's (a cell, a path, an argument) may hold what moves a
//! cursor, turns a line around or hides a word; here is which characters these are, and what each door out makes of them:
//! a terminal shows them by their number, JSON escapes them, files of tables leave them out. What a spreadsheet would run or
//! change is `spreadsheet`'s. No file is read or written here.

mod json;
mod spreadsheet;

use std::borrow::Cow;
use std::path::Path;

pub(crate) use json::json;
pub(crate) use spreadsheet::{bare, guarded, guarded_size, is_changed, would_run, written_in_a_sheet};

/// Whether a character acts or hides instead of showing: control characters (general category Cc), format characters (Cf:
/// bidirectional marks, zero widths, tags), separators of lines and paragraphs (Zl, Zp), what is ignored by default
/// (`Default_Ignorable_Code_Point`: fillers, variation selectors), and what is no character at all.
///
/// Source: Unicode 14.0, the union of these properties, listed by perl's tables; U+13439 to U+1343F are format characters
/// since 15.0.
pub(crate) const fn is_unseen(c: char) -> bool {
    matches!(
        c,
        '\0'..='\u{1f}'
            | '\u{7f}'..='\u{9f}'
            | '\u{ad}'
            | '\u{34f}'
            | '\u{600}'..='\u{605}'
            | '\u{61c}'
            | '\u{6dd}'
            | '\u{70f}'
            | '\u{890}'..='\u{891}'
            | '\u{8e2}'
            | '\u{115f}'..='\u{1160}'
            | '\u{17b4}'..='\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{3164}'
            | '\u{fdd0}'..='\u{fdef}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}'
            | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}'
            | '\u{110bd}'
            | '\u{110cd}'
            | '\u{13430}'..='\u{1343f}'
            | '\u{1bca0}'..='\u{1bca3}'
            | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}'
    ) || (c as u32) & 0xfffe == 0xfffe
}

/// Whether every character of a text shows; most texts are of plain letters, and are not looked up.
fn all_seen(text: &str) -> bool {
    let plain = |byte: &u8| (0x20..0x7f).contains(byte);
    text.as_bytes().iter().all(plain) || !text.chars().any(is_unseen)
}

/// A text as a terminal shows it, on one line: what parts words is a space, what does not show is named by its number,
/// as `<U+202E>`.
pub(crate) fn shown(text: &str) -> Cow<'_, str> {
    if all_seen(text) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        match c {
            c if !is_unseen(c) => shown.push(c),
            c if c.is_whitespace() => shown.push(' '),
            c => shown.push_str(&format!("<U+{:04X}>", u32::from(c))),
        }
    }
    Cow::Owned(shown)
}

/// A text as it stands in a file of tables: the ends of its lines are line feeds, what else parts words is a space, and
/// what does not show is left out.
pub(crate) fn kept(text: &str) -> Cow<'_, str> {
    if all_seen(text) {
        return Cow::Borrowed(text);
    }
    let mut kept = String::with_capacity(text.len());
    let mut before = ' ';
    for c in text.chars() {
        match c {
            '\n' if before == '\r' => {}
            '\r' | '\n' => kept.push('\n'),
            c if !is_unseen(c) => kept.push(c),
            c if c.is_whitespace() => kept.push(' '),
            _ => {}
        }
        before = c;
    }
    Cow::Owned(kept)
}

/// A text as it stands where there is one line and no cell: a title, the foot of a page.
pub(crate) fn kept_on_a_line(text: &str) -> String {
    kept(text).replace('\n', " ")
}

/// A path as it is shown: bytes that are no text stand by their numbers, as `<FF>`.
pub(crate) fn path(path: &Path) -> String {
    let mut shown = String::new();
    for chunk in path.as_os_str().as_encoded_bytes().utf8_chunks() {
        shown.push_str(chunk.valid());
        shown.extend(chunk.invalid().iter().map(|byte| format!("<{byte:02X}>")));
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the task of such a list is; each stands in Unicode's own lists of these names.
    const NAMED: [(&str, &[char]); 6] = [
        ("C0, DEL and C1", &['\0', '\u{7}', '\u{1b}', '\u{7f}', '\u{85}', '\u{9b}', '\u{9f}']),
        (
            "Bidi_Control",
            &[
                '\u{61c}', '\u{200e}', '\u{200f}', '\u{202a}', '\u{202b}', '\u{202c}', '\u{202d}',
                '\u{202e}', '\u{2066}', '\u{2067}', '\u{2068}', '\u{2069}',
            ],
        ),
        ("zero widths", &['\u{200b}', '\u{200c}', '\u{200d}', '\u{2060}', '\u{feff}', '\u{ad}']),
        ("ends of lines and paragraphs", &['\u{2028}', '\u{2029}']),
        ("tags and selectors", &['\u{e0001}', '\u{e0041}', '\u{e007f}', '\u{fe0f}', '\u{e0100}']),
        ("no characters", &['\u{fffe}', '\u{ffff}', '\u{fdd0}', '\u{10ffff}']),
    ];

    #[test]
    fn what_acts_or_hides_is_known_and_what_shows_is_left_alone() {
        for (what, characters) in NAMED {
            for c in characters {
                assert!(is_unseen(*c), "{what}: {c:?}");
            }
        }
        for c in " aZ09~äß¼½\u{a0}\u{3000}水管（𝄞🔧\u{301}\u{fffd}".chars() {
            assert!(!is_unseen(c), "{c:?}");
        }
        // As many as Unicode has, counted by perl: its categories Cc, Cf, Zl and Zp, what is ignored by default, and what is
        // no character; 7 format characters came with 15.0.
        assert_eq!(('\0'..=char::MAX).filter(|c| is_unseen(*c)).count(), COUNTED + 7);
        // Whatever the standard library calls a control character is among them.
        assert!(('\0'..=char::MAX).filter(|c| c.is_control()).all(is_unseen));
    }

    /// How many perl counts in Unicode 14.0.
    const COUNTED: usize = 4_332;

    #[test]
    fn a_terminal_names_what_does_not_show_and_a_file_leaves_it_out() {
        let text = "a\tb\r\nc\u{1b}[31m\u{202e}d\u{2028}e";
        assert_eq!(shown(text), "a b  c<U+001B>[31m<U+202E>d e");
        assert_eq!(kept(text), "a b\nc[31md e");
        assert_eq!(kept("a\rb\n\nc"), "a\nb\n\nc");
        assert_eq!(kept_on_a_line(text), "a b c[31md e");
        assert!(matches!(kept("水管 3/4\""), Cow::Borrowed(_)));
    }

    #[test]
    fn what_is_shown_or_kept_holds_nothing_unseen() {
        for c in ('\0'..=char::MAX).filter(|c| is_unseen(*c)) {
            let text = format!("x{c}y");
            assert!(!shown(&text).chars().any(is_unseen), "{c:?}");
            assert!(!kept(&text).chars().any(|c| is_unseen(c) && c != '\n'), "{c:?}");
            assert_eq!(shown(&shown(&text)), shown(&text));
        }
    }

    #[cfg(unix)]
    #[test]
    fn bytes_of_a_path_that_are_no_text_are_shown_by_their_numbers() {
        use std::ffi::OsStr;
        use std::os::unix::ffi::OsStrExt;
        assert_eq!(path(Path::new(OsStr::from_bytes(b"job\xff/r\xc3\xa4.csv"))), "job<FF>/rä.csv");
    }
}
