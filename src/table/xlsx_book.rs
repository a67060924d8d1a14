//! The parts of an xlsx workbook around its sheets: which sheets there are, the shared texts, the number formats. Each is
//! read when a sheet needs it, under caps, and nothing is reserved by what a part claims of itself.
//!
//! Why not calamine here, as for the other kinds: it gives either the formula or the number format of a cell, keeps a
//! whole text however long, reserves memory by a count that the file claims (a false one ends the process), and lets
//! addresses wrap around. A test holds this reader against it, cell by cell.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufReader, Read as _, Seek as _};
use std::path::Path;

use zip::ZipArchive;
use zip::read::ZipFile;

use super::caps;
use super::findings::{damaged, unreadable};
use super::limits::{Limits, reached};
use super::number::Format;
use super::plain;
use super::xml::{Token, Xml};
use crate::ground::notice::Finding;

/// The kinds of workbooks, by who reads them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BookKind {
    /// Read here, part by part.
    Xlsx,
    /// xls, xlsb, ods, or a workbook with a password: read by a child process.
    Guarded,
}

/// What a workbook is, by what it holds and not by its name.
pub(super) fn kind_of(path: &Path, limits: &Limits) -> Result<BookKind> {
    let unreadable = |why: std::io::Error| unreadable(&why);
    let mut file = plain::open(path, limits)?;
    let mut magic = [0; 4];
    let length = file.read(&mut magic).map_err(unreadable)?;
    match magic.get(..length) {
        Some([0xd0, 0xcf, 0x11, 0xe0]) => return Ok(BookKind::Guarded),
        Some([b'P', b'K', _, _]) => file.rewind().map_err(unreadable)?,
        Some(_) | None => {
            return Err(damaged("it does not begin as a workbook does"));
        }
    }
    let archive = ZipArchive::new(BufReader::new(file)).map_err(badly_packed)?;
    let other = ["xl/workbook.bin", "content.xml"];
    let guarded = archive.file_names_raw().any(|name| {
        let name = plain_path(&String::from_utf8_lossy(name));
        other.contains(&name.as_str())
    });
    Ok(if guarded { BookKind::Guarded } else { BookKind::Xlsx })
}

/// A part of the package, being read.
pub(super) type Part<'a> = Xml<ZipFile<'a, BufReader<File>>>;

/// An opened xlsx workbook.
pub(super) struct Book {
    archive: ZipArchive<BufReader<File>>,
    /// The index of each part by its name in lower case: writers do not agree on case and slashes.
    parts: BTreeMap<String, usize>,
    sheets: Vec<SheetPart>,
    hidden: Vec<String>,
    beyond: usize,
    texts_path: Option<String>,
    styles_path: Option<String>,
    from_1904: bool,
    limits: Limits,
    /// The bytes of the whole file: what it may unpack to goes by them.
    packed: u64,
}

/// The names of the sheets of a workbook in their order.
#[derive(Debug, Default)]
pub(super) struct SheetNames {
    /// Those that a spreadsheet shows.
    pub(super) visible: Vec<String>,
    /// Those that it hides.
    pub(super) hidden: Vec<String>,
    /// How many more there are than are looked at.
    pub(super) beyond: usize,
}

impl SheetNames {
    /// Adds a sheet, if it is looked at.
    pub(super) fn add(&mut self, name: String, is_visible: bool, limits: &Limits) {
        if self.visible.len() + self.hidden.len() >= limits.tables() {
            self.beyond += 1;
        } else if is_visible {
            self.visible.push(name);
        } else {
            self.hidden.push(name);
        }
    }
}

/// A sheet of a workbook and the part it stands in.
struct SheetPart {
    name: String,
    path: String,
}

/// The shared texts of a workbook, one after another in one long text.
#[derive(Default)]
pub(super) struct Texts {
    all: String,
    ends: Vec<u32>,
}

