//! The caps of the table door, all in one place: far above any house, far below what would hurt the machine.
//!
//! A table beyond a cap is read up to it, and a notice says where reading stopped. Nothing in this floor is reserved by
//! what a file claims of itself.

use std::time::Duration;

/// The largest file that is opened.
pub(super) const FILE_BYTES: u64 = 256 << 20;
/// The rows of a table: as many as a sheet can hold.
pub(super) const ROWS: u32 = 1_048_576;
/// The columns that are looked at; cells farther right are noticed once. A sheet could hold 16,384.
pub(super) const COLUMNS: usize = 1_024;
/// The columns a sheet can hold: an address beyond is no address.
pub(super) const SHEET_COLUMNS: u32 = 16_384;
/// The cells of a table.
pub(super) const CELLS: u64 = 20_000_000;
/// The bytes of the text of one cell (a spreadsheet holds 32,767 characters of up to four bytes).
pub(super) const CELL_BYTES: usize = 131_072;
/// The misread cells of one table that get a notice each, and the fractions that get a warning each.
pub(super) const MISREAD: u32 = 10_000;
/// The rows above the headings of a sheet that has a title.
pub(super) const TITLE_ROWS: u32 = 20;
/// The tables of a job.
pub(super) const TABLES: usize = 1_000;

/// The parts of a zipped workbook.
pub(super) const PARTS: usize = 100_000;
/// The unpacked bytes of the sheet of an xlsx workbook.
pub(super) const SHEET_BYTES: u64 = 2 << 30;
/// The unpacked bytes of the shared texts of an xlsx workbook.
pub(super) const TEXTS_BYTES: u64 = 256 << 20;
/// The unpacked bytes of any other part of an xlsx workbook.
pub(super) const PART_BYTES: u64 = 32 << 20;

/// The memory a child process may ask for while it reads an xls, xlsb or ods workbook.
pub(super) const CHILD_MEMORY: u64 = 1 << 30;
/// The processor seconds a child process may use.
pub(super) const CHILD_CPU_SECONDS: u64 = 30;
/// How long a child process may be silent or busy in all.
pub(super) const CHILD_WALL: Duration = Duration::from_secs(60);
