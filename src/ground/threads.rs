//! The same work for several things at once. The only place that starts threads, but for the one that watches the
//! child that reads workbooks. Called by the walk of the estimate, by the weighing of doubts and by the writing of files.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{Builder, available_parallelism, scope};

/// The same work for each of some things, in as many threads as the machine has cores, this one among them; where no other
/// can be started, in this one alone. Results stand in the order of the things, so that threads change nothing.
pub(crate) fn in_threads<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    // Whoever is free takes the next thing.
    let some = || {
        let mut done: Vec<(usize, R)> = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(thing) = things.get(at) else { return done };
            done.push((at, work(thing)));
        }
    };
    let cores = available_parallelism().map_or(1, usize::from);
    let mut done = scope(|scope| {
        let others = 1..cores.min(things.len());
        let others: Vec<_> = others.filter_map(|_| Builder::new().spawn_scoped(scope, some).ok()).collect();
        let mut done = some();
        for other in others {
            done.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        done
    });
    done.sort_unstable_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::in_threads;

    #[test]
    fn results_stand_in_the_order_of_the_things_whoever_did_them() {
        let things: Vec<u64> = (0..100).collect();
        let twice = in_threads(&things, |thing| {
            std::thread::sleep(std::time::Duration::from_micros(100 - thing));
            2 * thing
        });
        assert_eq!(twice, things.iter().map(|thing| 2 * thing).collect::<Vec<_>>());
        assert_eq!(in_threads(&[0_u64; 0], |thing| *thing), [0_u64; 0]);
    }
}
