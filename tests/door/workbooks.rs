//! Workbooks: what other programs saved comes in as the same rows, and what a spreadsheet does to typed cells is seen.

use super::making::{Binary, inline, xlsb, xlsx};
use super::{DAY, LENGTH, NOTE, RUN, RUNS, SIZE, TURNS, Table, WANTED, WASTE, file, saved, table_file, take};
use coilstick::ground::Severity;
use rust_xlsxwriter::{Format, Formula, Workbook};

fn take_saved(name: &str) -> Table {
    take(&table_file(&saved(name), None), &RUNS)
}

fn take_bytes(name: &str, bytes: &[u8]) -> Table {
    take(&table_file(&file(name, bytes), Some("runs")), &RUNS)
}

/// A workbook with a sheet `runs` whose headings are written and whose cells the caller writes.
fn written(name: &str, write: impl FnOnce(&mut rust_xlsxwriter::Worksheet)) -> Table {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet();
    sheet.set_name("runs").unwrap();
    for (column, definition) in (0_u16..).zip(RUNS.columns) {
        sheet.write(0, column, definition.heading).unwrap();
    }
    write(sheet);
    take_bytes(name, &workbook.save_to_buffer().unwrap())
}

#[test]
fn one_table_saved_as_csv_xlsx_xls_and_ods_is_one_table() {
    let csv = take_saved("kept.csv");
    assert_eq!(csv.rows.iter().map(|r| r.row).collect::<Vec<_>>(), [2, 3, 4, 6]);
    assert_eq!(
        csv.rows[1].cells,
        ["A2", "hot", "3/4", "12.5417 ft", "3", "5", "2026-01-02", "no", "two\nlines"].map(as_read)
    );
    for kind in ["kept.xlsx", "kept.xls", "kept.ods"] {
        let found = take_saved(kind);
        assert_eq!(found.kinds(), Vec::<String>::new(), "{kind}");
        assert_eq!(found.rows, csv.rows, "{kind}");
    }
}

#[test]
fn errors_of_formulas_saved_by_another_program_are_noticed_at_their_cells() {
    for kind in ["faults.xlsx", "faults.xls", "faults.ods"] {
        let found = take_saved(kind);
        assert_eq!(found.column(LENGTH), ["?", "?", "12 ft", "?"], "{kind}: {:?}", found.kinds());
        let kinds: Vec<_> = found.kinds();
        assert_eq!(
            kinds,
            ["fault-in-cell C2", "fault-in-cell C3", "fault-in-cell D4", "fault-in-cell C5"],
            "{kind}"
        );
    }
}

/// A truth value shows as Rust shows it.
fn as_read(text: &str) -> String {
    match text {
        "yes" => "true".to_owned(),
        "no" => "false".to_owned(),
        other => other.to_owned(),
    }
}

#[test]
fn a_typed_half_that_became_a_day_is_an_error_that_proposes_the_half() {
    for kind in ["typed.xlsx", "typed.xls", "typed.ods"] {
        let found = take_saved(kind);
        assert_eq!(found.column(SIZE), ["?", "1-1/4", "?"], "{kind}");
        let days: Vec<_> = found.notices.iter().filter(|n| n.kind == "day-instead").collect();
        assert_eq!(days.len(), 2, "{kind}: {:?}", found.kinds());
        assert_eq!((days[0].severity, days[0].spots[0].address()), (Severity::Error, "C2".to_owned()));
        assert!(
            days[0].remedy.contains("format the column as Text") && days[0].remedy.contains(" 1/2 "),
            "{kind}"
        );
        assert!(days[1].remedy.contains(" 3/4 "), "{kind}: {}", days[1].remedy);
        assert_eq!(found.column(LENGTH), ["12.5 ft", "12.5417 ft", "0.25 ft"], "{kind}");
        assert_eq!(found.column(TURNS), ["2", "3", "0"], "{kind}");
        assert_eq!(found.column(WASTE), ["10", "5", "7.5"], "{kind}");
        assert_eq!(found.column(DAY), ["2026-03-01", "2026-01-02", "2024-02-29"], "{kind}");
        assert_eq!(found.column(WANTED), ["true", "false", "true"], "{kind}");
        assert_eq!(found.column(NOTE), ["plain", "two\nlines", "café"], "{kind}");
        // Only xlsx says that a number is shown as a percentage; elsewhere the fraction is warned of.
        let warned = found.notices.iter().filter(|n| n.kind == "fraction-for-percent").count();
        assert_eq!(warned, if kind == "typed.xlsx" { 0 } else { 3 }, "{kind}");
    }
}

