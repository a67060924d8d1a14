//! The last lines of a command: how many errors and warnings there are, and those that matter most, in few lines. It
//! prints nothing.

use super::narrow::wrapped;
use super::screen::{Paint, Screen};
use crate::doubts::{counted, weightiest};
use crate::ground::{Notice, Severity};

/// The most notices that are named.
const MOST: usize = 5;

/// The lines; none where there is neither error nor warning. The rest stands `elsewhere`: on a sheet, or above.
pub(super) fn lines(told: &[Notice], elsewhere: &str, screen: &Screen) -> Vec<String> {
    let weighty = weightiest(told);
    if weighty.is_empty() {
        return Vec::new();
    }
    let grave = told.iter().filter(|notice| notice.severity != Severity::Remark);
    let head = format!("  {}:", counted(grave.clone()));
    let mut lines = vec![screen.paint_result(Paint::Yellow, &head)];
    for one in weighty.iter().take(MOST) {
        let bullet = if one.notice.is_error() { "    error  " } else { "    " };
        lines.extend(wrapped(bullet, &one.words()));
    }
    let named: usize = weighty.iter().take(MOST).map(|one| 1 + one.more).sum();
    match grave.count().saturating_sub(named) {
        0 => lines.push(format!("    what to do: {elsewhere}")),
        more => lines.push(format!("    and {more} more: {elsewhere}")),
    }
    lines
}
