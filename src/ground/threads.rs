//! The same work for several things at once. The only place that starts threads, but for the one that watches the
//! child that reads workbooks. Called by the walk of the estimate, by the weighing of doubts and by the writing of files.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{Builder, available_parallelism, scope};

/// The same work for each of some things, in as many threads as the machine has cores, this one among them; where no other
/// can be started, in this one alone. Results stand in the order of the things, so that threads change nothing.
pub(crate) fn in_threads<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let cores = available_parallelism().map_or(1, usize::from);
    started_by(Builder::new, cores, things, work)
}

/// The same with as many threads, each started by a builder.
fn started_by<T: Sync, R: Send>(
    builder: impl Fn() -> Builder,
    cores: usize,
    things: &[T],
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
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
    let mut done = scope(|scope| {
        let others = 1..cores.min(things.len());
        let others: Vec<_> = others.filter_map(|_| builder().spawn_scoped(scope, some).ok()).collect();
        let mut done = some();
        for other in others {
            done.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        done
    });
    done.sort_unstable_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, result)| result).collect()
}

/// Whether so many threads can run beside this one now: what is not ours ends the program where it cannot start one.
pub(crate) fn can_start(number: usize) -> bool {
    all_started(Builder::new, number)
}

fn all_started(builder: impl Fn() -> Builder, number: usize) -> bool {
    let all = Mutex::new(());
    scope(|scope| {
        // None of them ends before the last is started.
        let wait = all.lock();
        let started = (0..number).all(|_| builder().spawn_scoped(scope, || drop(all.lock())).is_ok());
        drop(wait);
        started
    })
}

#[cfg(test)]
mod tests {
    use std::thread::Builder;

    use super::{all_started, can_start, in_threads, started_by};

    /// A thread that no machine has the memory for.
    fn too_large() -> Builder {
        Builder::new().stack_size(1 << 60)
    }

    #[test]
    fn where_no_thread_can_be_started_the_work_is_done_in_line() {
        let things: Vec<u64> = (0..100).collect();
        let own = std::thread::current().id();
        let done = started_by(too_large, 8, &things, |thing| (2 * thing, std::thread::current().id()));
        assert_eq!(done, things.iter().map(|thing| (2 * thing, own)).collect::<Vec<_>>());
        assert!(!all_started(too_large, 1) && can_start(4));
    }

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