impl Texts {
    /// A text by its number.
    pub(super) fn get(&self, index: usize) -> Option<&str> {
        let end = usize::try_from(*self.ends.get(index)?).ok()?;
        let start = match index.checked_sub(1) {
            Some(before) => usize::try_from(*self.ends.get(before)?).ok()?,
            None => 0,
        };
        self.all.get(start..end)
    }
}

/// What all sheets of a workbook share.
pub(super) struct Shared {
    /// The texts.
    pub(super) texts: Texts,
    /// The number format of each style.
    pub(super) formats: Vec<Format>,
    /// Whether days are counted from 1904.
    pub(super) from_1904: bool,
}

type Result<T> = std::result::Result<T, Finding>;

impl Book {
    /// Opens a workbook and lists its visible sheets.
    pub(super) fn open(path: &Path, limits: &Limits) -> Result<Self> {
        let file = plain::open(path, limits)?;
        let packed = file.metadata().map_err(|why| unreadable(&why))?.len();
        let archive = ZipArchive::new(BufReader::new(file)).map_err(badly_packed)?;
        if archive.len() > caps::PARTS {
            return Err(damaged(&format!("it has more than {} parts", caps::PARTS)));
        }
        let mut parts = BTreeMap::new();
        for (index, name) in archive.file_names_raw().enumerate() {
            parts.insert(plain_path(&String::from_utf8_lossy(name)), index);
        }
        let mut book = Self {
            archive,
            parts,
            sheets: Vec::new(),
            hidden: Vec::new(),
            beyond: 0,
            texts_path: None,
            styles_path: None,
            from_1904: false,
            limits: *limits,
            packed,
        };
        book.list_sheets()?;
        Ok(book)
    }

    /// The first visible sheet.
    pub(super) fn first_sheet(&self) -> Option<&str> {
        self.sheets.first().map(|sheet| sheet.name.as_str())
    }

    /// The names of all sheets.
    pub(super) fn sheet_names(self) -> SheetNames {
        let visible = self.sheets.into_iter().map(|sheet| sheet.name).collect();
        SheetNames { visible, hidden: self.hidden, beyond: self.beyond }
    }

    /// Reads what all sheets share.
    pub(super) fn shared(&mut self) -> Result<Shared> {
        let texts = match self.texts_path.clone() {
            Some(path) => self.texts(&path)?,
            None => Texts::default(),
        };
        let formats = match self.styles_path.clone() {
            Some(path) => self.formats(&path)?,
            None => Vec::new(),
        };
        Ok(Shared { texts, formats, from_1904: self.from_1904 })
    }

