//! Takes an XML part of a workbook apart, token by token, under caps. It knows tags and texts and no workbook.
//!
//! Why not a general XML reader: those gather a whole text before they hand it over, and one text of a workbook can
//! unpack to gigabytes. Here a text is kept up to the cap of a cell and the rest of it is passed over.

use std::borrow::Cow;
use std::io::{BufRead, BufReader, Read, Take};

use super::caps;
use super::findings::damaged;
use crate::ground::notice::Finding;

/// What comes next in a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token {
    /// A tag that opens: its name and attributes can be asked. `<v/>` opens and closes.
    Open,
    /// A tag that closes.
    Close,
    /// Text between tags.
    Text,
    /// The end of the part.
    End,
}

/// The longest tag that is read, attributes and all.
const TAG_BYTES: u64 = 65_536;

/// A part being read.
pub(super) struct Xml<R: Read> {
    source: BufReader<Take<R>>,
    tag: Vec<u8>,
    raw: Vec<u8>,
    text: String,
    /// Where the name of the tag stands in it.
    name: (usize, usize),
    /// A tag that opened and closes at once: its close is still to come.
    closes: bool,
    /// A `<` was met behind a text: its tag is still to come.
    in_tag: bool,
    /// What is told where the part unpacks to too much.
    beyond: Finding,
}

impl<R: Read> Xml<R> {
    /// Reads a part that unpacks to at most so many bytes; what is told beyond.
    pub(super) fn new(part: R, most: u64, beyond: Finding) -> Self {
        Self {
            source: BufReader::with_capacity(32_768, part.take(most)),
            tag: Vec::new(),
            raw: Vec::new(),
            text: String::new(),
            name: (0, 0),
            closes: false,
            in_tag: false,
            beyond,
        }
    }

    /// The next token.
    pub(super) fn next(&mut self) -> Result<Token, Finding> {
        if std::mem::take(&mut self.closes) {
            return Ok(Token::Close);
        }
        loop {
            if !std::mem::take(&mut self.in_tag) {
                self.take_text()?;
                if !self.text.is_empty() {
                    return Ok(Token::Text);
                }
                if !std::mem::take(&mut self.in_tag) {
                    return self.end();
                }
            }
            self.take_tag()?;
            match self.tag.first() {
                Some(b'?' | b'!') => {
                    if self.tag.starts_with(b"![CDATA[") {
                        self.take_cdata()?;
                        return Ok(Token::Text);
                    }
                }
                Some(b'/') => {
                    self.take_name(1);
                    return Ok(Token::Close);
                }
                Some(_) => {
                    if self.tag.last() == Some(&b'/') {
                        self.tag.pop();
                        self.closes = true;
                    }
                    self.take_name(0);
                    return Ok(Token::Open);
                }
                None => return Err(damaged("a tag without a name")),
            }
        }
    }

    /// Goes on to the next tag that opens; whether there is one.
    pub(super) fn next_tag(&mut self) -> Result<bool, Finding> {
        loop {
            match self.next()? {
                Token::Open => return Ok(true),
                Token::End => return Ok(false),
                Token::Close | Token::Text => {}
            }
        }
    }

    /// The name of the tag, without its namespace.
    pub(super) fn name(&self) -> &str {
        let (start, end) = self.name;
        self.tag.get(start..end).and_then(|name| std::str::from_utf8(name).ok()).unwrap_or("")
    }

