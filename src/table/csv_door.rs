//! Reads the rows of a CSV file: its encoding, its separator, its quotes, its row numbers. It knows no headings.
//!
//! Why not the `csv` crate here: it passes over blank lines without counting them and takes an unclosed quote for the
//! end of the file without a word. A test holds this splitter against that crate, cell by cell.
//!
//! A row has the number that a spreadsheet shows after opening the file: blank lines count, a line break inside
//! quotation marks does not, and neither does a first line `sep=;`.

use std::borrow::Cow;

use super::limits::Limits;
use super::row::{Kind, Row};
use super::{Go, Sink};
use crate::ground::notice::{Finding, error, findings};

/// Hands the rows of a CSV file over, blank ones too.
pub(super) fn rows(bytes: &[u8], limits: &Limits, sink: &mut dyn Sink) {
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\xd0\xcf\x11\xe0") {
        sink.tell(0, 0, workbook_named_csv());
        return;
    }
    let text = match decode(bytes) {
        Decoded::Text(text) => text,
        Decoded::Old(text) => {
            sink.tell(0, 0, old_encoding());
            Cow::Owned(text)
        }
        Decoded::Broken(text) => {
            sink.tell(0, 0, broken_encoding());
            Cow::Owned(text)
        }
    };
    if text.contains('\0') {
        sink.tell(0, 0, not_text());
        return;
    }
    let (separator, body) = separator(&text);
    sink.decimal_commas(separator == b';' && has_decimal_comma(body));
    let mut splitter = Splitter { text: body, at: 0, separator, row: 0, field: String::new() };
    let mut row = Row::within(limits);
    loop {
        match splitter.next(&mut row) {
            Split::Row(number) => {
                if matches!(sink.row(number, &row), Go::Stop) {
                    return;
                }
            }
            Split::Unclosed { row, column } => {
                sink.tell(row, column, unclosed_quote());
                return;
            }
            Split::End => return,
        }
    }
}

enum Decoded<'a> {
    Text(Cow<'a, str>),
    /// No UTF-8, so taken as Windows-1252.
    Old(String),
    /// With characters that could not be read.
    Broken(String),
}

fn decode(bytes: &[u8]) -> Decoded<'_> {
    if let Some((encoding, mark)) = encoding_rs::Encoding::for_bom(bytes) {
        let (text, had_errors) = encoding.decode_without_bom_handling(bytes.get(mark..).unwrap_or(&[]));
        return if had_errors { Decoded::Broken(text.into_owned()) } else { Decoded::Text(text) };
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Decoded::Text(Cow::Borrowed(text)),
        Err(_) => Decoded::Old(encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned()),
    }
}

/// The separator and the text behind a `sep=` line: the one that stands most often outside quotation marks in the first
/// row that is not blank; of equally many comma, then semicolon, then tab.
fn separator(text: &str) -> (u8, &str) {
    let (first, rest) = match text.find(['\r', '\n']) {
        Some(end) => text.split_at(end),
        None => (text, ""),
    };
    if let Some(named) = first.trim_matches('"').strip_prefix("sep=")
        && let [separator @ (b',' | b';' | b'\t')] = named.as_bytes()
    {
        let rest = rest.strip_prefix("\r\n").or_else(|| rest.strip_prefix(['\r', '\n'])).unwrap_or(rest);
        return (*separator, rest);
    }
    let (mut commas, mut semicolons, mut tabs, mut quoted) = (0_usize, 0_usize, 0_usize, false);
    for byte in behind_comments(text).bytes() {
        match byte {
            b'"' => quoted = !quoted,
            b'\r' | b'\n' if !quoted => break,
            b',' if !quoted => commas += 1,
            b';' if !quoted => semicolons += 1,
            b'\t' if !quoted => tabs += 1,
            _ => {}
        }
    }
    let found = if commas >= semicolons && commas >= tabs {
        b','
    } else if semicolons >= tabs {
        b';'
    } else {
        b'\t'
    };
    (found, text)
}

/// The text from its first row on that is neither blank nor a comment; all of it where there is no such row.
fn behind_comments(text: &str) -> &str {
    let mut rest = text.trim_start();
    while rest.trim_start_matches('"').starts_with('#') {
        match rest.find(['\r', '\n']) {
            Some(end) => rest = rest.get(end..).unwrap_or("").trim_start(),
            None => return text.trim_start(),
        }
    }
    rest
}