    /// Opens the cells of a sheet; nothing where there is no such visible sheet.
    pub(super) fn sheet(&mut self, name: &str) -> Result<Option<Part<'_>>> {
        let Some(path) = self.sheets.iter().find(|s| s.name == name).map(|s| s.path.clone()) else {
            return Ok(None);
        };
        self.part(&path)
    }

    fn part(&mut self, path: &str) -> Result<Option<Part<'_>>> {
        let Some(index) = self.parts.get(&plain_path(path)) else { return Ok(None) };
        let (most, beyond) = self.most_unpacked();
        Ok(Some(Xml::new(self.archive.by_index(*index).map_err(badly_packed)?, most, beyond)))
    }

    /// The bytes that a part may unpack to, and what is told beyond. The shared texts that the cells of a sheet point at
    /// are held against it too.
    pub(super) fn most_unpacked(&self) -> (u64, Finding) {
        let found = "the workbook unpacks to far more than it is packed in, and is not read to its end";
        (self.limits.unpacked_bytes(self.packed), reached(found, "unpacked", self.limits.unpacked))
    }

    fn list_sheets(&mut self) -> Result<()> {
        let root = self.relations("")?;
        let workbook = root
            .iter()
            .find(|r| r.kind.ends_with("/officeDocument"))
            .map_or_else(|| "xl/workbook.xml".to_owned(), |r| r.target.clone());
        let relations = self.relations(&workbook)?;
        let of_kind =
            |kind: &str| relations.iter().find(|r| r.kind.ends_with(kind)).map(|r| r.target.clone());
        let (texts_path, styles_path) = (of_kind("/sharedStrings"), of_kind("/styles"));
        let targets: BTreeMap<&str, &Relation> = relations.iter().rev().map(|r| (&*r.id, r)).collect();
        let most = self.limits.tables();
        let Some(mut xml) = self.part(&workbook)? else {
            return Err(damaged("it has no workbook part"));
        };
        let (mut sheets, mut hidden, mut from_1904) = (Vec::new(), Vec::new(), false);
        let mut beyond = 0;
        while xml.next_tag()? {
            if xml.name() == "workbookPr" {
                from_1904 = matches!(xml.attribute("date1904").as_deref(), Some("1" | "true"));
            }
            if xml.name() != "sheet" {
                continue;
            }
            let [name, id, state] = xml.attributes(["name", "id", "state"]);
            let relation = id.and_then(|id| targets.get(&*id).copied());
            if let (Some(relation), Some(name)) = (relation, name)
                && relation.kind.ends_with("/worksheet")
            {
                if sheets.len() + hidden.len() >= most {
                    beyond += 1;
                    continue;
                }
                let name = name.into_owned();
                match state.as_deref() {
                    None | Some("visible") => sheets.push(SheetPart { name, path: relation.target.clone() }),
                    Some(_) => hidden.push(name),
                }
            }
        }
        drop(xml);
        (self.sheets, self.hidden, self.beyond, self.from_1904) = (sheets, hidden, beyond, from_1904);
        (self.texts_path, self.styles_path) = (texts_path, styles_path);
        Ok(())
    }

    /// What a part refers to; the whole package's for an empty name.
    fn relations(&mut self, of: &str) -> Result<Vec<Relation>> {
        let (folder, file) = of.rsplit_once('/').unwrap_or(("", of));
        let path = if folder.is_empty() {
            format!("_rels/{file}.rels")
        } else {
            format!("{folder}/_rels/{file}.rels")
        };
        let mut relations = Vec::new();
        let Some(mut xml) = self.part(&path)? else { return Ok(relations) };
        while xml.next_tag()? {
            if xml.name() == "Relationship" && relations.len() < caps::PARTS {
                let text = |name: &str| xml.attribute(name).unwrap_or_default().into_owned();
                let target = resolve(folder, &text("Target"));
                relations.push(Relation { id: text("Id"), kind: text("Type"), target });
            }
        }
        Ok(relations)
    }

    fn texts(&mut self, path: &str) -> Result<Texts> {
        let mut texts = Texts::default();
        let Some(mut xml) = self.part(path)? else { return Ok(texts) };
        while xml.next_tag()? {
            if xml.name() == "si" {
                take_text(&mut xml, "si", &mut texts.all)?;
                let end = u32::try_from(texts.all.len());
                texts.ends.push(end.map_err(|_| damaged("too many texts"))?);
            }
        }
        Ok(texts)
    }

    fn formats(&mut self, path: &str) -> Result<Vec<Format>> {
        let mut formats = Vec::new();
        let Some(mut xml) = self.part(path)? else { return Ok(formats) };
        let mut own: BTreeMap<u32, Format> = BTreeMap::new();
        let mut in_cells = false;
        while xml.next_tag()? {
            let [id, code] = xml.attributes(["numFmtId", "formatCode"]);
            let id = id.and_then(|id| id.parse().ok());
            match xml.name() {
                "numFmt" => own.extend(id.zip(code).map(|(id, code)| (id, Format::of_code(&code)))),
                "cellXfs" => in_cells = true,
                "cellStyleXfs" => in_cells = false,
                "xf" if in_cells => {
                    let id = id.unwrap_or(0);
                    formats.push(own.get(&id).cloned().unwrap_or_else(|| Format::built_in(id)));
                }
                _ => {}
            }
        }
        Ok(formats)
    }
}