    /// The text of a text token; one beyond the cap of a cell keeps one byte more than the cap, so that it shows.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// An attribute of the tag that opened last, by its name without namespace.
    pub(super) fn attribute(&self, wanted: &str) -> Option<Cow<'_, str>> {
        let [found] = self.attributes([wanted]);
        found
    }

    /// Several attributes of the tag that opened last, in one pass over it.
    pub(super) fn attributes<const N: usize>(&self, wanted: [&str; N]) -> [Option<Cow<'_, str>>; N] {
        let mut found = [const { None }; N];
        let mut rest = self.tag.get(self.name.1..).unwrap_or(&[]);
        while let Some((key, value, after)) = take_attribute(rest) {
            rest = after;
            let local =
                key.iter().rposition(|b| *b == b':').map_or(key, |colon| key.get(colon + 1..).unwrap_or(key));
            let place = wanted.iter().position(|w| w.as_bytes() == local && !key.starts_with(b"xmlns"));
            if let (Some(place), Ok(value)) =
                (place.and_then(|p| found.get_mut(p)), std::str::from_utf8(value))
                && place.is_none()
            {
                *place = Some(if value.contains('&') {
                    let mut decoded = String::new();
                    decode(value, &mut decoded);
                    Cow::Owned(decoded)
                } else {
                    Cow::Borrowed(value)
                });
            }
        }
        found
    }

    /// Reads the rest of the part, so that its checksum is held against its bytes.
    pub(super) fn finish(&mut self) -> Result<(), Finding> {
        std::io::copy(&mut self.source, &mut std::io::sink()).map_err(unreadable)?;
        self.end().map(|_| ())
    }

    fn end(&self) -> Result<Token, Finding> {
        if self.source.get_ref().limit() == 0 { Err(self.beyond.clone()) } else { Ok(Token::End) }
    }

    /// Why a part has no end: what is read of it ends at the limit, or it is damaged.
    fn broken_off(&self, how: &str) -> Finding {
        if self.source.get_ref().limit() == 0 { self.beyond.clone() } else { damaged(how) }
    }

    /// Takes the text up to the next `<`.
    fn take_text(&mut self) -> Result<(), Finding> {
        self.raw.clear();
        loop {
            let bytes = self.source.fill_buf().map_err(unreadable)?;
            if bytes.is_empty() {
                break;
            }
            let end = bytes.iter().position(|b| *b == b'<');
            let taken = end.unwrap_or(bytes.len());
            let room = (caps::CELL_BYTES + 1).saturating_sub(self.raw.len()).min(taken);
            self.raw.extend_from_slice(bytes.get(..room).unwrap_or(&[]));
            self.source.consume(taken + usize::from(end.is_some()));
            if end.is_some() {
                self.in_tag = true;
                break;
            }
        }
        self.text.clear();
        match std::str::from_utf8(&self.raw) {
            Ok(plain) if !self.raw.contains(&b'&') => self.text.push_str(plain),
            Ok(text) => decode(text, &mut self.text),
            Err(_) => decode(&String::from_utf8_lossy(&self.raw), &mut self.text),
        }
        Ok(())
    }

    /// Takes a tag up to the `>` that ends it: one outside quotation marks, for a comment `-->`.
    fn take_tag(&mut self) -> Result<(), Finding> {
        self.tag.clear();
        loop {
            let before = self.tag.len();
            let limit = TAG_BYTES.saturating_sub(before as u64);
            (&mut self.source).take(limit).read_until(b'>', &mut self.tag).map_err(unreadable)?;
            if self.tag.last() != Some(&b'>') || self.tag.len() == before {
                // A comment may be longer than any tag and says nothing: only its end matters.
                if self.tag.starts_with(b"!--") && self.tag.len() as u64 == TAG_BYTES {
                    self.tag.drain(3..self.tag.len() - 2);
                    continue;
                }
                return Err(self.broken_off("a tag without its end"));
            }
            let whole = if self.tag.starts_with(b"!--") {
                self.tag.ends_with(b"-->") && self.tag.len() >= 6
            } else {
                self.tag.starts_with(b"/") || self.tag.starts_with(b"![CDATA[") || quotes_closed(&self.tag)
            };
            if whole {
                break;
            }
        }
        self.tag.pop();
        Ok(())
    }

    /// Takes the text of a `<![CDATA[` whose first `>` was met.
    fn take_cdata(&mut self) -> Result<(), Finding> {
        self.text.clear();
        while !self.tag.ends_with(b"]]") {
            self.tag.push(b'>');
            let before = self.tag.len();
            let limit = (caps::CELL_BYTES as u64 * 2).saturating_sub(before as u64);
            (&mut self.source).take(limit).read_until(b'>', &mut self.tag).map_err(unreadable)?;
            if self.tag.pop() != Some(b'>') || self.tag.len() < before {
                return Err(self.broken_off("a text without its end"));
            }
        }
        let text = self.tag.get(8..self.tag.len() - 2).unwrap_or(&[]);
        self.text.push_str(&String::from_utf8_lossy(text));
        Ok(())
    }

    /// Finds the name of the tag behind its first bytes, without its namespace.
    fn take_name(&mut self, from: usize) {
        let tag = self.tag.get(from..).unwrap_or(&[]);
        let end = tag.iter().position(u8::is_ascii_whitespace).unwrap_or(tag.len());
        let colon = tag.get(..end).and_then(|name| name.iter().rposition(|b| *b == b':'));
        self.name = (from + colon.map_or(0, |colon| colon + 1), from + end);
    }
}

