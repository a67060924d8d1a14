//! Makes small workbooks byte by byte, such as no spreadsheet would save: strange addresses, rows out of order, formulas
//! without results; and an xlsb, which the spreadsheet at hand cannot save.

use std::io::{Cursor, Write};

use zip::write::{SimpleFileOptions, ZipWriter};

/// A zipped package of these parts.
pub(crate) fn package(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        writer.start_file(*name, SimpleFileOptions::default()).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

const ROOT: &str = r#"<Relationships><Relationship Id="rId1" Type="http://x/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
const BOOK: &str = r#"<workbook><sheets><sheet name="runs" sheetId="1" r:id="rId1"/></sheets></workbook>"#;
const BOOK_RELATIONS: &str = r#"<Relationships><Relationship Id="rId1" Type="http://x/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://x/sharedStrings" Target="sharedStrings.xml"/></Relationships>"#;

/// An xlsx whose one sheet has this data and whose shared texts are this part.
pub(crate) fn xlsx(data: &str, texts: &str) -> Vec<u8> {
    let sheet = format!("<worksheet><sheetData>{data}</sheetData></worksheet>");
    package(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("_rels/.rels", ROOT.as_bytes()),
        ("xl/workbook.xml", BOOK.as_bytes()),
        ("xl/_rels/workbook.xml.rels", BOOK_RELATIONS.as_bytes()),
        ("xl/sharedStrings.xml", texts.as_bytes()),
        ("xl/worksheets/sheet1.xml", sheet.as_bytes()),
    ])
}

/// A cell with a text of its own.
pub(crate) fn inline(address: &str, text: &str) -> String {
    format!(r#"<c r="{address}" t="inlineStr"><is><t>{text}</t></is></c>"#)
}

/// A record of an xlsb part (MS-XLSB 2.1.4): type, length, bytes.
fn record(kind: u16, bytes: &[u8], into: &mut Vec<u8>) {
    let low = u8::try_from(kind & 0x7f).unwrap();
    if kind < 0x80 {
        into.push(low);
    } else {
        into.extend([low | 0x80, u8::try_from(kind >> 7).unwrap()]);
    }
    let mut length = bytes.len();
    loop {
        let seven = u8::try_from(length & 0x7f).unwrap();
        length >>= 7;
        into.push(if length > 0 { seven | 0x80 } else { seven });
        if length == 0 {
            break;
        }
    }
    into.extend_from_slice(bytes);
}

fn wide(text: &str) -> Vec<u8> {
    let units: Vec<u16> = text.encode_utf16().collect();
    let mut bytes = u32::try_from(units.len()).unwrap().to_le_bytes().to_vec();
    bytes.extend(units.iter().flat_map(|u| u.to_le_bytes()));
    bytes
}

/// A cell of an xlsb sheet.
pub(crate) enum Binary {
    Text(&'static str),
    Number(f64),
    Truth(bool),
}

/// An xlsb whose one sheet `runs` has these cells, row by row.
pub(crate) fn xlsb(rows: &[Vec<Binary>]) -> Vec<u8> {
    let mut book = Vec::new();
    record(0x0083, &[], &mut book);
    record(0x0099, &[0; 8], &mut book);
    record(0x008f, &[], &mut book);
    let mut bundle = [0, 0, 0, 0, 1, 0, 0, 0].to_vec();
    bundle.extend(wide("rId1"));
    bundle.extend(wide("runs"));
    record(0x009c, &bundle, &mut book);
    record(0x0090, &[], &mut book);
    record(0x0084, &[], &mut book);
    let mut sheet = Vec::new();
    record(0x0081, &[], &mut sheet);
    record(0x0094, &[0; 16], &mut sheet);
    record(0x0091, &[], &mut sheet);
    for (number, row) in (0_u32..).zip(rows) {
        let mut header = number.to_le_bytes().to_vec();
        header.extend([0; 13]);
        record(0x0000, &header, &mut sheet);
        for (column, cell) in (0_u32..).zip(row) {
            let mut bytes = column.to_le_bytes().to_vec();
            bytes.extend([0; 4]);
            match cell {
                Binary::Text(text) => {
                    bytes.extend(wide(text));
                    record(0x0006, &bytes, &mut sheet);
                }
                Binary::Number(value) => {
                    bytes.extend(value.to_le_bytes());
                    record(0x0005, &bytes, &mut sheet);
                }
                Binary::Truth(value) => {
                    bytes.push(u8::from(*value));
                    record(0x0004, &bytes, &mut sheet);
                }
            }
        }
    }
    record(0x0092, &[], &mut sheet);
    record(0x0082, &[], &mut sheet);
    let relations = BOOK_RELATIONS.replace("sheet1.xml", "sheet1.bin");
    package(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("_rels/.rels", ROOT.replace("workbook.xml", "workbook.bin").as_bytes()),
        ("xl/workbook.bin", &book),
        ("xl/_rels/workbook.bin.rels", relations.as_bytes()),
        ("xl/worksheets/sheet1.bin", &sheet),
    ])
}