/// Whether a comma stands between two digits anywhere: then commas are the file's decimal marks, and `1.500` is in doubt.
fn has_decimal_comma(text: &str) -> bool {
    let mut lines = text.split(['\r', '\n']).filter(|line| !line.trim_start_matches('"').starts_with('#'));
    let between = |w: &[u8]| matches!(w, [a, b',', b] if a.is_ascii_digit() && b.is_ascii_digit());
    lines.any(|line| line.as_bytes().windows(3).any(between))
}

/// Whether a line is a comment in which a quotation mark opens and does not close: it stands for inches, and must not take
/// the rows below into the comment.
fn is_comment_with_a_mark(line: &str, separator: u8) -> bool {
    let text = line.trim_start_matches('#');
    if text.len() == line.len() || text.starts_with(|c: char| c.is_ascii_digit()) {
        return false;
    }
    let mut fields = line.split(char::from(separator)).map(|field| field.matches('"').count());
    let mut opens = line.split(char::from(separator)).map(|field| field.starts_with('"'));
    while let (Some(marks), Some(is_quoted)) = (fields.next(), opens.next()) {
        let mut open = is_quoted && marks % 2 == 1;
        while open {
            let (Some(marks), Some(_)) = (fields.next(), opens.next()) else { return true };
            open = marks % 2 == 0;
        }
    }
    false
}

enum Split {
    Row(u32),
    Unclosed { row: u32, column: u32 },
    End,
}

struct Splitter<'a> {
    text: &'a str,
    at: usize,
    separator: u8,
    row: u32,
    field: String,
}

impl Splitter<'_> {
    fn next(&mut self, row: &mut Row) -> Split {
        row.clear();
        if self.at >= self.text.len() {
            return Split::End;
        }
        self.row = self.row.saturating_add(1);
        if self.text.as_bytes().get(self.at) == Some(&b'#') {
            let rest = self.text.get(self.at..).unwrap_or("");
            let line = rest.split(['\r', '\n']).next().unwrap_or(rest);
            if is_comment_with_a_mark(line, self.separator) {
                row.push(Kind::Text, line);
                let after = rest.get(line.len()..).unwrap_or("");
                let ends = if after.starts_with("\r\n") { 2 } else { after.len().min(1) };
                self.at += line.len() + ends;
                return Split::Row(self.row);
            }
        }
        let mut column = 0_u32;
        loop {
            column = column.saturating_add(1);
            let bytes = self.text.as_bytes();
            let ended = if bytes.get(self.at) == Some(&b'"') {
                match self.quoted() {
                    Some(end) => {
                        row.push(Kind::Text, &self.field);
                        end
                    }
                    None => return Split::Unclosed { row: self.row, column },
                }
            } else {
                let end = self.plain_end();
                row.push(Kind::Text, self.text.get(self.at..end).unwrap_or(""));
                end
            };
            match bytes.get(ended) {
                Some(byte) if *byte == self.separator => self.at = ended + 1,
                Some(b'\r') if bytes.get(ended + 1) == Some(&b'\n') => {
                    self.at = ended + 2;
                    return Split::Row(self.row);
                }
                Some(_) => {
                    self.at = ended + 1;
                    return Split::Row(self.row);
                }
                None => {
                    self.at = self.text.len();
                    return Split::Row(self.row);
                }
            }
        }
    }

    fn plain_end(&self) -> usize {
        let rest = self.text.as_bytes().get(self.at..).unwrap_or(&[]);
        self.at
            + rest
                .iter()
                .position(|b| *b == self.separator || *b == b'\n' || *b == b'\r')
                .unwrap_or(rest.len())
    }

    /// Takes a field in quotation marks into `self.field`; where it ends, or nothing if no mark closes it. What stands
    /// between the closing mark and the separator belongs to the field, as spreadsheets read it.
    fn quoted(&mut self) -> Option<usize> {
        self.field.clear();
        let mut at = self.at + 1;
        loop {
            let close = at + self.text.get(at..)?.find('"')?;
            self.field.push_str(self.text.get(at..close)?);
            if self.text.as_bytes().get(close + 1) == Some(&b'"') {
                self.field.push('"');
                at = close + 2;
                continue;
            }
            self.at = close + 1;
            let end = self.plain_end();
            self.field.push_str(self.text.get(close + 1..end)?);
            return Some(end);
        }
    }
}

/// Zero bytes in a text.
fn not_text() -> Finding {
    error("not-text", "the file holds zero bytes, so it is no text", "text in UTF-8", SAVE_AS_UTF8)
}

/// Characters that could not be read.
fn broken_encoding() -> Finding {
    error(
        "broken-encoding",
        "some characters of the file could not be read",
        "text in the encoding that its first bytes name",
        SAVE_AS_UTF8,
    )
}

