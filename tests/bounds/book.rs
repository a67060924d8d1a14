//! Workbooks that are small as files and large as tables: one shared text in many cells, parts that unpack to much, many
//! sheets. What reading costs goes by the bytes of the file.

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use coilstick::ground::Notice;
use coilstick::trade::Job;
use zip::write::{SimpleFileOptions, ZipWriter};

use super::{Cost, alone, cost, folder};

/// A workbook whose sheets, each a name and its rows, share these texts.
fn book(name: &str, sheets: &[(String, String)], texts: &[String]) -> PathBuf {
    let (mut listed, mut related) = (String::new(), String::new());
    for (at, (sheet, _)) in sheets.iter().enumerate() {
        write!(listed, "<sheet name=\"{sheet}\" r:id=\"s{at}\"/>").unwrap();
        write!(related, "<Relationship Id=\"s{at}\" Type=\"x/worksheet\" Target=\"sheet{at}.xml\"/>")
            .unwrap();
    }
    let shared: String = texts.iter().map(|text| format!("<si><t>{text}</t></si>")).collect();
    let root = "<Relationships><Relationship Id=\"r\" Type=\"x/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>";
    let mut parts = vec![
        ("_rels/.rels".to_owned(), root.to_owned()),
        ("xl/workbook.xml".to_owned(), format!("<workbook><sheets>{listed}</sheets></workbook>")),
        (
            "xl/_rels/workbook.xml.rels".to_owned(),
            format!(
                "<Relationships>{related}<Relationship Id=\"t\" Type=\"x/sharedStrings\" Target=\"texts.xml\"/></Relationships>"
            ),
        ),
        ("xl/texts.xml".to_owned(), format!("<sst>{shared}</sst>")),
    ];
    for (at, (_, rows)) in sheets.iter().enumerate() {
        let sheet = format!("<worksheet><sheetData>{rows}</sheetData></worksheet>");
        parts.push((format!("xl/sheet{at}.xml"), sheet));
    }
    let path = folder("books", &[]).join(name);
    let mut writer = ZipWriter::new(fs::File::create(&path).unwrap());
    for (part, text) in parts {
        writer.start_file(part, SimpleFileOptions::default()).unwrap();
        writer.write_all(text.as_bytes()).unwrap();
    }
    writer.finish().unwrap();
    path
}

/// A row of cells that point at shared texts by their numbers.
fn row(texts: &[usize]) -> String {
    let cells: String = texts.iter().map(|text| format!("<c t=\"s\"><v>{text}</v></c>")).collect();
    format!("<row>{cells}</row>")
}

fn read(path: &Path) -> (Cost, Vec<Notice>) {
    let (cost, job) = cost(|| Job::read(path));
    let notices = match job {
        Ok(job) => job.notices.clone(),
        Err(notice) => vec![notice],
    };
    (cost, notices)
}

fn kinds(notices: &[Notice]) -> Vec<&str> {
    let mut kinds: Vec<&str> = notices.iter().map(|notice| notice.kind).collect();
    kinds.dedup();
    kinds
}

/// A run list in which every note is the same shared text of so many letters.
fn noted(rows: usize, letters: usize) -> PathBuf {
    let heads = ["run", "service", "size", "length", "note", "cold", "1/2", "10 ft"].map(str::to_owned);
    let names = (0..rows).map(|row| format!("R{row}"));
    let texts: Vec<String> = heads.into_iter().chain(["n".repeat(letters)]).chain(names).collect();
    let mut sheet = row(&[0, 1, 2, 3, 4]);
    for at in 0..rows {
        sheet += &row(&[9 + at, 5, 6, 7, 8]);
    }
    book("noted.xlsx", &[("runs".to_owned(), sheet)], &texts)
}

#[test]
fn one_shared_text_in_many_cells_is_kept_once() {
    let _alone = alone();
    let [short, long] = [30, 3_000].map(|letters| read(&noted(2_000, letters)));
    assert!(!long.1.iter().any(Notice::is_error), "{:?}", kinds(&long.1));
    // 2,000 notes of 3,000 letters would be six million bytes.
    assert!(long.0.kept < short.0.kept + 300_000, "{:?} {:?}", short.0, long.0);
    assert!(long.0.asked < short.0.asked + 2_000_000, "{:?} {:?}", short.0, long.0);
}

#[test]
fn a_text_beyond_the_limit_is_refused_wherever_it_stands() {
    let _alone = alone();
    let (cost, notices) = read(&noted(2_000, 100_000));
    assert!(kinds(&notices).contains(&"large-table") || kinds(&notices).contains(&"long-cell"));
    assert!(cost.kept < 12_000_000, "{cost:?}");
}

#[test]
fn a_workbook_that_unpacks_to_far_more_than_it_is_is_not_read_to_its_end() {
    let _alone = alone();
    for sheet in [
        " ".repeat(40_000_000),
        format!("<row><c t=\"inlineStr\"><is><t>{}</t></is></c></row>", "x".repeat(40_000_000)),
        "<row></row>".repeat(4_000_000),
        "<a>".repeat(12_000_000),
    ] {
        let path = book("bomb.xlsx", &[("runs".to_owned(), sheet)], &[]);
        let packed = usize::try_from(fs::metadata(&path).unwrap().len()).unwrap();
        let (cost, notices) = read(&path);
        assert!(kinds(&notices).contains(&"large-table"), "{:?}", kinds(&notices));
        assert!(cost.kept < 10_000_000 && cost.asked < 30_000_000 + 500 * packed, "{packed} {cost:?}");
    }
}

#[test]
fn what_many_sheets_share_is_read_once() {
    let _alone = alone();
    let texts: Vec<String> = (0..3_000).map(|at| format!("a text of some letters, number {at}")).collect();
    let of = |count: usize| {
        let heads = ["supplier", "part", "size", "price", "Mill Supply (invented)", "elbow", "1/2", "2.00"];
        let texts: Vec<String> = heads.map(str::to_owned).into_iter().chain(texts.clone()).collect();
        let sheet = row(&[0, 1, 2, 3]) + &row(&[4, 5, 6, 7]);
        let sheets: Vec<(String, String)> =
            (0..count).map(|at| (format!("list {at}"), sheet.clone())).collect();
        let list = book("lists.xlsx", &sheets, &texts);
        let job = "item,value\nprice list,../books/lists.xlsx\n";
        let path = folder("many-sheets", &[("runs", super::RUNS), ("job", job)]);
        let (cost, notices) = read(&path);
        assert!(list.exists() && !kinds(&notices).contains(&"no-such-path"), "{:?}", kinds(&notices));
        cost
    };
    let [some, more] = [25, 100].map(of);
    assert!(more.asked < some.asked + 12_000_000, "{some:?} {more:?}");
}
