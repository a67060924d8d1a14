//! CSV tables: encodings, separators, row numbers, headings, and what is said about a cell that cannot be read.

use super::{COUNTED, LENGTH, NOTE, RUN, SIZE, TURNS, WASTE, file, table_file, take, take_text};
use coilstick::ground::{LengthUnit, Notice, Severity, Sources};
use coilstick::table::{TableFile, read};

fn take_bytes(name: &str, bytes: &[u8]) -> super::Table {
    take(&table_file(&file(name, bytes), None), &super::RUNS)
}

#[test]
fn one_table_in_five_encodings_is_one_table() {
    let text = "run,size,note\nA1,1/2,café\n";
    let utf16 = |big: bool| -> Vec<u8> {
        let units = std::iter::once(0xfeff).chain(text.encode_utf16());
        units.flat_map(|u: u16| if big { u.to_be_bytes() } else { u.to_le_bytes() }).collect()
    };
    let plain = take_bytes("utf8.csv", text.as_bytes());
    assert!(plain.notices.is_empty());
    assert_eq!(plain.column(NOTE), ["café"]);
    let marked = take_bytes("mark.csv", format!("\u{feff}{text}").as_bytes());
    assert_eq!((&marked.rows, marked.kinds().len()), (&plain.rows, 0));
    for (name, bytes) in [("le.csv", utf16(false)), ("be.csv", utf16(true))] {
        let found = take_bytes(name, &bytes);
        assert_eq!((&found.rows, found.kinds().len()), (&plain.rows, 0), "{name}");
    }
    let old: Vec<u8> = text.chars().map(|c| if c == 'é' { 0xe9 } else { u8::try_from(c).unwrap() }).collect();
    let found = take_bytes("old.csv", &old);
    assert_eq!(found.rows, plain.rows);
    assert_eq!(found.kinds(), ["old-encoding"]);
}

#[test]
fn text_that_its_first_bytes_do_not_describe_is_an_error() {
    // UTF-16 that ends in the middle of a character.
    let mut bytes = vec![0xff, 0xfe];
    bytes.extend("run,size\nA1,1/2\n".encode_utf16().flat_map(u16::to_le_bytes));
    bytes.push(0x41);
    assert_eq!(take_bytes("half.csv", &bytes).kinds(), ["broken-encoding"]);
}

#[test]
fn comma_semicolon_and_tab_files_are_told_apart_by_their_headings() {
    for text in [
        "run,size,\"length, ft\"\nA1,1/2,\"12.5\"\n",
        "run;size;length, ft\nA1;1/2;12,5\n",
        "run\tsize\tlength (ft)\nA1\t1/2\t12.5\n",
        "sep=;\r\nrun;size;length\r\nA1;1/2;12.5\r\n",
        "\n\nrun;size;length\nA1;0,5;12,5\n",
    ] {
        let found = take_text(text);
        assert!(found.notices.is_empty(), "{text:?} {:?}", found.kinds());
        assert_eq!(found.column(SIZE), ["1/2"], "{text:?}");
        assert_eq!(found.column(LENGTH), ["12.5 ft"], "{text:?}");
    }
    // A line `sep=` is no row of the spreadsheet.
    assert_eq!(take_text("sep=;\nrun;size\nA1;1\n").rows[0].row, 2);
}

#[test]
fn a_decimal_comma_is_read_in_semicolon_files_alone() {
    let comma = take_text("run,size,length\nA1,1/2,\"12,5\"\n");
    assert_eq!(comma.kinds(), ["misread-cell C2"]);
    assert_eq!(comma.notices[0].remedy, "type 12.5");
    let doubtful = take_text("run;size;length;turns\nA1;1/2;12,5;1\nA2;1/2;1.500;1\n");
    assert_eq!(doubtful.kinds(), ["misread-cell C3"]);
    assert!(doubtful.notices[0].remedy.contains("1500") && doubtful.notices[0].remedy.contains("1,500"));
    // Without a decimal comma anywhere the point is the decimal mark.
    assert_eq!(take_text("run;size;length\nA1;1/2;1.500\n").column(LENGTH), ["1.5 ft"]);
}