#[test]
fn an_xlsb_made_by_hand_reads_as_the_same_table() {
    use Binary::{Number, Text, Truth};
    let rows = [
        vec![Text("run"), Text("size"), Text("length"), Text("wanted")],
        vec![Text("A1"), Text("1/2"), Number(12.5), Truth(true)],
        vec![Text("A2"), Number(0.75), Text("6 in"), Truth(false)],
    ];
    let found = take_bytes("hand.xlsb", &xlsb(&rows));
    assert_eq!(found.kinds(), Vec::<String>::new());
    assert_eq!(found.column(SIZE), ["1/2", "3/4"]);
    assert_eq!(found.column(LENGTH), ["12.5 ft", "0.5 ft"]);
    assert_eq!(found.column(WANTED), ["true", "false"]);
}

#[test]
fn percentages_days_and_numbers_are_read_by_their_formats() {
    let found = written("formats.xlsx", |sheet| {
        let percent = Format::new().set_num_format("0.0%");
        let month_year = Format::new().set_num_format("mmm-yy");
        let fraction = Format::new().set_num_format("# ?/?");
        sheet.write(1, 0, 12).unwrap();
        sheet.write_with_format(1, 2, 0.5, &fraction).unwrap();
        sheet.write_with_format(1, 5, 0.075, &percent).unwrap();
        sheet.write(1, 8, 0.1).unwrap();
        sheet.write(2, 0, "A2").unwrap();
        sheet.write_with_format(2, 2, 11_689.0, &month_year).unwrap();
        sheet.write(2, 5, 0.075).unwrap();
        sheet.write(2, 6, 46_024).unwrap();
        sheet.write_with_format(2, 8, 0.05, &percent).unwrap();
        sheet.write(3, 0, "A3").unwrap();
        sheet.write_with_format(3, 5, 1.5, &percent).unwrap();
        sheet.write(3, 4, 2.5).unwrap();
        sheet.write(3, 2, 1.25).unwrap();
        sheet.write(3, 7, true).unwrap();
    });
    assert_eq!(found.column(RUN), ["12", "A2", "A3"]);
    assert_eq!(found.column(SIZE), ["1/2", "?", "1-1/4"]);
    assert_eq!(found.column(WASTE), ["7.5", "7.5", "150"]);
    assert_eq!(found.column(NOTE), ["0.1", "5%", ""]);
    assert_eq!(found.column(WANTED), ["", "", "true"]);
    assert_eq!(
        found.kinds(),
        ["day-instead C3", "fraction-for-percent F3", "misread-cell G3", "misread-cell E4"]
    );
    // 1 January 1932, shown as Jan-32: what a spreadsheet makes of a typed 1/32.
    assert!(found.notices[0].remedy.contains(" 1/32 "), "{}", found.notices[0].remedy);
    assert_eq!(found.notices[2].remedy, "format the cell as a date, or type 2026-01-02");
}

#[test]
fn formulas_give_their_results_and_are_noticed_without_them() {
    let found = written("formulas.xlsx", |sheet| {
        sheet.write(1, 0, "A1").unwrap();
        sheet.write(1, 2, "1").unwrap();
        sheet.write(1, 3, Formula::new("=6*2").set_result("12")).unwrap();
        sheet.write(2, 0, "A2").unwrap();
        sheet.write(2, 2, "1").unwrap();
        sheet.write(2, 3, Formula::new("=NA()").set_result("#N/A")).unwrap();
    });
    assert_eq!(found.column(LENGTH), ["12 ft", "?"]);
    assert_eq!(found.kinds(), ["fault-in-cell D3"]);
    let heads = format!("{}{}{}", inline("A1", "run"), inline("B1", "size"), inline("C1", "length"));
    let data = format!(
        "<row r=\"1\">{heads}</row><row r=\"2\">{}{}<c r=\"C2\"><f>6*2</f></c></row>",
        inline("A2", "A1"),
        inline("B2", "1")
    );
    let found = take_bytes("uncalculated.xlsx", &xlsx(&data, "<sst/>"));
    assert_eq!(found.kinds(), ["formula-without-result C2"]);
    assert_eq!(found.column(LENGTH), ["?"]);
}

