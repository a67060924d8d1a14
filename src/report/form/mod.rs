//! The forms of files: columns and their cells, CSV, JSON, a sheet and how it looks. It knows no table; `files`, `book`, `revised` and the starter are written with it.

pub(super) mod csv;
mod edits;
mod fields;
mod holds;
mod json;
pub(super) mod json_file;
mod look;
mod page;
pub(super) mod paper;
mod print;
mod printed;
mod shape;
mod table;
mod watched;
mod workbook;

pub(super) use csv::Table;
pub(super) use edits::{EDITED, RUN_AGAIN};
pub(super) use fields::fields;
pub(super) use holds::{
    AMOUNT, CENTS, DAY, Holds, PERCENT, PLACE, PRICE, QUANTITY, SHA256, TEXT, WHOLE, YES_NO,
};
pub(super) use json::Object;
pub(super) use look::{ACCENT, BOX, FONT, Kind, Look, Tone, tab, tint};
pub(super) use page::{Binding, Page, Paper, SheetColumn, Written, column, columns, letters, shown};
pub(super) use print::keep_off_paper;
pub(super) use shape::Shape;
pub(super) use table::{
    Column, OfItem, Said, Value, in_both, in_csv, in_json, of_item, of_sheet, on_sheet, put_cell, put_row,
    said, whole,
};
pub(super) use workbook::{bytes_of, new_book, properties};