/// Takes one attribute off the front: its key, its value, and what stands behind it.
fn take_attribute(tag: &[u8]) -> Option<(&[u8], &[u8], &[u8])> {
    let equals = tag.iter().position(|b| *b == b'=')?;
    let key = tag.get(..equals)?.trim_ascii();
    let value = tag.get(equals + 1..)?.trim_ascii_start();
    let quote = value.first().filter(|b| matches!(b, b'"' | b'\''))?;
    let value = value.get(1..)?;
    let end = value.iter().position(|b| b == quote)?;
    Some((key, value.get(..end)?, value.get(end + 1..)?))
}

/// The unpacker's own words say nothing to the person who has to mend the file.
fn unreadable(_: std::io::Error) -> Finding {
    damaged("a part of it is damaged")
}

fn quotes_closed(tag: &[u8]) -> bool {
    let mut open = None;
    for byte in tag {
        match open {
            None if matches!(byte, b'"' | b'\'') => open = Some(*byte),
            Some(quote) if quote == *byte => open = None,
            None | Some(_) => {}
        }
    }
    open.is_none()
}

/// Adds a text with its entities resolved; one that is not known stays as it is written.
fn decode(text: &str, into: &mut String) {
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        let (before, entity) = rest.split_at(at);
        into.push_str(before);
        let known = entity.find(';').filter(|end| *end <= 10).and_then(|end| {
            let character = match entity.get(1..end)? {
                "lt" => '<',
                "gt" => '>',
                "amp" => '&',
                "quot" => '"',
                "apos" => '\'',
                numbered => {
                    let number = numbered.strip_prefix('#')?;
                    let code = match number.strip_prefix(['x', 'X']) {
                        Some(hex) => u32::from_str_radix(hex, 16).ok()?,
                        None => number.parse().ok()?,
                    };
                    char::from_u32(code)?
                }
            };
            Some((character, end + 1))
        });
        let (character, length) = known.unwrap_or(('&', 1));
        into.push(character);
        rest = entity.get(length..).unwrap_or("");
    }
    into.push_str(rest);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(bytes: &[u8], most: u64) -> Xml<&[u8]> {
        Xml::new(bytes, most, damaged("it unpacks to too much"))
    }

    fn tokens(text: &str) -> Vec<String> {
        let mut xml = part(text.as_bytes(), 1 << 20);
        let mut found = Vec::new();
        loop {
            found.push(match xml.next() {
                Ok(Token::Open) => format!("+{}", xml.name()),
                Ok(Token::Close) => format!("-{}", xml.name()),
                Ok(Token::Text) => xml.text().to_owned(),
                Ok(Token::End) => return found,
                Err(_) => "!".to_owned(),
            });
            if found.last().is_some_and(|last| last == "!") {
                return found;
            }
        }
    }

    #[test]
    fn tags_texts_comments_and_entities_come_apart() {
        let text = "<?xml version='1.0'?><!-- a > b --><x:c r=\"A>1\"><v>1 &lt; 2 &#189;</v><f/><![CDATA[a>b<c]]></x:c>";
        assert_eq!(tokens(text), ["+c", "+v", "1 < 2 ½", "-v", "+f", "-f", "a>b<c", "-c"]);
    }

    #[test]
    fn attributes_are_found_by_their_local_name() {
        let mut xml = part(b"<sheet xmlns:id='no' name='a &amp; b' r:id=\"rId1\"/>", 1 << 20);
        assert_eq!(xml.next().ok(), Some(Token::Open));
        assert_eq!(xml.attribute("name").as_deref(), Some("a & b"));
        assert_eq!(xml.attribute("id").as_deref(), Some("rId1"));
        assert_eq!(xml.attribute("state"), None);
    }

    #[test]
    fn a_text_of_many_megabytes_is_kept_up_to_the_cap() {
        let text = format!("<v>{}</v>", "x".repeat(3_000_000));
        let mut xml = part(text.as_bytes(), 1 << 30);
        assert_eq!(xml.next().ok(), Some(Token::Open));
        assert_eq!(xml.next().ok(), Some(Token::Text));
        assert_eq!(xml.text().len(), caps::CELL_BYTES + 1);
        assert_eq!(xml.next().ok(), Some(Token::Close));
    }

    #[test]
    fn cut_parts_are_damaged_and_large_ones_are_refused() {
        assert_eq!(tokens("<a><b"), ["+a", "!"]);
        assert_eq!(tokens("<a><!-- never"), ["+a", "!"]);
        let mut xml = part(b"<a>12345678</a>", 5);
        assert_eq!(xml.next().ok(), Some(Token::Open));
        assert_eq!(xml.next().ok(), Some(Token::Text));
        assert!(xml.next().is_err());
    }
}