#[test]
fn rows_are_numbered_as_a_spreadsheet_shows_them() {
    let found = take_text("\r\nrun,size,note\r\n\r\nA1,1/2,\"two\r\nlines\"\r\n,,\r\nA2,3/4,\r\n");
    assert_eq!(found.rows.iter().map(|r| r.row).collect::<Vec<_>>(), [4, 6]);
    assert_eq!(found.column(NOTE), ["two\r\nlines", ""]);
    assert!(found.notices.is_empty());
}

#[test]
fn an_unclosed_quote_ends_the_table_with_an_error_where_it_began() {
    let found = take_text("run,size,note\nA1,1/2,ok\nA2,3/4,\"6 ft\nA3,1,never read\n");
    assert_eq!(found.column(RUN), ["A1"]);
    assert_eq!(found.kinds(), ["unclosed-quote C3"]);
    assert_eq!(found.notices[0].severity, Severity::Error);
}

#[test]
fn an_inch_mark_behind_its_number_is_no_quotation_mark() {
    let found = take_text("run,size,length\nA1,3/4\",12' 6 1/2\"\n");
    assert_eq!((found.column(SIZE), found.column(LENGTH)), (vec!["3/4"], vec!["12.5417 ft"]));
    assert!(found.notices.is_empty());
}

#[test]
fn short_rows_are_filled_and_long_ones_are_errors() {
    let found = take_text("run,size,note\nA1,1/2\nA2,1/2,a,b\nA3,1/2,a,\n");
    assert_eq!(found.column(RUN), ["A1", "A2", "A3"]);
    assert_eq!(found.kinds(), ["long-row D3"]);
}

#[test]
fn headings_match_without_case_spaces_and_hyphens_in_any_order() {
    let found = take_text("Note,SIZE,Length [in],R-U_N\nx,1/2,30,A1\n");
    assert!(found.notices.is_empty());
    assert_eq!(found.rows[0].cells[..4], ["A1", "", "1/2", "2.5 ft"]);
    for (heading, feet) in
        [("length (m)", "3.2808 ft"), ("Length mm", "0.0033 ft"), ("\"Length, in.\"", "0.0833 ft")]
    {
        let text: &'static str = Box::leak(format!("run,size,{heading}\nA1,1,1\n").into_boxed_str());
        assert_eq!(take_text(text).column(LENGTH), [feet], "{heading}");
    }
}

#[test]
fn unknown_double_and_missing_headings_are_noticed_once() {
    let found = take_text("run,size,lenght,size,\nA1,1/2,7,3/4,stray\nA2,1,7,1,\nA3,1,7,1,stray\n");
    assert_eq!(found.kinds(), ["unknown-column C1", "twice-column D1", "no-heading E2"]);
    assert!(found.notices[0].remedy.contains("\"length\""));
    assert!(found.notices[1].found.contains("B is read"));
    assert_eq!(found.column(SIZE), ["1/2", "1", "1"]);
    let missing = take_text("name,diameter\nA1,1/2\n");
    assert!(missing.rows.is_empty());
    assert_eq!(missing.kinds().last().map(String::as_str), Some("missing-column row 1"));
    assert!(missing.notices.last().unwrap().found.contains("\"run\", \"size\""));
    let unit = take_text("run,size,length (yd)\nA1,1/2,7\n");
    assert_eq!(unit.kinds(), ["unknown-unit C1"]);
    assert_eq!(unit.column(LENGTH), [""]);
}

#[test]
fn an_empty_table_is_a_warning() {
    for text in ["", "\n\n", "\u{feff}", ",,\n"] {
        let found = take_text(text);
        assert_eq!(found.kinds(), ["empty-table"], "{text:?}");
    }
}