const SAVE_AS_UTF8: &str = "save it as \"CSV UTF-8\"";

findings! {
    /// A workbook under a name that says CSV.
    fn workbook_named_csv() = error("workbook-named-csv",
        "the file is a workbook, though its name says CSV",
        "text with one row a line",
        "give it the ending of a workbook (.xlsx, .xls, .ods), or save it as CSV");

    /// Neither UTF-8 nor UTF-16.
    fn old_encoding() = warning("old-encoding",
        "the file is not in UTF-8 and was read as Windows-1252",
        "text in UTF-8",
        "{SAVE_AS_UTF8} if letters with accents look wrong");

    /// A quotation mark that nothing closes.
    fn unclosed_quote() = error("unclosed-quote",
        "a quotation mark opens here and nothing closes it; from here on nothing is read",
        "a cell in quotation marks, each mark inside it written twice",
        "close it, or type the inch mark behind its number: 6 1/2\"");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::inert::bare;

    #[derive(Default)]
    struct Taken(Vec<(u32, Vec<String>)>, Vec<(u32, u32)>);

    impl Sink for Taken {
        fn row(&mut self, number: u32, row: &Row) -> Go {
            self.0.push((number, (0..row.len()).map(|i| row.cell(i).text.to_owned()).collect()));
            Go::On
        }
        fn tell(&mut self, row: u32, column: u32, _: Finding) {
            self.1.push((row, column));
        }
        fn decimal_commas(&mut self, _: bool) {}
    }

    fn taken(text: &str) -> Taken {
        let mut taken = Taken::default();
        rows(text.as_bytes(), &Limits::default(), &mut taken);
        taken
    }

    /// Random small files, read by this splitter and by the csv crate (outside truth), must have the same cells.
    #[test]
    fn cells_are_those_the_csv_crate_reads() {
        let alphabet = ['a', '1', ',', '"', '\n', ' ', '\'', '\r'];
        let mut state = 7_u64;
        let mut compared = 0;
        for _ in 0..20_000 {
            let mut text = String::from("h,k\n");
            for _ in 0..12 {
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                text.push(alphabet[usize::try_from(state >> 33).unwrap() % alphabet.len()]);
            }
            let ours = taken(&text);
            if !ours.1.is_empty() {
                continue;
            }
            let theirs: Vec<Vec<String>> = csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .from_reader(text.as_bytes())
                .records()
                .map(|r| r.unwrap().iter().map(|c| bare(c.trim()).trim().to_owned()).collect())
                .collect();
            // The csv crate passes over lines without a byte; here they are rows of one empty cell.
            let ours: Vec<_> = ours.0.into_iter().map(|(_, r)| r).filter(|r| *r != [""]).collect();
            let theirs: Vec<_> = theirs.into_iter().filter(|r| *r != [""]).collect();
            assert_eq!(ours, theirs, "{text:?}");
            compared += 1;
        }
        assert!(compared > 5_000, "{compared}");
    }

    #[test]
    fn an_inch_mark_in_a_comment_takes_no_row_into_it() {
        for comment in ["# wall,\"pipe", "# a,\"b\"\"", "#,\"", "# 12\" pipe, 3\"", "# a,\"b\",\"c"] {
            let found = taken(&format!("{comment}\r\nh,k\n1,\"2\"\n"));
            let rows: Vec<_> =
                found.0.iter().skip(1).map(|(number, cells)| (*number, cells.join("|"))).collect();
            assert_eq!(rows, [(2, "h|k".to_owned()), (3, "1|2".to_owned())], "{comment}");
            assert!(found.1.is_empty(), "{comment}");
        }
        // A row whose name begins with a number sign may hold a line break.
        assert_eq!(taken("h,k\n#4,\"two\nlines\"\n").0.len(), 2);
    }

    #[test]
    fn rows_have_the_numbers_a_spreadsheet_shows() {
        let found = taken("h\r\n\r\n\"two\nlines\"\n\nlast");
        let filled: Vec<_> =
            found.0.iter().filter(|(_, r)| r != &[""]).map(|(n, r)| (*n, &r[0][..])).collect();
        assert_eq!(filled, [(1, "h"), (3, "two\nlines"), (5, "last")]);
    }

    #[test]
    fn an_unclosed_quote_is_noticed_where_it_began() {
        assert_eq!(taken("a,b\n1,\"2\n3,4\n").1, [(2, 2)]);
        assert!(taken("a,b\n1,12' 6 1/2\"\n3,4\n").1.is_empty());
    }
}
