//! What the summary says of errors, warnings and remarks: how many there are, above the sums, and what matters most of
//! them, below: the cell, what was found and what hangs on it. These are words: they follow no edit. The whole list is
//! the sheet Notices.

use super::Book;
use super::page::{Page, Written};
use crate::doubts::{counted, weightiest};

/// The most notices that stand on the summary.
const MOST: usize = 5;

/// How many there are, in one line whatever they are: what stands below keeps its place.
pub(super) fn line(page: &mut Page<'_>, book: &Book<'_>) -> Written {
    let told = &book.words.estimate.told;
    let many = if told.is_empty() { "nothing wrong or doubtful".to_owned() } else { counted(told.iter()) };
    page.link(0, "Notices", 0, &format!("{many}, as estimated: see the sheet Notices"))?;
    page.next();
    page.end()
}

/// The weightiest across so many columns, below the sums; nothing where there is nothing to tell.
pub(super) fn write(page: &mut Page<'_>, book: &Book<'_>, across: u16) -> Written {
    let weighty = weightiest(&book.words.estimate.told);
    if weighty.is_empty() {
        return Ok(());
    }
    page.next();
    page.band("What is wrong or doubtful", across, &book.look().block)?;
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
    Ok(())
}
