//! Damaged workbooks: whatever bytes stand in them, the door gives rows and notices, and never panics, hangs or ends.

use super::making::{Binary, inline, package, xlsb, xlsx};
use super::{RUNS, file, saved, table_file, take};

/// The same bytes in every run of the tests.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % sides
    }
}

/// Flips bytes, cuts the file short, or writes a number full of ones.
fn damage(bytes: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    match dice.roll(4) {
        0 => bytes.truncate(dice.roll(bytes.len())),
        1 => {
            let at = dice.roll(bytes.len() - 4);
            bytes[at..at + 4].fill(0xff);
        }
        _ => {
            for _ in 0..=dice.roll(6) {
                let at = dice.roll(bytes.len());
                bytes[at] ^= 1 << dice.roll(8);
            }
        }
    }
    bytes
}

fn try_all(name: &str, bytes: &[u8], tries: usize) -> usize {
    let mut dice = Dice(name.len() as u64);
    let mut noticed = 0;
    for _ in 0..tries {
        let path = file(name, &damage(bytes, &mut dice));
        let found = take(&table_file(&path, Some("runs")), &RUNS);
        noticed += usize::from(!found.notices.is_empty());
        assert!(found.rows.len() < 100_000);
    }
    noticed
}

#[test]
fn damaged_xlsx_files_give_rows_and_notices() {
    let bytes = std::fs::read(saved("kept.xlsx")).unwrap();
    assert!(try_all("damaged.xlsx", &bytes, 1_500) > 500);
}

/// The parts of an xlsx damaged one at a time and zipped again, so that the damage is not caught by a checksum.
#[test]
fn damaged_parts_of_an_xlsx_give_rows_and_notices() {
    let mut archive =
        zip::ZipArchive::new(std::io::Cursor::new(std::fs::read(saved("typed.xlsx")).unwrap())).unwrap();
    let mut parts = Vec::new();
    for index in 0..archive.len() {
        let mut part = archive.by_index(index).unwrap();
        let mut bytes = Vec::new();
        std::io::copy(&mut part, &mut bytes).unwrap();
        parts.push((part.name().unwrap().into_owned(), bytes));
    }
    let mut dice = Dice(3);
    for _ in 0..1_500 {
        let broken = dice.roll(parts.len());
        if parts[broken].1.len() < 8 {
            continue;
        }
        let bytes = damage(&parts[broken].1, &mut dice);
        let all: Vec<(&str, &[u8])> = parts
            .iter()
            .enumerate()
            .map(|(i, (name, whole))| (name.as_str(), if i == broken { &bytes[..] } else { &whole[..] }))
            .collect();
        let path = file("damaged-part.xlsx", &package(&all));
        let found = take(&table_file(&path, None), &RUNS);
        assert!(found.rows.len() < 100_000);
    }
}

#[test]
fn damaged_xls_files_give_rows_and_notices() {
    let bytes = std::fs::read(saved("kept.xls")).unwrap();
    assert!(try_all("damaged.xls", &bytes, 120) > 20);
}

#[test]
fn damaged_ods_files_give_rows_and_notices() {
    let bytes = std::fs::read(saved("kept.ods")).unwrap();
    assert!(try_all("damaged.ods", &bytes, 120) > 20);
}

#[test]
fn damaged_xlsb_files_give_rows_and_notices() {
    let rows = [
        vec![Binary::Text("run"), Binary::Text("size")],
        vec![Binary::Text("A1"), Binary::Text("1/2")],
        vec![Binary::Text("A2"), Binary::Number(0.75)],
    ];
    assert!(try_all("damaged.xlsb", &xlsb(&rows), 120) > 20);
}

/// An ods of less than a kilobyte that asks its reader for gigabytes.
#[test]
fn an_ods_that_asks_for_gigabytes_is_a_notice() {
    let cell = r#"<table:table-cell office:value-type="string"><text:p>run</text:p></table:table-cell>"#;
    let content = format!(
        r#"<office:document-content><office:body><office:spreadsheet><table:table table:name="runs"><table:table-row>{cell}</table:table-row><table:table-row table:number-rows-repeated="1048000">{cell}<table:table-cell table:number-columns-repeated="80" office:value-type="string"><text:p>x</text:p></table:table-cell></table:table-row></table:table></office:spreadsheet></office:body></office:document-content>"#
    );
    let bytes = package(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", b"<manifest/>"),
        ("content.xml", content.as_bytes()),
    ]);
    let found = take(&table_file(&file("huge.ods", &bytes), Some("runs")), &RUNS);
    assert_eq!(found.kinds(), ["damaged-workbook"]);
    assert!(found.notices[0].found.contains("gigabyte"), "{}", found.notices[0].found);
}

#[test]
fn a_child_that_is_asked_nonsense_ends_with_a_status() {
    let program = env!("CARGO_BIN_EXE_coilstick");
    for arguments in
        [&["--table-child"][..], &["--table-child", "eat", "x"], &["--table-child", "read", "gone.ods"]]
    {
        let output = std::process::Command::new(program).args(arguments).output().unwrap();
        assert!(!output.status.success(), "{arguments:?}");
    }
}

/// Its last cells may be missing, so what they would have said is not known.
#[test]
fn the_row_in_which_a_sheet_breaks_off_is_left_out() {
    let heads = format!("<row>{}{}</row>", inline("A1", "run"), inline("B1", "size"));
    let rows = format!("<row>{}{}</row><row>{}", inline("A2", "A1"), inline("B2", "1"), inline("A3", "A2"));
    let found =
        take(&table_file(&file("cut.xlsx", &xlsx(&format!("{heads}{rows}<!--"), "<sst/>")), None), &RUNS);
    assert_eq!(found.kinds(), ["damaged-workbook"]);
    assert_eq!(found.column(super::RUN), ["A1"]);
}

#[test]
fn a_missing_sheet_and_a_missing_file_are_notices() {
    for name in ["kept.xlsx", "kept.ods"] {
        let found = take(&table_file(&saved(name), Some("prices")), &RUNS);
        assert_eq!(found.kinds(), ["no-such-sheet"], "{name}");
        assert!(found.notices[0].found.contains("\"prices\""), "{name}");
    }
    assert_eq!(take(&table_file(&saved("gone.xlsx"), None), &RUNS).kinds(), ["unreadable-table"]);
    assert_eq!(take(&table_file(&saved("gone.csv"), None), &RUNS).kinds(), ["unreadable-table"]);
}

#[test]
fn a_workbook_with_a_password_says_so() {
    let manifest = br#"<manifest:manifest><manifest:file-entry manifest:full-path="content.xml"><manifest:encryption-data manifest:checksum="x"></manifest:encryption-data></manifest:file-entry></manifest:manifest>"#;
    let kind = b"application/vnd.oasis.opendocument.spreadsheet";
    let parts: [(&str, &[u8]); 3] =
        [("mimetype", kind), ("content.xml", b"locked"), ("META-INF/manifest.xml", manifest)];
    let path = file("locked.ods", &package(&parts));
    assert_eq!(take(&table_file(&path, Some("runs")), &RUNS).kinds(), ["password"]);
}
