//! Workbooks made from tables part by part, with every kind of cell that a spreadsheet saves; and the parts of a saved one.

use std::fmt::Write as _;
use std::io::{Cursor, Read as _, Write as _};

use zip::write::{SimpleFileOptions, ZipWriter};
use zip::{CompressionMethod, ZipArchive};

use crate::draw::Draw;
use crate::grid::Grid;

/// The parts of a package, each with its name.
pub(crate) type Parts = Vec<(String, Vec<u8>)>;

/// The parts of a saved package.
pub(crate) fn parts(bytes: &[u8]) -> Parts {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut parts = Parts::new();
    for at in 0..archive.len() {
        let mut part = archive.by_index(at).unwrap();
        let mut bytes = Vec::new();
        part.read_to_end(&mut bytes).unwrap();
        parts.push((part.name().unwrap().into_owned(), bytes));
    }
    parts
}

/// A package of parts, squeezed or not.
pub(crate) fn package(parts: &Parts, squeezed: bool) -> Vec<u8> {
    let method = if squeezed { CompressionMethod::Deflated } else { CompressionMethod::Stored };
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        // A part of a name that is there already cannot be added.
        if writer.start_file(name.as_str(), SimpleFileOptions::default().compression_method(method)).is_ok() {
            writer.write_all(bytes).unwrap();
        }
    }
    writer.finish().unwrap().into_inner()
}

const ROOT: &str = r#"<Relationships><Relationship Id="rId1" Type="http://x/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;

/// Number formats by their place among the styles: plain, percent, day, a unit, thousands, month and year, text, time, money.
const STYLES: &str = r##"<styleSheet><numFmts count="3"><numFmt numFmtId="164" formatCode="0.00&quot; in&quot;"/><numFmt numFmtId="165" formatCode="#,##0,"/><numFmt numFmtId="166" formatCode="[$$-409]#,##0.00&quot;/C&quot;"/></numFmts><cellXfs count="9"><xf numFmtId="0"/><xf numFmtId="9"/><xf numFmtId="14"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="17"/><xf numFmtId="49"/><xf numFmtId="20"/><xf numFmtId="166"/></cellXfs></styleSheet>"##;

/// A workbook with a sheet a table.
pub(crate) fn workbook(grids: &[Grid], draw: &mut Draw<'_>) -> Vec<u8> {
    let squeezed = draw.once_in(2);
    package(&workbook_parts(grids, draw), squeezed)
}

/// The parts of a workbook with a sheet a table.
pub(crate) fn workbook_parts(grids: &[Grid], draw: &mut Draw<'_>) -> Parts {
    let (mut sheets, mut relations, mut texts) = (String::new(), String::new(), Vec::new());
    let mut parts: Parts = vec![
        ("[Content_Types].xml".to_owned(), b"<Types/>".to_vec()),
        ("_rels/.rels".to_owned(), ROOT.as_bytes().to_vec()),
        ("xl/styles.xml".to_owned(), STYLES.as_bytes().to_vec()),
    ];
    for (number, grid) in (1..).zip(grids) {
        let hidden = if draw.once_in(24) { r#" state="hidden""# } else { "" };
        let name = escaped(&grid.name);
        let _ = write!(sheets, r#"<sheet name="{name}" sheetId="{number}" r:id="rId{number}"{hidden}/>"#);
        let _ = write!(
            relations,
            r#"<Relationship Id="rId{number}" Type="http://x/worksheet" Target="worksheets/sheet{number}.xml"/>"#
        );
        parts.push((format!("xl/worksheets/sheet{number}.xml"), sheet(grid, &mut texts, draw).into_bytes()));
    }
    let _ = write!(
        relations,
        r#"<Relationship Id="texts" Type="http://x/sharedStrings" Target="sharedStrings.xml"/>"#
    );
    let _ = write!(relations, r#"<Relationship Id="styles" Type="http://x/styles" Target="styles.xml"/>"#);
    let book = format!("<workbook><sheets>{sheets}</sheets></workbook>");
    let relations = format!("<Relationships>{relations}</Relationships>");
    let items: String = texts.iter().map(|text| format!("<si><t>{}</t></si>", escaped(text))).collect();
    parts.push(("xl/workbook.xml".to_owned(), book.into_bytes()));
    parts.push(("xl/_rels/workbook.xml.rels".to_owned(), relations.into_bytes()));
    parts.push(("xl/sharedStrings.xml".to_owned(), format!("<sst>{items}</sst>").into_bytes()));
    parts
}

fn sheet(grid: &Grid, texts: &mut Vec<String>, draw: &mut Draw<'_>) -> String {
    let columns = match draw.below(16) {
        0 => r#"<cols><col min="2" max="3" hidden="1"/></cols>"#,
        1 => r#"<cols><col min="1" max="16384" width="9"/></cols>"#,
        _ => "",
    };
    let addressed = !draw.once_in(8);
    let mut data = String::new();
    for (number, row) in (1..).zip(&grid.rows) {
        let hidden = if draw.once_in(64) { r#" hidden="1""# } else { "" };
        let _ = write!(data, r#"<row r="{number}"{hidden}>"#);
        for (column, text) in row.iter().enumerate() {
            let address =
                if addressed { format!(r#" r="{}{number}""#, letters(column)) } else { String::new() };
            data.push_str(&cell(&address, text, texts, draw));
        }
        data.push_str("</row>");
    }
    format!("<worksheet>{columns}<sheetData>{data}</sheetData></worksheet>")
}

/// A cell of the kind that a spreadsheet would make of a text, seldom of another.
fn cell(address: &str, text: &str, texts: &mut Vec<String>, draw: &mut Draw<'_>) -> String {
    let is_number = !text.is_empty() && text.parse::<f64>().is_ok_and(f64::is_finite);
    let written = escaped(text);
    match draw.below(24) {
        _ if text.is_empty() => format!("<c{address}/>"),
        0 => format!(r#"<c{address} s="{}"><v>{}</v></c>"#, draw.below(10), draw.below(60_000)),
        1 => format!(r#"<c{address} s="{}"><v>0.{}</v></c>"#, draw.below(10), draw.below(1_000)),
        2 => format!(r#"<c{address} t="b"><v>{}</v></c>"#, draw.below(2)),
        3 if draw.once_in(4) => format!(r#"<c{address} t="e"><v>#N/A</v></c>"#),
        4 if draw.once_in(4) => format!("<c{address}><f>A1+1</f></c>"),
        5 => format!(r#"<c{address} t="str"><f>A1</f><v>{written}</v></c>"#),
        6 => format!(r#"<c{address} t="inlineStr"><is><r><t>{written}</t></r></is></c>"#),
        7 if is_number => format!(r#"<c{address} s="{}"><v>{written}</v></c>"#, draw.below(9)),
        8..=15 if is_number => format!("<c{address}><v>{written}</v></c>"),
        16..=19 => format!(r#"<c{address} t="inlineStr"><is><t xml:space="preserve">{written}</t></is></c>"#),
        _ => {
            texts.push(text.to_owned());
            format!(r#"<c{address} t="s"><v>{}</v></c>"#, texts.len() - 1)
        }
    }
}

/// The letters of a column, from 0.
fn letters(column: usize) -> String {
    let last = char::from(b'A' + u8::try_from(column % 26).unwrap());
    if column < 26 { last.to_string() } else { format!("{}{last}", letters(column / 26 - 1)) }
}

/// A text in XML: characters that XML cannot hold are left as they are, as a careless program would.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