struct Relation {
    id: String,
    kind: String,
    target: String,
}

/// Adds the text of a shared or inline string up to the tag that closes it: its runs one after another, without the
/// reading aids of East Asian texts.
pub(super) fn take_text<R: std::io::Read>(xml: &mut Xml<R>, closing: &str, into: &mut String) -> Result<()> {
    let (mut in_text, mut aid) = (false, false);
    let start = into.len();
    loop {
        match xml.next()? {
            Token::Open if xml.name() == "t" => in_text = true,
            Token::Close if xml.name() == "t" => in_text = false,
            Token::Open if xml.name() == "rPh" => aid = true,
            Token::Close if xml.name() == "rPh" => aid = false,
            Token::Close if xml.name() == closing => return Ok(()),
            // A text beyond the cap of a cell need not grow further to be seen as such.
            Token::Text if in_text && !aid && into.len() - start <= caps::CELL_BYTES => {
                unescape(xml.text(), into)
            }
            Token::Open | Token::Close | Token::Text => {}
            Token::End => return Err(damaged("a text without its end")),
        }
    }
}

/// Adds a text with `_x000D_` and the like as the characters they stand for.
pub(super) fn unescape(text: &str, into: &mut String) {
    let mut rest = text;
    while let Some(at) = rest.find("_x") {
        let code = rest
            .get(at + 2..at + 7)
            .and_then(|code| code.strip_suffix('_'))
            .filter(|code| code.bytes().all(|b| b.is_ascii_hexdigit()))
            .and_then(|code| u32::from_str_radix(code, 16).ok())
            .and_then(char::from_u32);
        let (taken, character) = match code {
            Some(character) => (at + 7, character),
            None => (at + 1, '_'),
        };
        into.push_str(rest.get(..at).unwrap_or(""));
        into.push(character);
        rest = rest.get(taken..).unwrap_or("");
    }
    into.push_str(rest);
}

/// What is wrong with the packing, in words that help: the unpacker's own do not.
#[allow(clippy::wildcard_enum_match_arm, reason = "the unpacker's own list, which grows")]
fn badly_packed(why: zip::result::ZipError) -> Finding {
    let why = match why {
        zip::result::ZipError::UnsupportedArchive(_) => "it is packed in a way that is not read",
        zip::result::ZipError::FileNotFound => "a part of it is missing",
        _ => "its packing is damaged",
    };
    damaged(why)
}

/// A part's name in the form in which names match.
fn plain_path(path: &str) -> String {
    path.replace('\\', "/").trim_start_matches('/').to_ascii_lowercase()
}

/// The name of a part that another one refers to from its folder.
fn resolve(folder: &str, target: &str) -> String {
    if target.starts_with('/') {
        return target.trim_start_matches('/').to_owned();
    }
    let mut steps: Vec<&str> = folder.split('/').filter(|s| !s.is_empty()).collect();
    for step in target.split('/') {
        match step {
            ".." => _ = steps.pop(),
            "." | "" => {}
            other => steps.push(other),
        }
    }
    steps.join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn targets_are_resolved_from_their_folder() {
        assert_eq!(resolve("xl", "worksheets/sheet1.xml"), "xl/worksheets/sheet1.xml");
        assert_eq!(resolve("xl", "/xl/styles.xml"), "xl/styles.xml");
        assert_eq!(resolve("xl/a", "../b.xml"), "xl/b.xml");
        assert_eq!(resolve("", "../../../etc/x"), "etc/x");
    }

    #[test]
    fn escaped_characters_come_back() {
        let mut text = String::new();
        unescape("a_x000A_b _x005F_x000D_ _xZZZZ_ _x", &mut text);
        assert_eq!(text, "a\nb _x000D_ _xZZZZ_ _x");
    }
}
