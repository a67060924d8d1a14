//! JSON in which a text of somebody's own does nothing: what does not show is escaped, so that nothing is lost and nothing
//! acts where the file is printed as it is.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::Serializer;
use serde_json::ser::Formatter;

use super::{all_seen, is_unseen};

/// Writes a value behind what is there.
pub(crate) fn json(out: &mut Vec<u8>, value: &(impl Serialize + ?Sized)) {
    // Memory takes every byte, and no value of this program fails to be written.
    let _ = value.serialize(&mut Serializer::with_formatter(out, Inert));
}

/// The compact form, but for what does not show.
struct Inert;

impl Formatter for Inert {
    fn write_string_fragment<W: Write + ?Sized>(&mut self, out: &mut W, text: &str) -> io::Result<()> {
        if all_seen(text) {
            return out.write_all(text.as_bytes());
        }
        for c in text.chars() {
            if is_unseen(c) {
                // Beyond four digits JSON takes two escapes.
                c.encode_utf16(&mut [0; 2]).iter().try_for_each(|half| write!(out, "\\u{half:04x}"))?;
            } else {
                write!(out, "{c}")?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_unseen_is_written_and_nothing_is_lost() {
        let all: String = ('\0'..=char::MAX).filter(|c| is_unseen(*c)).chain("ä\"\\水🔧".chars()).collect();
        let mut out = Vec::new();
        json(&mut out, all.as_str());
        let out = String::from_utf8(out).unwrap();
        assert!(!out.chars().any(is_unseen));
        assert_eq!(serde_json::from_str::<String>(&out).unwrap(), all);
        assert!(
            out.contains("\\u202e") && out.contains("\\u007f") && out.contains("\\udb40\\udc01"),
            "{out}"
        );
    }
}
