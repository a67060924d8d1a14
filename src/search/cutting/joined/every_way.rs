//! Every way of cutting and joining a small order, gone through with proof. Long pieces hang together in groups: those of
//! one group share sticks, and a group of some sticks has one joint less than sticks (a tree of parts). So a plan
//! costs its sticks and a joint for each stick with a part, less one for each group; and a group is served as soon as
//! its sticks have room enough in all. All groupings are tried; in each, the longest whole piece left is put on a new
//! stick together with others, in every way, dry or for a group, as long as no bound (`stairs`) and no earlier
//! way that left no more to do for no more money stands against it. Called by [`super`]; `walking` goes through one grouping.

use super::board::{Board, groupings};
use super::drawn::Drawn;
use super::joints::weights;
use super::walking::{Found, StairsOf, Walk};
use crate::search::cutting::order::JoinOrder;
use crate::search::effort::Effort;

/// What a search has found.
#[derive(Debug)]
pub(super) struct Walked {
    /// No plan costs less; nothing below what was asked for is `u64::MAX`.
    pub(super) bound: u64,
    /// The cheapest plan below what was asked for.
    pub(super) drawn: Option<Drawn>,
}

/// The least plan below a cost, and a bound that is at least `least`, which is known. `copies` are those of
/// [`super::drawn::copies`].
pub(super) fn search(
    order: &JoinOrder<'_>,
    (copies, few): (&[usize], &[u64]),
    least: u64,
    below: u64,
    effort: &mut Effort,
) -> Option<Walked> {
    let mut board = Board::new(order, copies)?;
    let groupings = groupings(&board.copies);
    let mut found = Found { below, drawn: None, failed: u64::MAX };
    let mut bound = least;
    // A quick look with few ways at each state, then with all of them up to ever higher costs.
    let part = effort.left() / 8;
    effort.within(part, |effort| {
        for width in [2, 6] {
            let half = effort.left() / 2;
            effort.within(half, |effort| pass(&board, &groupings, u64::MAX, width, &mut found, effort));
        }
    });
    found.failed = u64::MAX;
    let part = effort.left() / 8;
    board.weights = effort.within(part, |effort| weights(order, few, effort));
    for share in [8, 3, 1] {
        if bound >= found.below.min(found.failed) {
            break;
        }
        let limit = match found.below {
            u64::MAX if share == 1 => u64::MAX,
            u64::MAX => bound.saturating_add(board.dearest().saturating_mul(8 / share)),
            below => bound + (below - bound).div_ceil(share),
        };
        found.failed = u64::MAX;
        if !pass(&board, &groupings, limit, usize::MAX, &mut found, effort) {
            break;
        }
        bound = bound.max(limit.min(found.below).min(found.failed));
    }
    Some(Walked { bound: bound.min(found.below), drawn: found.drawn })
}

/// Goes through all groupings for plans below a limit; false if the effort is spent before the end.
fn pass(
    board: &Board<'_>,
    groupings: &[Vec<Vec<usize>>],
    limit: u64,
    width: usize,
    found: &mut Found,
    effort: &mut Effort,
) -> bool {
    let mut stairs = StairsOf::default();
    for groups in groupings {
        let mut walk = Walk::new(board, groups, limit, width, found, &mut stairs);
        walk.descend(0, effort);
        if effort.is_spent() {
            return false;
        }
    }
    true
}
