//! The block of the summary that says how many errors, warnings and remarks there are, and what matters most of them:
//! the cell, what was found and what hangs on it. These are words: they follow no edit. The whole list is the sheet Notices.

use rust_xlsxwriter::XlsxError;

use super::Book;
use super::page::Page;
use crate::doubts::{counted, weightiest};

/// The most notices that stand on the summary.
const MOST: usize = 5;

/// Writes it across so many columns; nothing where there is nothing to tell.
pub(super) fn write(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Result<(), XlsxError> {
    let told = &book.words.estimate.told;
    if told.is_empty() {
        return Ok(());
    }
    let weighty = weightiest(told);
    page.link(0, "Notices", 0, &format!("{}, as estimated: see the sheet Notices", counted(told.iter())))?;
    page.next();
    for one in weighty.iter().take(MOST) {
        let weight = if one.notice.is_error() { "error" } else { "warning" };
        page.paragraph(&format!("{weight}  {}", one.words()), across, &book.look().paragraph)?;
    }
    let named: usize = weighty.iter().take(MOST).map(|one| 1 + one.more).sum();
    let all: usize = weighty.iter().map(|one| 1 + one.more).sum();
    if all > named {
        let more = format!("and {} more errors and warnings on the sheet Notices", all - named);
        page.paragraph(&more, across, &book.look().paragraph)?;
    }
    page.next();
    Ok(())
}
