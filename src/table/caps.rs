//! The caps of the table door that nobody needs to change: what a sheet can hold, and what would hurt the machine. What a
//! user may change is in `limits`. Nothing in this floor is reserved by what a file claims of itself.

use std::time::Duration;

/// The rows a sheet can hold: an address beyond is no address.
pub(super) const SHEET_ROWS: u32 = 1_048_576;
/// The columns a sheet can hold.
pub(super) const SHEET_COLUMNS: u32 = 16_384;
/// The bytes of the text of one cell (a spreadsheet holds 32,767 characters of up to four bytes).
pub(super) const CELL_BYTES: usize = 131_072;
/// The rows above the headings of a sheet that has a title.
pub(super) const TITLE_ROWS: u32 = 20;
/// What a number format may write around a number, in bytes; a longer one hides the number.
pub(super) const AROUND_BYTES: usize = 60;

/// The parts of a zipped workbook.
pub(super) const PARTS: usize = 100_000;
/// The unpacked bytes of one part of an xlsx workbook, whatever its size.
pub(super) const PART_BYTES: u64 = 2 << 30;

/// The memory a child process may ask for while it reads an xls, xlsb or ods workbook.
pub(super) const CHILD_MEMORY: u64 = 1 << 30;
/// The processor seconds a child process may use.
pub(super) const CHILD_CPU_SECONDS: u64 = 30;
/// How long a child process may be silent or busy in all.
pub(super) const CHILD_WALL: Duration = Duration::from_secs(60);