#[test]
fn every_misread_cell_says_what_to_type_and_never_the_word_invalid() {
    let mut sources = Sources::default();
    let mut notices = Vec::new();
    let text = "run,size,length,turns,waste,day,wanted\n\"12,50\",x,\"1,000 ft\",\"1,000\",ten,3/1/2026,maybe\n1e5,1,4 yd,2.5,NaN,today,2\n";
    let file = TableFile::BuiltIn { name: "runs", text };
    read(&file, &super::RUNS, LengthUnit::Foot, &mut sources, &mut notices, &mut |record| {
        let _ = (record.money(RUN), record.length(LENGTH), record.count(TURNS), record.percent(WASTE));
        let _ = (record.date(super::DAY), record.yes_no(super::WANTED), record.discount(WASTE));
        assert!(record.misread());
    });
    let remedy = |kind: usize| notices[kind].remedy.as_str();
    assert_eq!(remedy(0), "type 12.50 if the comma is the decimal mark, 1250 if it parts thousands");
    assert_eq!(remedy(1), "type 1000");
    assert_eq!(remedy(2), "type 1000");
    assert_eq!(notices.len(), 14);
    assert_eq!(notices.iter().filter(|n| n.remedy == "type 100000").count(), 1);
    for notice in &notices {
        assert_eq!(notice.kind, "misread-cell");
        assert!(!notice.expected.is_empty() && !notice.remedy.is_empty());
        let words = format!("{} {} {}", notice.found, notice.expected, notice.remedy).to_lowercase();
        assert!(!words.contains("invalid"), "{words}");
    }
}

#[test]
fn notices_of_one_kind_are_listed_up_to_the_limit() {
    let mut text = String::from("run,size,length,day\n");
    for _ in 0..1_050 {
        text.push_str("A,1,x,y\n");
    }
    let found = take_bytes("many.csv", text.as_bytes());
    assert_eq!(found.rows.len(), 1_050);
    assert_eq!(found.notices.len(), 1_001);
    assert_eq!(found.kinds().last().map(String::as_str), Some("many-alike"));
    assert!(found.notices.iter().all(Notice::is_error));
}

#[test]
fn very_long_cells_and_binary_files_are_refused() {
    let long = format!("run,size,note\nA1,1/2,{}\n", "x".repeat(200_000));
    let found = take_bytes("long.csv", long.as_bytes());
    assert_eq!(found.kinds(), ["long-cell C2"]);
    assert_eq!(found.column(NOTE), [""]);
    assert_eq!(take_bytes("zip.csv", b"PK\x03\x04 and more").kinds(), ["workbook-named-csv"]);
    assert_eq!(take_bytes("zero.csv", b"run,size\nA1,1\0/2\n").kinds(), ["not-text"]);
    let wide = "x,".repeat(2_000);
    let found = take_bytes("wide.csv", format!("run,size,{wide}\nA1,1/2\n").as_bytes());
    assert!(found.kinds().contains(&"large-table IW1".to_owned()));
    assert_eq!(found.column(RUN), ["A1"]);
}

#[test]
fn further_columns_give_their_numbers_and_their_words() {
    let text = "run,size,elbows,tees,remark\nA1,1/2,3,2 ea,see plan\nA2,1/2,,1.5,\n";
    let (mut sources, mut notices, mut found) = (Sources::default(), Vec::new(), Vec::new());
    let file = TableFile::BuiltIn { name: "runs", text };
    read(&file, &COUNTED, LengthUnit::Foot, &mut sources, &mut notices, &mut |record| {
        let numbers: Vec<_> = record.further().iter().map(|(h, n)| format!("{h} {n}")).collect();
        let words: Vec<_> = record.further_words().iter().map(|(h, w)| format!("{h} {w}")).collect();
        found.push((numbers, words));
    });
    assert!(notices.is_empty());
    assert_eq!(
        found[0],
        (vec!["elbows 3".to_owned()], vec!["tees 2 ea".to_owned(), "remark see plan".to_owned()])
    );
    assert_eq!(found[1], (vec!["tees 1.5".to_owned()], vec![]));
}
