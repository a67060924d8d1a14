//! A table as the bytes of a CSV file: in every encoding, with every separator and line end that the door knows, and with
//! what programs write around it.

use crate::draw::Draw;
use crate::grid::Grid;

/// How a CSV file is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Form {
    pub(crate) separator: char,
    line_end: &'static str,
    all_quoted: bool,
    encoding: Encoding,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Encoding {
    Utf8,
    Utf8Marked,
    Utf16Low,
    Utf16High,
    Windows,
}

impl Form {
    /// As most programs write it.
    pub(crate) const PLAIN: Self =
        Self { separator: ',', line_end: "\n", all_quoted: true, encoding: Encoding::Utf8 };

    /// Any form; mostly the plain ones.
    pub(crate) fn of(draw: &mut Draw<'_>) -> Self {
        let separator = [',', ',', ',', ';', '\t'][draw.below(5)];
        let line_end = ["\n", "\r\n", "\r"][draw.below(3)];
        let encoding = match draw.below(8) {
            0..=3 => Encoding::Utf8,
            4 => Encoding::Utf8Marked,
            5 => Encoding::Utf16Low,
            6 => Encoding::Utf16High,
            _ => Encoding::Windows,
        };
        Self { separator, line_end, all_quoted: draw.once_in(3), encoding }
    }

    /// The rows as text; a cell is quoted where it must be.
    pub(crate) fn text(self, rows: &[Vec<String>]) -> String {
        let mut text = String::new();
        for row in rows {
            for (at, cell) in row.iter().enumerate() {
                if at > 0 {
                    text.push(self.separator);
                }
                if self.all_quoted || cell.contains([self.separator, '"', '\n', '\r', '\t']) {
                    text.push('"');
                    text.push_str(&cell.replace('"', "\"\""));
                    text.push('"');
                } else {
                    text.push_str(cell);
                }
            }
            text.push_str(self.line_end);
        }
        text
    }

    /// A text in its encoding.
    pub(crate) fn bytes(self, text: &str) -> Vec<u8> {
        let wide = |mark: u16, bytes: fn(u16) -> [u8; 2]| {
            std::iter::once(mark).chain(text.encode_utf16()).flat_map(bytes).collect()
        };
        match self.encoding {
            Encoding::Utf8 => text.as_bytes().to_vec(),
            Encoding::Utf8Marked => ["\u{feff}", text].concat().into_bytes(),
            Encoding::Utf16Low => wide(0xfeff, u16::to_le_bytes),
            Encoding::Utf16High => wide(0xfeff, u16::to_be_bytes),
            Encoding::Windows => encoding_rs::WINDOWS_1252.encode(text).0.into_owned(),
        }
    }

    /// Whether every character comes through.
    pub(crate) fn is_exact(self) -> bool {
        self.encoding != Encoding::Windows
    }
}

/// A table as a file, with blank lines, comments and a named separator before it, and seldom damaged.
pub(crate) fn file(grid: &Grid, draw: &mut Draw<'_>) -> Vec<u8> {
    let form = Form::of(draw);
    let mut text = form.text(&grid.rows);
    match draw.below(12) {
        0 => text.insert_str(0, &format!("sep={}\n", form.separator)),
        1 => text.insert_str(0, "\n\n# said above\n"),
        2 => text.push_str("\"an open quote"),
        3 => text = text.trim_end().to_owned(),
        _ => {}
    }
    let mut bytes = form.bytes(&text);
    if draw.once_in(6) {
        damage(&mut bytes, draw);
    }
    bytes
}

/// Bytes changed, put in, taken out, or cut off.
pub(crate) fn damage(bytes: &mut Vec<u8>, draw: &mut Draw<'_>) {
    for _ in 0..draw.few().min(8) {
        let at = draw.below(bytes.len() + 1);
        match draw.below(6) {
            0 if at < bytes.len() => bytes[at] ^= 1 << draw.below(8),
            1 if at < bytes.len() => bytes[at] = draw.byte(),
            2 if at < bytes.len() => drop(bytes.remove(at)),
            3 => bytes.insert(at, draw.byte()),
            4 if at + 4 <= bytes.len() => bytes[at..at + 4].fill(0xff),
            5 if draw.once_in(4) => bytes.truncate(at),
            _ => {}
        }
    }
}
