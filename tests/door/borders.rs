//! Cells at the borders of what the door takes: addresses before the first row, texts just above the cap of a cell. They
//! tell changes of one sign in the sources that no other test saw.

use super::making::{inline, package, xlsx};
use super::{RUN, RUNS, file, table_file, take};

const HEADS: &str = r#"<row r="1"><c r="A1" t="inlineStr"><is><t>run</t></is></c><c r="B1" t="inlineStr"><is><t>size</t></is></c></row>"#;

#[test]
fn a_cell_of_row_0_has_no_address_and_the_others_are_read() {
    let rows = format!(
        "{HEADS}<row>{}</row><row>{}{}</row>",
        inline("A0", "A9"),
        inline("A2", "A1"),
        inline("B2", "1")
    );
    let found = take(&table_file(&file("row-0.xlsx", &xlsx(&rows, "<sst/>")), None), &RUNS);
    assert_eq!(found.kinds(), ["no-such-cell"]);
    assert_eq!(found.column(RUN), ["A1"]);
}

/// A cell that names no address stands right of the one before it, in the row that is named.
#[test]
fn a_cell_whose_place_alone_leads_out_of_the_sheet_is_told_and_the_others_are_read() {
    let bare = r#"<c t="inlineStr"><is><t>x</t></is></c>"#;
    let row = format!(r#"{}{}<c r="XFD2"/>{bare}"#, inline("A2", "A1"), inline("B2", "1"));
    let rows =
        format!(r#"{HEADS}<row r="0">{bare}</row><row r="2">{row}</row><row r="1048577">{bare}</row>"#);
    let found = take(&table_file(&file("bare-cells.xlsx", &xlsx(&rows, "<sst/>")), None), &RUNS);
    assert_eq!(found.kinds(), ["no-such-cell", "no-such-cell", "no-such-cell"]);
    assert_eq!(found.column(RUN), ["A1"]);
}

/// Such a text may be longer than a cell: it is the cell that is told, not the workbook.
#[test]
fn a_text_between_cdata_marks_above_the_cap_is_a_long_cell() {
    let long = format!(r#"<c r="A2" t="inlineStr"><is><t><![CDATA[{}]]></t></is></c>"#, "x>".repeat(100_000));
    let rows = format!("{HEADS}<row>{long}{}</row>", inline("B2", "1"));
    let found = take(&table_file(&file("long-cdata.xlsx", &xlsx(&rows, "<sst/>")), None), &RUNS);
    assert_eq!(found.kinds(), ["long-cell A2"]);
}

#[test]
fn a_text_above_the_cap_is_a_long_cell_where_a_child_reads_it_too() {
    let cell = |text: &str| {
        format!(r#"<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#)
    };
    let row = |a: &str, b: &str| format!("<table:table-row>{}{}</table:table-row>", cell(a), cell(b));
    let content = format!(
        r#"<office:document-content><office:body><office:spreadsheet><table:table table:name="runs">{}{}</table:table></office:spreadsheet></office:body></office:document-content>"#,
        row("run", "size"),
        row(&"x".repeat(140_000), "1"),
    );
    let bytes = package(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", b"<manifest/>"),
        ("content.xml", content.as_bytes()),
    ]);
    let found = take(&table_file(&file("long-cell.ods", &bytes), Some("runs")), &RUNS);
    assert_eq!(found.kinds(), ["long-cell A2"]);
}