#[test]
fn a_sheet_whose_first_and_last_cell_alone_are_used_is_read_as_two_rows() {
    let found = written("far.xlsx", |sheet| {
        sheet.write(1_048_575, 0, "A1").unwrap();
        sheet.write(1_048_575, 16_383, "far").unwrap();
    });
    assert_eq!(found.rows.iter().map(|r| r.row).collect::<Vec<_>>(), [1_048_576]);
    assert_eq!(found.kinds(), ["no-heading XFD1048576"]);
}

#[test]
fn strange_addresses_rows_out_of_order_and_doubled_cells_are_noticed() {
    let heads = format!("<row r=\"3\">{}{}</row>", inline("A3", "run"), inline("B3", "size"));
    let cells = [
        inline("A5", "first"),
        inline("A5", "second"),
        inline("B5", "1"),
        inline("A4", "too late"),
        inline("XFE6", "x"),
        inline("A1048577", "x"),
        inline("A4294967302", "wraps to row 6"),
        inline("A7", "A7"),
        inline("B7", "2"),
    ];
    let found =
        take_bytes("order.xlsx", &xlsx(&format!("{heads}<row r=\"5\">{}</row>", cells.concat()), "<sst/>"));
    assert_eq!(found.column(RUN), ["second", "A7"]);
    assert_eq!(found.rows.iter().map(|r| r.row).collect::<Vec<_>>(), [5, 7]);
    assert_eq!(
        found.kinds(),
        ["twice-cell A5", "row-out-of-order row 4", "no-such-cell", "no-such-cell", "no-such-cell"]
    );
}

#[test]
fn what_a_file_claims_of_itself_reserves_nothing() {
    // A count of texts that would ask for terabytes, and a dimension of the whole sheet.
    let texts =
        r#"<sst count="99999999999" uniqueCount="99999999999"><si><t>run</t></si><si><t>size</t></si></sst>"#;
    let data = r#"<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row><c t="s"><v>99999</v></c></row>"#;
    let found = take_bytes("claims.xlsx", &xlsx(data, texts));
    assert_eq!(found.kinds(), ["fault-in-cell A2"]);
}

#[test]
fn a_very_long_text_is_an_error_of_its_cell_alone() {
    let heads = format!("<row>{}{}{}</row>", inline("A1", "run"), inline("B1", "size"), inline("C1", "note"));
    let long = inline("C2", &"x".repeat(3_000_000));
    let row = format!("<row>{}{}{long}</row>", inline("A2", "A1"), inline("B2", "1/2"));
    let found = take_bytes("long.xlsx", &xlsx(&format!("{heads}{row}"), "<sst/>"));
    assert_eq!(found.kinds(), ["long-cell C2"]);
    assert_eq!(found.column(SIZE), ["1/2"]);
}

