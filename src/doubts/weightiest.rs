//! Notices in the order in which they matter to who bids: errors, then what moves the bid most. For a page of few lines:
//! the whole list stands on the sheet of notices. It words nothing but counts.

use std::cmp::Reverse;

use rust_decimal::Decimal;

use crate::ground::{Notice, Severity};

/// A notice among those that matter most.
#[derive(Debug, Clone, Copy)]
pub struct Weighty<'a> {
    /// The notice.
    pub notice: &'a Notice,
    /// How many more of its kind are like it, of none of which it is known what hangs on it.
    pub more: usize,
}

impl Weighty<'_> {
    /// Where, what was found, and what hangs on it: `runs.csv:J5 ...: the bid would be...`.
    pub fn words(&self) -> String {
        let spot = self.notice.spots.first().map(|spot| format!("{spot}  ")).unwrap_or_default();
        let more = match self.more {
            0 => String::new(),
            1 => ", and 1 more of its kind".to_owned(),
            more => format!(", and {more} more of its kind"),
        };
        let hangs = match &self.notice.hangs {
            Some(hangs) if hangs.moved().is_some() => format!(": {}", hangs.words()),
            Some(_) => ": what hangs on it is not known".to_owned(),
            None => String::new(),
        };
        format!("{spot}{}{more}{hangs}", self.notice.found)
    }
}

/// Errors and warnings, the weightiest first: errors before warnings; among them those that move the bid, the most
/// first, then those of which nobody knows, of one kind in one, then those that move nothing.
pub fn weightiest(told: &[Notice]) -> Vec<Weighty<'_>> {
    let mut weighty: Vec<Weighty<'_>> = Vec::new();
    for notice in told.iter().filter(|notice| notice.severity != Severity::Remark) {
        let alike = |one: &&mut Weighty<'_>| {
            (one.notice.severity, one.notice.kind) == (notice.severity, notice.kind)
                && moved(one.notice).is_none()
        };
        match weighty.iter_mut().find(alike).filter(|_| moved(notice).is_none()) {
            Some(one) => one.more += 1,
            None => weighty.push(Weighty { notice, more: 0 }),
        }
    }
    weighty.sort_by_key(|one| {
        let moved = moved(one.notice);
        let class = match moved {
            Some(by) if !by.is_zero() => 0,
            None => 1,
            Some(_) => 2,
        };
        (one.notice.severity, class, Reverse(moved))
    });
    weighty
}

/// How much the bid moves, either way; nothing where that is not known.
fn moved(notice: &Notice) -> Option<Decimal> {
    notice.hangs.as_ref()?.moved()
}

/// How many notices of each weight there are: `1 error, 3 warnings`; nothing where there are none.
pub fn counted<'a>(notices: impl Iterator<Item = &'a Notice> + Clone) -> String {
    let words = [(Severity::Error, "error"), (Severity::Warning, "warning"), (Severity::Remark, "remark")];
    let counts = words.into_iter().filter_map(|(severity, word)| {
        match notices.clone().filter(|notice| notice.severity == severity).count() {
            0 => None,
            1 => Some(format!("1 {word}")),
            many => Some(format!("{many} {word}s")),
        }
    });
    counts.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ground::Hangs;
    use crate::ground::hangs::{Moves, Sum};

    fn notice(severity: Severity, kind: &'static str, otherwise: Option<i64>) -> Notice {
        let text = String::new;
        let mut notice = Notice::new(severity, kind, Vec::new(), kind.to_owned(), text(), text());
        notice.hangs = otherwise.map(|otherwise| {
            let (as_read, otherwise) = (Decimal::ONE_HUNDRED, Decimal::from(otherwise));
            Hangs::Moves(Moves { sum: Sum::Bid, as_read, otherwise, whole: (true, true) })
        });
        notice
    }

    #[test]
    fn what_moves_the_bid_most_comes_first_behind_errors() {
        use Severity::{Error, Remark, Warning};
        let told = [
            notice(Warning, "same", Some(100)),
            notice(Warning, "unknown", None),
            notice(Remark, "remark", Some(900)),
            notice(Warning, "little", Some(101)),
            notice(Warning, "unknown", None),
            notice(Warning, "much", Some(20)),
            notice(Error, "error", None),
        ];
        let list: Vec<(&str, usize)> =
            weightiest(&told).iter().map(|one| (one.notice.kind, one.more)).collect();
        assert_eq!(list, [("error", 0), ("much", 0), ("little", 0), ("unknown", 1), ("same", 0)]);
        assert_eq!(counted(told.iter()), "1 error, 5 warnings, 1 remark");
    }

    #[test]
    fn a_notice_that_moves_the_bid_is_not_hidden_behind_another_of_its_kind() {
        let told = [
            notice(Severity::Warning, "kind", None),
            notice(Severity::Warning, "kind", Some(7)),
            notice(Severity::Warning, "kind", None),
        ];
        let list: Vec<usize> = weightiest(&told).iter().map(|one| one.more).collect();
        assert_eq!(list, [0, 1]);
    }
}
