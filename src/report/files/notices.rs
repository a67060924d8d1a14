//! Notices in JSON files, each with its cells.

use crate::ground::Notice;
use crate::report::form::{AMOUNT, Holds, Shape, TEXT, fields};

/// The words of a severity.
const SEVERITY: Holds = Holds::word(&["error", "warning", "remark"]);

fields! {
    /// One notice.
    pub(in crate::report) fn put / shape (out, notice: &Notice) {
        shape "severity": SEVERITY, "how much it weighs: of an error what it touches is left out" => &notice.severity;
        put "kind": TEXT, "the kind of notice it is" => notice.kind;
        list "at": TEXT, "the cells that it speaks of" => notice.spots.iter().map(ToString::to_string);
        put "found": TEXT, "what was found" => &notice.found;
        put "expected": TEXT, "what was expected" => &notice.expected;
        put "remedy": TEXT, "what to type or to do" => &notice.remedy;
        shape "hangs": hangs(), "what hangs on it, where it may have been meant otherwise", if notice.hangs.is_some()
            => &notice.hangs;
        put "accepted": TEXT, "the cell of the table job that accepts it", if notice.accepted.is_some()
            => notice.accepted.as_ref().map(ToString::to_string);
    }
}

/// What [`crate::ground::Hangs`] says, here and on the terminal.
fn hangs() -> Shape {
    let mut shape = Shape::default();
    shape.put("words", "in a sentence", TEXT);
    shape.put("sum", "the sum that it moves: bid or material; null where that is not known", TEXT.or_null());
    shape.put("as_read", "the sum as the job is read", AMOUNT.or_null());
    shape.put("otherwise", "the sum if it is meant otherwise", AMOUNT.or_null());
    shape.put("more", "how much more that is, with a minus less", AMOUNT.or_null());
    shape
}