/// Outside truth: calamine reads the same cells of files that other programs saved.
#[test]
fn cells_of_an_xlsx_are_those_calamine_reads() {
    use calamine::{Data, Reader, Xlsx, open_workbook};
    for name in ["kept.xlsx", "typed.xlsx"] {
        let mut book: Xlsx<_> = open_workbook(saved(name)).unwrap();
        let sheet = book.sheet_names()[0].clone();
        let range = book.worksheet_range(&sheet).unwrap();
        let mut compared = 0;
        for row in 1..=range.end().unwrap().0 + 1 {
            let ours = super::excerpt(&table_file(&saved(name), None), row).unwrap_or_default();
            for column in 1..=9 {
                let theirs = match range.get_value((row - 1, column - 1)) {
                    None | Some(Data::Empty) => String::new(),
                    Some(Data::Bool(value)) => value.to_string().to_uppercase(),
                    Some(Data::DateTime(day)) => {
                        let (year, month, day, ..) = day.to_ymd_hms_milli();
                        format!("{year}-{month:02}-{day:02}")
                    }
                    Some(other) => other.to_string(),
                };
                let ours = ours.iter().find(|c| c.column == column).map_or("", |c| c.text.as_str());
                // A percentage is shown as such here.
                if !ours.ends_with('%') {
                    assert_eq!(ours, theirs.trim(), "{name} row {row} column {column}");
                    compared += 1;
                }
            }
        }
        assert!(compared > 30, "{name} {compared}");
    }
}

#[test]
fn a_unit_that_a_number_format_shows_is_read_with_the_number() {
    let found = written("units.xlsx", |sheet| {
        let with = |code: &str| Format::new().set_num_format(code);
        for (row, (number, code)) in (1_u32..).zip([
            (31.0, "0\" in\""),
            (12.5, "0.0\" ft\""),
            (3.81, "0.00\" m\""),
            (38.1, "General\\ \\m\\m"),
            (7.0, "0\"'\""),
            (31.0, "0\" pcs\""),
            (31_000.0, "#,##0,"),
        ]) {
            sheet.write(row, 0, format!("A{row}")).unwrap();
            sheet.write(row, 2, "1").unwrap();
            sheet.write_with_format(row, 3, number, &with(code)).unwrap();
        }
        sheet.write_with_format(1, 4, 3, &with("0\" ea\"")).unwrap();
        sheet.write_with_format(2, 4, 3, &with("0\" doz\"")).unwrap();
        sheet.write_with_format(3, 4, 3000, &with("0,")).unwrap();
    });
    assert_eq!(found.column(LENGTH), ["2.5833 ft", "12.5 ft", "12.5 ft", "0.125 ft", "7 ft", "?", "?"]);
    assert_eq!(found.column(TURNS), ["3", "?", "?", "", "", "", ""]);
    assert_eq!(
        found.kinds(),
        ["number-format E3", "number-format E4", "number-format D7", "number-format D8"]
    );
    assert_eq!(found.notices[2].found, "length is shown as \"31 pcs\" by the number format of the cell");
    assert!(found.notices[3].found.contains("31000") && found.notices[3].found.contains("thousands"));
}

#[test]
fn hidden_rows_and_columns_are_read_and_told() {
    let found = written("hidden.xlsx", |sheet| {
        for row in 1..=7 {
            sheet.write(row, 0, format!("A{row}")).unwrap();
            sheet.write(row, 2, "1").unwrap();
            sheet.write(row, 3, f64::from(row)).unwrap();
        }
        for row in [4, 5, 6, 2, 9] {
            sheet.set_row_hidden(row).unwrap();
        }
        sheet.set_column_hidden(3).unwrap();
        sheet.set_column_hidden(12).unwrap();
    });
    assert_eq!(found.column(LENGTH).len(), 7);
    assert_eq!(found.kinds(), ["hidden-rows row 3", "hidden-column D1"]);
    assert_eq!(found.notices[0].found, "rows 3, 5 to 7 are hidden and are read");
    assert_eq!(found.notices[1].found, "the column length is hidden and is read");
}

#[test]
fn rows_that_a_filter_hides_are_read_and_told() {
    let found = written("filtered.xlsx", |sheet| {
        for row in 1..=3 {
            sheet.write(row, 0, if row == 2 { "B" } else { "A" }).unwrap();
            sheet.write(row, 2, "1").unwrap();
        }
        sheet.autofilter(0, 0, 3, 0).unwrap();
        sheet.filter_column(0, &rust_xlsxwriter::FilterCondition::new().add_list_filter("A")).unwrap();
    });
    assert_eq!(found.column(RUN), ["A", "B", "A"]);
    assert_eq!(
        found.notices.iter().map(|notice| notice.found.as_str()).collect::<Vec<_>>(),
        ["row 3 is hidden and is read"]
    );
}
