//! The tables of a job as one workbook: a sheet a table, digits as numbers and all else as text. Made for tests, apart from
//! the program's own workbooks.

use rust_xlsxwriter::Workbook;

/// The bytes of a workbook of tables, given as names and CSV texts.
pub(crate) fn of_tables(tables: &[(&str, &str)]) -> Vec<u8> {
    let mut out = Workbook::new();
    for (name, text) in tables {
        let sheet = out.add_worksheet();
        sheet.set_name(*name).unwrap();
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        for (row, record) in (0_u32..).zip(reader.records()) {
            for (column, cell) in (0_u16..).zip(record.unwrap().iter()) {
                match cell.parse::<f64>() {
                    Ok(number) if number.to_string() == cell => sheet.write_number(row, column, number),
                    Ok(_) | Err(_) => sheet.write_string(row, column, cell),
                }
                .unwrap();
            }
        }
    }
    out.save_to_buffer().unwrap()
}
