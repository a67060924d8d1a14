//! Finding the tables of a job, and drawing a row of one again.

use std::path::PathBuf;

use super::making::package;
use super::{excerpt, saved, table_file};
use coilstick::table::{open, read_guarded_by};
use rust_xlsxwriter::Workbook;

fn folder(name: &str, files: &[&str]) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("door").join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    for file in files {
        std::fs::write(folder.join(file), "run,size\n").unwrap();
    }
    folder
}

#[test]
fn a_folder_gives_its_csv_files_in_the_order_of_their_names() {
    let job = folder(
        "job",
        &["runs.csv", "On_Hand.CSV", "prices.csv", ".hidden.csv", "~$x.csv", "notes.md", "old.xlsx"],
    );
    let found = open(&job).unwrap();
    assert_eq!(
        found.tables.iter().map(|t| t.name.as_str()).collect::<Vec<_>>(),
        ["onhand", "prices", "runs"]
    );
    assert!(found.tables[0].is("on hand") && found.tables[0].is("on-hand"));
    assert_eq!(&*found.tables[0].file.spot().file, "On_Hand.CSV");
    assert!(found.notices.is_empty());
}

#[test]
fn two_tables_of_one_name_are_an_error_and_the_first_is_kept() {
    let found = open(&folder("twice", &["on hand.csv", "on-hand.csv"])).unwrap();
    assert_eq!(found.tables.len(), 1);
    assert_eq!(found.notices[0].kind, "twice-table");
    assert_eq!(found.notices[0].spots[0].to_string(), "on-hand.csv");
}

#[test]
fn a_workbook_gives_its_visible_sheets_as_they_stand() {
    let mut workbook = Workbook::new();
    for name in ["Runs", "On hand", "Scratch", "prices"] {
        let sheet = workbook.add_worksheet().set_name(name).unwrap();
        if name == "Scratch" {
            sheet.set_hidden(true);
        }
    }
    let path = super::file("sheets.xlsx", &workbook.save_to_buffer().unwrap());
    let found = open(&path).unwrap();
    assert_eq!(
        found.tables.iter().map(|t| t.name.as_str()).collect::<Vec<_>>(),
        ["runs", "onhand", "prices"]
    );
    let hidden: Vec<String> = found.hidden.iter().map(|sheet| sheet.spot.to_string()).collect();
    assert_eq!(hidden, ["sheets.xlsx Scratch"]);
    assert_eq!(found.tables[1].file.sheet().map(|s| &**s), Some("On hand"));
    read_guarded_by(env!("CARGO_BIN_EXE_coilstick"));
    for name in ["kept.xls", "kept.ods"] {
        assert_eq!(open(&saved(name)).unwrap().tables.len(), 1, "{name}");
    }
}

#[test]
fn a_sheet_that_an_ods_hides_is_named_and_is_no_table() {
    let content = r#"<?xml version="1.0"?><office:document-content><office:automatic-styles>
        <style:style style:name="ta1" style:family="table"><style:table-properties table:display="true"/></style:style>
        <style:style style:name="ta2" style:family="table"><style:table-properties table:display="false"/></style:style>
        </office:automatic-styles><office:body><office:spreadsheet>
        <table:table table:name="runs" table:style-name="ta1"><table:table-row><table:table-cell office:value-type="string"><text:p>run</text:p></table:table-cell></table:table-row></table:table>
        <table:table table:name="Prices" table:style-name="ta2"><table:table-row><table:table-cell office:value-type="string"><text:p>part</text:p></table:table-cell></table:table-row></table:table>
        </office:spreadsheet></office:body></office:document-content>"#;
    let bytes = package(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", b"<manifest:manifest/>"),
        ("content.xml", content.as_bytes()),
    ]);
    read_guarded_by(env!("CARGO_BIN_EXE_coilstick"));
    let found = open(&super::file("hidden.ods", &bytes)).unwrap();
    assert_eq!(found.tables.iter().map(|t| t.name.as_str()).collect::<Vec<_>>(), ["runs"]);
    let hidden: Vec<(&str, String)> =
        found.hidden.iter().map(|sheet| (sheet.name.as_str(), sheet.spot.to_string())).collect();
    assert_eq!(hidden, [("prices", "hidden.ods Prices".to_owned())]);
}

#[test]
fn one_csv_file_is_a_job_of_one_table() {
    let found = open(&saved("kept.csv")).unwrap();
    assert_eq!((found.tables.len(), found.tables[0].written.as_str()), (1, "kept"));
}

#[test]
fn what_is_no_job_is_a_notice_that_says_what_to_do() {
    assert_eq!(open(&folder("none", &["notes.md"])).unwrap_err().kind, "no-tables");
    let with_book = open(&folder("book", &["lodge.xlsx"])).unwrap_err();
    assert!(with_book.remedy.contains("lodge.xlsx"));
    assert_eq!(open(&saved("nothing here.csv")).unwrap_err().kind, "unreadable-table");
    assert_eq!(open(&super::file("plan.pdf", b"%PDF")).unwrap_err().kind, "other-kind");
    assert_eq!(open(&super::file("not.xlsx", b"run,size\n")).unwrap_err().kind, "damaged-workbook");
}

#[test]
fn a_row_can_be_drawn_again() {
    for name in ["kept.csv", "kept.xlsx", "kept.ods"] {
        let row = excerpt(&table_file(&saved(name), None), 4).unwrap();
        let shown: Vec<_> = row.iter().map(|c| (c.heading.as_deref().unwrap(), c.text.as_str())).collect();
        assert_eq!(
            shown[..4],
            [("run", "A3"), ("service", "cold"), ("size", "1-1/4"), ("length (ft)", "7")],
            "{name}"
        );
        assert_eq!(row.last().map(|c| c.column), Some(9));
    }
    assert_eq!(excerpt(&table_file(&saved("kept.csv"), None), 5), None);
    assert_eq!(excerpt(&table_file(&saved("kept.csv"), None), 99), None);
}

#[test]
fn a_row_is_drawn_under_its_headings_where_a_comment_stands_above_them() {
    let text = "# walked on Monday, by two\nrun,size\nA1,1/2\n";
    let file = table_file(&super::file("walked.csv", text.as_bytes()), None);
    let cells = excerpt(&file, 3).unwrap();
    let heads: Vec<_> = cells.iter().map(|cell| cell.heading.as_deref()).collect();
    assert_eq!(heads, [Some("run"), Some("size")]);
    assert_eq!(excerpt(&file, 1).unwrap()[0].heading, None);
}
