//! Sticks that are settled beforehand. Where there is one kind of stick only, a piece and the one other piece that
//! fills its stick at least as well as any others may as well lie together: in any plan the two change places
//! with what lies beside the first. Exact, no search. Called by `plan` ahead of the walk.

use super::fullest::fullest_length;
use super::job::{Job, Load, Piece};

/// Sorts of pieces beyond which nothing is settled beforehand, and words of tables made for it in all.
const MOST_PIECES: usize = 3_000;
const MOST_WORK: u64 = 60_000_000;

/// Takes the settled sticks out of a job. What is left of the job, and the loads of those sticks; nothing if they
/// are more than there are, and so the pieces do not go in at all.
pub(super) fn take_out(job: &Job) -> Option<(Job, Vec<Load>)> {
    let (mut rest, mut loads) = (job.clone(), Vec::new());
    let [kind] = job.kinds.as_slice() else { return Some((rest, loads)) };
    if job.pieces.len() > MOST_PIECES {
        return Some((rest, loads));
    }
    let mut work = 0;
    loop {
        let before = loads.len();
        for first in 0..rest.pieces.len() {
            while let Some(pieces) = settled(&mut rest.pieces, kind.len, first, &mut work) {
                let times = pieces.iter().map(|&(p, n)| rest.pieces[p].count / n).min().unwrap_or(0);
                for &(p, n) in &pieces {
                    rest.pieces[p].count -= n * times;
                }
                loads.push(Load { kind: 0, times, pieces });
            }
        }
        if loads.len() == before || work > MOST_WORK {
            break;
        }
    }
    let used: u64 = loads.iter().map(|load| load.times).sum();
    rest.kinds[0].most = kind.most.checked_sub(used)?;
    Some((rest, loads))
}

/// What may as well lie on one stick with this piece, if that is certain.
fn settled(pieces: &mut [Piece], len: u64, first: usize, work: &mut u64) -> Option<Vec<(usize, u64)>> {
    if pieces[first].count == 0 {
        return None;
    }
    let room = len - pieces[first].len;
    pieces[first].count -= 1;
    let from = pieces.partition_point(|piece| piece.len > room);
    let beside = (from..pieces.len()).find(|&p| pieces[p].count > 0);
    let sure = beside.is_none_or(|p| pieces[p].len == room || fills_best(pieces, p, room, work));
    pieces[first].count += 1;
    match beside {
        _ if !sure => None,
        None => Some(vec![(first, 1)]),
        Some(p) if p == first => Some(vec![(p, 2)]),
        Some(p) => Some(vec![(first.min(p), 1), (first.max(p), 1)]),
    }
}

/// Whether no set of pieces takes more of the room than this one.
fn fills_best(pieces: &[Piece], one: usize, room: u64, work: &mut u64) -> bool {
    let mut shortest = pieces[one..].iter().rev().filter(|piece| piece.count > 0);
    let least_two = match (shortest.next(), shortest.next()) {
        (Some(a), _) if a.count > 1 => 2 * a.len,
        (Some(a), Some(b)) => a.len + b.len,
        (_, _) => return true,
    };
    if least_two > room {
        return true;
    }
    *work += (room / 64 + 1) * (pieces.len() - one) as u64;
    *work <= MOST_WORK && fullest_length(&pieces[one..], room, MOST_WORK) <= pieces[one].len
}
