//! The words of what a run says and nothing reads: a count under a column that its own patterns do not count by. Every
//! text of these notices stands here.

use crate::ground::{Notice, Severity, Spot};

/// A number under a count column of a run that no row of its own patterns reads; the patterns that read the column.
pub(super) fn count_unread(spot: Spot, heading: &str, found: &str, reading: &[&str]) -> Notice {
    let patterns = match reading {
        [one] => format!("the pattern {one}"),
        _ => "one of the patterns ".to_owned() + &reading.join(", "),
    };
    Notice::new(
        Severity::Warning,
        "count-not-read",
        vec![spot],
        format!("{heading} is {found}, and no pattern of this run reads it: nothing is counted for it"),
        format!("{patterns}, which counts by {heading}"),
        "type it in `pattern` behind a semicolon, or empty the cell".to_owned(),
    )
}
